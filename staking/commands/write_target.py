"""Where a command writes the files of a job, what they bear, and what they may not replace."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from staking.frozen import frozen
from staking.output.files import Source
from staking.project.paper_day import paper_day

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable

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
    if job.site is not None:
        found += [Source(path=Path(name), what="a survey of the job") for name in job.site.survey]
    if job.grade is not None and job.grade.ground.book:
        found.append(Source(path=Path(job.grade.ground.book), what="the job's level book"))
    if job.grade is not None:
        found += [
            Source(path=Path(name), what="the job's scanned ground")
            for name in job.grade.ground.scan.files
        ]
    if job.order is not None and job.order.price_list:
        found.append(Source(path=Path(job.order.price_list), what="the job's price list"))
    found += [Source(path=each, what="a file of what was measured") for each in measured]
    return tuple(found)
