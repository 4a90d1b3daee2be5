"""The KML inside a KMZ, taken out of its zip as a stream."""

from __future__ import annotations

import io
from typing import BinaryIO, cast

from staking.errors import InputError, Problem

MOST_PACKED = 1 << 28
"""Bytes of a KMZ file itself."""

MOST_ENTRIES = 10_000
"""Files in one KMZ."""

MOST_RATIO = 200
"""How many times smaller than its content an entry may be; coordinates pack to about a fifth."""

ALWAYS_TAKEN = 1 << 20
"""Bytes that an entry may grow to however well it packs."""

_START = b"PK\x03\x04"


def inner_kml(stream: BinaryIO, name: str) -> BinaryIO:
    """Return the KML of a KMZ; a stream that is not a zip is returned as it is.

    Parameters
    ----------
    stream
        At its start, seekable.
    name
        The file as the user named it.

    Returns
    -------
    BinaryIO
        The KML, inflated only as it is read.

    Raises
    ------
    InputError
        Where the zip is damaged, locked, without KML, or packed beyond reason.
    """
    head = stream.read(len(_START))
    stream.seek(0)
    if head != _START:
        return stream

    import zipfile

    if stream.seek(0, io.SEEK_END) > MOST_PACKED:
        _refuse(name, f"the KMZ is longer than {MOST_PACKED >> 20} MiB")
    stream.seek(0)
    try:
        packed = zipfile.ZipFile(stream)
        entries = packed.infolist()
        if len(entries) > MOST_ENTRIES:
            _refuse(name, f"the KMZ holds more than {MOST_ENTRIES:,} files")
        named = [entry for entry in entries if entry.filename.lower().endswith(".kml")]
        if not named:
            _refuse(name, "there is no KML in this KMZ")
        # The format's rule: doc.kml, else the first at the top of the archive.
        first = min(named, key=lambda entry: (entry.filename != "doc.kml", "/" in entry.filename))
        if first.file_size > max(ALWAYS_TAKEN, MOST_RATIO * first.compress_size):
            _refuse(
                name,
                f"{first.filename} would grow to more than {MOST_RATIO:,} times its packed size",
            )
        return cast(BinaryIO, _Guarded(packed.open(first), name))
    except InputError:
        raise
    except (zipfile.BadZipFile, EOFError, OSError, ValueError) as fault:
        raise InputError(_damaged(name)) from fault
    except (RuntimeError, NotImplementedError) as fault:
        raise InputError(
            Problem(
                path=name,
                message="the KMZ is locked, or packed in a way that is not read",
                remedy="save it as plain KML",
            )
        ) from fault


def _refuse(name: str, message: str) -> None:
    raise InputError(Problem(path=name, message=message, remedy="save it as plain KML"))


def _damaged(name: str) -> Problem:
    return Problem(
        path=name, message="the KMZ is damaged or cut short", remedy="get it again, whole"
    )


class _Guarded:
    """A packed file whose damage becomes a fault with a place."""

    def __init__(self, packed: object, name: str) -> None:
        self._packed = cast(BinaryIO, packed)
        self._name = name

    def read(self, count: int = -1) -> bytes:
        """Return the next bytes, inflated."""
        import zipfile
        import zlib

        try:
            return self._packed.read(count)
        except (zipfile.BadZipFile, zlib.error, EOFError, OSError, ValueError) as fault:
            raise InputError(_damaged(self._name)) from fault
