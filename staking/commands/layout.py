"""``staking layout``: the plan into strings, boards, paint, checks and files."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from staking.errors import InputError, Problem, ProjectError

if TYPE_CHECKING:
    from collections.abc import Callable
    from typing import TextIO

    from staking.layout.results import Check
    from staking.output.files import Written
    from staking.output.wording import Words
    from staking.project import Layout

FILES = {
    "dxf": "plan.dxf",
    "csv": "points.csv",
    "xml": "points.xml",
    "geojson": "points.geojson",
    "gpx": "points.gpx",
    "json": "layout.json",
}
ON_THE_EARTH = ("geojson", "gpx")
"""Files in latitude and longitude, which a survey without a coordinate system does not give."""
LATER = ("pdf", "html")

BROKEN_STATUS = 5


def _parse_only(
    context: click.Context, parameter: click.Parameter, value: str | None
) -> tuple[str, ...] | None:
    if value is None:
        return None
    asked = [word.strip().lower().removeprefix(".") for word in value.split(",")]
    asked = [word for word in asked if word]
    there = ", ".join(FILES)
    if not asked:
        raise click.BadParameter(f"names no file; there are {there}", context, parameter)
    for word in asked:
        if word in LATER:
            raise click.BadParameter(
                f"{word} is not written yet; there are {there} now", context, parameter
            )
        if word not in FILES:
            raise click.BadParameter(
                f"{word!r} is no kind of file; there are {there}", context, parameter
            )
    return tuple(kind for kind in FILES if kind in asked)


@click.command(
    "layout", context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 80}
)
@click.argument("job", type=click.Path(path_type=Path))
@click.option("--out", type=click.Path(path_type=Path), help="Folder to write to.")
@click.option(
    "--only",
    callback=_parse_only,
    metavar="KINDS",
    help="Only these files: dxf,csv,xml,geojson,gpx,json.",
)
@click.option("--json", "as_json", is_flag=True, help="Print the document and nothing else.")
@click.option("--pairs", is_flag=True, help="Give the distance of every pair of corners.")
@click.option("-q", "--quiet", is_flag=True, help="No tables and no notes, only warnings.")
@click.pass_context
def command(
    context: click.Context,
    job: Path,
    out: Path | None,
    only: tuple[str, ...] | None,
    as_json: bool,
    pairs: bool,
    quiet: bool,
) -> None:
    """Lay out JOB: where strings, boards, paint and tapes go.

    Writes plan.dxf, points.csv, points.xml and layout.json, and with a coordinate system
    points.geojson and points.gpx, to a folder beside the job named after it, and prints the same
    as tables. With --json files are written only where --out is given.
    """
    from staking.output.wording import Words, safe

    try:
        done, table = _compute(job, pairs)
        words = Words(done.options)
        written = None
        if not as_json or out is not None:
            written = _write(done, table, out or job.with_name(f"{job.stem}-layout"), only)
        if as_json:
            _print_document(done, table)
        elif not quiet:
            _print_tables(done, table, words)
        _tell(done, written, words, quiet=quiet)
        if written is not None and not quiet:
            for path in written.paths:
                click.echo(f"wrote {safe(str(path))}", err=as_json)
    except ProjectError as error:
        for line in str(error).splitlines():
            click.echo(safe(line), err=True)
        context.exit(error.exit_status)
    if done.broken:
        context.exit(BROKEN_STATUS)


def _compute(job: Path, pairs: bool) -> tuple[Layout, tuple[Check, ...]]:
    from staking.project import lay_out_job, load_job, pair_table

    done = lay_out_job(load_job(job))
    return done, pair_table(done) if pairs else ()


def _kinds(done: Layout, only: tuple[str, ...] | None) -> tuple[str, ...]:
    """Choose the files: all that this layout can give, or exactly those asked for."""
    on_the_earth = done.placed and done.site is not None and done.site.crs is not None
    if only is None:
        return tuple(kind for kind in FILES if on_the_earth or kind not in ON_THE_EARTH)
    for kind in only:
        if kind in ON_THE_EARTH and not on_the_earth:
            raise InputError(
                Problem(
                    message=f"{FILES[kind]} needs the building placed in a coordinate system",
                    remedy="add survey:, place: and crs: under site:",
                )
            )
    return only


def _write(
    done: Layout, pairs: tuple[Check, ...], folder: Path, asked: tuple[str, ...] | None
) -> Written:
    from staking.output.document import layout_document
    from staking.output.files import write_set

    only = _kinds(done, asked)

    writers: dict[str, Callable[[TextIO], None]] = {}
    if "dxf" in only:
        from staking.output.dxf import write_dxf

        writers[FILES["dxf"]] = lambda stream: write_dxf(done, stream)
    if "csv" in only:
        from staking.output.points import write_points_csv

        writers[FILES["csv"]] = lambda stream: write_points_csv(done, stream)
    _add_survey_writers(writers, done, only)
    return write_set(folder, writers, layout_document(done, pairs) if "json" in only else None)


def _add_survey_writers(
    writers: dict[str, Callable[[TextIO], None]], done: Layout, only: tuple[str, ...]
) -> None:
    from staking.output.points import survey_of

    if "xml" in only:
        from staking.output.landxml import write_landxml

        writers[FILES["xml"]] = lambda stream: write_landxml(survey_of(done), stream)
    if "geojson" in only:
        from staking.output.geojson import write_geojson

        writers[FILES["geojson"]] = lambda stream: write_geojson(survey_of(done), stream)
    if "gpx" in only:
        from staking.output.gpx import write_gpx

        writers[FILES["gpx"]] = lambda stream: write_gpx(survey_of(done), stream)


def _print_document(done: Layout, pairs: tuple[Check, ...]) -> None:
    from staking.output.document import document_text, layout_document

    click.echo(document_text(layout_document(done, pairs)), nl=False)


def _print_tables(done: Layout, pairs: tuple[Check, ...], words: Words) -> None:
    from staking.output.tables import checks_table, layout_blocks
    from staking.output.terminal import print_blocks

    blocks = layout_blocks(done)
    if pairs:
        blocks = (*blocks, checks_table("Every pair of corners", pairs, words))
    print_blocks(blocks, sys.stdout)


def _tell(done: Layout, written: Written | None, words: Words, *, quiet: bool) -> None:
    from staking.notices import Severity
    from staking.output.tables import notice_blocks
    from staking.output.terminal import print_blocks

    notices = (*done.notices, *(written.notices if written is not None else ()))
    if quiet:
        notices = tuple(each for each in notices if each.severity is not Severity.NOTE)
    print_blocks(notice_blocks(notices, words), sys.stderr)
