"""Fields of alike lines, without quotes, comments or oddities, straight from their bytes."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from staking.frozen import frozen
from staking.points import Array, Texts
from staking.survey.delimited.dialect import Dialect
from staking.survey.delimited.number_columns import LEAD, decimal_column

_LINE_FEED, _BLANK = 10, 32
_WIDE = 64
"""Fields of one width are taken as wholes up to so many bytes."""
_ODD_STARTS = np.zeros(256, dtype=bool)
_ODD_STARTS[list(b"#/%!*;\n")] = True
_SMALL_R = ord("r")


@frozen(kw_only=False)
class Places:
    """The indices of the columns that are read, and how many columns there may be."""

    northing: int
    easting: int
    elevation: int | None
    point: int | None
    description: int | None
    width: int


@frozen(kw_only=False)
class PlainFields:
    """What was read: names and words are None where no column has them.

    `name_lengths` are ``(n,)``, how many bytes each name has; empty without names.
    """

    northing: Array
    easting: Array
    elevation: Array
    names: list[str] | None
    words: list[str] | None
    name_lengths: npt.NDArray[np.int64]


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
    numbers = [at for at in (places.northing, places.easting, places.elevation) if at is not None]
    start = 0
    for _ in range(min(numbers)):
        start = data.find(separator, start) + 1
    # A number is read with the bytes before it; only the first line may have too few of them.
    lead = 0 if start >= LEAD else LEAD
    padded = b"0" * lead + data if lead else data
    raw = np.frombuffer(padded, dtype=np.uint8)
    cut = _grid(raw, rows, width, separator[0], lead)
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
    names, words, lengths = None, None, lines[:0]
    if places.point is not None:
        starts = grid[:, places.point - 1] + 1 if places.point else lines
        names = _texts(raw, starts, grid[:, places.point], dialect.separator)
        lengths = grid[:, places.point] - starts
        if names is None or not lengths.all():
            return None
    if places.description is not None and places.description < width:
        starts = grid[:, places.description - 1] + 1 if places.description else lines
        words = _texts(raw, starts, grid[:, places.description], dialect.separator)
        if words is None:
            return None
    return PlainFields(columns[0], columns[1], columns[2], names, words, lengths)


def rising(names: Texts, lengths: npt.NDArray[np.int64]) -> bool:
    """Tell whether each name is longer than the one before, or as long and behind it.

    Parameters
    ----------
    names, lengths
        ``(n,)``: the names and how many bytes each has.

    Returns
    -------
    bool
        True where that holds all along, so that no two are alike.
    """
    behind = names[:-1] < names[1:]
    more = np.diff(lengths)
    if more.any():
        behind = (more > 0) | ((more == 0) & behind.astype(bool))
    return bool(behind.all())


def _grid(
    raw: npt.NDArray[np.uint8], rows: int, width: int, separator: int, lead: int
) -> tuple[npt.NDArray[np.int64], npt.NDArray[np.int64]] | None:
    """Return where each field ends, ``(rows, width)``, and where each line begins, after `lead`."""
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
    lines[0] = lead
    np.add(grid[:-1, -1], 1, out=lines[1:])
    starts = raw[lines]
    if _ODD_STARTS[starts].any() or _has_remark(raw, lines[(starts | 32) == _SMALL_R]):
        return None
    return grid, lines


def _has_remark(raw: npt.NDArray[np.uint8], lines: npt.NDArray[np.int64]) -> bool:
    """Tell whether one of the lines, which begin with R, begins with REM."""
    if len(lines) == 0:
        return False
    second, third = raw[lines + 1] | 32, raw[np.minimum(lines + 2, len(raw) - 1)] | 32
    return bool(((second == ord("e")) & (third == ord("m"))).any())


def _texts(
    raw: npt.NDArray[np.uint8],
    starts: npt.NDArray[np.int64],
    ends: npt.NDArray[np.int64],
    separator: str,
) -> list[str] | None:
    """Return the fields of a column, or None where one has blanks around it or is not UTF-8."""
    if ((raw[starts] <= _BLANK) & (starts < ends)).any():
        return None
    # Before an empty field stands a mark, which may be a line feed and no blank.
    if ((raw[ends - 1] <= _BLANK) & (ends > starts)).any():
        return None
    try:
        text = _with_marks(raw, starts, ends).decode("utf-8")
    except UnicodeDecodeError:
        return None
    if not text.isascii() and _has_wide_blanks(text):
        return None
    fields = text.split("\n" if raw[ends[0]] == _LINE_FEED else separator)
    fields.pop()
    return fields


def _with_marks(
    raw: npt.NDArray[np.uint8], starts: npt.NDArray[np.int64], ends: npt.NDArray[np.int64]
) -> bytes:
    """Return the fields of a column, one after the other, each with the mark that ends it."""
    lengths = ends - starts + 1
    size = int(lengths[0])
    if size <= _WIDE and bool((lengths == size).all()):
        windows: npt.NDArray[np.void] = np.ndarray(
            (len(raw) - size + 1,), dtype=f"V{size}", buffer=raw, strides=(1,)
        )
        return bytes(windows[starts].data)
    # What is left out between two fields, and each field.
    parts = np.empty(2 * len(starts), dtype=np.int64)
    parts[0] = starts[0]
    np.subtract(starts[1:], ends[:-1] + 1, out=parts[2::2])
    parts[1::2] = lengths
    kept = np.repeat(np.tile(np.array([False, True]), len(starts)), parts)
    return bytes(raw[: len(kept)][kept].data)


def _has_wide_blanks(text: str) -> bool:
    """Tell whether there are blanks beyond ASCII, which stripping would take off."""
    return any(blank in text for blank in "\u00a0\u2003\u2002\u2009\u3000\u202f\u0085\u1680")
