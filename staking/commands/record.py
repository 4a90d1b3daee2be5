"""``staking record``: the poured footing against the plan, and a record for the file."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from staking.commands.option_values import force_option, parse_columns
from staking.errors import InputError, MeasureError, Problem, ProjectError
from staking.kinds import WallMaterial
from staking.units import Unit

if TYPE_CHECKING:
    from staking.checked.poured_record import Record
    from staking.commands.write_target import WriteTarget
    from staking.job.build import Job
    from staking.output.files import FilesWritten
    from staking.project.resolve import Resolved

OUT_OF_TOLERANCE = 5


@click.command(
    "record", context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 80}
)
@click.argument("job", type=click.Path(path_type=Path))
@click.argument("files", nargs=-1, metavar="[FILE...]", type=click.Path(path_type=Path))
@click.option("--blank", is_flag=True, help="Print an empty book to fill in, and nothing else.")
@click.option(
    "--carries",
    type=click.Choice([each.value for each in WallMaterial]),
    default=WallMaterial.MASONRY.value,
    show_default=True,
    help="What stands on the footing.",
)
@click.option("--top", metavar="ELEVATION", help="Planned top of a level footing.")
@click.option(
    "--unit", type=click.Choice([u.value for u in Unit]), help="Unit of a survey's numbers."
)
@click.option(
    "--columns",
    callback=parse_columns,
    help="The columns of a survey, as in point,northing,easting,elevation,description.",
)
@click.option("--out", type=click.Path(path_type=Path), help="Folder to write to.")
@force_option
@click.option("--json", "as_json", is_flag=True, help="Print the figures as JSON and nothing else.")
@click.option("-q", "--quiet", is_flag=True, help="Only the verdict, what is out and warnings.")
@click.pass_context
def command(
    context: click.Context,
    job: Path,
    files: tuple[Path, ...],
    blank: bool,
    carries: str,
    top: str | None,
    unit: str | None,
    columns: tuple[str, ...] | None,
    out: Path | None,
    force: bool,
    as_json: bool,
    quiet: bool,
) -> None:
    """Record what was poured for JOB: is the footing where the plan has it.

    Each FILE is a survey whose points say what they are on (A-B outer edge, A-B top), the book
    that --blank writes with offsets from the strings, or a tape book with its column on the
    poured footing. Writes record.pdf, a sheet for the file, record.txt, record.csv, record.dxf and
    record.json to the folder job-record beside job.yaml. The status is 5 when something is out of
    tolerance.
    """
    from staking.commands.write_target import write_target
    from staking.output.wording import safe
    from staking.project.layout import load_job
    from staking.project.resolve import resolve

    try:
        read = load_job(job)
        level = None if top is None else _level(top, read)
        if blank:
            click.echo(_blank(resolve(read), job, level), nl=False)
            return
        record = _compute(resolve(read), files, (unit, columns), WallMaterial(carries), level)
        written = None
        if not as_json or out is not None:
            target = write_target(job, read, out, force=force, kind="record", measured=files)
            written = _write(record, target)
        _tell(record, written, quiet=quiet, as_json=as_json)
    except ProjectError as error:
        for line in str(error).splitlines():
            click.echo(safe(line), err=True)
        context.exit(error.exit_status)
    if not record.good:
        context.exit(OUT_OF_TOLERANCE)


def _level(text: str, job: Job) -> float:
    from staking.measure.lengths import parse_length

    try:
        return parse_length(text, Unit(job.options.unit))
    except MeasureError as fault:
        problem = Problem(message=fault.message, remedy=fault.remedy, field="--top")
        raise InputError(problem) from fault


def _blank(resolved: Resolved, path: Path, top: float | None) -> str:
    from staking.adjust.pour.footing_edges import planned_edges
    from staking.checked.poured_record import planned_tops
    from staking.output.tables.blank_poured_book import poured_book_text
    from staking.project.layout_marks import dated
    from staking.project.paper_day import paper_day

    layout = resolved.layout
    planned = planned_edges(layout.plan)
    tops = planned_tops(layout, planned, top)
    return poured_book_text(layout, planned, tops, dated(layout, paper_day(path)))


def _compute(
    resolved: Resolved,
    files: tuple[Path, ...],
    said: tuple[str | None, tuple[str, ...] | None],
    carries: WallMaterial,
    top: float | None,
) -> Record:
    from staking.points import SurveySettings
    from staking.project.record import record_job

    if not files:
        raise InputError(
            Problem(
                message="no file with what was measured is given",
                remedy="start from `staking record JOB --blank > poured.csv`",
            )
        )
    settings = SurveySettings(unit=said[0], columns=said[1])
    return record_job(resolved, files, settings, carries=carries, top=top)


def _write(record: Record, target: WriteTarget) -> FilesWritten:
    from staking.output.documents.document_text import document_text
    from staking.output.documents.record_files import (
        record_document,
        write_record_csv,
        write_record_text,
    )
    from staking.output.drawing.record_drawing import write_record_dxf
    from staking.output.files import Binary, write_set
    from staking.output.record_paper.record_sheet import write_record_sheet

    return write_set(
        target.folder,
        {
            "record.txt": lambda stream: write_record_text(record, stream),
            "record.csv": lambda stream: write_record_csv(record, stream),
            "record.dxf": lambda stream: write_record_dxf(record, stream, target.day),
            "record.pdf": Binary(lambda stream: write_record_sheet(record, stream, target.day)),
            "record.json": lambda stream: _put(stream, document_text(record_document(record))),
        },
        None,
        of_layout=False,
        force=target.force,
        sources=target.sources,
    )


def _put(stream: object, text: str) -> None:
    stream.write(text)  # type: ignore[attr-defined]


def _tell(record: Record, written: FilesWritten | None, *, quiet: bool, as_json: bool) -> None:
    from staking.commands.last_words import say_ending, say_notices, say_paths
    from staking.output.blocks import Listing
    from staking.output.documents.document_text import document_text
    from staking.output.documents.record_files import record_document
    from staking.output.endings.measured_ending import record_ending
    from staking.output.tables.record_tables import record_blocks
    from staking.output.terminal import print_blocks

    if as_json:
        click.echo(document_text(record_document(record)), nl=False)
    else:
        blocks = record_blocks(record)
        if quiet:
            blocks = tuple(block for block in blocks if isinstance(block, Listing))
        print_blocks(blocks, sys.stdout)
    notices = (*record.notices, *(() if written is None else written.notices))
    say_notices(notices, record.layout.options, quiet=quiet)
    paths = () if written is None else written.paths
    if as_json:
        say_paths(() if quiet else paths)
    elif not quiet:
        say_ending(record_ending(record, paths))
