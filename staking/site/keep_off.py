"""Distances that the building keeps off a well, a tank, a field or an easement."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from staking.kinds import LotPart
from staking.lines import Array, crossings, distances, inside
from staking.notices import Length, Notice, Severity, notice
from staking.site.site_request import KeepOff
from staking.site.site_results import KeptOff, Placement


def is_ground(names: Sequence[str]) -> bool:
    """Say whether points are the edge of a piece of ground: the last is the first again."""
    return len(names) > 3 and names[0] == names[-1]


def kept_off(
    asked: Sequence[KeepOff],
    places: Mapping[str, Array],
    parts: Mapping[LotPart, Sequence[Array]],
    placement: Placement,
    doubts: Mapping[str, float],
) -> tuple[KeptOff, ...]:
    """Return how far the building keeps off each thing.

    Parameters
    ----------
    asked
        What is kept off, each by its own name.
    places
        The points of each by its name, ``(n, 2)`` on the building grid, m.
    parts
        Eave, wall and footing, each as rings, m.
    placement
        Where the building is.
    doubts
        How far off the points of each may be, by its name, m.

    Returns
    -------
    tuple of KeptOff
        In the order given: the least distance from the part that is measured from.
    """
    found = []
    for each in asked:
        points = places[each.name]
        by_ring = [_nearest(ring, points, each.through) for ring in parts[each.keeps]]
        distance, at = min(by_ring, key=lambda pair: pair[0])
        north, east = placement.to_site(at[None])[0].tolist()
        found.append(
            KeptOff(
                name=each.name,
                what=each.keeps,
                distance=distance,
                least=each.least,
                at=(north, east),
                doubt=doubts.get(each.name, 0.0),
            )
        )
    return tuple(found)


def _nearest(ring: Array, points: Array, names: Sequence[str]) -> tuple[float, Array]:
    """Return the least distance of a ring of the building from a chain, and where on the ring."""
    ends = np.roll(ring, -1, axis=0)
    within = np.flatnonzero(inside(points, ring))
    if len(within):
        return 0.0, points[within[0]]
    if is_ground(names) and inside(ring[:1], points[:-1]).any():
        return 0.0, ring[0]
    if len(points) > 1:
        met = crossings(ring, ends, points[:-1], points[1:])
        if not np.isnan(met).all():
            side = int(np.argwhere(~np.isnan(met))[0, 0])
            share = float(np.nanmin(met[side]))
            return 0.0, ring[side] + share * (ends[side] - ring[side])
    from_point, part = distances(points, ring, ends)
    row, column = divmod(int(from_point.argmin()), len(ring))
    best = float(from_point[row, column])
    at = ring[column] + part[row, column] * (ends[column] - ring[column])
    if len(points) > 1:
        from_corner, _ = distances(ring, points[:-1], points[1:])
        if float(from_corner.min()) < best:
            best = float(from_corner.min())
            at = ring[int(from_corner.min(axis=1).argmin())]
    return best, at


def keep_off_notices(found: Sequence[KeptOff]) -> tuple[Notice, ...]:
    """Say which distances are not kept.

    Parameters
    ----------
    found
        The distances.

    Returns
    -------
    tuple of Notice
        ``keep-off``, broken.
    """
    return tuple(_notice(each) for each in found if not each.ok)


def _notice(found: KeptOff) -> Notice:
    text = "the {what} stands on {name}, from which {least} is to be kept"
    if found.distance > 0:
        text = "the {what} comes within {distance} of {name}, from which {least} is to be kept"
        if found.is_broken:
            text += ": it lacks {short}"
        else:
            text += (
                "; its place is drawn from the deed and may be {doubt} off, so nobody can say that "
                "it is kept: have it surveyed"
            )
    return notice(
        "keep-off",
        text,
        Severity.BROKEN,
        what=found.what,
        distance=Length(found.distance),
        name=found.name,
        least=Length(found.least),
        short=Length(found.least - found.distance),
        doubt=Length(found.doubt),
    )
