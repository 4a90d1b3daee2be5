"""``staking plan``: the order of work, and how near it puts each stake."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from staking.errors import InputError, MeasureError, Problem, ProjectError

if TYPE_CHECKING:
    from staking.laid_out.layout_value import Layout
    from staking.layout.steps.work import WorkPlan
    from staking.plan import Options


@click.command(
    "plan", context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 80}
)
@click.argument("job", type=click.Path(path_type=Path))
@click.option(
    "--radius",
    metavar="LENGTH",
    help="How near its place every stake should come, 19 times in 20; by default what the job "
    "lets a stake be out.",
)
@click.option("--json", "as_json", is_flag=True, help="Print the figures as JSON and nothing else.")
@click.option("-q", "--quiet", is_flag=True, help="Only the steps, and warnings.")
@click.pass_context
def command(
    context: click.Context, job: Path, radius: str | None, as_json: bool, quiet: bool
) -> None:
    """Put the work on JOB in order for two people and one tape.

    Begins days before. Says which corner comes first and why, how each stake is set by two
    tapes, when the large rectangle is squared, then boards, strings, checks, lines, pads and
    paint; how near each stake comes; the fewest distances to tape for a wanted radius, as in
    --radius 3/16in; and what 3-4-5 alone would leave.
    """
    from staking.laid_out.order_of_work import plan_work
    from staking.laid_out.staked_out import stake_out_where_known
    from staking.output.wording import safe
    from staking.project.layout import load_job
    from staking.project.resolve import resolve

    try:
        read = load_job(job)
        wanted = _radius(radius, read.options)
        done = resolve(read).layout
        work = plan_work(done, wanted, stake_out_where_known(done))
        _show(done, work, as_json=as_json, quiet=quiet)
    except ProjectError as error:
        for line in str(error).splitlines():
            click.echo(safe(line), err=True)
        context.exit(error.exit_status)
    if done.broken:
        context.exit(5)


def _radius(text: str | None, options: Options) -> float | None:
    from staking.measure.lengths import Unit, parse_length

    if text is None:
        return None
    remedy = "write --radius 3/16in or --radius 5mm"
    try:
        wanted = parse_length(text, Unit(options.unit))
    except MeasureError as fault:
        raise InputError(Problem(message=str(fault), remedy=remedy, field="--radius")) from fault
    if wanted <= 0:
        message = f"{text} is not a radius: it must be above zero"
        raise InputError(Problem(message=message, remedy=remedy, field="--radius"))
    return wanted


def _show(done: Layout, work: WorkPlan, *, as_json: bool, quiet: bool) -> None:
    from staking.commands.last_words import say_ending, say_notices
    from staking.laid_out.first_things import first_things
    from staking.output.documents.document_text import document_text
    from staking.output.documents.work_document import work_document
    from staking.output.endings.layout_ending import work_ending
    from staking.output.tables.work_tables import step_tables, work_blocks
    from staking.output.terminal import print_blocks

    if as_json:
        click.echo(document_text(work_document(done, work)), nl=False)
    else:
        print_blocks((step_tables if quiet else work_blocks)(done, work), sys.stdout)
    # what the layout only notes is told by staking layout
    say_notices((*done.notices, *work.notices), done.options, quiet=True)
    if not as_json and not quiet:
        say_ending(work_ending(first_things(done, work), done, work))
