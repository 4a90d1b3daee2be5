"""``staking tape-book``: an empty tape book to fill in on site."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from staking.commands.option_values import force_option
from staking.errors import ProjectError

if TYPE_CHECKING:
    from typing import TextIO

    from staking.output.files import Source


@click.command(
    "tape-book", context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 80}
)
@click.argument("job", type=click.Path(path_type=Path))
@click.option(
    "--out", type=click.Path(path_type=Path), help="File to write; standard output by default."
)
@force_option
@click.pass_context
def command(context: click.Context, job: Path, out: Path | None, force: bool) -> None:
    """Write an empty tape book for JOB: what to tape, with columns to fill in.

    It has one column for readings before digging, one for the forms and one for the poured
    footing. When it is filled in, `staking check JOB --tapes FILE` reads it.
    """
    from staking.checked.stakes_checked import tapes_of
    from staking.commands.last_words import say_ending
    from staking.commands.write_target import job_sources
    from staking.output.endings.file_ending import tape_book_ending
    from staking.output.tables.blank_tape_book import tape_book_text
    from staking.output.wording import safe
    from staking.project.layout_marks import dated
    from staking.project.paper_day import paper_day
    from staking.project.resolve import read_and_resolve

    try:
        resolved = read_and_resolve(job)
        tapes = tapes_of(resolved.layout)
        text = tape_book_text(tapes, resolved.options, dated(resolved.layout, paper_day(job)))
        if out is None:
            click.echo(text, nl=False)
        else:
            _write(out, text, job_sources(job, resolved.job), force=force)
            say_ending(tape_book_ending(job, out, len(tapes)))
    except ProjectError as error:
        for line in str(error).splitlines():
            click.echo(safe(line), err=True)
        context.exit(error.exit_status)


def _write(path: Path, text: str, sources: tuple[Source, ...], *, force: bool) -> None:
    from staking.output.files import write_file

    def book(stream: TextIO) -> None:
        stream.write(text)

    write_file(path, book, force=force, sources=sources)
