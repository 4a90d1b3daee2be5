"""From the plan to bands: the convex strips that walls, interior lines and pads cover.

Each corner of the outer and of the inner footing edge is computed once, relative to its corner
of the building, and shared by the bands on both sides, so that neighbouring bands meet in the
same points to the last bit.
"""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt

from staking.footing.bands_and_outlines import Band, Ring
from staking.frozen import frozen
from staking.kinds import FootingKind
from staking.lines import Array, convex_hull, cross, cross_of, dot, intersect_lines, left_of, unit
from staking.notices import Length, Notice, Severity, notice
from staking.plan import Building, Dig, InteriorLine, Pad, Plan, Point
from staking.tolerances import AREA, ON_LINE, ROUND_PAD_SAGITTA, STRAIGHT_RAD

Flags = npt.NDArray[np.bool_]

MITRE_LIMIT = 4.0
"""A mitre longer than this many times the greater offset is cut (SVG 1.1, 11.4, takes the same)."""


def footing_bands(plan: Plan) -> tuple[tuple[Band, ...], tuple[Notice, ...]]:
    """Return the strips of ground that the footings cover.

    Parameters
    ----------
    plan
        The building on paper, m.

    Returns
    -------
    tuple
        The bands, walls first in the outline's order, then interior lines, then pads; and what
        is to be told: ``mitre-cut`` for each corner where a long mitre is cut.

    Notes
    -----
    A wall's footing reaches `outside` past the outside face and ``width - outside`` inside it.
    A corner of either edge is the intersection of the neighbouring edge lines. Where the walls
    turn by less than `tolerances.STRAIGHT_RAD` each edge ends on the corner's bisector instead,
    a square jog. A mitre longer than `MITRE_LIMIT` times the greater offset is cut square to
    the bisector. Beside an existing side both edges end on that side's line.

    Examples
    --------
    >>> from staking.plan import Building, Corner, Footing, Wall
    >>> footing = Footing(width=0.5, thickness=0.25, outside=0.15)
    >>> places = {"A": (0.0, 0.0), "B": (6.0, 0.0), "C": (6.0, 4.0)}
    >>> corners = [Corner(name=name, x=x, y=y) for name, (x, y) in places.items()]
    >>> pairs = [("A", "B"), ("B", "C"), ("C", "A")]
    >>> walls = [Wall(start=a, end=b, thickness=0.2, footing=footing) for a, b in pairs]
    >>> shed = Building(name=None, corners=tuple(corners), walls=tuple(walls))
    >>> bands, said = footing_bands(Plan(job="shed", buildings=(shed,)))
    >>> [band.name for band in bands], said
    (['A-B', 'B-C', 'C-A'], ())
    """
    return _bands(plan, Dig(), "the footing's edge")


def dig_bands(plan: Plan, dig: Dig) -> tuple[tuple[Band, ...], tuple[Notice, ...]]:
    """Return the strips of ground that are dug.

    Parameters
    ----------
    plan
        The building on paper, m.
    dig
        Over-dig, bucket width, bank and depth, m (bank: run per unit of depth).

    Returns
    -------
    tuple
        The bands and notices as from `footing_bands`. Where the dig is the footing's own
        outline the notices are empty: they stand with the footing.

    Notes
    -----
    Each side grows by the over-dig, or by what makes the strip a bucket wide if that is more,
    and then by the bank times the depth. Interior lines widen only; pads grow all round.
    """
    bands, notices = _bands(plan, dig, "the dig line")
    grows = dig.bank * dig.depth > 0 or dig.overdig > 0 or dig.bucket > 0
    return bands, notices if grows else ()


def _growth(width: float | Array, dig: Dig) -> Array:
    # By how much a strip of this width grows on each side, m.
    spare = np.maximum((dig.bucket - np.asarray(width)) / 2, max(dig.overdig, 0.0))
    grown: Array = spare + dig.bank * dig.depth
    return grown


def _bands(plan: Plan, dig: Dig, edge: str) -> tuple[tuple[Band, ...], tuple[Notice, ...]]:
    bands: list[Band] = []
    notices: list[Notice] = []
    for building in plan.buildings:
        walls, told = _wall_bands(building, dig, edge)
        bands += walls
        notices += told
    bands += [_interior_band(line, dig) for line in plan.interior]
    bands += [_pad_band(pad, dig) for pad in plan.pads]
    return tuple(bands), tuple(notices)


@frozen
class _OutlineCorners:
    """The corners of one outline as arrays: row ``i`` joins wall ``i - 1`` to wall ``i``.

    `points` are the corners, `before` and `after` the directions of the two walls,
    `out_before` and `out_after` their outward normals, all ``(n, 2)``; `turn` is rad,
    unsigned; `spike` points from the corner to where the walls would run on, ``(n, 2)``.
    """

    points: Array
    before: Array
    after: Array
    out_before: Array
    out_after: Array
    turn: Array
    spike: Array


@frozen
class _Edge:
    """One footing edge at every corner, ``(n, 2)`` each, m, relative to the corner.

    `end` closes the wall before the corner and `start` opens the wall after it; they are one
    point but at a jog or a cut. `cut` flags cut mitres; `mitre` is how far along the spike the
    edge lines meet and `limit` where it is cut, m.
    """

    end: Array
    start: Array
    cut: Flags
    mitre: Array
    limit: Array


def _corners(building: Building) -> tuple[_OutlineCorners, bool]:
    # The corner arrays and whether the outline runs anticlockwise.
    points = np.array(building.ring)
    along = np.roll(points, -1, axis=0) - points
    local = points - points[0]
    anticlockwise = bool(cross(local, np.roll(local, -1, axis=0)).sum() > 0)
    after = unit(along)
    before = np.roll(after, 1, axis=0)
    side = -1.0 if anticlockwise else 1.0
    turn = np.abs(np.arctan2(cross(before, after), dot(before, after)))
    spike = before - after
    # In line there is no spike; the bisector is then the normal.
    spike[turn < ON_LINE] = left_of(after)[turn < ON_LINE]
    corners = _OutlineCorners(
        points=points,
        before=before,
        after=after,
        out_before=side * left_of(before),
        out_after=side * left_of(after),
        turn=turn,
        spike=unit(spike),
    )
    return corners, anticlockwise


def _edges(
    corners: _OutlineCorners, outer: Array, inner: Array, standing: Flags
) -> tuple[_Edge, _Edge]:
    # The outer and inner edges from their offsets by wall (outward positive, m).
    beside = standing | np.roll(standing, 1)
    meets = [_meet(corners, offset) for offset in (outer, inner)]
    jog = corners.turn < STRAIGHT_RAD
    for offset, meet in zip((outer, inner), meets, strict=True):
        # Unlike offsets at a slight turn meet far along the wall: that is a jog as well, and
        # of both edges together, or a wedge would be left open between them.
        far = np.hypot(meet[:, 0], meet[:, 1]) > _limit(offset) + ON_LINE
        jog |= far & (corners.turn < math.pi / 2)
    square = beside & (corners.turn < STRAIGHT_RAD)
    jog &= ~beside
    return (
        _edge(corners, outer, meets[0], jog, square),
        _edge(corners, inner, meets[1], jog, square),
    )


def _limit(offset: Array) -> Array:
    # Where a mitre is cut at each corner, m from the corner.
    limit: Array = MITRE_LIMIT * np.maximum(np.abs(offset), np.abs(np.roll(offset, 1)))
    return limit


def _meet(corners: _OutlineCorners, offset: Array) -> Array:
    # Where neighbouring edge lines meet, relative to the corner; not-a-number in line.
    first = np.roll(offset, 1)[:, None] * corners.out_before
    second = offset[:, None] * corners.out_after
    return intersect_lines(first, corners.before, second, corners.after)


def _edge(corners: _OutlineCorners, offset: Array, meet: Array, jog: Flags, square: Flags) -> _Edge:
    # One edge at every corner: met, jogged on the bisector, cut, or square to the wall.
    first, second = np.roll(offset, 1), offset
    from_first = first[:, None] * corners.out_before
    from_second = second[:, None] * corners.out_after
    limit = _limit(offset)
    mitre = dot(meet, corners.spike)
    # Doubling back to the last bit leaves no intersection: that mitre is endless.
    mitre = np.where(np.isnan(mitre) & (corners.turn > math.pi / 2), np.inf, mitre)
    cut = (corners.turn > math.pi / 2) & (mitre > limit + ON_LINE) & (limit > 0)
    end, start = meet.copy(), meet.copy()
    if cut.any():
        line, across = (limit[:, None] * corners.spike)[cut], left_of(corners.spike)[cut]
        end[cut] = intersect_lines(from_first[cut], corners.before[cut], line, across)
        start[cut] = intersect_lines(from_second[cut], corners.after[cut], line, across)
    if jog.any():
        bisector = unit(corners.out_before[jog] + corners.out_after[jog])
        cosine = dot(bisector, corners.out_before[jog])[:, None]
        end[jog] = bisector * first[jog, None] / cosine
        start[jog] = bisector * second[jog, None] / cosine
    end[square], start[square] = from_first[square], from_second[square]
    return _Edge(end=end, start=start, cut=cut, mitre=mitre, limit=limit)


def _wall_bands(building: Building, dig: Dig, edge: str) -> tuple[list[Band], list[Notice]]:
    # The bands of one outline's walls, and the mitres that were cut.
    corners, anticlockwise = _corners(building)
    standing = np.array([wall.existing is not None for wall in building.walls])
    width = np.array([wall.footing.width for wall in building.walls])
    outside = np.array([wall.footing.outside for wall in building.walls])
    grown = _growth(width, dig)
    outer = np.where(standing, 0.0, outside + grown)
    inner = np.where(standing, 0.0, outside - width - grown)
    outer_edge, inner_edge = _edges(corners, outer, inner, standing)
    hulls = _hulls(corners.points, (outer_edge, inner_edge), standing, anticlockwise)
    bands = [
        Band(name=wall.name, kind=FootingKind.WALL, hull=hull)
        for wall, hull in zip(building.walls, hulls, strict=True)
        if wall.existing is None
    ]
    alone = standing & np.roll(standing, 1)
    notices = [
        notice(
            "mitre-cut",
            "at the sharp corner {corner} {edge} would run {mitre} past the corner; it is cut "
            "off square at {limit}",
            severity=Severity.NOTE,
            corner=building.corners[i].name,
            edge=edge,
            mitre=Length(float(side.mitre[i])),
            limit=Length(float(side.limit[i])),
        )
        for side in (outer_edge, inner_edge)
        for i in np.flatnonzero(side.cut & ~alone)
    ]
    return bands, notices


def _hulls(
    points: Array, edges: tuple[_Edge, _Edge], standing: Flags, anticlockwise: bool
) -> list[Ring]:
    # Each wall's convex hull; row ``i`` from corner ``i`` to corner ``i + 1``.
    outer, inner = edges
    following = np.roll(np.arange(len(points)), -1)
    quads = np.stack(
        (
            points + outer.start,
            (points + outer.end)[following],
            (points + inner.end)[following],
            points + inner.start,
        ),
        axis=1,
    )
    split = outer.cut | inner.cut | (np.abs(outer.end - outer.start) > 0).any(axis=1)
    split |= (np.abs(inner.end - inner.start) > 0).any(axis=1)
    plain = ~split & ~split[following]
    if not anticlockwise:
        quads = quads[:, ::-1]
    sides = np.roll(quads, -1, axis=1) - quads
    bends = cross(sides, np.roll(sides, -1, axis=1))
    plain &= (bends > AREA).all(axis=1)
    rings = quads.tolist()
    places = points.tolist()
    sides_at = [(e.end.tolist(), e.start.tolist(), e.cut.tolist()) for e in edges]
    hulls: list[Ring] = []
    for i, is_plain in enumerate(plain.tolist()):
        if is_plain:
            hulls.append(tuple((x, y) for x, y in rings[i]))
            continue
        j = int(following[i])
        # Walls that open here: their own point is the edge's `start`, the neighbour's its `end`.
        opening = [(start[i], end[i], cut[i]) for end, start, cut in sides_at]
        closing = [(end[j], start[j], cut[j]) for end, start, cut in sides_at]
        ring = _end_points(opening, places[i], beside=bool(standing[i - 1]))[::-1]
        ring += _end_points(closing, places[j], beside=bool(standing[j]))
        hulls.append(_convex(ring if anticlockwise else ring[::-1]))
    return hulls


def _end_points(
    sides: list[tuple[list[float], list[float], bool]], place: list[float], *, beside: bool
) -> list[Point]:
    # A band's points at one corner from the outer edge to the inner one. `sides` holds for
    # either edge the band's own point, its neighbour's, and whether the mitre is cut there;
    # `beside` tells that the neighbour is an existing side, whose part of a cut then falls to
    # this band too. Points of the neighbour that lie within this band's end are taken as well,
    # so that both bands have the same points along the seam and no sliver opens between them.
    (outer, _, _), (inner, _, _) = sides
    ax, ay = inner[0] - outer[0], inner[1] - outer[1]
    length = math.hypot(ax, ay)
    seam, ends = [], []
    for own, other, cut in sides:
        points = [own]
        if cut:
            points.append([(own[0] + other[0]) / 2, (own[1] + other[1]) / 2])
            if beside:
                points.append(other)
        elif not beside and length > ON_LINE:
            reach = ((other[0] - outer[0]) * ax + (other[1] - outer[1]) * ay) / length
            if ON_LINE < reach < length - ON_LINE:
                seam.append(other)
        ends.append(points)
    ring = [*ends[0], *seam, *ends[1][::-1]]
    return [(place[0] + x, place[1] + y) for x, y in ring]


def _convex(ring: list[Point]) -> Ring:
    # The ring itself where it is convex but for rounding, else its hull: a short jog's bow-tie.
    # A jog that shrinks to a line has no hull; it keeps its ring, which covers nothing.
    turned = 0.0
    for i, (x, y) in enumerate(ring):
        ax, ay = x - ring[i - 1][0], y - ring[i - 1][1]
        bx, by = ring[(i + 1) % len(ring)][0] - x, ring[(i + 1) % len(ring)][1] - y
        turn = math.atan2(cross_of((ax, ay), (bx, by)), ax * bx + ay * by)
        # A thousandth of the line tolerance over a metre is rounding, not shape.
        if math.hypot(ax, ay) <= ON_LINE or turn < -ON_LINE / 1000:
            return _hull_or_ring(ring)
        turned += turn
    # Twice round is a crossed ring.
    return tuple(ring) if turned < 3 * math.pi else _hull_or_ring(ring)


def _hull_or_ring(ring: list[Point]) -> Ring:
    hull = convex_hull(ring)
    return hull if len(hull) > 2 else tuple(ring)


def _interior_band(line: InteriorLine, dig: Dig) -> Band:
    # An interior line's band: centred on the line, square-ended on its two ends.
    start, end = np.array(line.start), np.array(line.end)
    half = line.footing.width / 2 + float(_growth(line.footing.width, dig))
    across = left_of(unit(end - start)) * half
    ring = np.array((start - across, end - across, end + across, start + across))
    return Band(name=line.name, kind=FootingKind.INTERIOR, hull=_as_ring(ring))


def _pad_band(pad: Pad, dig: Dig) -> Band:
    # A pad's band: its rectangle, or a polygon within the circle that falls short of it by
    # `tolerances.ROUND_PAD_SAGITTA` at most.
    if pad.size is not None:
        width, depth = pad.size
        across = width / 2 + float(_growth(width, dig))
        up = depth / 2 + float(_growth(depth, dig))
        local = np.array(((-across, -up), (across, -up), (across, up), (-across, up)))
    else:
        diameter = pad.diameter or 0.0
        radius = diameter / 2 + float(_growth(diameter, dig))
        ratio = min(ROUND_PAD_SAGITTA / radius, 0.25) if radius > 0 else 0.25
        # A multiple of four has a corner on each axis, so the extent is the circle's own.
        count = 4 * math.ceil(math.pi / math.acos(1 - ratio) / 4)
        angle = np.arange(count) * (2 * math.pi / count)
        local = radius * np.stack((np.cos(angle), np.sin(angle)), axis=1)
    c, s = math.cos(pad.turn), math.sin(pad.turn)
    ring = local @ np.array(((c, s), (-s, c))) + np.array(pad.point)
    return Band(name=pad.name, kind=FootingKind.PAD, hull=_as_ring(ring))


def _as_ring(points: Array) -> Ring:
    return tuple((x, y) for x, y in points.tolist())
