"""The job file on the disk: read, and written whole or not at all, never over another's change."""

from __future__ import annotations

import contextlib
import hashlib
import os
import re
import stat
import tempfile
from pathlib import Path
from typing import IO, TYPE_CHECKING

from staking.errors import InputError, Problem, WriteError
from staking.frozen import frozen

if TYPE_CHECKING:
    from collections.abc import Iterator

_BOM = b"\xef\xbb\xbf"
_PLAIN_NAME = re.compile(r"[^\W_][\w .()+,-]{0,99}")
_DEVICE = re.compile(r"(con|prn|aux|nul|com\d|lpt\d)(\..*)?", re.IGNORECASE)
"""Names that stand for devices on some systems, whatever their ending."""
_NEW_MODE = 0o644


@frozen
class OnFile:
    """What stands in the job file.

    Parameters
    ----------
    text
        Its text without a byte order mark; empty where there is no file yet.
    mark
        The hash of its bytes; empty where there is no file yet.
    has_bom
        Whether it begins with a byte order mark, which then stays.
    """

    text: str
    mark: str
    has_bom: bool = False


class ChangedMeanwhileError(WriteError):
    """The file is not the one that was read: somebody else changed it.

    Parameters
    ----------
    found
        What stands there now.
    """

    def __init__(self, path: Path, found: OnFile) -> None:
        super().__init__(f"{path.name} was changed by another program since it was opened here")
        self.found = found


def read_on_file(path: Path) -> OnFile:
    """Read the job file as it stands.

    Parameters
    ----------
    path
        The file.

    Returns
    -------
    OnFile
        Its text and mark; both empty where there is no file.

    Raises
    ------
    InputError
        Where it cannot be read, or is not text.
    """
    from staking.job.tree.source import read_text

    try:
        data = path.read_bytes() if stat.S_ISREG(path.stat().st_mode) else b""
    except FileNotFoundError:
        return OnFile(text="", mark="")
    except OSError as error:
        reason = error.strerror or str(error)
        raise InputError(
            Problem(path=str(path), message=f"the file cannot be read ({reason})")
        ) from error
    if data.strip() in {b"", _BOM}:
        return OnFile(text="", mark=_mark_of(data), has_bom=data.startswith(_BOM))
    return OnFile(text=read_text(path), mark=_mark_of(data), has_bom=data.startswith(_BOM))


def _mark_of(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def save(path: Path, text: str, mark: str, *, anyway: bool = False) -> OnFile:
    """Write the job file whole, or leave it as it is.

    Parameters
    ----------
    path
        The file.
    text
        What it is to hold.
    mark
        The mark of what the text was made from; empty where there was no file.
    anyway
        Whether another's change is written over.

    Returns
    -------
    OnFile
        What stands there now.

    Raises
    ------
    ChangedMeanwhileError
        Where the file is another than that of the mark, unless `anyway`.
    WriteError
        Where the disk refuses; the file is then as it was.
    """
    # A link stays a link: what it leads to is written.
    target = path.resolve()
    found = read_on_file(target)
    if found.mark != mark and not anyway:
        raise ChangedMeanwhileError(path, found)
    data = (_BOM if found.has_bom else b"") + text.encode("utf-8")
    try:
        mode = stat.S_IMODE(target.stat().st_mode) if target.exists() else _NEW_MODE
        with _part_beside(target) as (stream, part):
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
            part.chmod(mode)
            if read_on_file(target).mark != found.mark:
                raise ChangedMeanwhileError(path, read_on_file(target))
            part.replace(target)
    except WriteError:
        raise
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise WriteError(f"{path.name} cannot be written: {reason}; it is as it was") from error
    return OnFile(text=text, mark=_mark_of(data), has_bom=found.has_bom)


@contextlib.contextmanager
def _part_beside(target: Path) -> Iterator[tuple[IO[bytes], Path]]:
    """Give a new file beside another, which is gone afterwards unless it was moved."""
    handle, name = tempfile.mkstemp(prefix=f".{target.name}-", dir=target.parent)
    part = Path(name)
    try:
        with os.fdopen(handle, "wb") as stream:
            yield stream, part
    finally:
        with contextlib.suppress(OSError):
            part.unlink()


def beside_job(path: Path, name: str) -> Path:
    """Give the path of a file beside the job, by its name alone.

    Parameters
    ----------
    path
        The job file.
    name
        The file's name as it came.

    Returns
    -------
    Path
        In the job's folder.

    Raises
    ------
    WriteError
        Where the name is a path, hidden, or holds what no file name should.
    """
    if (
        not _PLAIN_NAME.fullmatch(name)
        or name.endswith((".", " "))
        or _DEVICE.fullmatch(name) is not None
    ):
        raise WriteError(
            "this file cannot be copied under its name; give it one of letters and digits"
        )
    return path.with_name(name)


def copy_beside(path: Path, name: str, source: Iterator[bytes]) -> Path:
    """Copy a file beside the job, never over another.

    Parameters
    ----------
    path
        The job file.
    name
        The name of the file.
    source
        What it holds, in pieces.

    Returns
    -------
    Path
        Where it stands.

    Raises
    ------
    WriteError
        Where another file of that name is there, or the disk refuses.
    """
    target = beside_job(path, name)
    digest = hashlib.sha256()
    try:
        with _part_beside(target) as (stream, part):
            for piece in source:
                stream.write(piece)
                digest.update(piece)
            stream.flush()
            part.chmod(_NEW_MODE)
            if os.path.lexists(target):
                if target.is_file() and _hash_of_file(target) == digest.hexdigest():
                    return target
                raise WriteError(
                    f"another {name} is there already and was left; rename the one to be copied"
                )
            target.hardlink_to(part)
    except WriteError:
        raise
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise WriteError(f"{name} cannot be copied: {reason}") from error
    return target


def _hash_of_file(path: Path) -> str:
    with path.open("rb") as stream:
        return hashlib.file_digest(stream, "sha256").hexdigest()
