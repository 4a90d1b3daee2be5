"""Columns of decimal numbers straight from the bytes of alike lines, many at once.

A number of at most eight digits on either side of its point is taken as a whole number of its last
decimals and divided once by a power of ten. Both are exact as doubles below 2**53, so the quotient
is the double nearest to what is written, the same as reading it by itself. Anything else — more
digits, an exponent, a blank — is left to be read by itself.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from staking.points import Array

LEAD = 8
"""How many bytes stand before the text, so that eight can be looked at before any place in it."""

_Bytes = npt.NDArray[np.uint8]
_Places = npt.NDArray[np.int64]
_Words = npt.NDArray[np.uint64]

_POINT, _COMMA, _MINUS = 46, 44, 45
_MOST_DIGITS = 8
_EXACT = 1 << 53
_SURELY_EXACT = 15
"""Numbers of so many digits are below `_EXACT`."""
_ZEROS = 0x3030303030303030


def _word(value: int) -> np.uint64:
    return np.uint64(value & 0xFFFFFFFFFFFFFFFF)


# For k digits at the end of eight bytes: which bytes are kept, and the zeros for the others.
_KEPT = np.array(
    [((1 << 64) - 1 << 8 * (8 - k)) & ((1 << 64) - 1) for k in range(9)], dtype=np.uint64
)
_FILLED = np.array([_ZEROS & ~int(kept) for kept in _KEPT], dtype=np.uint64)


def decimal_column(
    lead_and_text: bytes, starts: _Places, ends: _Places, *, has_decimal_comma: bool = False,
    may_be_empty: bool = False,
) -> Array | None:  # fmt: skip
    """Read one column of numbers.

    Parameters
    ----------
    lead_and_text
        `LEAD` bytes and then the text.
    starts, ends
        ``(n,)`` where each field begins and ends, counted in `lead_and_text`.
    has_decimal_comma
        Whether the decimal mark is a comma.
    may_be_empty
        Whether an empty field, or a dash alone, is not-a-number rather than none of the column.

    Returns
    -------
    numpy.ndarray or None
        ``(n,)``; None where a field is not of the simple form and is to be read by itself.
    """
    raw = np.frombuffer(lead_and_text, dtype=np.uint8)
    words = np.ndarray((len(raw) - 7,), dtype="<u8", buffer=lead_and_text, strides=(1,))
    # A minus sign is looked for in whole blocks first: few surveys have any.
    negative = raw[starts] == _MINUS if b"-" in lead_and_text else None
    if negative is not None:
        starts = starts + negative
    mark = _COMMA if has_decimal_comma else _POINT
    width = ends - starts
    has_empty = int(width.min()) <= 0
    if has_empty and not may_be_empty:
        return None
    places = _decimals(raw, starts, ends, width, mark)
    if places is None:
        return None
    whole_ends = ends - places - (places > 0)
    digits = whole_ends - starts
    if (isinstance(places, np.ndarray) or places) and np.any((digits < 0) & (places > 0)):
        return None
    most, least = int(digits.max()), int(digits.min())
    if most > _MOST_DIGITS:
        return None
    # As many in every line, as most files have them, spare looking each one's number up.
    count = np.int64(most) if most == least and least >= 0 else np.maximum(digits, 0)
    whole = _digits(words, whole_ends, count)
    part: _Words | None = None
    if isinstance(places, np.integer):
        part = _few_digits(lead_and_text, ends, int(places))
    if part is None:
        part = _digits(words, ends, places) if np.any(places) else np.zeros(1, dtype=np.uint64)
    if whole is None or part is None:
        return None
    scale = _TENS[places]
    whole *= scale.astype(np.uint64)
    whole += part
    if most + int(np.max(places)) > _SURELY_EXACT and int(whole.max()) >= _EXACT:
        return None
    value: Array = whole.astype(np.float64)
    value /= scale
    if negative is not None:
        np.negative(value, out=value, where=negative)
    if has_empty:
        value[width <= 0] = np.nan
    return value


_TENS = 10.0 ** np.arange(_MOST_DIGITS + 1)


def _decimals(
    raw: _Bytes, starts: _Places, ends: _Places, width: _Places, mark: int
) -> np.int64 | _Places | None:
    """Return how many digits stand behind the decimal mark: one number where all have the same."""
    first = raw[starts[0] : ends[0]].tolist()
    usual = len(first) - 1 - first.index(mark) if mark in first else 0
    if usual > _MOST_DIGITS:
        return None
    if usual and int(width.min()) > usual and bool((raw[ends - 1 - usual] == mark).all()):
        return np.int64(usual)
    places = np.zeros(len(ends), dtype=np.int64)
    for behind in range(_MOST_DIGITS + 1):
        here = (raw[ends - 1 - behind] == mark) & (width > behind)
        if behind == 0:
            if here.any():
                return None
            continue
        places[here & (places == 0)] = behind
    return places


def _few_digits(lead_and_text: bytes, ends: _Places, count: int) -> _Words | None:
    """Return the whole numbers that at most four digits make, or None for more or no digits."""
    if not 0 < count <= 4:
        return None
    short = np.ndarray((len(lead_and_text) - 3,), dtype="<u4", buffer=lead_and_text, strides=(1,))
    found = short[ends - 4]
    kept = (0xFFFFFFFF << 8 * (4 - count)) & 0xFFFFFFFF
    found &= np.uint32(kept)
    found |= np.uint32(0x30303030 & ~kept)
    # A byte over "9" overflows by the addition, one under "0" by the subtraction.
    over = found + np.uint32(0x46464646)
    found -= np.uint32(0x30303030)
    over |= found
    if int(np.bitwise_or.reduce(over)) & 0x80808080:
        return None
    found *= np.uint32(2561)
    found >>= np.uint32(8)
    found &= np.uint32(0x00FF00FF)
    found *= np.uint32(6553601)
    found >>= np.uint32(16)
    return found.astype(np.uint64)


def _digits(words: _Words, ends: _Places, count: np.int64 | _Places) -> _Words | None:
    """Return the whole numbers that `count` digits before each end make, or None for no digits."""
    found: _Words = words[ends - 8]
    found &= _KEPT[count]
    found |= _FILLED[count]
    # A byte over "9" overflows by the addition, one under "0" by the subtraction.
    over = found + _word(0x4646464646464646)
    found -= _word(_ZEROS)
    over |= found
    if int(np.bitwise_or.reduce(over)) & 0x8080808080808080:
        return None
    # Pairs of digits, then fours, then all eight, each in one multiplication.
    found *= _word(2561)
    found >>= _word(8)
    found &= _word(0x00FF00FF00FF00FF)
    found *= _word(6553601)
    found >>= _word(16)
    found &= _word(0x0000FFFF0000FFFF)
    found *= _word(42949672960001)
    found >>= _word(32)
    return found
