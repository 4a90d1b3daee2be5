"""``staking layout``: the plan into strings, boards, paint, checks and files."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from staking.commands.layout_files import FILES
from staking.commands.option_values import force_option
from staking.errors import ProjectError
from staking.kinds import SheetKind

if TYPE_CHECKING:
    from staking.laid_out.layout_value import Layout
    from staking.layout.layout_parts import Check
    from staking.notices import Notice
    from staking.output.files import FilesWritten
    from staking.output.wording import Words
    from staking.project.sheets import Sheets

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
        if word not in FILES:
            raise click.BadParameter(
                f"{word!r} is not a kind of file; there are {there}", context, parameter
            )
    return tuple(kind for kind in FILES if kind in asked)


def _parse_sheets(
    context: click.Context, parameter: click.Parameter, value: str | None
) -> tuple[SheetKind, ...] | None:
    if value is None:
        return None
    asked = [word.strip().lower() for word in value.split(",") if word.strip()]
    there = ", ".join(SheetKind)
    if not asked:
        raise click.BadParameter(f"names no sheet; there are {there}", context, parameter)
    for word in asked:
        if word not in {*SheetKind}:
            raise click.BadParameter(
                f"{word!r} is not a sheet; there are {there}", context, parameter
            )
    return tuple(kind for kind in SheetKind if kind in asked)


@click.command(
    "layout", context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 80}
)
@click.argument("jobs", nargs=-1, required=True, metavar="JOB...", type=click.Path(path_type=Path))
@click.option("--out", type=click.Path(path_type=Path), help="Folder to write to.")
@click.option(
    "--only",
    callback=_parse_only,
    metavar="KINDS",
    help=f"Only these files, with a comma and no blank between: {', '.join(FILES)}.",
)
@click.option(
    "--sheets",
    callback=_parse_sheets,
    metavar="SHEETS",
    help=f"Only these sheets in sheet.pdf, in the same way: {', '.join(SheetKind)}.",
)
@force_option
@click.option("--json", "as_json", is_flag=True, help="Print the figures as JSON and nothing else.")
@click.option("--pairs", is_flag=True, help="Give the distance of every pair of corners.")
@click.option("-q", "--quiet", is_flag=True, help="No tables and no notes, only warnings.")
@click.pass_context
def command(
    context: click.Context,
    jobs: tuple[Path, ...],
    out: Path | None,
    only: tuple[str, ...] | None,
    sheets: tuple[SheetKind, ...] | None,
    force: bool,
    as_json: bool,
    pairs: bool,
    quiet: bool,
) -> None:
    """Lay out JOB: where strings, boards, paint and tapes go.

    Prints tables, and writes the plan (plan.dxf, plan.svg), sheets to print (sheet.pdf), a page
    for the phone (page.html), points.csv, points.xml and layout.json to the folder job-layout
    beside job.yaml. A grade section also gives profiles.svg and steps.svg, a place on a survey
    with a coordinate system points.geojson and points.gpx. plan.png comes with --only png alone.
    With --json files are written only where --out is given.

    Files of these names that staking did not write, or that were changed since, are left and end
    the command with 4, unless --force is given. Files that the job reads are never written over.

    Several jobs are laid out at once: each one's verdict is a line, --out gets a folder for each,
    and the status is the worst of them: a crash, then 4, 3 and 5.
    """
    _refuse_sheets(context, only, sheets)
    if len(jobs) > 1:
        from staking.commands.layout_many import lay_out_many

        _refuse_json(context, as_json)
        context.exit(lay_out_many(jobs, out, only, sheets, pairs=pairs, quiet=quiet, force=force))
    context.exit(
        _lay_out_one(
            jobs[0], (out, force), (only, sheets), as_json=as_json, pairs=pairs, quiet=quiet
        )
    )


def _refuse_sheets(
    context: click.Context, only: tuple[str, ...] | None, sheets: tuple[SheetKind, ...] | None
) -> None:
    if sheets is not None and only is not None and "pdf" not in only:
        raise click.UsageError("--sheets chooses sheets of sheet.pdf: add pdf to --only", context)


def _refuse_json(context: click.Context, as_json: bool) -> None:
    if as_json:
        raise click.UsageError("--json prints one document: give one job", context)


def _lay_out_one(
    path: Path,
    to: tuple[Path | None, bool],
    asked: tuple[tuple[str, ...] | None, tuple[SheetKind, ...] | None],
    *,
    as_json: bool,
    pairs: bool,
    quiet: bool,
) -> int:
    from staking.commands.last_words import say_ending, say_notices, say_paths
    from staking.commands.layout_files import LayoutPapers, changes_since, kinds_of, write_files
    from staking.commands.write_target import write_target
    from staking.output.endings.layout_ending import layout_ending
    from staking.output.wording import Words, safe

    out, force = to
    only, sheets = asked
    try:
        from staking.laid_out.staked_out import refuse_names_of_the_survey
        from staking.project.layout import load_job, pair_table
        from staking.project.resolve import resolve

        resolved = resolve(load_job(path))
        done = resolved.layout
        refuse_names_of_the_survey(done)
        table = pair_table(done) if pairs else ()
        target = write_target(path, resolved.job, out, force=force)
        writes = not as_json or out is not None
        changes = changes_since(done, target.folder) if writes else ()
        made = LayoutPapers(resolved, target.day, sheets, changes)
        written: FilesWritten | None = None
        if writes:
            written = write_files(made, table, target, kinds_of(done, only))
        if as_json:
            _print_document(done, table)
        elif not quiet:
            _print_tables(made.sheets, table)
        told = (*done.notices, *(() if written is None else written.notices))
        say_notices(told, done.options, quiet=quiet)
        _tell_changes(changes, Words(done.options), quiet=quiet, err=as_json)
        paths = () if written is None else written.paths
        if as_json:
            say_paths(() if quiet else paths)
        elif not quiet:
            say_ending(layout_ending(made.sheets.first, done.options, paths))
    except ProjectError as error:
        for line in str(error).splitlines():
            click.echo(safe(line), err=True)
        return error.exit_status
    return BROKEN_STATUS if done.broken else 0


def _tell_changes(changes: tuple[Notice, ...], words: Words, *, quiet: bool, err: bool) -> None:
    from staking.notices import Severity
    from staking.output.blocks import Listing
    from staking.output.tables.notice_listings import notice_sentence
    from staking.output.terminal import print_blocks

    told = [each for each in changes if not quiet or each.severity is not Severity.NOTE]
    if told:
        lines = tuple(notice_sentence(each, words) for each in told)
        listing = Listing(title="Since the last layout here", lines=lines)
        print_blocks((listing,), sys.stderr if err or quiet else sys.stdout)


def _print_document(done: Layout, pairs: tuple[Check, ...]) -> None:
    from staking.output.documents.document_text import document_text
    from staking.output.documents.layout_document import layout_document

    click.echo(document_text(layout_document(done, pairs)), nl=False)


def _print_tables(sheets: Sheets, pairs: tuple[Check, ...]) -> None:
    from staking.output.layout_on_terminal import terminal_blocks
    from staking.output.tables.layout_tables import checks_table
    from staking.output.terminal import print_blocks
    from staking.output.wording import Words

    blocks = terminal_blocks(sheets)
    if pairs:
        words = Words(sheets.layout.options)
        blocks = (*blocks, checks_table("Every pair of corners", pairs, words))
    print_blocks(blocks, sys.stdout)
