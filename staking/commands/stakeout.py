"""``staking stakeout``: tapes and angles from known points to every stake."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from staking.errors import ProjectError

if TYPE_CHECKING:
    from staking.laid_out.layout_value import Layout
    from staking.laid_out.staked_out import StakeOut


@click.command(
    "stakeout", context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 80}
)
@click.argument("job", type=click.Path(path_type=Path))
@click.option("--setup", metavar="POINT", help="Survey point that the instrument stands on.")
@click.option("--backsight", metavar="POINT", help="Survey point on which its angle is set to 0.")
@click.option("--json", "as_json", is_flag=True, help="Print the figures as JSON and nothing else.")
@click.pass_context
def command(
    context: click.Context, job: Path, setup: str | None, backsight: str | None, as_json: bool
) -> None:
    """Stake out JOB from known points of its survey.

    Gives two tapes to every corner, pad, hub and board mark from the two known points that fix it
    best, and with --setup and --backsight the angle right and the distance of each.
    """
    from staking.output.wording import safe

    _refuse_half_an_instrument(context, setup, backsight)
    try:
        done, found = _compute(job, setup, backsight)
        _show(done, found, as_json)
    except ProjectError as error:
        for line in str(error).splitlines():
            click.echo(safe(line), err=True)
        context.exit(error.exit_status)
    if done.broken:
        context.exit(5)


def _refuse_half_an_instrument(
    context: click.Context, setup: str | None, backsight: str | None
) -> None:
    if (setup is None) != (backsight is None):
        missing = "--backsight" if backsight is None else "--setup"
        raise click.UsageError(f"an instrument needs both points; give {missing} as well", context)
    if setup is not None and setup == backsight:
        raise click.UsageError("the set-up and the backsight are one point", context)


def _compute(job: Path, setup: str | None, backsight: str | None) -> tuple[Layout, StakeOut]:
    from staking.laid_out.staked_out import refuse_names_of_the_survey, stake_out
    from staking.project.resolve import read_and_resolve

    known = [name for name in (setup, backsight) if name is not None]
    done = read_and_resolve(job, known).layout
    refuse_names_of_the_survey(done)
    return done, stake_out(done, setup, backsight)


def _show(done: Layout, found: StakeOut, as_json: bool) -> None:
    from dataclasses import replace

    from staking.commands.last_words import say_ending, say_notices
    from staking.laid_out.first_things import first_things, stake_by_tapes
    from staking.output.documents.document_text import document_text
    from staking.output.endings.layout_ending import stakeout_ending
    from staking.output.tables.stakeout_tables import stakeout_blocks, stakeout_document
    from staking.output.terminal import print_blocks

    if as_json:
        click.echo(document_text(stakeout_document(done, found)), nl=False)
    else:
        print_blocks(stakeout_blocks(done, found), sys.stdout)
    say_notices((*done.notices, *found.notices), done.options)
    if not as_json:
        acts = tuple(
            stake_by_tapes(
                tie.name, ((tie.first, tie.first_distance), (tie.second, tie.second_distance))
            )
            for tie in found.ties[:1]
        )
        say_ending(stakeout_ending(replace(first_things(done), acts=acts), done, found))
