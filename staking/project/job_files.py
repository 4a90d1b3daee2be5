"""The files that a job is read from, beside the job file itself."""

from __future__ import annotations

import hashlib
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from staking.job.build import Job

Key = tuple[str, ...]

_KEPT = 1 << 22
"""A file of no more bytes is known by what is in it."""

_WHAT: dict[Key, str] = {
    ("site", "survey"): "a survey of the job",
    ("grade", "ground", "level_book"): "the job's level book",
    ("grade", "ground", "cloud"): "the job's scanned ground",
    ("order", "prices"): "the job's price list",
}


def files_of_job(job: Job) -> tuple[tuple[Path, str], ...]:
    """List the files that a job names.

    Parameters
    ----------
    job
        What was read from the job file.

    Returns
    -------
    tuple
        Each file with what it is: ``a survey of the job``.
    """
    return tuple((path, _WHAT[key]) for path, key in files_of_job_by_key(job))


def files_of_job_by_key(job: Job) -> tuple[tuple[Path, Key], ...]:
    """List the files that a job names, each with the key that names it.

    Parameters
    ----------
    job
        What was read from the job file.

    Returns
    -------
    tuple
        Each file with its key's place in the job file.
    """
    found: list[tuple[str, Key]] = []
    if job.site is not None:
        found += [(name, ("site", "survey")) for name in job.site.survey]
    if job.grade is not None:
        if job.grade.ground.book:
            found.append((job.grade.ground.book, ("grade", "ground", "level_book")))
        found += [(name, ("grade", "ground", "cloud")) for name in job.grade.ground.scan.files]
    if job.order is not None and job.order.price_list:
        found.append((job.order.price_list, ("order", "prices")))
    return tuple((Path(name), key) for name, key in found)


def contents_of_files(job: Job) -> tuple[bytes, ...] | None:
    """Say what is in the files that a job names, so that it can be told whether it changed.

    Parameters
    ----------
    job
        What was read from the job file.

    Returns
    -------
    tuple of bytes or None
        A mark for each file; None where one of them is large or cannot be read.
    """
    marks = [content_mark(path) for path, _ in files_of_job(job)]
    return tuple(marks) if all(marks) else None


def content_mark(path: Path) -> bytes:
    """Say what is in a file.

    Parameters
    ----------
    path
        The file.

    Returns
    -------
    bytes
        The hash of a small plain file; nothing of any other.
    """
    try:
        if not path.is_file() or path.stat().st_size > _KEPT:
            return b""
        return hashlib.sha256(path.read_bytes()).digest()
    except OSError:
        return b""
