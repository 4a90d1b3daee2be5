"""Whose a file is: the program's own, somebody else's, or one that the job reads."""

from __future__ import annotations

import os
import stat
from typing import TYPE_CHECKING

from staking.errors import WriteError
from staking.frozen import frozen
from staking.output.files.folder_record import hash_of, hashes_beside_document, read_record

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from pathlib import Path


@frozen
class Source:
    """A file that is read, and what it is: ``the job file``, ``a survey`` of the job."""

    path: Path
    what: str


def refuse_others(
    folder: Path, names: Sequence[str], sources: Iterable[Source], *, force: bool, remedy: str
) -> None:
    """Refuse to replace what is not the program's own, before anything is touched.

    Parameters
    ----------
    folder
        Where to.
    names
        The files about to be written; no other is looked at.
    sources
        What the job reads, which is never replaced.
    force
        Whether files of others may be replaced.
    remedy
        What to do where one may not: ``give another --out``.

    Raises
    ------
    WriteError
        With a line for every file that stays as it is.
    """
    record, beside = read_record(folder), hashes_beside_document(folder)
    kept = tuple(sources)
    faults = []
    for name in names:
        path = folder / name
        if not os.path.lexists(path):
            continue
        source = _source_at(path, kept)
        if source is not None:
            faults.append(f"{path}: this is {source}, and is never written over; {remedy}")
            continue
        if stat.S_ISDIR(os.lstat(path).st_mode):
            faults.append(f"{path}: {name} is a folder there; {remedy}")
            continue
        if force:
            continue
        known = record.hashes(name) | ({beside[name]} if name in beside else set())
        if hash_of(path) not in known:
            why = (
                "this file was changed since staking wrote it"
                if known
                else "this file was not written by staking"
            )
            faults.append(f"{path}: {why}; move it away, {remedy}, or give --force to replace it")
    if faults:
        raise WriteError("\n".join(faults))


def _source_at(path: Path, sources: Iterable[Source]) -> str | None:
    for each in sources:
        try:
            if path.samefile(each.path):
                return each.what
        except OSError:  # one of them is not there, or a link that leads nowhere
            continue
    return None
