"""The footing as a network: strands along the walls, joined at corners and junctions; and pads."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from staking.errors import ComputationError
from staking.footing.bands import footing_bands
from staking.footing.bands_and_outlines import Band, Ring
from staking.frozen import frozen
from staking.kinds import FootingKind
from staking.lines import cross, cross_within, meeting_shares
from staking.plan import Footing, Plan, Point, reversed_name
from staking.tolerances import ON_LINE, SAME_POINT

Floats = NDArray[np.float64]


@frozen
class Strand:
    """One wall or interior line.

    Parameters
    ----------
    start, end
        The ends of the line stations run along, m.
    out
        Unit vector from the building outward; for an interior line to the left.
    hull
        The ground its footing covers, m.
    nodes
        Pairs of node number and station, m, in order; the first at 0, the last at the end.
    bond_from
        The station the bond starts at, m: of a wall the end at the corner that comes first by
        name, so that the same building steps alike whichever way its outline runs; of an
        interior line 0.
    """

    name: str
    kind: FootingKind
    start: Point
    end: Point
    length: float
    out: Point
    footing: Footing
    hull: Ring
    nodes: tuple[tuple[int, float], ...]
    bond_from: float = 0.0

    def off_bond(self, stations: Floats, module: float) -> Floats:
        """Give how far stations lie off the bond.

        Parameters
        ----------
        stations
            ``(n,)`` m.
        module
            The bond's module, m.

        Returns
        -------
        ``(n,)`` array
            To the nearest multiple of the module from `bond_from`, m, not negative.
        """
        along = np.abs(np.asarray(stations) - self.bond_from)
        off: Floats = np.abs(along - np.rint(along / module) * module)
        return off

    def local(self, ring: Ring) -> list[Point]:
        """Give points as station and offset outward, m.

        Returns
        -------
        list of tuple
            Station and offset of each point.
        """
        ax = (self.end[0] - self.start[0]) / self.length
        ay = (self.end[1] - self.start[1]) / self.length
        ox, oy = self.out
        x0, y0 = self.start
        return [((x - x0) * ax + (y - y0) * ay, (x - x0) * ox + (y - y0) * oy) for x, y in ring]

    def place(self, station: float, offset: float) -> Point:
        """Give the place of a station and an offset outward.

        Returns
        -------
        tuple
            x and y, m.
        """
        ax = (self.end[0] - self.start[0]) / self.length
        ay = (self.end[1] - self.start[1]) / self.length
        return (
            self.start[0] + station * ax + offset * self.out[0],
            self.start[1] + station * ay + offset * self.out[1],
        )


@frozen
class Network:
    """What stands on the footing, and the ground it covers.

    Parameters
    ----------
    strands
        Walls and interior lines in the plan's order.
    nodes
        The names of the nodes that join them.
    pads
        The bands of the pads, in the plan's order.
    """

    strands: tuple[Strand, ...]
    nodes: tuple[str, ...]
    pads: tuple[Band, ...] = ()

    @property
    def bands(self) -> tuple[Band, ...]:
        """The strips of ground under walls, interior lines and pads, in the plan's order."""
        walls = (Band(name=one.name, kind=one.kind, hull=one.hull) for one in self.strands)
        return (*walls, *self.pads)

    @property
    def covered(self) -> dict[str, Ring]:
        """The ground under each wall, interior line and pad by its name, m."""
        return {band.name: band.hull for band in self.bands}

    def strand(self, name: str) -> Strand:
        """Find a strand by name, either way round.

        Returns
        -------
        Strand
            The strand.

        Raises
        ------
        ComputationError
            Where there is none.
        """
        turned = reversed_name(name)
        for strand in self.strands:
            if strand.name == name or (strand.kind is FootingKind.WALL and strand.name == turned):
                return strand
        names = ", ".join(strand.name for strand in self.strands)
        raise ComputationError(f"there is no wall {name} with a footing; name one of {names}")


@frozen(kw_only=False)
class _NetworkLine:
    name: str
    kind: FootingKind
    start: Point
    end: Point
    out: Point
    footing: Footing
    bond_at_end: bool = False


def build_network(plan: Plan) -> Network:
    """Join the walls and interior lines of a plan whose bands are not made yet.

    Parameters
    ----------
    plan
        As `join_walls` takes it.

    Returns
    -------
    Network
        As `join_walls` gives it, with the bands of the plan's footings.
    """
    return join_walls(plan, footing_bands(plan)[0])


def join_walls(plan: Plan, bands: Sequence[Band]) -> Network:
    """Join the plan's walls and interior lines.

    Parameters
    ----------
    plan
        The building on paper, m. Sides against standing buildings have no footing here.
    bands
        The strips its footings cover, as `staking.footing.bands.footing_bands` gives them.

    Returns
    -------
    Network
        Strands run from the wall's first corner; nodes are at corners, where an interior line
        ends, and where two interior lines cross.
    """
    lines = _lines(plan)
    hulls = {band.name: band.hull for band in bands}
    places = _places(plan, lines)
    strands = []
    for line in lines:
        length = math.dist(line.start, line.end)
        on = []
        for number, (_, point) in enumerate(places):
            station, away = _against(line, point, length)
            if away <= SAME_POINT and -SAME_POINT <= station <= length + SAME_POINT:
                on.append((number, min(max(station, 0.0), length)))
        on.sort(key=lambda pair: pair[1])
        strands.append(
            Strand(
                name=line.name,
                kind=line.kind,
                start=line.start,
                end=line.end,
                length=length,
                out=line.out,
                footing=line.footing,
                hull=hulls[line.name],
                nodes=((on[0][0], 0.0), *on[1:-1], (on[-1][0], length)),
                bond_from=length if line.bond_at_end else 0.0,
            )
        )
    return Network(
        strands=tuple(strands),
        nodes=tuple(name for name, _ in places),
        pads=tuple(band for band in bands if band.kind is FootingKind.PAD),
    )


def _lines(plan: Plan) -> list[_NetworkLine]:
    lines = []
    for building in plan.buildings:
        for side in building.sides:
            wall = side.wall
            if wall.existing is not None:
                continue
            lines.append(
                _NetworkLine(
                    wall.name,
                    FootingKind.WALL,
                    side.start,
                    side.end,
                    side.outward,
                    wall.footing,
                    bond_at_end=wall.end < wall.start,
                )
            )
    for inner in plan.interior:
        length = math.dist(inner.start, inner.end)
        out = (
            -(inner.end[1] - inner.start[1]) / length,
            (inner.end[0] - inner.start[0]) / length,
        )
        lines.append(
            _NetworkLine(
                inner.name, FootingKind.INTERIOR, inner.start, inner.end, out, inner.footing
            )
        )
    return lines


def _against(line: _NetworkLine, point: Point, length: float) -> tuple[float, float]:
    # Station along the line and distance off it.
    ax, ay = (line.end[0] - line.start[0]) / length, (line.end[1] - line.start[1]) / length
    dx, dy = point[0] - line.start[0], point[1] - line.start[1]
    return dx * ax + dy * ay, abs(dx * ay - dy * ax)


def _places(plan: Plan, lines: list[_NetworkLine]) -> list[tuple[str, Point]]:
    # The nodes: corners first, then ends of interior lines, then crossings.
    found: list[tuple[str, Point]] = []

    def add(name: str, point: Point) -> None:
        if all(math.dist(point, other) > SAME_POINT for _, other in found):
            found.append((name, point))

    for building in plan.buildings:
        for i, corner in enumerate(building.corners):
            if building.walls[i].existing is None or building.walls[i - 1].existing is None:
                add(corner.name, corner.point)
    for inner in plan.interior:
        add(f"the junction of {inner.name} with {inner.start_on}", inner.start)
        add(f"the junction of {inner.name} with {inner.end_on}", inner.end)
    inside = [line for line in lines if line.kind is FootingKind.INTERIOR]
    for i, first in enumerate(inside):
        for second in inside[i + 1 :]:
            point = _crossing(first, second)
            if point is not None:
                add(f"the crossing of {first.name} and {second.name}", point)
    return found


def _crossing(first: _NetworkLine, second: _NetworkLine) -> Point | None:
    start, other = np.array(first.start), np.array(second.start)
    way, along = np.array(first.end) - start, np.array(second.end) - other
    if abs(float(cross(way, along))) < ON_LINE:
        return None
    share, across = meeting_shares(start, way, other, along)
    if not cross_within(share, across):
        return None
    x, y = (start + float(share) * way).tolist()
    return (x, y)
