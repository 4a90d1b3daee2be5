"""Which nail slides on which board, so that the strings cross over the right corners."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np

from staking.layout.layout_parts import Board, String
from staking.network.geometry import Floats
from staking.plan import Plan, Point
from staking.planar import signed_area


@dataclass(frozen=True, slots=True, kw_only=True)
class Slide:
    """How far a string's nail slides along its board, m.

    Parameters
    ----------
    board, string
        Their names.
    end
        The last corner on the string before the board.
    distance
        The full slide: positive away from the building of the string's first wall.
    rounded
        The same in whole steps of what is shown; 0 where the nail is good enough.
    x, y
        The rounded slide on the plan's grid.
    """

    board: str
    string: str
    end: str
    distance: float
    rounded: float
    x: float
    y: float


def slides(
    names: Iterable[str],
    here: Floats,
    plan: Plan,
    strings: Iterable[String],
    boards: Iterable[Board],
    step: float,
) -> tuple[Slide, ...]:
    """Say how far each nail slides.

    Parameters
    ----------
    names, here
        The corners and where the strings now cross over them, m, shape ``(n, 2)``.
    plan
        The plan.
    strings, boards
        The layout's. Only strings of walls with two taped corners or more are told.
    step
        What slides are rounded to, m.

    Returns
    -------
    tuple of Slide
        In the order of the strings, start before end.

    Notes
    -----
    The string runs through the first and the last corner it passes. It is to run along the plan's
    line, and the slide is the distance between the two lines along the board.
    """
    at = dict(zip(names, here, strict=True))
    standing = {board.name: board for board in boards}
    outward = _outward(plan)
    found = []
    for string in strings:
        corners = [each.name for each in string.passes if not each.is_pad and each.name in at]
        if string.kind != "wall" or len(corners) < 2:
            continue
        out = outward.get(string.walls[0])
        if out is None:
            continue
        for name in string.boards:
            if name is not None:
                found.append(
                    _slide(standing[name], string, at[corners[0]], at[corners[-1]], out, step)
                )
    return tuple(found)


def _slide(
    board: Board, string: String, first: Floats, last: Floats, out: Floats, step: float
) -> Slide:
    now = (last - first) / np.hypot(*(last - first))
    along = np.array([-out[1], out[0]])
    foot = np.array([board.x, board.y])
    # where the string now crosses the board's line, measured outward from the plan's line
    reach = float((foot - first) @ along) / float(now @ along)
    off = float((first + now * reach - foot) @ out)
    size = math.copysign(math.floor(abs(off) / step + 0.5 - 1e-9) * step, -off) + 0.0
    return Slide(
        board=board.name,
        string=string.name,
        end=board.end,
        distance=-off,
        rounded=size,
        x=size * float(out[0]),
        y=size * float(out[1]),
    )


def _outward(plan: Plan) -> Mapping[str, Floats]:
    found: dict[str, Floats] = {}
    for building in plan.buildings:
        points: dict[str, Point] = {corner.name: corner.point for corner in building.corners}
        anticlockwise = signed_area([corner.point for corner in building.corners]) > 0
        for wall in building.walls:
            step = np.asarray(points[wall.end]) - np.asarray(points[wall.start])
            right = np.array([step[1], -step[0]]) / np.hypot(*step)
            out = right if anticlockwise else -right
            found[wall.name] = found[f"{wall.end}-{wall.start}"] = out
    return found
