"""``staking check``: what was taped into square or not, and what to move."""

from __future__ import annotations

import sys
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, TextIO

import click

from staking.commands.option_values import parse_columns, positive_length
from staking.errors import InputError, Problem, ProjectError, WriteError
from staking.notices import Severity
from staking.units import Unit

if TYPE_CHECKING:
    from collections.abc import Callable

    from staking.checked.stakes_checked import Checked
    from staking.checked.stakes_on_plan import StakesRead
    from staking.job.build import Job
    from staking.job.typed_tapes import Readings
    from staking.plan import Options
    from staking.project.accepted import Accepted
    from staking.project.resolve import Resolved

NOT_SQUARE = 5


@click.command(
    "check", context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 80}
)
@click.argument("job", type=click.Path(path_type=Path))
@click.argument("distances", nargs=-1, metavar="[A-C=43-3-3/8 ...]")
@click.option(
    "--tapes", type=click.Path(path_type=Path), multiple=True, help="A tape book, CSV or YAML."
)
@click.option("--column", help="Which column of the tape book; the last one filled in by default.")
@click.option(
    "--height",
    "heights",
    multiple=True,
    metavar="A=1-6",
    help="How high the top of a stake stands, for tapes held on it.",
)
@click.option(
    "--stakes",
    type=click.Path(path_type=Path),
    multiple=True,
    help="Surveyed stakes and nails, named as in points.csv.",
)
@click.option(
    "--stake-error",
    metavar="LENGTH",
    help="Standard error of the coordinates in --stakes; by default the tape's.",
)
@click.option(
    "--unit",
    type=click.Choice([unit.value for unit in Unit]),
    help="Unit of the numbers in --stakes.",
)
@click.option(
    "--columns",
    callback=parse_columns,
    help="The columns of --stakes, as in point,northing,easting.",
)
@click.option(
    "--hold",
    metavar="C,C-D",
    help="What stays where it is: a corner and a wall; or best, the best fit; or place, the place "
    "on the lot. By default the base line of the order of work.",
)
@click.option(
    "--accept",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Take the stakes as they stand: write a new job file with their corners.",
)
@click.option("--json", "as_json", is_flag=True, help="Print the figures as JSON and nothing else.")
@click.option("-q", "--quiet", is_flag=True, help="Only the verdict, the moves and warnings.")
@click.pass_context
def command(
    context: click.Context,
    job: Path,
    distances: tuple[str, ...],
    tapes: tuple[Path, ...],
    column: str | None,
    heights: tuple[str, ...],
    stakes: tuple[Path, ...],
    stake_error: str | None,
    unit: str | None,
    columns: tuple[str, ...] | None,
    hold: str | None,
    accept: Path | None,
    as_json: bool,
    quiet: bool,
) -> None:
    """Check JOB by what was taped or surveyed: is it square, and what do I move.

    Each distance is two corners and a length without blanks, A-C=43-3-3/8, or a corner and a pad
    or an end of an interior line, A-P1=12-7, A-G_from=14ft. With - lines such as A-C 43' 3 3/8"
    are read from standard input. A distance may be given twice. Stakes are a survey file of any
    format, alone or with distances. The status is 5 when it is not square, breaks a setback or
    does not stand in its place on the lot (with --hold best or a wall its shape alone counts).
    --accept takes the stakes as they stand instead: what walls, boards and block become is said.
    """
    from staking.commands.last_words import say_notices
    from staking.output.wording import safe
    from staking.project.check import check_job
    from staking.project.layout import load_job
    from staking.project.layout_marks import with_older_books
    from staking.project.resolve import resolve

    read = readings = None
    try:
        read = load_job(job)
        readings = _gather(read, distances, tapes, column, heights)
        resolved = resolve(read)
        readings = with_older_books(readings, resolved.layout, tapes)
        surveyed = _stakes(resolved, stakes, stake_error, (unit, columns))
        checked = check_job(resolved, readings, hold, surveyed)
        accepted = None if accept is None else _accept(accept, job, resolved, checked)
        if as_json:
            from staking.output.documents.check_document import check_document
            from staking.output.documents.document_text import document_text

            click.echo(document_text(check_document(checked)), nl=False)
        _tell(checked, quiet=quiet, tables=not as_json)
        if accept is not None and accepted is not None:
            _write_accepted(accept, accepted, read.options, sys.stderr if as_json else sys.stdout)
        if not quiet and not as_json:
            _end(checked, accept)
    except ProjectError as error:
        if read is not None and readings is not None:
            # which column was read may be what is wrong
            say_notices(readings.notices, read.options)
        for line in str(error).splitlines():
            click.echo(safe(line), err=True)
        context.exit(error.exit_status)
    # corners that are taken as they stand are square by what they then are; pads are not taken
    if accepted is not None and accepted.become.out:
        context.exit(NOT_SQUARE)
    broken = any(each.severity is Severity.BROKEN for each in checked.notices)
    if broken or (not checked.good and accept is None):
        context.exit(NOT_SQUARE)


def _accept(path: Path, job: Path, resolved: Resolved, checked: Checked) -> Accepted:
    from staking.project.accepted import accept_stakes

    if path.exists():
        raise WriteError(f"{path} is there, and no file is written over; give another name")
    if resolved.job.site is not None and path.resolve().parent != job.resolve().parent:
        raise InputError(
            Problem(
                message=f"{path} would not stand beside {job}, whose surveys are named from there",
                remedy="give a name in the same folder",
                field="--accept",
            )
        )
    return accept_stakes(resolved, checked, job)


def _write_accepted(path: Path, accepted: Accepted, options: Options, stream: TextIO) -> None:
    from staking.output.tables.accept_tables import accept_blocks
    from staking.output.terminal import print_blocks

    try:
        with path.open("x", encoding="utf-8", newline="") as written:
            written.write(accepted.text)
    except OSError as fault:
        raise WriteError(f"{path} cannot be written: {fault.strerror}") from fault
    print_blocks(accept_blocks(accepted.become, options, str(path)), stream)


def _gather(
    job: Job,
    distances: tuple[str, ...],
    tapes: tuple[Path, ...],
    column: str | None,
    heights: tuple[str, ...],
) -> Readings:
    from staking.job.typed_tapes import merged, read_arguments, read_lines, read_tape_book

    plan, options = job.plan, job.options
    parts: list[Readings] = []
    problems: list[Problem] = []

    def take(read: Callable[[], Readings]) -> None:
        try:
            parts.append(read())
        except InputError as fault:
            problems.extend(fault.problems)

    if column is not None and not tapes:
        problems.append(Problem(message="--column names a column of --tapes", remedy="give both"))
    for path in tapes:
        take(partial(read_tape_book, path, plan, options, column))
    typed = [text for text in distances if text != "-"]
    take(partial(read_arguments, typed, heights, plan, options))
    if "-" in distances:
        take(partial(read_lines, sys.stdin.read(), plan, options))
    if problems:
        raise InputError(*problems)
    return merged(parts)


def _stakes(
    resolved: Resolved,
    paths: tuple[Path, ...],
    error: str | None,
    said: tuple[str | None, tuple[str, ...] | None],
) -> StakesRead | None:
    from staking.points import SurveySettings
    from staking.project.stakes import read_stakes

    unit, columns = said
    if not paths:
        given = {"--stake-error": error, "--unit": unit, "--columns": columns}
        named = [option for option, value in given.items() if value is not None]
        if named:
            raise InputError(
                *(Problem(message=f"{o} is about --stakes", remedy="give both") for o in named)
            )
        return None
    sigma = None if error is None else positive_length(error, resolved.job, "--stake-error")
    return read_stakes(resolved, paths, SurveySettings(unit=unit, columns=columns), sigma)


def _tell(checked: Checked, *, quiet: bool, tables: bool) -> None:
    from staking.commands.last_words import say_notices
    from staking.output.tables.check_tables import brief_blocks, check_blocks
    from staking.output.terminal import print_blocks

    if tables:
        print_blocks(brief_blocks(checked) if quiet else check_blocks(checked), sys.stdout)
    say_notices(checked.notices, checked.options, quiet=quiet)


def _end(checked: Checked, accept: Path | None) -> None:
    from staking.commands.last_words import say_ending
    from staking.output.endings.measured_ending import check_ending

    say_ending(check_ending(checked, () if accept is None else (accept,)))
