"""``staking desk``: the job as a form in the browser, the plan drawn beside it."""

from __future__ import annotations

import gc
from pathlib import Path
from typing import TYPE_CHECKING

import click

from staking.errors import WriteError

if TYPE_CHECKING:
    from staking.desk.desk_app import MadeFiles


@click.command(
    "desk", context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 80}
)
@click.argument("job", default=Path("job.yaml"), type=click.Path(path_type=Path))
@click.option(
    "--port",
    type=click.IntRange(1, 65535),
    help="Port to listen on; any that is free by default.",
)
@click.option("--no-browser", is_flag=True, help="Open no browser; its address is printed.")
def command(job: Path, port: int | None, no_browser: bool) -> None:
    """Open JOB (job.yaml) as a form in the browser of this computer.

    The plan is drawn beside the questions while one types. The job file is written when Save is
    pressed, and not before; one that is not there yet begins as `staking init` would write it.
    Only this computer is answered. Ctrl-C ends it, or a minute without any page open.
    """  # noqa: DOC501 -- click shows this text as the help
    from staking.commands.layout_files import FILES
    from staking.desk.desk_server import Desk
    from staking.desk.job_on_disk import read_on_file

    if job.is_dir():
        raise WriteError(f"{job} is a folder; name a file in it, such as {job / 'job.yaml'}")
    if not job.absolute().parent.is_dir():
        raise WriteError(f"there is no folder {job.parent}; make it first")
    read_on_file(job)
    # The command line leaves cycles alone because a command ends soon; this one does not.
    gc.enable()
    desk = Desk(job, make_files, FILES.values(), port or 0)
    click.echo(f"The desk is open at {desk.address}")
    click.echo("Ctrl-C ends it.")
    if not no_browser:
        import webbrowser

        webbrowser.open(desk.address)
    try:
        desk.serve()
    except KeyboardInterrupt:
        click.echo()
    click.echo("The desk is closed.")


def make_files(path: Path, only: tuple[str, ...] | None) -> MadeFiles:
    """Make the files of a job that is on file, as ``staking layout`` does.

    Parameters
    ----------
    path
        The job file.
    only
        The kinds asked for; None for all.

    Returns
    -------
    MadeFiles
        What is in place now.

    Raises
    ------
    InputError
        Where the job is at fault, or there is no such kind.
    """
    from staking.commands.layout_files import (
        FILES,
        LayoutPapers,
        changes_since,
        kinds_of,
        write_files,
    )
    from staking.commands.write_target import write_target
    from staking.desk.desk_app import MadeFiles
    from staking.errors import InputError, Problem
    from staking.laid_out.staked_out import refuse_names_of_the_survey
    from staking.output.tables.notice_listings import notice_sentence
    from staking.output.wording import Words
    from staking.project.desk import resolve_job

    unknown = [kind for kind in only or () if kind not in FILES]
    if unknown:
        raise InputError(Problem(message="there is no such kind of file"))
    resolved = resolve_job(path)
    done = resolved.layout
    refuse_names_of_the_survey(done)
    target = write_target(path, resolved.job, None, force=False)
    made = LayoutPapers(resolved, target.day, None, changes_since(done, target.folder))
    written = write_files(made, (), target, kinds_of(done, only))
    words = Words(done.options)
    return MadeFiles(
        folder=target.folder.name,
        names=tuple(each.name for each in written.paths),
        told=tuple(notice_sentence(each, words) for each in written.notices),
    )
