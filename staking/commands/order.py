"""``staking order``: what to buy for a job, every figure with its arithmetic."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from staking.commands.option_values import force_option
from staking.errors import ProjectError
from staking.notices import NoticeKind

if TYPE_CHECKING:
    from typing import TextIO

    from staking.commands.write_target import WriteTarget
    from staking.laid_out.layout_value import Layout
    from staking.order.order_results import Ordered
    from staking.output.files import FilesWritten

BROKEN_STATUS = 5


@click.command(
    "order", context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 80}
)
@click.argument("job", type=click.Path(path_type=Path))
@click.option("--out", type=click.Path(path_type=Path), help="Folder to write to.")
@force_option
@click.option("--json", "as_json", is_flag=True, help="Print the figures as JSON and nothing else.")
@click.option("-q", "--quiet", is_flag=True, help="No tables and no notes, only warnings.")
@click.pass_context
def command(
    context: click.Context, job: Path, out: Path | None, force: bool, as_json: bool, quiet: bool
) -> None:
    """List what to buy for JOB: concrete, steel, block, stone, and what layout takes.

    Digging, backfill and what is hauled are listed with it. Each figure has its arithmetic in one
    line. The levels are those of the job's grade section; without one the footing is taken as
    level. Writes order.json and order.csv to the folder job-layout beside job.yaml. With --json
    files are written only where --out is given.
    """
    from staking.commands.write_target import write_target
    from staking.output.wording import safe
    from staking.project.order import order_job
    from staking.project.resolve import read_and_resolve

    try:
        resolved = read_and_resolve(job)
        layout = resolved.layout
        ordered = order_job(resolved)
        written = None
        if not as_json or out is not None:
            target = write_target(job, resolved.job, out, force=force)
            written = _write(layout, ordered, target)
        if as_json:
            from staking.output.documents.document_text import document_text
            from staking.output.documents.order_document import order_document

            click.echo(document_text(order_document(layout, ordered)), nl=False)
        elif not quiet:
            from staking.commands.last_words import print_tables
            from staking.output.tables.order.order_tables import order_blocks

            print_tables(order_blocks(layout, ordered))
        _end(layout, ordered, written, as_json=as_json, quiet=quiet)
    except ProjectError as error:
        for line in str(error).splitlines():
            click.echo(safe(line), err=True)
        context.exit(error.exit_status)
    if layout.broken:
        context.exit(BROKEN_STATUS)


def _write(layout: Layout, ordered: Ordered, target: WriteTarget) -> FilesWritten:
    from staking.output.documents.document_text import document_text
    from staking.output.documents.order_document import order_document, write_order_csv
    from staking.output.files import write_set

    text = document_text(order_document(layout, ordered))
    return write_set(
        target.folder,
        {
            "order.csv": lambda stream: write_order_csv(layout, ordered, stream),
            "order.json": lambda stream: _put(stream, text),
        },
        None,
        of_layout=False,
        force=target.force,
        sources=target.sources,
    )


def _put(stream: TextIO, text: str) -> None:
    stream.write(text)


def _end(
    layout: Layout,
    ordered: Ordered,
    written: FilesWritten | None,
    *,
    as_json: bool,
    quiet: bool,
) -> None:
    from staking.commands.last_words import say_ending, say_notices, say_paths
    from staking.laid_out.first_things import first_things
    from staking.notices import Severity
    from staking.output.endings.order_ending import order_ending

    # What is broken in the layout is told here as well; the rest belongs to its own command.
    own = [
        each
        for each in layout.notices
        if each.severity is Severity.BROKEN or each.kind == NoticeKind.US_SIZES
    ]
    notices = (*own, *ordered.notices, *(() if written is None else written.notices))
    say_notices(notices, layout.options, quiet=quiet)
    paths = () if written is None else written.paths
    if as_json:
        say_paths(() if quiet else paths)
    elif not quiet:
        say_ending(order_ending(first_things(layout), ordered, layout.options, paths))
