"""The head of a LAS or LAZ file, held against the file's size before anything is believed.

A cloud's head says how much follows it, up to 2**64 points. Every such number is compared here
with what the file can hold, so that no later reader reserves memory, or runs, for what is not
there.

References
----------
LAS Specification 1.4 - R15, American Society for Photogrammetry and Remote Sensing, 2019: public
header block (table 3), variable length records (tables 6 and 7), point formats (2.6). 1.2 and 1.3
by the same society, 2008 and 2010.
"""

from __future__ import annotations

import math
import struct
from typing import BinaryIO

from staking.errors import InputError, Problem
from staking.frozen import frozen

SIGNATURE = b"LASF"

_HEAD = struct.Struct("<4sHH16sBB32s32sHHHIIBHI5I12d")
"""The part of the head that all versions share: 227 bytes."""

_HEAD_SIZE = {2: 227, 3: 235, 4: 375}
"""Bytes of the head by the minor version of LAS 1."""

POINT_SIZE = {0: 20, 1: 28, 2: 26, 3: 34, 4: 57, 5: 63, 6: 30, 7: 36, 8: 38, 9: 59, 10: 67}
"""Bytes of a point by its format, without bytes that a producer adds."""

_FORMATS = {2: range(4), 3: range(6), 4: range(11)}
"""Point formats by the minor version."""

_RECORD = struct.Struct("<2s16sHH32s")
_LONG_RECORD = struct.Struct("<2s16sHQ32s")

MOST_HEAD = 16_000_000
"""Head and records before the first point never take more, bytes (common practice, no source)."""

MOST_RECORDS = 10_000
"""A file has a handful of records (common practice, no source)."""

MOST_POINTS = 1_000_000_000
"""A cloud of so many points takes minutes to go through (common practice, no source)."""

_MOST_WORDS = 1_000_000
"""A longer record says no coordinate system, bytes: texts of systems have a few thousand."""

_PROJECTION, _COMPRESSION = "LASF_Projection", "laszip encoded"

_AGAIN = "get the file anew; a download may have been cut short"


@frozen(kw_only=False)
class HeadRecord:
    """One variable length record: whose it is, its number, what it holds."""

    user: str
    number: int
    data: bytes


@frozen
class CloudHead:
    """The head of a cloud, each number of which fits the file.

    Parameters
    ----------
    path
        The file as the user named it.
    version
        ``1.2``, ``1.3`` or ``1.4``.
    point_format, point_size
        Of the LAS specification; bytes of one point.
    count
        How many points there are.
    first_point
        Where the points begin, or the compressed data, bytes from the file's start.
    size
        Of the file, bytes.
    scales, offsets
        What turns the whole numbers of x, y and z into coordinates in the file's unit.
    least, greatest
        x, y and z as the head says, in the file's unit.
    is_compressed
        Whether it is LAZ.
    says_wkt
        Whether the head says that the coordinate system stands in words and not in keys.
    records
        Those of the coordinate system and of the compression.
    """

    path: str
    version: str
    point_format: int
    point_size: int
    count: int
    first_point: int
    size: int
    scales: tuple[float, float, float]
    offsets: tuple[float, float, float]
    least: tuple[float, float, float]
    greatest: tuple[float, float, float]
    is_compressed: bool
    says_wkt: bool
    records: tuple[HeadRecord, ...]

    @property
    def compression(self) -> bytes | None:
        """What the record of the compression holds; None where there is none."""
        return next((each.data for each in self.records if each.user == _COMPRESSION), None)

    def of_system(self, number: int) -> bytes | None:
        """Give what the last record of the coordinate system with a number holds, or None."""
        found = [
            each.data for each in self.records if each.user == _PROJECTION and each.number == number
        ]
        return found[-1] if found else None

    def fault(self, message: str, remedy: str = _AGAIN) -> InputError:
        """Make the error that refuses this file."""
        return InputError(Problem(path=self.path, message=message, remedy=remedy))


def read_head(stream: BinaryIO, path: str) -> CloudHead:
    """Read the head of a LAS or LAZ file and hold it against the file's size.

    Parameters
    ----------
    stream
        The file, open at any place.
    path
        Its name as the user typed it.

    Returns
    -------
    CloudHead
        The head. Points that are not compressed have all room in the file.

    Raises
    ------
    InputError
        For a version or a point format that is none, a file that is too short for what its head
        says, and numbers that make no coordinates.
    """
    size = stream.seek(0, 2)
    stream.seek(0)
    data = stream.read(_HEAD_SIZE[4])
    if len(data) < _HEAD.size:
        raise InputError(
            _broken(path, f"this point cloud breaks off in its head, after {len(data)} bytes")
        )
    fields = _HEAD.unpack(data[: _HEAD.size])
    if fields[0] != SIGNATURE:
        raise InputError(_broken(path, "this is not a LAS or LAZ file"))
    major, minor = fields[4:6]
    if major != 1 or minor not in _HEAD_SIZE:
        raise InputError(
            Problem(
                path=path,
                message=f"this point cloud says that it is LAS {major}.{minor}; 1.2, 1.3 and 1.4 "
                "are read",
                remedy="write it out anew as LAS 1.4 or LAZ",
            )
        )
    long_enough = _HEAD_SIZE[minor] <= fields[10] <= size and len(data) >= _HEAD_SIZE[minor]
    if not long_enough:
        raise InputError(
            _broken(path, f"the head of this point cloud says that it has {fields[10]:,} bytes")
        )
    head_size, first_point, record_count = fields[10:13]
    _check_first_point(path, size, head_size, first_point, record_count)
    point_format, point_size, count = fields[13:16]
    if minor == 4:
        count = struct.unpack_from("<Q", data, 247)[0] or count
    numbers = fields[21:]
    head = CloudHead(
        path=path,
        version=f"1.{minor}",
        # The two upper bits mark compression: both are in use, the lower by early writers.
        point_format=point_format & 0x3F,
        point_size=point_size,
        count=count,
        first_point=first_point,
        size=size,
        scales=numbers[0:3],
        offsets=numbers[3:6],
        greatest=numbers[6:12:2],
        least=numbers[7:12:2],
        is_compressed=bool(point_format & 0xC0),
        says_wkt=minor == 4 and bool(fields[2] & 0x10),
        records=(
            *_records(stream, path, head_size, first_point, record_count),
            *(_long_records(stream, path, size, data) if minor == 4 else ()),
        ),
    )
    _check_points(head, minor)
    return head


def _broken(path: str, message: str) -> Problem:
    return Problem(path=path, message=message, remedy=_AGAIN)


def _check_first_point(path: str, size: int, head: int, first: int, records: int) -> None:
    """Refuse a head that points past the file, or has no room for its records."""
    if first > size:
        raise InputError(
            _broken(
                path,
                f"the head of this point cloud says that the points begin at byte {first:,}, and "
                f"the file has {size:,}",
            )
        )
    if first < head or first > MOST_HEAD:
        raise InputError(_broken(path, f"the points of this cloud cannot begin at byte {first:,}"))
    if records * _RECORD.size > first - head or records > MOST_RECORDS:
        raise InputError(
            _broken(
                path,
                f"the head of this point cloud says that {records:,} records follow it, and there "
                f"is room for {(first - head) // _RECORD.size:,}",
            )
        )


def _check_points(head: CloudHead, minor: int) -> None:
    """Refuse points of no known form, and more than the file can hold."""
    if head.point_format not in _FORMATS[minor]:
        raise head.fault(
            f"the points are of format {head.point_format}, which LAS {head.version} does not have"
        )
    if head.point_size < POINT_SIZE[head.point_format]:
        raise head.fault(
            f"a point of format {head.point_format} has {POINT_SIZE[head.point_format]} bytes, and "
            f"the head says {head.point_size}"
        )
    if head.count == 0:
        raise head.fault("there are no points in this point cloud", "")
    room = (head.size - head.first_point) // head.point_size
    if not head.is_compressed and head.count > room:
        raise head.fault(
            f"the head says that there are {head.count:,} points, and the file has room for "
            f"{room:,}"
        )
    if head.count > MOST_POINTS:
        raise head.fault(
            f"there are {head.count:,} points in this point cloud; {MOST_POINTS:,} are the most",
            "cut out the surroundings of the lot first",
        )
    if not all(map(math.isfinite, (*head.scales, *head.offsets))) or 0.0 in head.scales:
        raise head.fault("the scales and offsets in the head make no coordinates of its numbers")


def _name(raw: bytes) -> str:
    return raw.split(b"\0")[0].decode("latin-1").strip()


def _is_wanted(user: str, length: int) -> bool:
    return user in {_PROJECTION, _COMPRESSION} and length <= _MOST_WORDS


def _records(
    stream: BinaryIO, path: str, head_size: int, first_point: int, count: int
) -> list[HeadRecord]:
    """Walk the records between the head and the first point."""
    found = []
    at = head_size
    for number in range(1, count + 1):
        stream.seek(at)
        raw = stream.read(_RECORD.size)
        if at + _RECORD.size > first_point or len(raw) < _RECORD.size:
            raise InputError(_broken(path, f"record {number} of {count} runs past the first point"))
        _, user, kind, length, _ = _RECORD.unpack(raw)
        at += _RECORD.size + length
        if at > first_point:
            raise InputError(_broken(path, f"record {number} of {count} runs past the first point"))
        if _is_wanted(_name(user), length):
            found.append(HeadRecord(_name(user), kind, stream.read(length)))
    return found


def _long_records(stream: BinaryIO, path: str, size: int, head: bytes) -> list[HeadRecord]:
    """Walk the records behind the points, of which only texts of a system are kept."""
    at, count = struct.unpack_from("<QI", head, 235)
    if count == 0:
        return []
    if at + count * _LONG_RECORD.size > size or count > MOST_RECORDS:
        raise InputError(
            _broken(
                path,
                f"the head says that {count:,} records begin at byte {at:,}, and the file has "
                f"{size:,} bytes",
            )
        )
    found = []
    for number in range(1, count + 1):
        if at + _LONG_RECORD.size > size:
            raise InputError(
                _broken(path, f"record {number} of {count} behind the points runs past the end")
            )
        stream.seek(at)
        _, user, kind, length, _ = _LONG_RECORD.unpack(stream.read(_LONG_RECORD.size))
        at += _LONG_RECORD.size + length
        if at > size:
            raise InputError(
                _broken(path, f"record {number} of {count} behind the points runs past the end")
            )
        if _name(user) == _PROJECTION and _is_wanted(_name(user), length):
            found.append(HeadRecord(_name(user), kind, stream.read(length)))
    return found
