"""Files to read: plain ones, and no larger than they may be."""

from __future__ import annotations

import os
import stat
from typing import TYPE_CHECKING

from staking.errors import InputError, Problem

if TYPE_CHECKING:
    from pathlib import Path

_MEGA = 1_000_000


def refuse_other_files(path: Path, most: int) -> None:
    """Refuse what is not a plain file, or too large, before anything is read from it.

    Parameters
    ----------
    path
        The file, as the user named it.
    most
        How many bytes it may have.

    Raises
    ------
    InputError
        For a pipe or a device, which may never end or give nothing for ever, and for a file
        that is too large.

    Notes
    -----
    A file that is not there, or a folder, is left to whoever opens it.
    """
    try:
        found = path.stat()
    except (OSError, ValueError):
        return
    if stat.S_ISDIR(found.st_mode):
        return
    if not stat.S_ISREG(found.st_mode):
        raise InputError(
            Problem(
                path=os.fspath(path),
                message="this is a pipe or a device, and a file is meant",
                remedy="save what it gives to a file, and name that",
            )
        )
    if found.st_size > most:
        raise InputError(
            Problem(
                path=os.fspath(path),
                message=f"the file has {found.st_size / _MEGA:,.1f} MB, and {most / _MEGA:,.0f} MB "
                "is the most",
                remedy="leave out what is far from the building",
            )
        )
