"""``staking grade``: how deep, where to step, and what the rod must read."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from staking.commands.option_values import force_option
from staking.errors import InputError, MeasureError, Problem, ProjectError
from staking.notices import Severity

if TYPE_CHECKING:
    from collections.abc import Callable
    from typing import TextIO

    from staking.commands.write_target import WriteTarget
    from staking.job.build import Job
    from staking.laid_out.layout_value import Layout
    from staking.output.files import FilesWritten

BROKEN_STATUS = 5


@click.command(
    "grade", context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 80}
)
@click.argument("job", type=click.Path(path_type=Path))
@click.option(
    "--instrument", metavar="ELEVATION", help="Elevation of the instrument's line of sight."
)
@click.option(
    "--reading-on-benchmark",
    metavar="READING",
    help="What the rod reads when it stands on the benchmark.",
)
@click.option("--out", type=click.Path(path_type=Path), help="Folder to write to.")
@force_option
@click.option("--json", "as_json", is_flag=True, help="Print the figures as JSON and nothing else.")
@click.option("-q", "--quiet", is_flag=True, help="No tables and no notes, only warnings.")
@click.pass_context
def command(
    context: click.Context,
    job: Path,
    instrument: str | None,
    reading_on_benchmark: str | None,
    out: Path | None,
    force: bool,
    as_json: bool,
    quiet: bool,
) -> None:
    """Give the levels of JOB: how deep, where to step, what the rod must read.

    Needs a grade section in the job. Every level is given as what to add to the reading on the
    benchmark, which holds wherever the instrument stands; with --instrument 104-6 or
    --reading-on-benchmark 5-2-3/8 also as the rod reading. Writes grade.json, grade.csv and
    grade.dxf, a profile of every wall, to the folder of the layout beside the job. With --json
    files are written only where --out is given.
    """
    from staking.commands.write_target import write_target
    from staking.output.wording import safe

    _refuse_two_instruments(context, instrument, reading_on_benchmark)
    try:
        read, done = _compute(job, instrument, reading_on_benchmark)
        written = None
        if not as_json or out is not None:
            written = _write(done, write_target(job, read, out, force=force))
        if as_json:
            _print_document(done)
        elif not quiet:
            _print_tables(done)
        _end(done, written, as_json=as_json, quiet=quiet)
    except ProjectError as error:
        for line in str(error).splitlines():
            click.echo(safe(line), err=True)
        context.exit(error.exit_status)
    if done.broken:
        context.exit(BROKEN_STATUS)


def _refuse_two_instruments(
    context: click.Context, instrument: str | None, reading: str | None
) -> None:
    if instrument is not None and reading is not None:
        raise click.UsageError("give --instrument or --reading-on-benchmark, not both", context)


def _compute(path: Path, instrument: str | None, reading: str | None) -> tuple[Job, Layout]:
    from staking.project.grade import grade_other_ways
    from staking.project.layout import load_job
    from staking.project.resolve import resolve

    job = load_job(path)
    if job.grade is None:
        raise InputError(
            Problem(
                message="the job has no grade section",
                remedy="add grade: with ground, top_of_wall and frost_depth",
                path=str(path),
            )
        )
    asked = job.grade
    if instrument is not None:
        asked = replace(asked, instrument=_length(instrument, job, "--instrument"))
    if reading is not None:
        asked = replace(asked, reading_on_benchmark=_reading(reading, job))
    done = resolve(replace(job, grade=asked)).layout
    if done.grade is None:
        raise TypeError("a job with a grade section has levels")
    return job, grade_other_ways(done, job.order)


def _length(text: str, job: Job, option: str) -> float:
    from staking.measure.lengths import Unit, parse_length

    try:
        return parse_length(text, Unit(job.options.unit))
    except MeasureError as error:
        raise InputError(
            Problem(message=error.message, remedy=error.remedy, field=option)
        ) from error


def _reading(text: str, job: Job) -> float:
    """Read what the rod reads, which is on the rod."""
    from staking.measure.lengths import format_length

    field = "--reading-on-benchmark"
    metres = _length(text, job, field)
    longest = job.grade.rod_length if job.grade is not None else 0.0
    if not 0.0 <= metres <= longest:
        rod = format_length(longest, job.options.show, job.options.nearest)
        raise InputError(
            Problem(
                message=f"{text} is not on the rod, which is {rod} long",
                remedy="check the reading, or give rod_length under grade:",
                field=field,
            )
        )
    return metres


def _write(done: Layout, target: WriteTarget) -> FilesWritten:
    from staking.output.documents.document_text import document_text
    from staking.output.documents.grade_document import grade_document
    from staking.output.files import write_set
    from staking.output.points.grade_csv import write_grade_csv
    from staking.output.profile.profile_drawing import write_grade_dxf

    text = document_text(grade_document(done))
    writers: dict[str, Callable[[TextIO], None]] = {
        "grade.dxf": lambda stream: write_grade_dxf(done, stream, target.day),
        "grade.csv": lambda stream: write_grade_csv(done, stream),
        "grade.json": lambda stream: _put(stream, text),
    }
    return write_set(
        target.folder,
        writers,
        None,
        of_layout=False,
        force=target.force,
        sources=target.sources,
    )


def _put(stream: TextIO, text: str) -> None:
    stream.write(text)


def _print_document(done: Layout) -> None:
    from staking.output.documents.document_text import document_text
    from staking.output.documents.grade_document import grade_document

    click.echo(document_text(grade_document(done)), nl=False)


def _print_tables(done: Layout) -> None:
    from staking.commands.last_words import print_tables
    from staking.output.tables.grade_tables import grade_blocks

    print_tables(grade_blocks(done))


def _end(done: Layout, written: FilesWritten | None, *, as_json: bool, quiet: bool) -> None:
    from staking.commands.last_words import say_ending, say_notices, say_paths
    from staking.laid_out.first_things import first_things
    from staking.output.endings.layout_ending import levels_ending

    # What the layout only notes is told by staking layout.
    own = () if done.grade is None else done.grade.notices
    said = [n for n in done.notices if n.severity is not Severity.NOTE or n in own]
    say_notices((*said, *(() if written is None else written.notices)), done.options, quiet=quiet)
    paths = () if written is None else written.paths
    if as_json:
        say_paths(() if quiet else paths)
    elif not quiet:
        say_ending(levels_ending(first_things(done), done.options, paths))
