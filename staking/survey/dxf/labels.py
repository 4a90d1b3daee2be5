"""Which texts of a drawing label which points: the ones beside them, where that is plain."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

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

_PAIRS = 4_000_000
"""So many texts and points near one another are looked at together, to bound the memory."""
_CROWDED = 200
"""Where a text has on the average more points within reach than this, none is its own."""

Place = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
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
        rooms = np.array([_room(texts[index]) for index in part])
        found = tree.query(box(*rooms.T))
        looked_at += found.shape[1]
        if looked_at > _CROWDED * (start + len(part)) + _PAIRS:
            return
        order = np.argsort(found[0], kind="stable")
        whose, which = found[0][order], found[1][order]
        cuts = np.flatnonzero(np.diff(whose)) + 1
        for rows in np.split(np.arange(len(whose)), cuts):
            if len(rows) == 0:
                continue
            index = part[int(whose[rows[0]])]
            own = _own(texts[index], spots[which[rows]])
            if own is not None:
                yield index, None if own < 0 else places[kept[which[rows[own]]]]


def _room(text: DrawnText) -> tuple[float, float, float, float]:
    """Return the least and greatest x, y within which a point can matter to a text."""
    # The next point counts as far as it may lie and still leave a doubt.
    around = PLAINLY * REACH * text.letter
    cosine, sine = abs(text.along[0]), abs(text.along[1])
    x = (text.length * cosine + text.height * sine) / 2 + around
    y = (text.length * sine + text.height * cosine) / 2 + around
    return text.middle[0] - x, text.middle[1] - y, text.middle[0] + x, text.middle[1] + y


def _own(text: DrawnText, spots: Array) -> int | None:
    """Return which of the places a text labels; -1 where several may be, None for none."""
    away: npt.NDArray[np.float64] = text.distances(spots)
    order = np.argsort(away, kind="stable")
    first = float(away[order[0]])
    if first > REACH * text.letter:
        return None
    if len(order) > 1:
        second = float(away[order[1]])
        if second < PLAINLY * first or second < _APART * text.letter:
            return -1
    return int(order[0])
