"""``staking outline``: the outline of a building out of a designer's drawing."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from staking.errors import InputError, MeasureError, Problem, ProjectError
from staking.units import Unit

if TYPE_CHECKING:
    from staking.outline.found_outline import FoundOutline
    from staking.output.wording import Words

_CONTEXT = {"help_option_names": ["-h", "--help"], "max_content_width": 80}


@click.command("outline", context_settings=_CONTEXT)
@click.argument("drawing", type=click.Path(path_type=Path))
@click.option(
    "--layer",
    "layers",
    multiple=True,
    metavar="NAME",
    help="A layer to trace; give it again for more.",
)
@click.option(
    "--footing-layer", "footings", multiple=True, metavar="NAME", help="The footing's edges."
)
@click.option(
    "--close",
    metavar="LENGTH",
    default="0",
    help="How far ends of lines may be run on to meet; without it not at all.",
)
@click.option(
    "--unit", type=click.Choice([unit.value for unit in Unit]), help="What the drawing is in."
)
@click.option(
    "--to", "target", type=click.Path(path_type=Path), help="Write the job file, a new one."
)
@click.option("--json", "as_json", is_flag=True, help="Print the document and nothing else.")
@click.pass_context
def command(
    context: click.Context,
    drawing: Path,
    layers: tuple[str, ...],
    footings: tuple[str, ...],
    close: str,
    unit: str | None,
    target: Path | None,
    as_json: bool,
) -> None:
    """Find the outline of a building in DRAWING, a DXF file.

    Without --layer the layers are listed, with what each encloses. With it the outline on that
    layer is traced, its sides are held against the drawing's own dimensions, and --to writes a
    job file that runs as it is.
    """
    from staking.output.wording import safe

    if not layers and (footings or target is not None):
        context.fail("name the walls' layer with --layer first")
    try:
        if target is not None:
            from staking.job.starter import check_free

            check_free(target)
        found = _find(drawing, layers, footings, close, unit)
        if target is not None:
            _write(found, target)
        _show(found, drawing, target, as_json=as_json)
    except ProjectError as error:
        for line in str(error).splitlines():
            click.echo(safe(line), err=True)
        context.exit(error.exit_status)


def _find(
    drawing: Path,
    layers: tuple[str, ...],
    footings: tuple[str, ...],
    close: str,
    unit: str | None,
) -> FoundOutline:
    from staking.measure.lengths import parse_length
    from staking.project.outline import outline_of

    try:
        reach = 0.0 if close.strip() == "0" else parse_length(close)
    except MeasureError as error:
        raise InputError(
            Problem(field="--close", message=error.message, remedy=error.remedy)
        ) from error
    if reach < 0:
        raise InputError(
            Problem(field="--close", message="it is less than zero", remedy='write 1/2"')
        )
    given = None if unit is None else Unit(unit)
    return outline_of(drawing, layers, footings, close=reach, unit=given)


def _write(found: FoundOutline, target: Path) -> None:
    from staking.job.outline_job import outline_job_text
    from staking.job.starter import write_starter

    write_starter(target, outline_job_text(found))


def _words(found: FoundOutline) -> Words:
    from staking.job.starter import shown_in
    from staking.output.wording import Words
    from staking.plan import Options, Show

    unit = found.unit.unit or Unit.FT
    return Words(Options(show=Show(shown_in(unit))))


def _show(found: FoundOutline, drawing: Path, target: Path | None, *, as_json: bool) -> None:
    from staking.commands.last_words import say_ending
    from staking.output.documents.document_text import document_text
    from staking.output.documents.outline_document import outline_document
    from staking.output.endings.file_ending import outline_ending
    from staking.output.tables.notice_listings import notice_blocks
    from staking.output.tables.outline_tables import outline_blocks
    from staking.output.terminal import print_blocks

    words = _words(found)
    if as_json:
        click.echo(document_text(outline_document(found, words)), nl=False)
    else:
        print_blocks(outline_blocks(found, words), sys.stdout)
    print_blocks(reversed(notice_blocks(found.notices, words)), sys.stderr)
    if not as_json:
        say_ending(outline_ending(found, words, drawing, target))
    elif target is not None:
        click.echo(f"wrote {target}", err=True)
