"""A grid of heights as text, rows from north to south under a head, as surveyed ground."""

from __future__ import annotations

import math
from collections.abc import Iterator
from pathlib import PurePath
from typing import BinaryIO

import numpy as np
import numpy.typing as npt

from staking.errors import InputError
from staking.ground_scan import GroundScan, Window
from staking.kinds import ScanKind
from staking.points import Array, SurveyPoints, SurveySettings
from staking.progress import long_work
from staking.survey.scanned.grid_head import GridHead, read_grid_head
from staking.survey.scanned.kept_window import KeptWindow
from staking.survey.scanned.scan_points import in_file_unit, in_metres, scan_points
from staking.survey.scanned.scan_system import (
    ScanSystem,
    Stated,
    doubtful,
    doubts_of_place,
    settle_system,
)

BLOCK = 1_000_000
"""Bytes that are read at a time."""

FORMAT = "height grid as text"


def parse_height_grid(stream: BinaryIO, name: str, settings: SurveySettings) -> SurveyPoints:
    """Look through a height grid: its extents and how many cells have a height.

    Parameters
    ----------
    stream
        The file.
    name
        As the user named it.
    settings
        What the user says of it: a grid says neither its unit nor its system.

    Returns
    -------
    SurveyPoints
        Without a point: the figures stand in `scan`.
    """
    head = read_grid_head(stream, name)
    stated = Stated(path=name)
    system = settle_system(stated, settings)
    count, low, high = 0, math.inf, -math.inf
    for values, _ in _rows(stream, head, 0, head.rows - 1):
        known = values[_has_height(values, head)]
        if len(known):
            count += len(known)
            low, high = min(low, float(known.min())), max(high, float(known.max()))
    if not count:
        raise head.fault("no cell of this height grid has a height")
    ends = np.array([[head.west, head.south, low], [head.east, head.north, high]])
    extent = in_metres(ends, system)
    middle = (sum(extent[0]) / 2, sum(extent[1]) / 2)
    told = doubtful(doubts_of_place(stated, settings, system, middle))
    scan = _scan(head, system, count, extent, None)
    return scan_points(name, FORMAT, np.empty((0, 3)), scan, system, tuple(told))


def system_of_height_grid(stream: BinaryIO, name: str, settings: SurveySettings) -> ScanSystem:
    """Say in what a height grid is read.

    Parameters
    ----------
    stream, name, settings
        As `parse_height_grid` has them.

    Returns
    -------
    ScanSystem
        What the user says of it.
    """
    read_grid_head(stream, name)
    return settle_system(Stated(path=name), settings)


def read_height_grid_window(
    stream: BinaryIO, name: str, settings: SurveySettings, window: Window
) -> SurveyPoints:
    """Read the heights of a grid round the building.

    Parameters
    ----------
    stream, name, settings
        As `parse_height_grid` has them.
    window
        Where the building or the lot is, northing and easting in the grid's system, m.

    Returns
    -------
    SurveyPoints
        A point at the middle of every cell with a height, without names; none where the grid lies
        elsewhere.

    Raises
    ------
    InputError
        For a damaged file.
    """
    head = read_grid_head(stream, name)
    stated = Stated(path=name)
    system = settle_system(stated, settings)
    middle = tuple(
        each * system.unit.metres
        for each in ((head.south + head.north) / 2, (head.west + head.east) / 2)
    )
    doubts = doubts_of_place(stated, settings, system, (middle[0], middle[1]))
    if doubts:
        raise InputError(*doubts)
    flat, margins = in_file_unit(window, system)
    kept = KeptWindow(name, flat, margins)
    first = max(0, math.floor((head.north - kept.window.north) / head.cell))
    last = min(head.rows - 1, math.ceil((head.north - kept.window.south) / head.cell))
    columns = head.west + np.arange(head.columns) * head.cell
    near = (columns >= kept.window.west) & (columns <= kept.window.east)
    if first <= last and near.any():
        for values, row in _rows(stream, head, first, last):
            chosen = _has_height(values, head) & near
            if chosen.any():
                north = np.full(int(chosen.sum()), head.north - row * head.cell)
                kept.add(np.column_stack((columns[chosen], north, values[chosen])))
    places = kept.places()
    ends = np.array([[head.west, head.south], [head.east, head.north]])
    levels = places[:, 2] if len(places) else np.zeros(1)
    extent = in_metres(np.column_stack((ends, [levels.min(), levels.max()])), system)
    scan = _scan(head, system, len(places), extent, kept.margin * system.unit.metres)
    return scan_points(name, FORMAT, places, scan, system, ())


def _scan(
    head: GridHead,
    system: ScanSystem,
    count: int,
    extent: tuple[tuple[float, float], ...],
    margin: float | None,
) -> GroundScan:
    return GroundScan(
        kind=ScanKind.GRID,
        count=count,
        ground=count,
        extent=extent,
        heights_unit=system.heights_unit.value,
        cell=head.cell * system.unit.metres,
        margin=margin,
    )


def _has_height(values: Array, head: GridHead) -> npt.NDArray[np.bool_]:
    found: npt.NDArray[np.bool_] = np.isfinite(values) & (values != head.nothing)
    return found


def _rows(stream: BinaryIO, head: GridHead, first: int, last: int) -> Iterator[tuple[Array, int]]:
    # The rows from one to another, counted from the north, each with its number. A row may run over
    # several lines of the file; those before the first are counted and not read as numbers.
    left: list[bytes] = []
    row, line = 0, head.lines
    stream.seek(head.size)
    with long_work(f"reading {PurePath(head.path).name}", last + 1) as advance:
        for words, lines in _words(stream, head, line):
            left += words
            done = 0
            while len(left) - done >= head.columns and row <= last:
                if row >= first:
                    yield _numbers(head, left[done : done + head.columns], row), row
                done += head.columns
                row += 1
            del left[:done]
            line = lines
            advance(done // head.columns)
            if row > last and last < head.rows - 1:
                return
    if row < head.rows or left:
        heights = row * head.columns + len(left)
        raise head.fault(
            f"the file has {heights:,} heights, and its head says {head.columns:,} times "
            f"{head.rows:,}",
            "get the file anew; a download may have been cut short",
        )


def _words(stream: BinaryIO, head: GridHead, line: int) -> Iterator[tuple[list[bytes], int]]:
    """Give the words of the file, a block of it at a time, and the line it ends in."""
    rest = b""
    while block := stream.read(BLOCK):
        block = rest + block
        line += block.count(b"\n")
        cut = max(block.rfind(b"\n"), block.rfind(b" "), block.rfind(b"\t"), block.rfind(b"\r"))
        rest = block[cut + 1 :]
        if len(rest) > 1000:
            raise head.fault("this holds a number of over a thousand signs", line=line)
        yield block[: cut + 1].split(), line
    yield rest.split(), line


def _numbers(head: GridHead, words: list[bytes], row: int) -> Array:
    try:
        return np.array(words, dtype=float)
    except ValueError:
        pass
    for column, word in enumerate(words, 1):
        try:
            float(word)
        except ValueError:
            text = word[:40].decode("latin-1")
            raise head.fault(
                f"row {row + 1}, column {column}: “{text}” is not a height",
                "write a number with a decimal point",
            ) from None
    raise head.fault(f"row {row + 1} holds what is not a height")
