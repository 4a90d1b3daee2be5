"""A coordinate system that a file states against the one it is read in."""

from __future__ import annotations

from staking.crs_register import normal_code
from staking.errors import InputError
from staking.notices import Notice, notice

OVERRULED = "crs-overruled"
"""The kind of the notice: files of one lot that carry it are in another system than the lot."""


def overruled_system(stated: str | None, read_in: str | None) -> tuple[Notice, ...]:
    """Say so where a file names another coordinate system than the one it is read in.

    Parameters
    ----------
    stated
        What the file says: a code in any spelling, or None.
    read_in
        The code that it is read in, as the user gave it, or None.

    Returns
    -------
    tuple of Notice
        One warning, or nothing where either is None, is not a code, or both are one.
    """
    if stated is None or read_in is None:
        return ()
    try:
        own, asked = normal_code(stated), normal_code(read_in)
    except InputError:
        return ()
    if own == asked:
        return ()
    return (
        notice(
            OVERRULED,
            "the file says that it is in {own}, and it is read in {crs} as given: if the file is "
            "right, every point is in another place",
            own=own,
            crs=asked,
        ),
    )
