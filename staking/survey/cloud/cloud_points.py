"""The points of a cloud, some hundred thousand at a time: counted, and the ground in a window kept.

Whatever the size of the file, no more is held than one such part and what lies in the window.
"""

from __future__ import annotations

import logging
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import PurePath
from typing import TYPE_CHECKING, Any, BinaryIO

import numpy as np
import numpy.typing as npt

from staking.frozen import frozen
from staking.ground_scan import Window
from staking.progress import long_work
from staking.survey.cloud.compressed_chunks import check_compressed
from staking.survey.cloud.las_header import CloudHead
from staking.survey.scanned.kept_window import KeptWindow

if TYPE_CHECKING:
    from laspy import LasReader

Array = npt.NDArray[np.float64]

PART = 200_000
"""So many points are read at a time."""

AT_ONCE = 16_384
"""So many of them are looked at together, which is what a processor holds at hand."""

GROUND = 2
"""The class of ground points (LAS 1.4 R15, tables 9 and 17)."""

# What the library has to say of a file goes into our own errors, not onto the terminal.
logging.getLogger("laspy").addHandler(logging.NullHandler())


@frozen(eq=False)
class CloudCounts:
    """What a cloud holds.

    Parameters
    ----------
    by_class
        Points of each class, ``(256,)``, withheld ones left out.
    withheld
        Points that are marked as not to be used.
    least, greatest
        x, y and z of all other points, ``(3,)``, in the file's unit; None where there are none.
    """

    by_class: npt.NDArray[np.int64]
    withheld: int
    least: Array | None
    greatest: Array | None


@frozen(eq=False)
class CloudGround:
    """The ground points of a cloud in a window.

    Parameters
    ----------
    places
        x, y and z, ``(n, 3)``, in the file's unit.
    margin
        How far round the window they were kept, in the file's unit.
    withheld
        Ground points there that the file marks as not to be used, and are left out.
    """

    places: Array
    margin: float
    withheld: int


def count_points(stream: BinaryIO, head: CloudHead) -> CloudCounts:
    """Go through all points of a cloud.

    Parameters
    ----------
    stream
        The file.
    head
        Its head.

    Returns
    -------
    CloudCounts
        Counts and extents.

    Notes
    -----
    `staking.errors.InputError` comes where the points cannot be read.
    """
    by_class = np.zeros(256, dtype=np.int64)
    withheld = 0
    low = np.full(3, np.iinfo(np.int64).max)
    high = np.full(3, np.iinfo(np.int64).min)
    for points in _parts(stream, head):
        kinds, used = _kinds(points)
        withheld += len(kinds) - int(np.count_nonzero(used))
        if not used.all():
            points, kinds = points[used], kinds[used]
        if not len(kinds):
            continue
        by_class += np.bincount(kinds, minlength=256)
        for axis, name in enumerate("XYZ"):
            low[axis] = min(low[axis], points[name].min())
            high[axis] = max(high[axis], points[name].max())
    if not by_class.any():
        return CloudCounts(by_class=by_class, withheld=withheld, least=None, greatest=None)
    ends = np.sort(np.vstack((low, high)) * head.scales + head.offsets, axis=0)
    return CloudCounts(by_class=by_class, withheld=withheld, least=ends[0], greatest=ends[1])


def ground_in(
    stream: BinaryIO, head: CloudHead, window: Window, margins: tuple[float, float]
) -> CloudGround:
    """Read the ground points in a window.

    Parameters
    ----------
    stream
        The file.
    head
        Its head.
    window
        Northing and easting in the file's own unit.
    margins
        How far round the window points are kept, and how far at least where they are too many,
        in the file's unit.

    Returns
    -------
    CloudGround
        The points, and what was left out there.

    Notes
    -----
    `staking.errors.InputError` comes where the points cannot be read, and where there are too
    many of them round the window.
    """
    withheld = 0
    kept = KeptWindow(head.path, window, margins)
    limits = _whole_numbers(kept.window, head)
    for points in _parts(stream, head):
        # Whole numbers are compared first, and the rest looked at only where they fit: most parts
        # of a file lie elsewhere, and few numbers are turned into coordinates.
        near = _between(points["Y"], limits[1])
        if not len(near):
            continue
        near = near[_between(points["X"][near], limits[0])]
        chosen = points[near]
        kinds, used = _kinds(chosen)
        withheld += int(np.count_nonzero((kinds == GROUND) & ~used))
        chosen = chosen[(kinds == GROUND) & used]
        if len(chosen):
            numbers = np.column_stack([chosen[name] for name in "XYZ"])
            kept.add(numbers * np.array(head.scales) + head.offsets)
            limits = _whole_numbers(kept.window, head)
    return CloudGround(places=kept.places(), margin=kept.margin, withheld=withheld)


Limits = tuple[np.int32, np.int32]


def _whole_numbers(window: Window, head: CloudHead) -> tuple[Limits, Limits]:
    """Give the whole numbers between which x and y lie in a window, as the file counts them."""
    found = []
    for axis, low, high in ((0, window.west, window.east), (1, window.south, window.north)):
        scale, offset = head.scales[axis], head.offsets[axis]
        ends = sorted(((low - offset) / scale, (high - offset) / scale))
        # One more each way for rounding: what is kept is compared as coordinates again.
        least, most = np.clip(
            [np.floor(ends[0]) - 1, np.ceil(ends[1]) + 1], -(2.0**31), 2.0**31 - 1
        ).astype(np.int32)
        found.append((least, most))
    return found[0], found[1]


def _between(numbers: npt.NDArray[np.int32], limits: Limits) -> npt.NDArray[np.intp]:
    """Find the numbers from one to another."""
    # Numbers side by side are compared in a third of the time of those a point apart.
    together = np.ascontiguousarray(numbers)
    return np.flatnonzero((together >= limits[0]) & (together <= limits[1]))


def _kinds(points: npt.NDArray[Any]) -> tuple[npt.NDArray[np.uint8], npt.NDArray[np.bool_]]:
    """Give the class of each point, and whether it may be used."""
    if "raw_classification" in (points.dtype.names or ()):
        raw = np.ascontiguousarray(points["raw_classification"], dtype=np.uint8)
        return np.bitwise_and(raw, np.uint8(0x1F)), raw < 0x80
    kinds = np.ascontiguousarray(points["classification"], dtype=np.uint8)
    flags = np.ascontiguousarray(points["classification_flags"], dtype=np.uint8)
    return kinds, np.bitwise_and(flags, np.uint8(0x04)) == 0


def _parts(stream: BinaryIO, head: CloudHead) -> Iterator[npt.NDArray[Any]]:
    """Read the points `PART` at a time, and give them `AT_ONCE`."""
    together = check_compressed(stream, head) if head.is_compressed else False
    with long_work(f"reading {PurePath(head.path).name}", head.count) as advance:
        with _own_faults(head):
            reader = _reader(stream, together)
            sound = reader.header.point_count == head.count
        left = head.count if sound else 0
        while left:
            with _own_faults(head):
                points = reader.read_points(min(PART, left)).array
            if len(points) < min(PART, left):
                raise head.fault(
                    f"the file ends after {head.count - left + len(points):,} of {head.count:,} "
                    "points"
                )
            left -= len(points)
            for start in range(0, len(points), AT_ONCE):
                yield points[start : start + AT_ONCE]
            advance(len(points))
        if not sound:
            raise head.fault("the head of this point cloud cannot be read")


def _reader(stream: BinaryIO, together: bool) -> LasReader:
    import laspy

    stream.seek(0)
    wanted = (
        laspy.DecompressionSelection
        .base()
        .decompress_z()
        .decompress_classification()
        .decompress_flags()
    )
    return laspy.LasReader(
        stream,
        closefd=False,
        laz_backend=laspy.LazBackend.LazrsParallel if together else laspy.LazBackend.Lazrs,
        read_evlrs=False,
        decompression_selection=wanted,
    )


@contextmanager
def _own_faults(head: CloudHead) -> Iterator[None]:
    """Turn whatever the libraries raise over a damaged file into our own error."""
    try:
        yield
    except (KeyboardInterrupt, SystemExit, GeneratorExit):
        raise
    except BaseException as fault:  # a panic of the compiled library is not an Exception
        raise head.fault("the points of this cloud cannot be read: the file is damaged") from fault
