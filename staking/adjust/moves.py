"""Which stake to move, which way and how far, and what the tapes then read."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence

import numpy as np

from staking.adjust.point_places import Located
from staking.adjust.targets import Target
from staking.frozen import frozen
from staking.lines import cross
from staking.measure.rounding import whole_steps
from staking.network.geometry import Floats
from staking.plan import Plan, Point

SQUARE_SINE = math.sin(math.radians(1.0))
"""Walls within one degree of square: a move is given along both of them (common practice, no
source)."""

SEEN_SINE = 0.1
"""A wall that stands turned by more than this, as a sine, is not a guide: who moves a stake sees
where its neighbours stand, not where they belong. What goes a tenth of a move astray is a
hundredth of it after the second round, 1/20" of 5" (our own choice)."""


@frozen
class Hold:
    """A corner that stays where it is and a wall that keeps its direction."""

    corner: str
    wall: tuple[str, str]


@frozen
class MovePart:
    """One part of a move; its distance, m, is above zero.

    Parameters
    ----------
    distance
        How far, in whole steps of what is shown.
    toward
        ``D``, ``away from D``, or square to a wall ``outward from A-B`` and ``inward from A-B``; of
        a pad ``toward D along A-D``, and square to that wall ``away from A-D`` and ``toward A-D``.
    along
        The neighbour whose wall it runs along, or None where it runs square to one or is a pad's.
    x, y
        The move itself on the plan's grid.
    """

    distance: float
    toward: str
    along: str | None
    x: float
    y: float


@frozen
class Move:
    """What one stake is off by, m.

    `corner` names the corner, pad or end of an interior line; `x` and `y` are the full move to the
    plan; `steps` is what to do about it, empty where the stake is good enough.
    """

    corner: str
    x: float
    y: float
    steps: tuple[MovePart, ...]


@frozen
class Neighbours:
    """The corners before and after one in its outline, and which side the building is on."""

    before: str
    after: str
    left_is_inside: bool


def neighbours(plan: Plan) -> dict[str, Neighbours]:
    """Find each corner's neighbours round its outline.

    Parameters
    ----------
    plan
        The plan.

    Returns
    -------
    dict
        By corner; the building lies on the left of the wall to `after` where the outline runs
        anticlockwise.
    """
    found = {}
    for building in plan.buildings:
        inside = building.is_anticlockwise
        names = [corner.name for corner in building.corners]
        for place, name in enumerate(names):
            found[name] = Neighbours(
                before=names[place - 1],
                after=names[(place + 1) % len(names)],
                left_is_inside=inside,
            )
    return found


def placed(located: Located, plan: Mapping[str, Point], hold: Hold | None) -> Floats:
    """Put the adjusted corners and points onto the plan's grid.

    Parameters
    ----------
    located
        The adjusted corners, and points beside them.
    plan
        Where each stands on the plan, m.
    hold
        The corner that stays on its plan place and the wall that keeps its direction; None for
        the fit of the corners that moves least (by the sum of squares).

    Returns
    -------
    array
        x and y, m, shape ``(n, 2)``, in the order of the names.
    """
    here, names = located.coordinates, located.names[: located.corners]
    goal = np.array([plan[name] for name in names], dtype=float)
    if hold is None:
        return laid_on(located, goal)
    at = {name: place for place, name in enumerate(names)}
    corner, (first, last) = at[hold.corner], (at[hold.wall[0]], at[hold.wall[1]])
    run, planned = here[last] - here[first], goal[last] - goal[first]
    c = float(run @ planned)
    s = float(cross(run, planned))
    return _turned(here, here[corner], goal[corner], c, s)


def laid_on(located: Located, goal: Floats) -> Floats:
    """Turn and shift corners and points so that the corners lie as near as can be to others.

    Parameters
    ----------
    located
        The adjusted corners, and points beside them.
    goal
        Where the corners are to come, m, shape ``(n, 2)``.

    Returns
    -------
    array
        x and y, m, of corners and points, in the order of the names.
    """
    here = located.coordinates
    corners = here[: located.corners]
    away, there = corners - corners.mean(axis=0), goal - goal.mean(axis=0)
    c = float((away * there).sum())
    s = float(cross(away, there).sum())
    return _turned(here, corners.mean(axis=0), goal.mean(axis=0), c, s)


def _turned(here: Floats, middle: Floats, onto: Floats, c: float, s: float) -> Floats:
    size = math.hypot(c, s)
    turn = np.array([[c, s], [-s, c]]) / size if size > 0 else np.eye(2)
    return np.asarray((here - middle) @ turn + onto)


def advise(
    names: Iterable[str],
    here: Floats,
    plan: Plan,
    step: float,
    *,
    targets: Sequence[Target] = (),
    leave: bool = False,
) -> tuple[Move, ...]:
    """Say how to move each stake onto the plan.

    Parameters
    ----------
    names
        The corners and points.
    here
        Where they stand, m, shape ``(n, 2)``.
    plan
        The plan.
    step
        What moves are rounded to, m.
    targets
        The points that are not corners.
    leave
        Whether all stakes are good enough where they are.

    Returns
    -------
    tuple of Move
        In the order of the names. A part that rounds to nothing is left away.

    Notes
    -----
    A move is given along the two walls that meet at a square corner, and along and across the
    wall to the next corner elsewhere; what is left by rounding is at most half a step along each.
    Where the stakes show one of the two walls turned by more than `SEEN_SINE`, as they do where a
    jog of a few inches is as short as they are off, it is given along and across the other one.
    A pad's is given along and across the wall nearest to it, an interior line's end along and
    across the wall it stands on.
    """
    points = plan.corner_points
    own = {each.name: each for each in targets}
    beside = neighbours(plan)
    names = tuple(names)
    seen = {name: np.asarray(place) for name, place in zip(names, here, strict=True)}
    found = []
    for name, place in zip(names, here, strict=True):
        target = None if name in points else own[name]
        move = np.asarray(points[name] if target is None else target.point) - place
        if leave:
            steps: tuple[MovePart, ...] = ()
        elif target is None:
            steps = _steps(move, _corner_walls(name, beside[name], points, seen), step)
        else:
            steps = _point_steps(target, move, step)
        found.append(Move(corner=name, x=float(move[0]), y=float(move[1]), steps=steps))
    return tuple(found)


def moved(here: Floats, moves: Iterable[Move]) -> Floats:
    """Give where the stakes stand once the advice is followed.

    Parameters
    ----------
    here
        Where they stand, m, shape ``(n, 2)``.
    moves
        The moves, in the same order.

    Returns
    -------
    array
        x and y, m, shape ``(n, 2)``.
    """
    shifts = [
        (sum(part.x for part in move.steps), sum(part.y for part in move.steps)) for move in moves
    ]
    return np.asarray(here + np.array(shifts, dtype=float).reshape(-1, 2))


@frozen(eq=False)
class _CornerWall:
    """A wall as it runs from a corner: to whom, its way and its inner side on the plan.

    `turned` is the sine of how far it stands turned as the stakes show it, 1 where it points back.
    """

    name: str
    neighbour: str
    way: Floats
    inward: Floats
    turned: float


def _corner_walls(
    name: str, beside: Neighbours, points: Mapping[str, Point], seen: Mapping[str, Floats]
) -> tuple[_CornerWall, _CornerWall]:
    # the wall to the corner after, and the one to the corner before
    corner = np.asarray(points[name])
    found = []
    for neighbour, wall, ahead in (
        (beside.after, f"{name}-{beside.after}", True),
        (beside.before, f"{beside.before}-{name}", False),
    ):
        run = np.asarray(points[neighbour]) - corner
        way = run / np.hypot(*run)
        left = np.array([-way[1], way[0]])
        # where nobody taped the neighbour it counts as standing in its place
        shown = seen.get(neighbour, np.asarray(points[neighbour])) - seen[name]
        size = float(np.hypot(*shown))
        turned = abs(float(shown @ left)) / size if float(shown @ way) > 0 else 1.0
        found.append(
            _CornerWall(
                name=wall,
                neighbour=neighbour,
                way=way,
                inward=left if ahead == beside.left_is_inside else -left,
                turned=turned,
            )
        )
    return found[0], found[1]


def _steps(
    move: Floats, walls: tuple[_CornerWall, _CornerWall], step: float
) -> tuple[MovePart, ...]:
    after, before = walls
    square = abs(float(after.way @ before.way)) <= SQUARE_SINE
    misleading = [wall.turned > SEEN_SINE for wall in walls]
    if square and not any(misleading):
        found = [_along(move, wall.way, wall.neighbour, step) for wall in walls]
    else:
        guide = before if misleading[0] and before.turned < after.turned else after
        found = [
            _along(move, guide.way, guide.neighbour, step),
            _across(move, guide.inward, guide.name, step),
        ]
    return tuple(part for part in found if part is not None)


def _point_steps(target: Target, move: Floats, step: float) -> tuple[MovePart, ...]:
    first, last = target.toward_name
    wall = f"{first}-{last}"
    along = (f"toward {last} along {wall}", f"toward {first} along {wall}")
    found = []
    for way, (ahead, back) in ((target.toward, along), (target.across, target.across_names)):
        size = _rounded(float(move @ np.array(way)), step)
        if size:
            found.append(
                MovePart(
                    distance=abs(size),
                    toward=ahead if size > 0 else back,
                    along=None,
                    x=size * way[0],
                    y=size * way[1],
                )
            )
    return tuple(found)


def _along(move: Floats, way: Floats, neighbour: str, step: float) -> MovePart | None:
    size = _rounded(float(move @ way), step)
    if size == 0:
        return None
    return MovePart(
        distance=abs(size),
        toward=neighbour if size > 0 else f"away from {neighbour}",
        along=neighbour,
        x=size * float(way[0]),
        y=size * float(way[1]),
    )


def _across(move: Floats, inward: Floats, wall: str, step: float) -> MovePart | None:
    size = _rounded(float(move @ inward), step)
    if size == 0:
        return None
    return MovePart(
        distance=abs(size),
        toward=f"{'inward' if size > 0 else 'outward'} from {wall}",
        along=None,
        x=size * float(inward[0]),
        y=size * float(inward[1]),
    )


def _rounded(size: float, step: float) -> float:
    # halves away from nothing, the same either way round
    return whole_steps(size, step) * step + 0.0
