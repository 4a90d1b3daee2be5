"""The units of a survey in words."""

from __future__ import annotations

from staking.notices import Notice, notice

IN_WORDS = {
    "ft": "international feet",
    "us-ft": "U.S. survey feet",
    "in": "inches",
    "m": "metres",
    "mm": "millimetres",
}
"""By the unit's name in the job file."""


def unit_of_the_job(unit: str) -> Notice:
    """Say that a file which does not tell its unit is read in the job's own.

    Parameters
    ----------
    unit
        The unit's name in the job file.

    Returns
    -------
    Notice
        ``unit-of-the-job``, a warning: a wrong one moves the building.
    """
    return notice(
        "unit-of-the-job",
        "the file does not say its unit, and is read in the job's own, {unit}; write units: under "
        "site if it is in another",
        unit=IN_WORDS[unit],
    )
