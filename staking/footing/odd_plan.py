"""What a plan seldom means: nearly square corners, lines nearly along a wall, pads on one another.

Nothing here is changed. A slip of the pen looks like this, and is seen before it is staked.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from staking.kinds import FootingKind
from staking.lines import cross_of, direction
from staking.notices import Angle, Length, Notice, notice
from staking.tolerances import AREA

if TYPE_CHECKING:
    from collections.abc import Sequence

    from staking.footing.bands_and_outlines import Band
    from staking.plan import Building, InteriorLine, Plan, Point

NEARLY_SQUARE = math.radians(2.0)
"""A corner within this of a right angle, rad, is meant to be one (common practice, no source)."""

NEARLY_ALONG = math.radians(5.0)
"""A line within this of a wall's direction, rad, is meant to run along it (common practice, no
source)."""

SEEN = 0.0254 / 4
"""What a slant comes to over its length, m, before it is not a rounding of the plan's own figures
(common practice, no source)."""


def odd_plan_notices(plan: Plan, bands: Sequence[Band]) -> tuple[Notice, ...]:
    """Say what of a plan is probably a slip.

    Parameters
    ----------
    plan
        The building on paper, m.
    bands
        Its footings, the pads among them.

    Returns
    -------
    tuple of Notice
        ``nearly-square`` for a corner within 2 degrees of square that is off it by more than a
        quarter inch over its longer wall; ``interior-slant`` for an interior line within 5
        degrees of a wall that is off it by as much over its length; ``interior-wrong-end`` for
        one that would run along a wall if it were measured from the other end of the wall it
        ends on; ``pads-overlap`` for pads over each other.
    """
    said = [found for building in plan.buildings for found in _corners(building)]
    for line in plan.interior:
        said += _interior(line, plan)
    said += _pads(bands, plan)
    return tuple(said)


def _corners(building: Building) -> list[Notice]:
    said = []
    corners = building.corners
    for i, corner in enumerate(corners):
        before, after = corners[i - 1], corners[(i + 1) % len(corners)]
        back = (before.x - corner.x, before.y - corner.y)
        ahead = (after.x - corner.x, after.y - corner.y)
        angle = math.atan2(abs(cross_of(back, ahead)), back[0] * ahead[0] + back[1] * ahead[1])
        off = abs(angle - math.pi / 2)
        longer = max(math.hypot(*back), math.hypot(*ahead))
        if off < NEARLY_SQUARE and longer * math.sin(off) > SEEN:
            said.append(
                notice(
                    "nearly-square",
                    "corner {corner} is {angle} and not square: {out} out over {length}; check "
                    "the figures of {before}, {corner} and {after} if it should be square",
                    corner=corner.name,
                    angle=Angle(angle),
                    out=Length(longer * math.sin(off)),
                    length=Length(longer),
                    before=before.name,
                    after=after.name,
                )
            )
    return said


def _interior(line: InteriorLine, plan: Plan) -> list[Notice]:
    building = plan.buildings[line.building]
    ways = _ways(building)
    length = math.dist(line.start, line.end)
    if length == 0 or not ways:
        return []
    off, wall = min((_between(direction(line.start, line.end), way), name) for name, way in ways)
    out = length * math.sin(off)
    if out <= SEEN:
        return []
    other = _from_other_end(line, building, ways)
    if other is not None:
        on, station, parallel = other
        return [
            notice(
                "interior-wrong-end",
                "interior line {line} runs along no wall; measured from the other end of {on} "
                "(that is, at {station}) it would run along {wall}: check which end its figure "
                "is from",
                line=line.name,
                on=on,
                station=Length(station),
                wall=parallel,
            )
        ]
    if off >= NEARLY_ALONG:
        return []
    return [
        notice(
            "interior-slant",
            "interior line {line} runs {angle} off the direction of {wall}, {out} over its "
            "{length}: check the two figures it is given by",
            line=line.name,
            angle=Angle(off),
            wall=wall,
            out=Length(out),
            length=Length(length),
        )
    ]


def _from_other_end(
    line: InteriorLine, building: Building, ways: list[tuple[str, Point]]
) -> tuple[str, float, str] | None:
    """Find the wall on which the line, measured from its other end, would run along a wall.

    Returns
    -------
    tuple or None
        The wall it ends on, the station from that wall's first corner it would then have, m, and
        the wall it would run along.
    """
    corners = building.corner_points
    for on, moved, kept in (
        (line.end_on, line.end, line.start),
        (line.start_on, line.start, line.end),
    ):
        wall = next((each for each in building.walls if each.name == on), None)
        if wall is None:
            continue
        first, last = corners[wall.start], corners[wall.end]
        swapped = (first[0] + last[0] - moved[0], first[1] + last[1] - moved[1])
        far = math.dist(kept, swapped)
        for name, way in ways:
            if far > SEEN and far * math.sin(_between(direction(kept, swapped), way)) <= SEEN:
                return on, math.dist(first, swapped), name
    return None


def _ways(building: Building) -> list[tuple[str, Point]]:
    return [(side.wall.name, side.along) for side in building.sides]


def _between(one: Point, other: Point) -> float:
    """Give the angle between two directions, whichever way each runs, rad from 0 to a quarter."""
    return math.atan2(abs(cross_of(one, other)), abs(one[0] * other[0] + one[1] * other[1]))


def _pads(bands: Sequence[Band], plan: Plan) -> list[Notice]:
    pads = {pad.name: pad for pad in plan.pads}
    rings = [(band.name, band.hull) for band in bands if band.kind is FootingKind.PAD]
    if len(rings) < 2:
        return []
    import shapely

    shapes = [shapely.Polygon(ring) for _, ring in rings]
    tree = shapely.STRtree(shapes)
    pairs = tree.query(shapes, predicate="intersects").T.tolist()
    said = []
    for i, j in sorted((i, j) for i, j in pairs if i < j):
        if shapes[i].intersection(shapes[j]).area > AREA:
            one, other = pads[rings[i][0]], pads[rings[j][0]]
            said.append(
                notice(
                    "pads-overlap",
                    "pads {one} and {other} lie over each other, {apart} from centre to centre: "
                    "check their places and sizes",
                    one=one.name,
                    other=other.name,
                    apart=Length(math.dist(one.point, other.point)),
                )
            )
    return said
