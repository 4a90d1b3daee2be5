"""``staking weigh``: how high the wall is set, and where the building stands."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from staking.commands.option_values import force_option
from staking.errors import ProjectError

if TYPE_CHECKING:
    from typing import TextIO

    from staking.commands.write_target import WriteTarget
    from staking.job.build import Job
    from staking.output.files import FilesWritten
    from staking.weigh.weighed import Weighed


@click.command(
    "weigh", context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 80}
)
@click.argument("job", type=click.Path(path_type=Path))
@click.option("--out", type=click.Path(path_type=Path), help="Folder to write to.")
@force_option
@click.option(
    "--take",
    type=click.IntRange(min=1),
    metavar="ROW",
    help="Write this row's top of wall and place into JOB.",
)
@click.option("--json", "as_json", is_flag=True, help="Print the rows as JSON and nothing else.")
@click.option("-q", "--quiet", is_flag=True, help="No tables and no notes, only warnings.")
@click.pass_context
def command(
    context: click.Context,
    job: Path,
    out: Path | None,
    force: bool,
    take: int | None,
    as_json: bool,
    quiet: bool,
) -> None:
    """Compare tops of wall and places of JOB: what each takes, and what it breaks.

    Every row is a whole job, through the same levels and the same order as staking grade and
    staking order. The job's weigh section says which tops, how far the building may move, and
    what the top must keep; without one the tops reach over six courses. Writes weigh.json,
    weigh.csv and weigh.svg to the folder of the layout beside the job. With --json files are
    written only where --out is given.
    """
    from staking.commands.write_target import write_target
    from staking.output.wording import safe
    from staking.project.layout import load_job
    from staking.project.weigh import weigh_job

    try:
        read = load_job(job)
        weighed = weigh_job(job, read)
        if take is not None:
            _take(take, weighed, job, read)
            return
        written = None
        if not as_json or out is not None:
            written = _write(weighed, write_target(job, read, out, force=force))
        if as_json:
            from staking.output.documents.document_text import document_text
            from staking.output.weighed.weigh_document import weigh_document

            click.echo(document_text(weigh_document(weighed)), nl=False)
        elif not quiet:
            from staking.output.terminal import print_blocks
            from staking.output.weighed.weigh_tables import weigh_blocks

            print_blocks(weigh_blocks(weighed), sys.stdout)
        _end(weighed, job, written, as_json=as_json, quiet=quiet)
    except ProjectError as error:
        for line in str(error).splitlines():
            click.echo(safe(line), err=True)
        context.exit(error.exit_status)


def _take(number: int, weighed: Weighed, path: Path, job: Job) -> None:
    """Write a row into the job file, or refuse it with the reason."""
    from staking.desk.job_on_disk import read_on_file, save
    from staking.errors import InputError, Problem
    from staking.job.edit.file_edits import answered
    from staking.job.edit.key_order import keys_in_order
    from staking.output.weighed.weigh_tables import taken_lines
    from staking.project.desk import row_answers

    if number > len(weighed.rows):
        raise InputError(
            Problem(
                message=f"there is no row {number}",
                remedy=f"the rows are 1 to {len(weighed.rows)}",
                field="--take",
            )
        )
    own = read_on_file(path)
    answers = row_answers(weighed, number, job, own.text, path)
    save(path, answered(own.text, answers, str(path), keys_in_order), own.mark)
    for line in taken_lines(weighed, number, path, changed=bool(answers)):
        click.echo(line)


def _write(weighed: Weighed, target: WriteTarget) -> FilesWritten:
    from staking.output.documents.document_text import document_text
    from staking.output.files import write_set
    from staking.output.weighed.weigh_document import weigh_document, write_weigh_csv
    from staking.output.weighed.weigh_picture import write_weigh_picture

    text = document_text(weigh_document(weighed))
    return write_set(
        target.folder,
        {
            "weigh.svg": lambda stream: write_weigh_picture(weighed, stream),
            "weigh.csv": lambda stream: write_weigh_csv(weighed, stream),
            "weigh.json": lambda stream: _put(stream, text),
        },
        None,
        of_layout=False,
        force=target.force,
        sources=target.sources,
    )


def _put(stream: TextIO, text: str) -> None:
    stream.write(text)


def _end(
    weighed: Weighed, job: Path, written: FilesWritten | None, *, as_json: bool, quiet: bool
) -> None:
    from staking.commands.last_words import say_ending, say_notices, say_paths
    from staking.output.endings.weigh_ending import weigh_ending

    notices = (*weighed.notices, *(() if written is None else written.notices))
    say_notices(notices, weighed.options, quiet=quiet)
    paths = () if written is None else written.paths
    if as_json:
        say_paths(() if quiet else paths)
    elif not quiet:
        say_ending(weigh_ending(weighed, job, paths))
