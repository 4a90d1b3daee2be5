"""Fields of alike lines, without quotes, comments or oddities, straight from their bytes."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from staking.points import Array
from staking.survey.delimited_dialect import Dialect
from staking.survey.delimited_numbers import LEAD, decimal_column

_LINE_FEED, _BLANK = 10, 32
_ODD_STARTS = np.zeros(256, dtype=bool)
_ODD_STARTS[list(b"#/%!\n")] = True


@dataclass(frozen=True, slots=True)
class Places:
    """The indices of the columns that are read, and how many columns there may be."""

    northing: int
    easting: int
    elevation: int | None
    point: int | None
    description: int | None
    width: int


@dataclass(frozen=True, slots=True)
class PlainFields:
    """What was read: names and words are None where no column has them."""

    northing: Array
    easting: Array
    elevation: Array
    names: list[str] | None
    words: list[str] | None


def plain_fields(data: bytes, rows: int, dialect: Dialect, places: Places) -> PlainFields | None:
    """Read a block of lines at once.

    Parameters
    ----------
    data
        The lines, each ended by a line feed.
    rows
        How many there are.
    dialect
        How they are cut.
    places
        Which column is which.

    Returns
    -------
    PlainFields or None
        The fields; None where the lines are not all alike or have anything that needs more care,
        so that they are to be read in another way.
    """
    separator = dialect.separator.encode()
    if b'"' in data:
        return None
    width = data.count(separator, 0, data.find(b"\n")) + 1
    used = [at for at in (places.northing, places.easting, places.elevation, places.point)
            if at is not None]  # fmt: skip
    if not max(used) < width <= places.width:
        return None
    padded = b"0" * LEAD + data
    raw = np.frombuffer(padded, dtype=np.uint8)
    cut = _grid(raw, rows, width, separator[0])
    if cut is None:
        return None
    grid, lines = cut
    columns = []
    for at in (places.northing, places.easting, places.elevation):
        if at is None:
            columns.append(np.full(rows, np.nan))
            continue
        starts = grid[:, at - 1] + 1 if at else lines
        column = decimal_column(
            padded,
            starts,
            np.ascontiguousarray(grid[:, at]),
            has_decimal_comma=dialect.has_decimal_comma,
            may_be_empty=at == places.elevation,
        )
        if column is None:
            return None
        columns.append(column)
    kept = [at for at in (places.point, places.description) if at is not None and at < width]
    texts = _texts(raw, grid, lines, sorted(kept), dialect.separator)
    if texts is None:
        return None
    names = texts.get(places.point)
    if names is not None and not all(names):
        return None
    return PlainFields(columns[0], columns[1], columns[2], names, texts.get(places.description))


def _grid(
    raw: npt.NDArray[np.uint8], rows: int, width: int, separator: int
) -> tuple[npt.NDArray[np.int64], npt.NDArray[np.int64]] | None:
    """Return where each field ends, ``(rows, width)``, and where each line begins."""
    is_mark = raw == separator
    is_mark |= raw == _LINE_FEED
    marks = np.flatnonzero(is_mark)
    if len(marks) != rows * width:
        return None
    grid = marks.reshape(rows, width)
    # As many line feeds as rows, each at the end of one, leave none elsewhere.
    if (raw[grid[:, -1]] != _LINE_FEED).any():
        return None
    lines = np.empty(rows, dtype=np.int64)
    lines[0] = LEAD
    np.add(grid[:-1, -1], 1, out=lines[1:])
    return None if _ODD_STARTS[raw[lines]].any() else (grid, lines)


def _texts(
    raw: npt.NDArray[np.uint8],
    grid: npt.NDArray[np.int64],
    lines: npt.NDArray[np.int64],
    kept: list[int],
    separator: str,
) -> dict[int | None, list[str]] | None:
    """Return the fields of some columns, or None where one has blanks around it or is no UTF-8."""
    if not kept:
        return {}
    rows, width = grid.shape
    for at in kept:
        starts = grid[:, at - 1] + 1 if at else lines
        if ((raw[starts] <= _BLANK) & (starts < grid[:, at])).any():
            return None
        ends = grid[:, at] - 1
        # Before an empty field stands a mark, which may be a line feed and no blank.
        if ((raw[ends] <= _BLANK) & (ends >= starts)).any():
            return None
    # Neighbours that are both kept, or both not, are one run of bytes.
    lasts = [at for at in range(width) if at == width - 1 or (at in kept) != (at + 1 in kept)]
    lengths = np.diff(grid[:, lasts].ravel(), prepend=LEAD - 1)
    mask = np.repeat(np.tile(np.array([at in kept for at in lasts]), rows), lengths)
    try:
        text = raw[LEAD:][mask].tobytes().decode("utf-8")
    except UnicodeDecodeError:
        return None
    if not text.isascii() and _has_wide_blanks(text):
        return None
    # The last column kept may end in a separator or, at a line's end, in a line feed.
    flat_text = text.replace("\n", separator)
    flat = flat_text.split(separator)
    flat.pop()
    return {at: flat[index :: len(kept)] for index, at in enumerate(kept)}


def _has_wide_blanks(text: str) -> bool:
    """Tell whether there are blanks beyond ASCII, which stripping would take off."""
    return any(blank in text for blank in "\u00a0\u2003\u2002\u2009\u3000\u202f\u0085\u1680")
