"""Which texts of a drawing label which points: the ones beside them, where that is plain."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import field

import numpy as np
import numpy.typing as npt

from staking.frozen import frozen
from staking.points import Array
from staking.survey.dxf.drawn_texts import DrawnText

REACH = 3.0
"""A label stands no farther from its point than this, as a part of its letters' height (common
practice, no source)."""
PLAINLY = 2.0
"""The next point must lie so many times as far from a label as its own (common practice, no
source)."""
_APART = 1.5
"""And no nearer than so many of its letters' heights (common practice, no source)."""
_SHARE = 0.5
"""A layer holds labels where at least this part of its texts stands beside points (common
practice, no source)."""

ON_POINT = 6
"""A text sits on a point whose x and y agree with its own to this many decimals."""

_PAIRS = 1_000_000
"""So many texts and points near one another are looked at together, to bound the memory."""
_CROWDED = 200
"""Where a text has on the average more points within reach than this, none is its own."""

Place = tuple[float, float]


@frozen
class Labels:
    """What stands beside points.

    Parameters
    ----------
    at
        The texts of each place that has any, in the order of the drawing.
    between
        Texts that stand beside several points, none of them plainly the nearest.
    left
        How many texts label nothing.
    """

    at: dict[Place, list[DrawnText]] = field(default_factory=dict)
    between: tuple[DrawnText, ...] = ()
    left: int = 0


def key(x: float, y: float) -> Place:
    """Return a place, rounded so that what sits on it has the same."""
    # Adding nothing turns a negative nothing into a plain one.
    return round(x, ON_POINT) + 0.0, round(y, ON_POINT) + 0.0


def find_labels(texts: Sequence[DrawnText], places: Sequence[Place]) -> Labels:
    """Find the point that each text labels.

    Parameters
    ----------
    texts
        Of the drawing.
    places
        x, y of its points, by `key`, each once.

    Returns
    -------
    Labels
        A text that sits on a point is that point's. Another is the nearest point's within `REACH`,
        unless a second point is nearly as near or its layer seldom stands beside points.
    """
    sitting: dict[int, Place] = {}
    there = set(places)
    for index, text in enumerate(texts):
        for x, y in text.places:
            if math.isfinite(x) and math.isfinite(y) and key(x, y) in there:
                sitting[index] = key(x, y)
                break
    free = [index for index in range(len(texts)) if index not in sitting]
    beside = dict(_nearest(texts, free, places))
    usual = Counter(text.layer for text in texts)
    near = Counter(texts[index].layer for index in (*sitting, *beside))
    at: dict[Place, list[DrawnText]] = {}
    between = []
    count = 0
    for index, text in enumerate(texts):
        own = sitting.get(index)
        if own is None and index in beside and near[text.layer] >= _SHARE * usual[text.layer]:
            own = beside[index]
            if own is None:
                between.append(text)
        if own is not None:
            at.setdefault(own, []).append(text)
            count += 1
    return Labels(at=at, between=tuple(between), left=len(texts) - count - len(between))


def _nearest(
    texts: Sequence[DrawnText], free: Sequence[int], places: Sequence[Place]
) -> Iterator[tuple[int, Place | None]]:
    """Give each text that has a point within its reach, with that point or None for several."""
    from shapely import STRtree, box, points

    spots = np.array(places, dtype=float).reshape(-1, 2)
    known = np.isfinite(spots).all(axis=1)
    spots, kept = spots[known], np.flatnonzero(known)
    reaching = [index for index in free if texts[index].letter > 0]
    if len(spots) == 0 or not reaching:
        return
    tree = STRtree(points(spots))
    step = max(1, _PAIRS // len(spots))
    looked_at = 0
    for start in range(0, len(reaching), step):
        part = reaching[start : start + step]
        rooms = np.array([texts[index].room for index in part])
        found = tree.query(box(*_around(rooms).T))
        looked_at += found.shape[1]
        if looked_at > _CROWDED * (start + len(part)) + _PAIRS:
            return
        whose, own = _own(rooms, spots, found[0], found[1])
        for row, spot in zip(whose.tolist(), own.tolist(), strict=True):
            yield part[row], None if spot < 0 else places[kept[spot]]


def _around(rooms: Array) -> Array:
    """Return ``(n, 4)`` least and greatest x, y within which a point can matter to each text."""
    x, y, cosine, sine, length, height, letter = rooms.T
    # The next point counts as far as it may lie and still leave a doubt.
    around = PLAINLY * REACH * letter
    across = (length * np.abs(cosine) + height * np.abs(sine)) / 2 + around
    upward = (length * np.abs(sine) + height * np.abs(cosine)) / 2 + around
    return np.column_stack((x - across, y - upward, x + across, y + upward))


def _own(
    rooms: Array, spots: Array, whose: npt.NDArray[np.int64], which: npt.NDArray[np.int64]
) -> tuple[npt.NDArray[np.int64], npt.NDArray[np.int64]]:
    """Find the point of each text that has one within its reach.

    Parameters
    ----------
    rooms
        ``(n, 7)``, as `DrawnText.room`.
    spots
        ``(m, 2)``: x, y of the points.
    whose, which
        ``(k,)`` pairs of a text and a point near it.

    Returns
    -------
    tuple of Array
        The texts, and for each its point; -1 where several may be.
    """
    x, y, cosine, sine, length, height, letter = rooms[whose].T
    away = spots[which] - np.column_stack((x, y))
    beside = np.abs(away[:, 0] * cosine + away[:, 1] * sine) - length / 2
    above = np.abs(away[:, 1] * cosine - away[:, 0] * sine) - height / 2
    distance = np.hypot(np.maximum(beside, 0.0), np.maximum(above, 0.0))
    order = np.lexsort((distance, whose))
    whose, which, distance, letter = whose[order], which[order], distance[order], letter[order]
    first = np.flatnonzero(np.diff(whose, prepend=-1))
    next_one = np.minimum(first + 1, len(whose) - 1)
    has_next = (next_one > first) & (whose[next_one] == whose[first])
    second = np.where(has_next, distance[next_one], np.inf)
    near = distance[first]
    is_open = (second < PLAINLY * near) | (second < _APART * letter[first])
    own = np.where(is_open, -1, which[first])
    within = near <= REACH * letter[first]
    return whose[first][within], own[within]
