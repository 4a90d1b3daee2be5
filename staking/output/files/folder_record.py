"""What this program wrote into a folder: names and hashes, in ``.staking.json``.

By it a file that is the program's own is told from one that somebody else put there, or that
somebody changed; and a run that was cut short between two files is noticed by the next.
"""

from __future__ import annotations

import hashlib
import json
import os
import stat
from dataclasses import field
from typing import TYPE_CHECKING

from staking.frozen import frozen

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

RECORD = ".staking.json"
"""The record's own name, in the folder that it is about."""
SCHEMA = "staking/files/1"
DOCUMENT = "layout.json"
"""The layout's document, which names the hashes of the files that were made with it."""


@frozen
class FolderRecord:
    """What is recorded of a folder; SHA-256 by file name, in hexadecimal.

    Parameters
    ----------
    files
        What was written, as it was when the run that wrote it ended.
    moving
        What a run was about to move into place; empty once that run has ended.
    """

    files: Mapping[str, str] = field(default_factory=dict)
    moving: Mapping[str, str] = field(default_factory=dict)

    def hashes(self, name: str) -> set[str]:
        """Give the hashes with which a file of this name is the program's own.

        Returns
        -------
        set of str
            None, one, or two where a run was cut short.
        """
        return {found for found in (self.files.get(name), self.moving.get(name)) if found}


def read_record(folder: Path) -> FolderRecord:
    """Read the record of a folder.

    Parameters
    ----------
    folder
        The folder; it need not exist.

    Returns
    -------
    FolderRecord
        An empty one where there is none, or none that can be read.
    """
    found = _json_object(folder / RECORD)
    if found.get("schema") != SCHEMA:
        return FolderRecord()
    return FolderRecord(files=_hashes(found.get("files")), moving=_hashes(found.get("moving")))


def record_text(record: FolderRecord) -> str:
    """Write a record out.

    Parameters
    ----------
    record
        The record.

    Returns
    -------
    str
        JSON; the same record always gives the same text.
    """
    content: dict[str, object] = {"schema": SCHEMA, "files": dict(sorted(record.files.items()))}
    if record.moving:
        content["moving"] = dict(sorted(record.moving.items()))
    return json.dumps(content, indent=2, ensure_ascii=False) + "\n"


def hashes_beside_document(folder: Path) -> dict[str, str]:
    """Read the hashes that a ``layout.json`` in the folder gives of the files made with it.

    Parameters
    ----------
    folder
        The folder.

    Returns
    -------
    dict
        SHA-256 by file name; empty where there is no such document.
    """
    found = _json_object(folder / DOCUMENT)
    return _hashes(found.get("files")) if _is_document(found) else {}


def job_of_document(folder: Path) -> str | None:
    """Tell of which job the ``layout.json`` in the folder is.

    Parameters
    ----------
    folder
        The folder.

    Returns
    -------
    str or None
        The job's name; None where there is no such document.
    """
    found = _json_object(folder / DOCUMENT)
    name = found.get("job")
    return name if _is_document(found) and isinstance(name, str) else None


def hash_of(path: Path) -> str | None:
    """Give the SHA-256 of a file.

    Parameters
    ----------
    path
        The file.

    Returns
    -------
    str or None
        In hexadecimal; None for what is not a plain file (a link, a pipe, a device), is not there
        or cannot be read.
    """
    try:
        if not stat.S_ISREG(os.lstat(path).st_mode):
            return None
        with path.open("rb") as stream:
            return hashlib.file_digest(stream, "sha256").hexdigest()
    except OSError:
        return None


def _is_document(found: dict[str, object]) -> bool:
    return str(found.get("schema", "")).startswith("staking/layout/")


def _json_object(path: Path) -> dict[str, object]:
    try:
        if not stat.S_ISREG(os.lstat(path).st_mode):
            return {}
        found = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError, RecursionError):
        return {}
    return found if isinstance(found, dict) else {}


def _hashes(found: object) -> dict[str, str]:
    if not isinstance(found, dict):
        return {}
    return {str(name): value for name, value in found.items() if isinstance(value, str)}
