"""One run at a time in a folder."""

from __future__ import annotations

import contextlib
import errno
import os
import time
from contextlib import contextmanager
from typing import TYPE_CHECKING

from staking.errors import WriteError
from staking.frozen import frozen

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

PATIENCE = 60.0
"""How long a run waits for another one that is writing into the same folder, s."""
_PAUSE = 0.05


@frozen
class Lock:
    """Whether other runs are kept out, and whether one of them had to be waited for."""

    held: bool
    waited: bool


@contextmanager
def locked(folder: Path, patience: float = PATIENCE) -> Iterator[Lock]:
    """Keep other runs out of a folder while files are written.

    Parameters
    ----------
    folder
        The folder, which is there.
    patience
        How long to wait for another run, s.

    Yields
    ------
    Lock
        What came of it.

    Raises
    ------
    WriteError
        When the other run does not come to an end.

    Notes
    -----
    The lock is the system's own on the folder itself: it leaves no file behind and ends with the
    process that holds it, however that ends. Where a system or a network disk has no such locks
    nothing is kept out.
    """
    try:
        import fcntl
    except ImportError:  # a system without them
        yield Lock(held=False, waited=False)
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        held, waited = True, False
        until = time.monotonic() + patience
        while True:
            try:
                fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
                break
            except OSError as error:
                if error.errno not in {errno.EAGAIN, errno.EACCES}:
                    held = False  # a disk without locks
                    break
                if time.monotonic() >= until:
                    raise WriteError(
                        f"{folder}: another run is writing there and does not end; "
                        "give another --out"
                    ) from error
                waited = True
                time.sleep(_PAUSE)
        yield Lock(held=held, waited=waited)
    finally:
        with contextlib.suppress(OSError):
            os.close(handle)
