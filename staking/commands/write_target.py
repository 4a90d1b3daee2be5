"""Where a command writes the files of a job, what they bear, and what they may not replace."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.frozen import frozen
from staking.output.files import Source
from staking.project.job_files import files_of_job
from staking.project.paper_day import paper_day

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable
    from pathlib import Path

    from staking.job.build import Job


@frozen
class WriteTarget:
    """Where files go.

    Parameters
    ----------
    folder
        The folder.
    force
        Whether files that are not the program's own may be replaced.
    sources
        What the job reads, which is never written over.
    day
        The day that the files bear.
    """

    folder: Path
    force: bool
    sources: tuple[Source, ...]
    day: dt.date | None


def write_target(
    path: Path,
    job: Job,
    out: Path | None,
    *,
    force: bool,
    kind: str = "layout",
    measured: Iterable[Path] = (),
) -> WriteTarget:
    """Say where a command writes the files of a job.

    Parameters
    ----------
    path
        The job file.
    job
        What was read from it.
    out
        The folder asked for; None for the one beside the job file.
    force
        Whether files that are not the program's own may be replaced.
    kind
        What the folder beside the job file is called after: ``job-layout``.
    measured
        Files of measurements given on the command line.

    Returns
    -------
    WriteTarget
        The folder and the rest.
    """
    return WriteTarget(
        folder=out if out is not None else path.with_name(f"{path.stem}-{kind}"),
        force=force,
        sources=job_sources(path, job, measured),
        day=paper_day(path),
    )


def job_sources(path: Path, job: Job, measured: Iterable[Path] = ()) -> tuple[Source, ...]:
    """List the files that a job is read from.

    Parameters
    ----------
    path
        The job file.
    job
        What was read from it.
    measured
        Files of measurements given on the command line.

    Returns
    -------
    tuple of Source
        Each with what it is.
    """
    found = [Source(path=path, what="the job file")]
    found += [Source(path=each, what=what) for each, what in files_of_job(job)]
    found += [Source(path=each, what="a file of what was measured") for each in measured]
    return tuple(found)
