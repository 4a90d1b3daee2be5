"""How near the building comes to the boundary, and what of it stands over the line.

The distance from a boundary line is the true least distance from the stretch between its two
points. Over the line it is negative and square to the line: how far the building would have to
move straight back. Everything here is worked out on the building grid.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np
import numpy.typing as npt

from staking.footing.bands_and_outlines import Outline
from staking.frozen import frozen
from staking.kinds import LotPart
from staking.lines import (
    Array,
    cross,
    crossings,
    distances,
    dot,
    inside,
    intersect_lines,
    left_of,
    signed_area,
    unit,
)
from staking.notices import Length, Notice, NoticeKind, Severity, notice
from staking.plan import Building, Plan, Point
from staking.site.site_results import Clearance, Placement
from staking.tolerances import ON_LINE


@frozen(eq=False)
class Lot:
    """The boundary on the building grid, m.

    Parameters
    ----------
    names
        Of its corners, in order.
    points
        ``(k, 2)`` the ring of corners and of the places along curves between them; the last
        closes it. At least three.
    line_of
        To which line each stretch of the ring belongs, the lines counted from 0; empty where every
        line is one stretch.
    doubts
        How far off each line may be, m; empty where they were all found.
    """

    names: tuple[str, ...]
    points: Array
    line_of: tuple[int, ...] = ()
    doubts: tuple[float, ...] = ()

    @property
    def lines(self) -> tuple[tuple[str, str], ...]:
        """The names of the two points of each line."""
        return tuple(zip(self.names, (*self.names[1:], self.names[0]), strict=True))

    def line_at(self, stretch: int) -> int:
        """Give the line that a stretch of the ring belongs to."""
        return self.line_of[stretch] if self.line_of else stretch

    def doubt(self, line: int) -> float:
        """Give how far off a line may be, m."""
        return self.doubts[line] if self.doubts else 0.0


def eave_ring(building: Building, overhang: float) -> Array:
    """Return the edge of the eaves: the outside face grown, its corners mitred.

    Parameters
    ----------
    building
        The outline.
    overhang
        How far eaves reach past the outside face, m; nothing along a standing building.

    Returns
    -------
    Array
        ``(n, 2)`` x and y, m.
    """
    points = np.array(building.ring, dtype=float)
    after = unit(np.roll(points, -1, axis=0) - points)
    side = -1.0 if signed_area(points) > 0 else 1.0
    out = side * left_of(after)
    reach = np.array([0.0 if wall.existing else overhang for wall in building.walls])
    shifted = points + out * reach[:, None]
    met = intersect_lines(np.roll(shifted, 1, axis=0), np.roll(after, 1, axis=0), shifted, after)
    # In line with one another the two edges are one, or a square jog of which the farther counts.
    last = np.roll(reach, 1)
    wider = np.maximum(reach, last)
    straight = points + out * wider[:, None]
    result: Array = np.where(np.isnan(met), straight, met)
    return result


def building_parts(
    plan: Plan, footing: Outline, overhang: float
) -> dict[LotPart, tuple[Array, ...]]:
    """Return the rings that are kept clear of the boundary, by what they are.

    Parameters
    ----------
    plan
        The building.
    footing
        Its footing outline, pads included.
    overhang
        How far eaves reach past the outside face, m.

    Returns
    -------
    dict
        ``eave``, ``wall`` and ``footing``, each as rings of ``(n, 2)``, m.
    """
    return {
        LotPart.EAVE: tuple(eave_ring(building, overhang) for building in plan.buildings),
        LotPart.WALL: tuple(np.array(building.ring, dtype=float) for building in plan.buildings),
        LotPart.FOOTING: tuple(np.array(ring, dtype=float) for ring in footing.outlines),
    }


def least_distances(ring: Array, boundary: Array) -> tuple[Array, Array]:
    """Return the least distance of each boundary line from one ring of the building.

    Parameters
    ----------
    ring
        ``(n, 2)`` corners of the ring, m.
    boundary
        ``(k, 2)`` points of the boundary in order, either way round, m.

    Returns
    -------
    tuple of Array
        ``(k,)`` distances, m, negative over the line; ``(k, 2)`` where on the ring that is.

    Notes
    -----
    Of two stretches that do not cross, the least distance is at an end of one of them. A line
    that the ring touches is judged by the pieces of the ring outside the lot: the farthest of
    them, square to the line. Past an outward corner of the lot a line counts as run on; past an
    inward one it does not, since the lot goes on there.
    """
    ends, line_ends = np.roll(ring, -1, axis=0), np.roll(boundary, -1, axis=0)
    from_ring, _ = distances(ring, boundary, line_ends)
    from_line, part = distances(boundary, ring, ends)
    by_corner = from_ring.argmin(axis=0)
    least = from_ring.min(axis=0)
    at = ring[by_corner]
    side = from_line.argmin(axis=1)
    each = np.arange(len(boundary))
    starts_at = ring[side] + part[each, side, None] * (ends[side] - ring[side])
    nearest = from_line[each, side]
    for shift in (0, -1):
        # A line has the boundary point at its start and the one at its end.
        reach = np.roll(nearest, shift)
        nearer = reach < least
        least = np.where(nearer, reach, least)
        at = np.where(nearer[:, None], np.roll(starts_at, shift, axis=0), at)
    met = crossings(ring, ends, boundary, line_ends)
    touched = ~np.isnan(met).all(axis=0) | inside(boundary, ring)
    pieces = _pieces_outside(ring, ends, met, boundary)
    if not len(pieces):
        # Touching from within is a distance of nothing, which is what was found.
        return np.where(touched, 0.0, least), at
    if not touched.any():
        touched = np.zeros(len(boundary), dtype=bool)
        touched[least.argmin()] = True
    depth, deepest = _depths(pieces, boundary)
    over = touched & (depth >= 0)
    return np.where(over, -depth, np.where(touched, 0.0, least)), np.where(
        over[:, None], deepest, at
    )


def _pieces_outside(ring: Array, ends: Array, met: Array, boundary: Array) -> Array:
    # (p, 2, 2): the stretches of the ring that lie outside the lot, cut where the two cross.
    pieces = []
    for start, end, parts in zip(ring, ends, met, strict=True):
        cuts = np.unique(np.concatenate(([0.0], parts[~np.isnan(parts)], [1.0])))
        places = start + cuts[:, None] * (end - start)
        pieces.append(np.stack((places[:-1], places[1:]), axis=1))
    every = np.concatenate(pieces)
    middle = every.mean(axis=1)
    line_ends = np.roll(boundary, -1, axis=0)
    outside = ~inside(middle, boundary)
    # A ring that runs along the line is on it, not over it.
    outside &= distances(middle, boundary, line_ends)[0].min(axis=1) > ON_LINE
    return every[outside]


def _depths(pieces: Array, boundary: Array) -> tuple[Array, Array]:
    # How far pieces outside reach over each line, square to it, and where; -inf for none.
    along = np.roll(boundary, -1, axis=0) - boundary
    length = np.sqrt(dot(along, along))
    heading = unit(along)
    inward = left_of(heading) * (1.0 if signed_area(boundary) > 0 else -1.0)
    turn = cross(np.roll(heading, 1, axis=0), heading) * (
        1.0 if signed_area(boundary) > 0 else -1.0
    )
    outward_corner = turn >= 0
    low = np.where(outward_corner, -np.inf, 0.0)
    high = np.where(np.roll(outward_corner, -1), np.inf, length)
    local = pieces[:, :, None, :] - boundary
    station = dot(local, heading)
    past = -dot(local, inward)
    span = station[:, 1] - station[:, 0]
    with np.errstate(divide="ignore", invalid="ignore"):
        first, second = (low - station[:, 0]) / span, (high - station[:, 0]) / span
    within = (station[:, 0] >= low) & (station[:, 0] <= high)
    level = np.abs(span) < ON_LINE
    enter = np.where(level, 0.0, np.maximum(np.minimum(first, second), 0.0))
    leave = np.where(level, 1.0, np.minimum(np.maximum(first, second), 1.0))
    hit = np.where(level, within, enter <= leave)
    part = np.stack((enter, leave))
    deep = np.where(hit, past[:, 0] + part * (past[:, 1] - past[:, 0]), -np.inf)
    flat = deep.reshape(-1, len(boundary))
    best = flat.argmax(axis=0)
    each = np.arange(len(boundary))
    piece = pieces[best % len(pieces)]
    share = part.reshape(-1, len(boundary))[best, each]
    share = np.where(np.isfinite(share), share, 0.0)
    return flat[best, each], piece[:, 0] + share[:, None] * (piece[:, 1] - piece[:, 0])


def clearances(
    lot: Lot,
    parts: Mapping[LotPart, Sequence[Array]],
    setbacks: Mapping[tuple[str, str], float],
    other: float | None,
    placement: Placement,
) -> tuple[Clearance, ...]:
    """Return how near each part of the building comes to each boundary line.

    Parameters
    ----------
    lot
        The boundary on the building grid.
    parts
        As `building_parts` gives them.
    setbacks
        By the two points of a line, in either order, m.
    other
        For every line not among them, m; None where nothing is asked for.
    placement
        Where the building is, which turns the place found into northing and easting.

    Returns
    -------
    tuple of Clearance
        Line by line in the boundary's order, each part in turn.
    """
    found: dict[LotPart, tuple[Array, Array]] = {}
    each = np.arange(len(lot.points))
    for what, rings in parts.items():
        results = [least_distances(ring, lot.points) for ring in rings]
        least = np.stack([distance for distance, _ in results])
        places = np.stack([at for _, at in results])
        ring = least.argmin(axis=0)
        nearest = _by_line(lot, least[ring, each])
        found[what] = (
            least[ring, each][nearest],
            placement.to_site(places[ring, each][nearest]),
        )
    return tuple(
        Clearance(
            line=f"{start}-{end}",
            what=what,
            distance=float(distance[i]),
            setback=setbacks.get((start, end), setbacks.get((end, start), other)),
            at=(float(at[i, 0]), float(at[i, 1])),
            doubt=lot.doubt(i),
        )
        for i, (start, end) in enumerate(lot.lines)
        for what, (distance, at) in found.items()
    )


def _by_line(lot: Lot, least: Array) -> npt.NDArray[np.intp]:
    # Of the stretches of each line the one that comes nearest.
    if not lot.line_of:
        return np.arange(len(least))
    lines = np.array(lot.line_of)
    return np.array([
        own[least[own].argmin()]
        for own in (np.flatnonzero(lines == line) for line in range(len(lot.names)))
    ])


def clearance_notices(found: Sequence[Clearance]) -> tuple[Notice, ...]:
    """Return the notices about clearances: setbacks not kept, and parts over the line.

    Parameters
    ----------
    found
        The clearances.

    Returns
    -------
    tuple of Notice
        ``over-boundary`` and ``setback``, both broken, and ``setback-unproven`` where a line that
        was drawn from a deed may be off by more than what is kept over the setback (broken where a
        setback is given), in the order of the clearances.
    """
    told: list[Notice] = []
    for each in found:
        if each.ok:
            continue
        if not each.is_broken:
            told.append(_unproven(each))
        elif each.distance < 0:
            told.append(
                notice(
                    "over-boundary",
                    "the {what} stands {over} over the boundary line {line}",
                    Severity.BROKEN,
                    what=each.what,
                    over=Length(-each.distance),
                    line=each.line,
                )
            )
        else:
            told.append(
                notice(
                    "setback",
                    "the {what} comes within {distance} of the boundary line {line}, where "
                    "{setback} is asked for: it lacks {short}",
                    Severity.BROKEN,
                    what=each.what,
                    distance=Length(each.distance),
                    line=each.line,
                    setback=Length(each.setback or 0.0),
                    short=Length((each.setback or 0.0) - each.distance),
                )
            )
    return tuple(told)


def _unproven(found: Clearance) -> Notice:
    lead = "the {what} comes within {distance} of the boundary line {line}"
    if found.setback is not None:
        lead += ", where {setback} is asked for"
    return notice(
        NoticeKind.SETBACK_UNPROVEN,
        lead + "; that line is drawn from the deed and may be {doubt} off, so nobody can say that "
        "it is kept: find the pins, or have a surveyor set them",
        Severity.WARNING if found.setback is None else Severity.BROKEN,
        what=found.what,
        distance=Length(found.distance),
        line=found.line,
        setback=Length(found.setback or 0.0),
        doubt=Length(found.doubt),
    )


def beyond(lot: Lot, stakes: Mapping[str, Sequence[Point]]) -> tuple[tuple[str, float, str], ...]:
    """Return what would stand on a neighbour's land.

    Parameters
    ----------
    lot
        The boundary on the building grid.
    stakes
        The points of each thing by what it is called, m.

    Returns
    -------
    tuple
        Name, how far beyond the nearest line, m, and that line's name, in the order given.
    """
    names = [name for name, points in stakes.items() for _ in points]
    if not names:
        return ()
    places = np.array([point for points in stakes.values() for point in points], dtype=float)
    far, _ = distances(places, lot.points, np.roll(lot.points, -1, axis=0))
    least, line = far.min(axis=1), far.argmin(axis=1)
    out = ~inside(places, lot.points) & (least > ON_LINE)
    worst: dict[str, tuple[float, str]] = {}
    for i in np.flatnonzero(out):
        if float(least[i]) > worst.get(names[i], (-math.inf, ""))[0]:
            worst[names[i]] = (
                float(least[i]),
                "-".join(lot.lines[lot.line_at(int(line[i]))]),
            )
    return tuple((name, distance, at) for name, (distance, at) in worst.items())
