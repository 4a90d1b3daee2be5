"""The head of a height grid: how many rows and columns, where they lie, what stands for none."""

from __future__ import annotations

import math
import re
from typing import BinaryIO

from staking.errors import InputError, Problem
from staking.frozen import frozen

HEAD_WORD = re.compile(rb"\A(?:\xef\xbb\xbf)?\s*ncols\s+[0-9]", re.IGNORECASE)
"""How a file of this form begins."""

MOST_CELLS = 400_000_000
"""A grid of more cells takes minutes to go through (common practice, no source)."""

NOTHING = -9999.0
"""What stands for no height where the head does not say."""

_WORDS = ("ncols", "nrows", "xllcorner", "xllcenter", "yllcorner", "yllcenter", "cellsize",
          "nodata_value")  # fmt: skip
_LONGEST = 200
_EXAMPLE = (
    "the lines ncols, nrows, xllcorner, yllcorner and cellsize, each with its number, are due"
)


@frozen
class GridHead:
    """The head of a height grid.

    Parameters
    ----------
    path
        The file as the user named it.
    columns, rows
        How many there are.
    west, south
        The middle of the lowest left cell, in the file's unit.
    cell
        The side of a cell.
    nothing
        The number that stands for no height.
    lines, size
        Lines of the head; bytes of it.
    """

    path: str
    columns: int
    rows: int
    west: float
    south: float
    cell: float
    nothing: float
    lines: int
    size: int

    @property
    def east(self) -> float:
        """The middle of the cells farthest right."""
        return self.west + (self.columns - 1) * self.cell

    @property
    def north(self) -> float:
        """The middle of the cells farthest up."""
        return self.south + (self.rows - 1) * self.cell

    def fault(self, message: str, remedy: str = "", line: int | None = None) -> InputError:
        """Make the error that refuses this file."""
        return InputError(Problem(path=self.path, line=line, message=message, remedy=remedy))


def read_grid_head(stream: BinaryIO, path: str) -> GridHead:
    """Read the head of a height grid and hold it against the file's size.

    Parameters
    ----------
    stream
        The file.
    path
        Its name as the user typed it.

    Returns
    -------
    GridHead
        The head; the stream stands behind it.

    Raises
    ------
    InputError
        With every line of the head that is missing or wrong, and where the file cannot hold as
        many heights as it says.
    """
    size = stream.seek(0, 2)
    stream.seek(0)
    found: dict[str, tuple[int, float]] = {}
    problems: list[Problem] = []
    line, at = 0, 0
    while True:
        raw = stream.readline(_LONGEST)
        words = raw.decode("latin-1").removeprefix("\u00ef\u00bb\u00bf").split()
        if not words and raw and line < 30:
            line, at = line + 1, stream.tell()
            continue
        if not words or not words[0][0].isalpha() or words[0].lower() in {"nan", "inf"}:
            break
        line, at = line + 1, stream.tell()
        problems += _take(path, line, words, found)
        if problems or line > 30:
            break
    stream.seek(at)
    problems = problems or _missing(path, found)
    if problems:
        raise InputError(*problems)
    head = _head(path, found, line, at)
    # A height has at least one sign and a blank behind it.
    room = (size - at + 1) // 2
    if head.columns * head.rows > room:
        raise head.fault(
            f"the head says that there are {head.columns:,} times {head.rows:,} heights, and the "
            f"file has room for {room:,}",
            "get the file anew; a download may have been cut short",
        )
    if head.columns * head.rows > MOST_CELLS:
        raise head.fault(
            f"there are {head.columns * head.rows:,} heights in this grid; {MOST_CELLS:,} are the "
            "most",
            "cut out the surroundings of the lot first",
        )
    return head


def _take(
    path: str, line: int, words: list[str], found: dict[str, tuple[int, float]]
) -> list[Problem]:
    """Take one line of the head."""
    word = words[0].lower()
    if word not in _WORDS or len(words) != 2:
        text = " ".join(words)[:60]
        return [Problem(path=path, line=line, message=f"“{text}” is not a line of a height grid's "
                        "head", remedy=_EXAMPLE)]  # fmt: skip
    try:
        value = float(words[1])
    except ValueError:
        value = math.nan
    whole = word in {"ncols", "nrows"}
    if not math.isfinite(value) or (whole and (value != int(value) or value < 1)):
        kind = "whole number" if whole else "number"
        return [Problem(path=path, line=line, message=f"{word} is “{words[1][:40]}”, which is not "
                        f"a {kind}", remedy="write one")]  # fmt: skip
    if word in found:
        return [Problem(path=path, line=line, message=f"{word} stands twice, first in line "
                        f"{found[word][0]}", remedy="keep one")]  # fmt: skip
    found[word] = line, value
    return []


def _missing(path: str, found: dict[str, tuple[int, float]]) -> list[Problem]:
    wanted = [("ncols",), ("nrows",), ("xllcorner", "xllcenter"), ("yllcorner", "yllcenter"),
              ("cellsize",)]  # fmt: skip
    short = [" or ".join(each) for each in wanted if not any(word in found for word in each)]
    if short:
        none = ", no ".join(short)
        return [Problem(path=path, message=f"the head of this height grid has no {none}",
                        remedy=_EXAMPLE)]  # fmt: skip
    both = [each for each in wanted if all(word in found for word in each) and len(each) > 1]
    if both:
        return [Problem(path=path, line=found[both[0][1]][0], message=f"{both[0][0]} and "
                        f"{both[0][1]} are both given", remedy="keep one")]  # fmt: skip
    if found["cellsize"][1] <= 0:
        return [Problem(path=path, line=found["cellsize"][0], message="cellsize is not above 0",
                        remedy="write the side of a cell")]  # fmt: skip
    return []


def _head(path: str, found: dict[str, tuple[int, float]], lines: int, size: int) -> GridHead:
    values = {word: value for word, (_, value) in found.items()}
    cell = values["cellsize"]

    def middle(axis: str) -> float:
        centre = values.get(f"{axis}llcenter")
        return centre if centre is not None else values[f"{axis}llcorner"] + cell / 2

    return GridHead(
        path=path,
        columns=int(values["ncols"]),
        rows=int(values["nrows"]),
        west=middle("x"),
        south=middle("y"),
        cell=cell,
        nothing=values.get("nodata_value", NOTHING),
        lines=lines,
        size=size,
    )
