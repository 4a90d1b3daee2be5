"""A set of files into a folder, so that each one is always whole: the old one or the new.

Everything is first written beside its place under a temporary name and forced to the disk; only
when all of it is there are the files moved into place, the document last, with the hash of every
file that was made with it. A run cut short between two moves leaves a mixed set, which the hashes
give away to the next run.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import time
from dataclasses import dataclass
from typing import TYPE_CHECKING, BinaryIO, TextIO

from staking.errors import WriteError
from staking.notices import Notice, Severity, notice
from staking.output.documents.layout_document import document_text

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping
    from pathlib import Path
    from typing import TypeAlias

    from staking.output.documents.layout_document import Record

    Writer: TypeAlias = "Callable[[TextIO], None] | Binary"

DOCUMENT = "layout.json"
SET_NAMES = (
    "plan.dxf",
    "plan.svg",
    "plan.png",
    "profiles.svg",
    "sheet.pdf",
    "page.html",
    "points.csv",
    "points.xml",
    "points.geojson",
    "points.gpx",
    DOCUMENT,
)
"""The files of a layout, in the order they are moved into place."""

_PREFIX, _SUFFIX = ".staking-", ".part"
_STALE_SECONDS = 3600.0
"""A temporary file older than this was left by a run that was killed."""


@dataclass(frozen=True, slots=True)
class Binary:
    """What writes a file that is no text: it is given a binary stream."""

    write: Callable[[BinaryIO], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """The files now in place, in order, and what was noticed about the set."""

    paths: tuple[Path, ...]
    notices: tuple[Notice, ...]


def write_set(
    folder: Path,
    writers: Mapping[str, Writer],
    document: Record | None,
    *,
    of_layout: bool = True,
) -> Written:
    """Write a set of files into a folder.

    Parameters
    ----------
    folder
        Where to; made if it is not there.
    writers
        What writes each file, by file name; every one is given a text stream, a `Binary` one a
        binary stream.
    document
        What ``layout.json`` holds, to which the hashes are added; None to leave it out.
    of_layout
        Whether these are the layout's files; those of another command beside them leave it as
        it is, and nothing is told of it.

    Returns
    -------
    Written
        The files and the notices about a mixed set.

    Raises
    ------
    WriteError
        If something cannot be written; every file is then whole, and none is new unless the
        moving itself was cut short.
    """
    made = not folder.exists()
    parts: dict[str, Path] = {}
    finished = False
    try:
        folder.mkdir(parents=True, exist_ok=True)
        names = [*writers, *([DOCUMENT] if document is not None else [])]
        _refuse_folders(folder, names)
        _clear_stale(folder)
        noticed = _mixed(folder) if of_layout else ()
        hashes = {}
        for name, writer in writers.items():
            parts[name] = _part_path(folder, name)
            _write_part(parts[name], writer)
            hashes[name] = _sha256(parts[name])
        if document is not None:
            text = document_text({**document, "files": hashes})
            parts[DOCUMENT] = _part_path(folder, DOCUMENT)
            _write_part(parts[DOCUMENT], lambda stream: _put(stream, text))
        _sync_folder(folder)
        for name in names:
            os.replace(parts[name], folder / name)  # noqa: PTH105 - the name says it is atomic
        _sync_folder(folder)
        finished = True
        return Written(
            paths=tuple(folder / name for name in names),
            notices=(*noticed, *(_left_over(folder, names) if of_layout else ())),
        )
    except OSError as error:
        reason = error.strerror or str(error)
        raise WriteError(f"{folder}: cannot be written: {reason}; give another --out") from error
    finally:
        for part in parts.values():
            with contextlib.suppress(OSError):
                part.unlink(missing_ok=True)
        if made and not finished:
            # Only an empty folder goes: files that were moved into place stay.
            with contextlib.suppress(OSError):
                folder.rmdir()


def _put(stream: TextIO, text: str) -> None:
    stream.write(text)


def _refuse_folders(folder: Path, names: Iterable[str]) -> None:
    # Moving onto a folder would fail half-way, after other files are new already.
    for name in names:
        if (folder / name).is_dir():
            raise IsADirectoryError(0, f"{name} is a folder there")


def _part_path(folder: Path, name: str) -> Path:
    return folder / f"{_PREFIX}{os.urandom(6).hex()}-{name}{_SUFFIX}"


def _write_part(path: Path, writer: Writer) -> None:
    if isinstance(writer, Binary):
        with path.open("xb") as raw:
            writer.write(raw)
            raw.flush()
            os.fsync(raw.fileno())
        return
    with path.open("x", encoding="utf-8", newline="") as stream:
        writer(stream)
        stream.flush()
        os.fsync(stream.fileno())


def _sha256(path: Path) -> str:
    with path.open("rb") as stream:
        return hashlib.file_digest(stream, "sha256").hexdigest()


def _sync_folder(folder: Path) -> None:
    # Not every system lets a folder be opened; the files themselves are already safe.
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _clear_stale(folder: Path) -> None:
    for part in folder.glob(f"{_PREFIX}*{_SUFFIX}"):
        with contextlib.suppress(OSError):
            if time.time() - part.stat().st_mtime > _STALE_SECONDS:
                part.unlink()


def _recorded(folder: Path) -> dict[str, str] | None:
    # None where there is no document of ours to read them from.
    try:
        hashes = json.loads((folder / DOCUMENT).read_text(encoding="utf-8"))["files"]
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return None
    if not isinstance(hashes, dict):
        return None
    known = set(SET_NAMES) - {DOCUMENT}
    return {str(name): str(value) for name, value in hashes.items() if name in known}


def _strangers(folder: Path) -> list[str]:
    # Files of the set that are not the ones the document there was written with.
    hashes = _recorded(folder)
    if hashes is None:
        return []
    strangers = []
    for name in SET_NAMES[:-1]:
        path = folder / name
        if path.is_file():
            if hashes.get(name) != _sha256(path):
                strangers.append(name)
        elif name in hashes:
            strangers.append(name)
    return strangers


def _mixed(folder: Path) -> tuple[Notice, ...]:
    strangers = _strangers(folder)
    if not strangers:
        return ()
    return (
        notice(
            "mixed-set",
            "the files that stood in {folder} did not belong together: {files} had been changed, "
            "removed or written by another run than {document}",
            folder=str(folder),
            files=_listed(strangers),
            document=DOCUMENT,
        ),
    )


def _left_over(folder: Path, written: Iterable[str]) -> tuple[Notice, ...]:
    # What now stands in the folder but is not of this run.
    now = set(written)
    others = [name for name in _strangers(folder) if name not in now]
    if DOCUMENT not in now and (folder / DOCUMENT).is_file():
        others.append(DOCUMENT)
    if not others:
        return ()
    return (
        notice(
            "older-files",
            "{files} in {folder} from an earlier run; write the whole set to have all files agree",
            severity=Severity.WARNING,
            files=f"{_listed(others)} {'is' if len(others) == 1 else 'are'}",
            folder=str(folder),
        ),
    )


def _listed(names: list[str]) -> str:
    if len(names) == 1:
        return names[0]
    return f"{', '.join(names[:-1])} and {names[-1]}"
