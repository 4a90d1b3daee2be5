"""Which nail slides on which board, so that the strings cross over the right corners."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import numpy as np

from staking.frozen import frozen
from staking.kinds import StringKind
from staking.layout.layout_parts import Board, String
from staking.measure.rounding import whole_steps
from staking.network.geometry import Floats
from staking.plan import Plan, Point

_LEAST_STAKES = 2
"""Stakes that show where a string runs."""


@frozen
class BoardSlide:
    """How far a string's nail slides along its board, m.

    Parameters
    ----------
    board, string
        Their names.
    end
        The last corner on the string before the board.
    by_wall
        Whether it is a wall's string: slides then count away from its first wall's building, else
        to the right of the string's own way from start to end.
    distance
        The full slide.
    rounded
        The same in whole steps of what is shown; 0 where the nail stays.
    x, y
        The rounded slide on the plan's grid.
    """

    board: str
    string: str
    end: str
    by_wall: bool
    distance: float
    rounded: float
    x: float
    y: float


@frozen
class SlidingString:
    """A string as its nails slide.

    Parameters
    ----------
    name
        Its name.
    by_wall
        Whether it is a wall's string.
    out
        Unit vector, square to the string, along which slides count.
    stakes
        The corners and points on it, in order.
    boards
        The boards it hangs on, start before end.
    """

    name: str
    by_wall: bool
    out: Point
    stakes: tuple[str, ...]
    boards: tuple[Board, ...]


def sliding_strings(
    plan: Plan, strings: Iterable[String], boards: Iterable[Board]
) -> tuple[SlidingString, ...]:
    """Say for each string which way its nails slide and over which stakes it runs.

    Parameters
    ----------
    plan
        The plan.
    strings, boards
        The layout's.

    Returns
    -------
    tuple of SlidingString
        In the order of the strings.
    """
    standing = {board.name: board for board in boards}
    outward = _outward(plan)
    found = []
    for string in strings:
        run = np.subtract(string.end, string.start)
        along = run / np.hypot(*run)
        right = (float(along[1]), -float(along[0]))
        by_wall = string.kind is StringKind.WALL
        found.append(
            SlidingString(
                name=string.name,
                by_wall=by_wall,
                out=outward.get(string.walls[0], right) if by_wall else right,
                stakes=_stakes_under(string),
                boards=tuple(standing[name] for name in string.boards if name is not None),
            )
        )
    return tuple(found)


def slides(
    names: Iterable[str],
    here: Floats,
    there: Floats,
    plan: Plan,
    strings: Iterable[String],
    boards: Iterable[Board],
    step: float,
) -> tuple[BoardSlide, ...]:
    """Say how far each nail slides.

    Parameters
    ----------
    names, here
        The corners and points, and where they stand, m, shape ``(n, 2)``.
    there
        Where they will be left, m, shape ``(n, 2)``.
    plan
        The plan.
    strings, boards
        The layout's. Only strings over two taped corners or points are listed.
    step
        What slides are rounded to, m.

    Returns
    -------
    tuple of BoardSlide
        In the order of the strings, start before end.

    Notes
    -----
    The string runs through the two taped stakes on it that stand farthest apart. Its nail slides by
    as much as the line through them moves where it crosses the board, from where they stand to
    where they will be left: where they stay, it stays.
    """
    known = tuple(names)
    now = dict(zip(known, here, strict=True))
    then = dict(zip(known, there, strict=True))
    found = []
    for string in sliding_strings(plan, strings, boards):
        taped = [name for name in string.stakes if name in now]
        if len(taped) < _LEAST_STAKES:
            continue
        first, last, out = taped[0], taped[-1], np.array(string.out)
        for board in string.boards:
            foot = np.array([board.x, board.y])
            before = _crossing(now[first], now[last], foot, out)
            by = _crossing(then[first], then[last], foot, out) - before
            size = whole_steps(by, step) * step + 0.0
            found.append(
                BoardSlide(
                    board=board.name,
                    string=string.name,
                    end=board.end,
                    by_wall=string.by_wall,
                    distance=by,
                    rounded=size,
                    x=size * float(out[0]),
                    y=size * float(out[1]),
                )
            )
    return tuple(found)


def _stakes_under(string: String) -> tuple[str, ...]:
    if string.kind is StringKind.INTERIOR:
        return (f"{string.walls[0]} from", f"{string.walls[0]} to")
    return tuple(each.name for each in string.passes)


def _crossing(first: Floats, last: Floats, foot: Floats, out: Floats) -> float:
    # how far out the line through two stakes crosses the board's own line
    run = last - first
    way = run / np.hypot(*run)
    along = np.array([-out[1], out[0]])
    reach = float((foot - first) @ along) / float(way @ along)
    return float((first + way * reach - foot) @ out)


def _outward(plan: Plan) -> Mapping[str, Point]:
    found: dict[str, Point] = {}
    for building in plan.buildings:
        for side in building.sides:
            wall = side.wall
            found[wall.name] = found[wall.reversed_name] = side.outward
    return found
