"""What every command prints after its tables: its notices, then at most six last lines."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from pathlib import Path

    from staking.notices import Notice
    from staking.output.blocks import Block
    from staking.output.endings.six_lines import Ending
    from staking.plan import Options


def print_tables(blocks: Iterable[Block]) -> None:
    """Print tables on standard output, without the cautions, which the last lines name.

    Parameters
    ----------
    blocks
        What to print, in order.
    """
    from dataclasses import replace

    from staking.output.blocks import Listing
    from staking.output.cautions import LAYOUT_CAUTIONS
    from staking.output.terminal import print_blocks

    shown: list[Block] = []
    for block in blocks:
        if isinstance(block, Listing):
            lines = tuple(line for line in block.lines if line not in LAYOUT_CAUTIONS)
            if lines:
                shown.append(replace(block, lines=lines))
        else:
            shown.append(block)
    print_blocks(shown, sys.stdout)


def say_notices(notices: Iterable[Notice], options: Options, *, quiet: bool = False) -> None:
    """Print notices on standard error, the heaviest last, where the eye falls.

    Parameters
    ----------
    notices
        The notices; what is said twice is printed once.
    options
        How lengths are shown.
    quiet
        Whether notes of what was assumed are left out.
    """
    from staking.notices import Severity
    from staking.output.tables.notice_listings import notice_blocks
    from staking.output.terminal import print_blocks
    from staking.output.wording import Words

    said = [each for each in notices if not quiet or each.severity is not Severity.NOTE]
    print_blocks(reversed(notice_blocks(said, Words(options))), sys.stderr)


def say_paths(paths: Sequence[Path]) -> None:
    """Name every file that was written on standard error, where the output is a document."""
    from staking.output.wording import safe

    for path in paths:
        click.echo(f"wrote {safe(str(path))}", err=True)


def say_ending(ending: Ending) -> None:
    """Print the last lines on standard output."""
    from staking.output.endings.six_lines import ending_lines

    for line in ending_lines(ending):
        click.echo(line)
