"""The planned edges of every footing as lines, for what is measured on them."""

from __future__ import annotations

import math

from staking.frozen import frozen
from staking.kinds import FootingEdge
from staking.plan import InteriorLine, Pad, Plan, Point, Side


@frozen
class PlannedEdge:
    """One planned edge of a footing, m.

    Parameters
    ----------
    where, side
        Wall, interior line or pad, and which of its edges.
    start, end
        On the edge, beside the wall's two corners or the line's two ends; a round pad's centre,
        twice.
    out
        Unit vector away from the footing's middle.
    width
        Of the footing across this edge.
    from_string
        From the string to the edge: the outside face of a wall, the centre of anything else.
    radius
        Of a round pad; None elsewhere.
    """

    where: str
    side: FootingEdge
    start: Point
    end: Point
    out: Point
    width: float
    from_string: float
    radius: float | None = None

    @property
    def length(self) -> float:
        """From start to end, m."""
        return math.dist(self.start, self.end)

    def station_of(self, point: Point) -> float:
        """Give how far along from the start a point is, m."""
        run = self.length
        dx, dy = point[0] - self.start[0], point[1] - self.start[1]
        return (dx * (self.end[0] - self.start[0]) + dy * (self.end[1] - self.start[1])) / run

    def beyond(self, point: Point) -> float:
        """Give how far a point lies beyond the edge, m, positive away from the middle."""
        dx, dy = point[0] - self.start[0], point[1] - self.start[1]
        if self.radius is not None:
            return math.hypot(dx, dy) - self.radius
        return dx * self.out[0] + dy * self.out[1]


def planned_edges(plan: Plan) -> tuple[PlannedEdge, ...]:
    """List the planned edges of every footing.

    Parameters
    ----------
    plan
        The plan.

    Returns
    -------
    tuple of PlannedEdge
        Walls in the outline's order without existing sides, interior lines, pads.
    """
    found: list[PlannedEdge] = []
    for building in plan.buildings:
        for side in building.sides:
            if side.wall.existing is None:
                found += _wall(side)
    for line in plan.interior:
        found += _line(line)
    for pad in plan.pads:
        found += _pad(pad)
    return tuple(found)


def _wall(side: Side) -> list[PlannedEdge]:
    name, footing, ends = side.wall.name, side.wall.footing, (side.start, side.end)
    return [
        _shifted(name, FootingEdge.OUTER, ends, side.outward, footing.width, footing.outside),
        _shifted(name, FootingEdge.INNER, ends, side.inward, footing.width, footing.inside),
    ]


def _line(line: InteriorLine) -> list[PlannedEdge]:
    run = math.dist(line.start, line.end)
    right = ((line.end[1] - line.start[1]) / run, -(line.end[0] - line.start[0]) / run)
    left = (-right[0], -right[1])
    width = line.footing.width
    ends = (line.start, line.end)
    return [
        _shifted(line.name, FootingEdge.LEFT, ends, left, width, width / 2),
        _shifted(line.name, FootingEdge.RIGHT, ends, right, width, width / 2),
    ]


def _pad(pad: Pad) -> list[PlannedEdge]:
    if pad.size is None:
        radius = (pad.diameter or 0.0) / 2
        return [
            PlannedEdge(
                where=pad.name,
                side=FootingEdge.ROUND,
                start=pad.point,
                end=pad.point,
                out=(1.0, 0.0),
                width=2 * radius,
                from_string=radius,
                radius=radius,
            )
        ]
    found = []
    square = (FootingEdge.FIRST, FootingEdge.SECOND, FootingEdge.THIRD, FootingEdge.FOURTH)
    for i, edge in enumerate(square):
        turn = pad.turn + i * math.pi / 2
        out = (math.cos(turn), math.sin(turn))
        across, along = (pad.size[0], pad.size[1]) if i % 2 == 0 else (pad.size[1], pad.size[0])
        half = (-out[1] * along / 2, out[0] * along / 2)
        ends = (
            (pad.x - half[0], pad.y - half[1]),
            (pad.x + half[0], pad.y + half[1]),
        )
        found.append(_shifted(pad.name, edge, ends, out, across, across / 2))
    return found


def _shifted(
    where: str, side: FootingEdge, ends: tuple[Point, Point], out: Point, width: float, by: float
) -> PlannedEdge:
    (x1, y1), (x2, y2) = ends
    return PlannedEdge(
        where=where,
        side=side,
        start=(x1 + out[0] * by, y1 + out[1] * by),
        end=(x2 + out[0] * by, y2 + out[1] * by),
        out=out,
        width=width,
        from_string=by,
    )


def place_on(
    edge: PlannedEdge, station: float | None, x: float | None = None, y: float | None = None
) -> Point:
    """Give the place on the planned edge that a reading belongs to.

    Parameters
    ----------
    edge
        The edge.
    station
        Along it, m; None on a pad.
    x, y
        Where the reading was taken, m, or None.

    Returns
    -------
    Point
        x and y, m.
    """
    if edge.radius is not None:
        if x is None or y is None:
            return edge.start
        far = math.dist(edge.start, (x, y)) or 1.0
        return (
            edge.start[0] + (x - edge.start[0]) * edge.radius / far,
            edge.start[1] + (y - edge.start[1]) * edge.radius / far,
        )
    if station is None:
        station = edge.length / 2 if x is None or y is None else edge.station_of((x, y))
    part = station / edge.length
    return (
        edge.start[0] + (edge.end[0] - edge.start[0]) * part,
        edge.start[1] + (edge.end[1] - edge.start[1]) * part,
    )
