"""Which nail slides on which board, so that the strings cross over the right corners."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np

from staking.kinds import StringKind
from staking.layout.layout_parts import Board, String
from staking.measure.rounding import whole_steps
from staking.network.geometry import Floats
from staking.plan import Plan


@dataclass(frozen=True, slots=True, kw_only=True)
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
    standing = {board.name: board for board in boards}
    outward = _outward(plan)
    found = []
    for string in strings:
        pair = _longest_pair(string, now)
        if pair is None:
            continue
        run = np.subtract(string.end, string.start)
        along = run / np.hypot(*run)
        right = np.array([along[1], -along[0]])
        out = outward.get(string.walls[0], right) if string.kind is StringKind.WALL else right
        for name in string.boards:
            if name is None:
                continue
            board = standing[name]
            foot = np.array([board.x, board.y])
            before = _crossing(now[pair[0]], now[pair[1]], foot, out)
            after = _crossing(then[pair[0]], then[pair[1]], foot, out)
            by = after - before
            size = whole_steps(by, step) * step + 0.0
            found.append(
                BoardSlide(
                    board=name,
                    string=string.name,
                    end=board.end,
                    by_wall=string.kind is StringKind.WALL,
                    distance=by,
                    rounded=size,
                    x=size * float(out[0]),
                    y=size * float(out[1]),
                )
            )
    return tuple(found)


def _longest_pair(string: String, known: Mapping[str, Floats]) -> tuple[str, str] | None:
    if string.kind is StringKind.INTERIOR:
        named = [f"{string.walls[0]} from", f"{string.walls[0]} to"]
    else:
        named = [each.name for each in string.passes]
    taped = [name for name in named if name in known]
    return (taped[0], taped[-1]) if len(taped) > 1 else None


def _crossing(first: Floats, last: Floats, foot: Floats, out: Floats) -> float:
    # how far out the line through two stakes crosses the board's own line
    run = last - first
    way = run / np.hypot(*run)
    along = np.array([-out[1], out[0]])
    reach = float((foot - first) @ along) / float(way @ along)
    return float((first + way * reach - foot) @ out)


def _outward(plan: Plan) -> Mapping[str, Floats]:
    found: dict[str, Floats] = {}
    for building in plan.buildings:
        for side in building.sides:
            wall, out = side.wall, np.array(side.outward)
            found[wall.name] = found[wall.reversed_name] = out
    return found
