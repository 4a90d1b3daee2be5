"""Lets `python -m staking` run the command line."""

from staking.cli import run

run()
