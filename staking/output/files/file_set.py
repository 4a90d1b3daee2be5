"""A set of files into a folder, so that each one is always whole: the old one or the new.

Everything is first written beside its place under a temporary name and forced to the disk; only
when all of it is there, and the new hashes are in the folder's record, are the files moved into
place, the document last. A run cut short between two moves leaves a mixed set, which the record
gives away to the next run.
"""

from __future__ import annotations

import contextlib
import os
import time
from contextlib import contextmanager
from typing import TYPE_CHECKING, BinaryIO, TextIO

from staking.errors import WriteError
from staking.frozen import frozen
from staking.notices import Notice, Severity, notice
from staking.output.documents.document_text import document_text
from staking.output.files.folder_lock import Lock, locked
from staking.output.files.folder_record import (
    DOCUMENT,
    RECORD,
    FolderRecord,
    hash_of,
    job_of_document,
    read_record,
    record_text,
)
from staking.output.files.own_files import Source, refuse_others

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
    from pathlib import Path
    from typing import TypeAlias

    from staking.output.documents.layout_document import Record

    Writer: TypeAlias = "Callable[[TextIO], None] | Binary"

SET_NAMES = (
    "plan.dxf",
    "plan.svg",
    "plan.png",
    "profiles.svg",
    "steps.svg",
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
"""Where nothing keeps other runs out, a part older than this was left by a run that was killed."""
_ANOTHER = "give another --out"


@frozen(kw_only=False)
class Binary:
    """What writes a file that is not text: it is given a binary stream."""

    write: Callable[[BinaryIO], None]


@frozen
class FilesWritten:
    """The files now in place, in order, and what was noticed about the set."""

    paths: tuple[Path, ...]
    notices: tuple[Notice, ...]


def write_set(
    folder: Path,
    writers: Mapping[str, Writer],
    document: Record | None,
    *,
    of_layout: bool = True,
    force: bool = False,
    sources: Iterable[Source] = (),
) -> FilesWritten:
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
        it is, and nothing is said of it.
    force
        Whether files that are not the program's own, or were changed, may be replaced.
    sources
        The files that the job reads; none of them is ever replaced.

    Returns
    -------
    FilesWritten
        The files, and notices about a set that was mixed, of another job, or older in part.

    Raises
    ------
    WriteError
        If something cannot be written or may not be replaced; every file is then whole, and none
        is new unless the moving itself was cut short.
    """
    names = (*writers, *((DOCUMENT,) if document is not None else ()))
    with _there(folder), _reasons(folder, _ANOTHER):
        before = read_record(folder)
        with locked(folder) as lock:
            refuse_others(folder, names, sources, force=force, remedy=_ANOTHER)
            _clear_parts(folder, lock)
            record, notices = _mended(folder)
            notices += _other_job(folder, document)
            with _Parts(folder) as parts:
                for name, writer in writers.items():
                    parts.write(name, writer)
                if document is not None:
                    text = document_text({**document, "files": dict(parts.hashes)})
                    parts.write(DOCUMENT, lambda stream: _put(stream, text))
                if lock.waited:
                    notices += _written_meanwhile(before, record, parts.hashes)
                parts.move(record)
            if of_layout:
                notices += _left_over(folder, names, record)
    return FilesWritten(paths=tuple(folder / name for name in names), notices=tuple(notices))


def write_file(
    path: Path,
    writer: Writer,
    *,
    force: bool = False,
    sources: Iterable[Source] = (),
    remedy: str = _ANOTHER,
) -> FilesWritten:
    """Write one file, into a folder that is there.

    Parameters
    ----------
    path
        The file.
    writer
        What writes it.
    force, sources
        As for `write_set`.
    remedy
        What to do where it may not be replaced: ``give another --out``.

    Returns
    -------
    FilesWritten
        The file, and what was noticed.

    Raises
    ------
    WriteError
        As `write_set`; there is then nothing new.
    """
    folder, name = path.parent, path.name
    if name in {"", RECORD}:
        raise WriteError(f"{path}: this is not a name for a file; {remedy}")
    with _reasons(path, remedy):
        if not folder.is_dir():
            raise WriteError(f"{path}: cannot be written: there is no folder {folder}; {remedy}")
        with locked(folder) as lock:
            refuse_others(folder, (name,), sources, force=force, remedy=remedy)
            _clear_parts(folder, lock)
            record, notices = _mended(folder)
            with _Parts(folder) as parts:
                parts.write(name, writer)
                parts.move(record)
    return FilesWritten(paths=(path,), notices=tuple(notices))


class _Parts:
    """Files written in full under temporary names, which are gone when this is left."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.hashes: dict[str, str] = {}
        self._paths: list[tuple[Path, str]] = []

    def __enter__(self) -> _Parts:
        return self

    def __exit__(self, *_: object) -> None:
        for part, _name in self._paths:
            with contextlib.suppress(OSError):
                part.unlink(missing_ok=True)

    def write(self, name: str, writer: Writer) -> None:
        """Write a file that is to be moved into place under `name`."""
        self.hashes[name] = hash_of(self._write(name, writer)) or ""

    def _write(self, name: str, writer: Writer) -> Path:
        part = self.folder / f"{_PREFIX}{os.urandom(6).hex()}{_SUFFIX}"
        self._paths.append((part, name))
        _write_part(part, writer)
        return part

    def move(self, record: FolderRecord) -> None:
        """Move all files into place, their hashes first; `record` is what the folder held."""
        moves = list(self._paths)
        begun = record_text(FolderRecord(files=record.files, moving=self.hashes))
        ended = record_text(FolderRecord(files={**record.files, **self.hashes}))
        # both are on the disk before anything is moved: it may be full by then
        before = self._write(RECORD, lambda stream: _put(stream, begun))
        after = self._write(RECORD, lambda stream: _put(stream, ended))
        _sync_folder(self.folder)
        for part, name in ((before, RECORD), *moves):
            os.replace(part, self.folder / name)  # noqa: PTH105 - the name says it is atomic
            if name == RECORD:
                _sync_folder(self.folder)
        _sync_folder(self.folder)
        os.replace(after, self.folder / RECORD)  # noqa: PTH105
        _sync_folder(self.folder)


@contextmanager
def _there(folder: Path) -> Iterator[None]:
    # The folder, made where it is missing, and gone again where nothing came into it.
    made: list[Path] = []
    finished = False
    try:
        with _reasons(folder, _ANOTHER):
            missing = folder
            while not missing.exists() and missing != missing.parent:
                made.append(missing)
                missing = missing.parent
            folder.mkdir(parents=True, exist_ok=True)
        yield
        finished = True
    finally:
        if not finished:
            # Only an empty folder goes: files that were moved into place stay.
            for each in made:
                with contextlib.suppress(OSError):
                    each.rmdir()


@contextmanager
def _reasons(place: Path, remedy: str) -> Iterator[None]:
    # What the system says, as a sentence that names the place.
    try:
        yield
    except WriteError:
        raise
    except OSError as error:
        reason = error.strerror or str(error)
        raise WriteError(f"{place}: cannot be written: {reason}; {remedy}") from error


def _put(stream: TextIO, text: str) -> None:
    stream.write(text)


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


def _sync_folder(folder: Path) -> None:
    # Not every system lets a folder be opened; the files themselves are already safe.
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _clear_parts(folder: Path, lock: Lock) -> None:
    # With other runs kept out, every part there was left by one that was killed.
    for part in folder.glob(f"{_PREFIX}*{_SUFFIX}"):
        with contextlib.suppress(OSError):
            if lock.held or time.time() - part.stat().st_mtime > _STALE_SECONDS:
                part.unlink()


def _mended(folder: Path) -> tuple[FolderRecord, list[Notice]]:
    # The record of what is really there, and a notice where a run was cut short half-way.
    record = read_record(folder)
    new = {name for name, value in record.moving.items() if hash_of(folder / name) == value}
    old = [name for name in record.moving if name not in new]
    files = {**record.files, **{name: record.moving[name] for name in new}}
    there = {name: value for name, value in files.items() if os.path.lexists(folder / name)}
    notices = []
    if new and old:
        notices.append(
            notice(
                "mixed-set",
                "a run that wrote to {folder} was cut short, and its files did not belong "
                "together: {new} {was} new, {old} not yet",
                severity=Severity.WARNING,
                folder=str(folder),
                new=_listed([name for name in record.moving if name in new]),
                was="was" if len(new) == 1 else "were",
                old=_listed(old),
            )
        )
    return FolderRecord(files=there), notices


def _other_job(folder: Path, document: Record | None) -> list[Notice]:
    before = job_of_document(folder)
    now = document.get("job") if document is not None else None
    if before is None or now is None or before == now:
        return []
    return [
        notice(
            "other-job",
            "the files that stood in {folder} were of the job {before}; those of {now} have "
            "taken their place",
            severity=Severity.WARNING,
            folder=str(folder),
            before=before,
            now=str(now),
        )
    ]


def _written_meanwhile(
    before: FolderRecord, waited_for: FolderRecord, hashes: Mapping[str, str]
) -> list[Notice]:
    # Files that the run that was waited for wrote, and that this one writes otherwise.
    names = [
        name
        for name, value in hashes.items()
        if waited_for.files.get(name) not in {None, before.files.get(name), value}
    ]
    if not names:
        return []
    return [
        notice(
            "two-runs",
            "another run wrote {files} to the same folder at the same time; the files of this "
            "run, which ended last, have taken their place",
            severity=Severity.WARNING,
            files=_listed(names),
        )
    ]


def _left_over(folder: Path, written: Sequence[str], before: FolderRecord) -> list[Notice]:
    # What now stands in the folder, is ours, and is not of this run.
    others = [
        name
        for name in SET_NAMES
        if name in before.files and name not in written and (folder / name).is_file()
    ]
    if not others:
        return []
    return [
        notice(
            "older-files",
            "{files} in {folder} from an earlier run; write the whole set to have all files agree",
            severity=Severity.WARNING,
            files=f"{_listed(others)} {'is' if len(others) == 1 else 'are'}",
            folder=str(folder),
        )
    ]


def _listed(names: list[str]) -> str:
    if len(names) == 1:
        return names[0]
    return f"{', '.join(names[:-1])} and {names[-1]}"
