"""The day that everything written of a job bears."""

from __future__ import annotations

import contextlib
import datetime as dt
import os
from typing import TYPE_CHECKING

from staking.errors import InputError, Problem

if TYPE_CHECKING:
    from pathlib import Path

REPRODUCIBLE = "SOURCE_DATE_EPOCH"
"""The environment's variable that fixes the day of what is written, seconds since 1970."""


def paper_day(path: Path) -> dt.date | None:
    """Give the day that a job's files bear.

    Parameters
    ----------
    path
        The job file, or the survey where there is no job.

    Returns
    -------
    date or None
        The day in the environment's ``SOURCE_DATE_EPOCH`` where it is set, else the day the file
        was last changed, both in UTC so that the same file gives the same papers anywhere; None
        where there is no file.

    Raises
    ------
    InputError
        When the variable is set to what is no such count of seconds.

    References
    ----------
    reproducible-builds.org, "SOURCE_DATE_EPOCH specification": whole seconds since
    1970-01-01T00:00:00Z, as decimal digits (from memory).
    """
    given = os.environ.get(REPRODUCIBLE, "")
    if not given:
        try:
            return dt.datetime.fromtimestamp(path.stat().st_mtime, tz=dt.UTC).date()
        except (OSError, ValueError, OverflowError):
            return None
    if given.isascii() and given.isdigit():
        with contextlib.suppress(OSError, ValueError, OverflowError):
            return dt.datetime.fromtimestamp(int(given), tz=dt.UTC).date()
    shown = given if len(given) <= 40 else f"{given[:40]}..."
    raise InputError(
        Problem(
            field=f"environment variable {REPRODUCIBLE}",
            message=f"{shown!r} is not whole seconds since 1970",
            remedy="write digits alone, as in 1767225600, or unset it",
        )
    )
