"""Where on a string's line past its last corner a board can stand."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from enum import StrEnum

import numpy as np

from staking.frozen import frozen
from staking.layout.keep_clear import InTheWay
from staking.layout.obstacles import (
    Array,
    Indices,
    Stretch,
    blocked_by_edges,
    first_clear,
    in_frame,
    last_clear,
    to_the_left,
)
from staking.plan import BoardRules, Point
from staking.tolerances import ON_LINE, SAME_POINT

BOARD_GAP = 6 * 0.0254
"""What boards keep from each other, m (common practice, no source)."""

INSIDE_CLEARANCE = 6 * 0.3048
"""What a board inside the building keeps from everything dug, m (common practice, no source)."""


class Why(StrEnum):
    """What settled where a string ends."""

    ASKED = "asked"
    CLEARANCE = "clearance"
    BUILDING = "building"
    BOARD = "board"
    INSIDE = "inside"
    REDUCED = "reduced"
    STANDING = "standing"
    NONE = "none"


@frozen
class Ray:
    """A string's line past one of its ends; places along it count from the last corner, m.

    Parameters
    ----------
    origin, direction
        The last corner's place on the line, and the unit direction away from the string.
    span
        The board's two ends across the ray, m to its left, the lesser first.
    beyond
        How far past the origin the stand-off starts to count.
    inside
        For each building, where the line runs inside it.
    kept_off
        Where the line runs inside shapes to stay clear of, with their names.
    met
        Where it meets sides against standing buildings.
    dig, edges
        Which dug bands and edges may be near enough to be in a board's way.
    """

    origin: Point
    direction: Point
    span: Stretch
    beyond: float
    inside: tuple[list[Stretch], ...]
    kept_off: list[tuple[str, Stretch]]
    met: list[float]
    dig: Indices
    edges: Indices


@frozen
class BoardPlace:
    """Where a string ends past its last corner.

    Parameters
    ----------
    station
        Along the ray, m: the board's place, or where the string ends without one.
    stand_off
        Past the last corner, far face or outside face crossed, m.
    has_board
        Whether a board stands there. None does where the string ends at a standing building, or
        where no place on its line is clear.
    why
        What settled it.
    stopped_by
        What stands on the line farther on: a shape's name or the standing building; or empty.
    runs_on
        True where the string runs on through the building from an inside corner.
    """

    station: float
    stand_off: float
    has_board: bool
    why: Why
    stopped_by: str = ""
    runs_on: bool = False


@dataclass(slots=True, eq=False)
class PlacedBoards:
    """The boards that stand already, in arrays that grow as boards are added."""

    count: int = 0
    _ends: Array = field(default_factory=lambda: np.zeros((64, 2, 2)))

    def add(self, ends: tuple[Point, Point]) -> None:
        """Add a board by its two ends, m."""
        if self.count == len(self._ends):
            self._ends = np.concatenate((self._ends, np.zeros_like(self._ends)))
        self._ends[self.count] = ends
        self.count += 1

    def blocked(self, ray: Ray) -> list[Stretch]:
        """Find where along a ray a board would be too near to one that stands.

        Returns
        -------
        list of Stretch
            One for each board in the way, m along the ray.
        """
        ends = self._ends[: self.count]
        t0 = to_the_left(ends[:, 0], ray.origin, ray.direction)
        t1 = to_the_left(ends[:, 1], ray.origin, ray.direction)
        near = np.flatnonzero(
            (np.minimum(t0, t1) < ray.span[1] + BOARD_GAP)
            & (np.maximum(t0, t1) > ray.span[0] - BOARD_GAP)
        )
        if not near.size:
            return []
        a = in_frame(ends[near, 0], ray.origin, ray.direction)
        b = in_frame(ends[near, 1], ray.origin, ray.direction)
        return blocked_by_edges(a, b, np.arange(near.size), ray.span, BOARD_GAP)


def find_place(
    ray: Ray, ground: InTheWay, boards: PlacedBoards, rules: BoardRules, depth: float
) -> BoardPlace:
    """Find the first place on a ray where a board can stand.

    Parameters
    ----------
    ray
        The string's line past its last corner.
    ground
        What is in the way.
    boards
        The boards that stand already.
    rules
        Stand-off, clearance, and whether boards may stand inside.
    depth
        The depth of the dig, m; no board stands nearer to it than this.

    Returns
    -------
    BoardPlace
        The first clear place at or past the stand-off; else the farthest clear one below it; else
        none.
    """
    stop, what = _stop(ray)
    way = _Way(
        stretches=sorted(stretch for one in ray.inside for stretch in one),
        clearance=max(rules.clearance, depth),
        edges=ground.edges.blocked(ray.origin, ray.direction, ray.span, 0.0, ray.edges),
        boards=boards.blocked(ray),
    )
    entered = [one for one in ray.inside if any(_holds(stretch, ray.beyond) for stretch in one)]
    # At an inside corner the count starts at the last outside face of the building run through.
    base = max((one[-1][1] for one in entered), default=ray.beyond)
    found = [_place_inside(ray, ground, rules, way, stop)]
    # Where the line only comes out at the stop, there is no ground outside to stand on.
    if base < stop - ON_LINE:
        found.append(_place_outside(ray, ground, rules, way, (base, stop), what))
    places = [place for place in found if place is not None]
    if not places:
        return _without_board(ray, stop, what, bool(entered))
    return min(places, key=lambda place: (place.why is Why.REDUCED, place.station))


@frozen
class _Way:
    """What is in a ray's way: inside stretches, sorted, and what blocks boards; m along it."""

    stretches: list[Stretch]
    clearance: float
    edges: list[Stretch]
    boards: list[Stretch]


def _place_inside(
    ray: Ray, ground: InTheWay, rules: BoardRules, way: _Way, stop: float
) -> BoardPlace | None:
    if not (rules.inside_boards and way.stretches):
        return None
    clearance = max(way.clearance, INSIDE_CLEARANCE)
    dig = ground.dig.blocked(ray.origin, ray.direction, ray.span, clearance, ray.dig)
    blocked = dig + way.edges + way.boards + _between(way.stretches)
    place = first_clear(ray.beyond + rules.stand_off, blocked)
    if place > stop + ON_LINE or not math.isfinite(place):
        return None
    crossed = [low for low, _ in way.stretches if ray.beyond < low <= place]
    return BoardPlace(
        station=place,
        stand_off=place - max([ray.beyond, *crossed]),
        has_board=True,
        why=Why.INSIDE,
    )


def _place_outside(
    ray: Ray,
    ground: InTheWay,
    rules: BoardRules,
    way: _Way,
    reach: Stretch,
    stopped_by: str,
) -> BoardPlace | None:
    base, stop = reach
    dig = ground.dig.blocked(ray.origin, ray.direction, ray.span, way.clearance, ray.dig)
    # Past every outside face that is crossed, the stand-off counts anew.
    exits = [(high, high + rules.stand_off) for _, high in way.stretches if high > base + ON_LINE]
    start = base + rules.stand_off
    fixed = dig + way.edges + way.stretches
    place = first_clear(start, fixed + exits + way.boards)
    if place <= stop + ON_LINE:
        by_dig, by_plan = first_clear(start, dig), first_clear(start, fixed + exits)
        why = _why(start, by_dig, by_plan, place)
    else:
        place = last_clear(min(start, stop), fixed + way.boards)
        why = Why.REDUCED
        if place < base - ON_LINE:
            return None
    face = max([base, *(high for _, high in way.stretches if high <= place + ON_LINE)])
    return BoardPlace(
        station=place,
        stand_off=place - face,
        has_board=True,
        why=why,
        stopped_by=stopped_by,
        runs_on=face > ray.beyond + ON_LINE,
    )


def _without_board(ray: Ray, stop: float, what: str, entered: bool) -> BoardPlace:
    # End a string that finds no clear place: on the standing building it runs to, if it does.
    reached = entered and what == STANDING_BUILDING
    return BoardPlace(
        station=stop if reached else 0.0,
        stand_off=0.0,
        has_board=False,
        why=Why.STANDING if reached else Why.NONE,
        stopped_by=what,
        runs_on=reached,
    )


STANDING_BUILDING = "the standing building"
"""What the notices call the building along an existing side."""


def _stop(ray: Ray) -> tuple[float, str]:
    # Give how far the string may run at all, and what stops it.
    stops = [(max(low, 0.0), name) for name, (low, high) in ray.kept_off if high > SAME_POINT]
    stops += [(place, STANDING_BUILDING) for place in ray.met if place > SAME_POINT]
    return min(stops, default=(math.inf, ""))


def _holds(stretch: Stretch, place: float) -> bool:
    # Tell whether a stretch holds the ground just past a place.
    return stretch[0] <= place + SAME_POINT < stretch[1]


def _between(stretches: list[Stretch]) -> list[Stretch]:
    # Give what lies outside of all the stretches, which are sorted.
    gaps: list[Stretch] = []
    far = -math.inf
    for low, high in stretches:
        if low > far:
            gaps.append((far, low))
        far = max(far, high)
    return [*gaps, (far, math.inf)]


def _why(start: float, by_dig: float, by_plan: float, place: float) -> Why:
    if place > by_plan + ON_LINE:
        return Why.BOARD
    if by_plan > by_dig + ON_LINE:
        return Why.BUILDING
    return Why.CLEARANCE if by_dig > start + ON_LINE else Why.ASKED
