"""Lower strings, where a board would stand too high, with what both their ends are tied to."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from staking.grade.graded import BoardLevel, LowerString
from staking.grade.setting_out.board_heights import LEAST, PROBE, GroundAt
from staking.layout.layout_parts import String
from staking.tolerances import ON_LINE


def lower_strings(
    strings: Sequence[String], levels: Sequence[BoardLevel], ground_at: GroundAt
) -> tuple[tuple[LowerString, ...], tuple[BoardLevel, ...]]:
    """Give every lower string its two ends at one level.

    Parameters
    ----------
    strings
        As they are pulled.
    levels
        Of all boards; those that would stand too high have a `tier`.
    ground_at
        The existing ground.

    Returns
    -------
    tuple
        The lower strings, and the levels with a lower board at each board that one is tied to.
        The board at the other end takes the same level where the ground leaves it `LEAST`; where
        it does not, the lower string ends at a board across the trench, as far along as the
        ground under the string leaves it that. Two ends that would each have a level of their
        own share the lower one where both have room for it.
    """
    by_name = {each.board: each for each in levels}
    found: list[LowerString] = []
    for string in strings:
        ends = [by_name.get(name or "") for name in string.boards]
        tiers = [each.tier for each in ends if each is not None and each.tier is not None]
        if not tiers:
            continue
        lowest = min(tiers)
        if all(name is None or _has_room(by_name.get(name), lowest) for name in string.boards):
            found.append(LowerString(string=string.name, level=lowest, boards=string.boards))
            continue
        for place, end in enumerate(ends):
            if end is None or end.tier is None:
                continue
            reach = _reach(string, end.tier, ground_at, backwards=place == 1)
            held: tuple[str | None, str | None] = (
                (end.board, None) if place == 0 else (None, end.board)
            )
            found.append(LowerString(string=string.name, level=end.tier, boards=held, across=reach))
    tied = {name: lower.level for lower in found for name in lower.boards if name is not None}
    return tuple(found), tuple(
        replace(each, tier=tied[each.board]) if each.board in tied else each for each in levels
    )


def _has_room(level: BoardLevel | None, lower: float) -> bool:
    # Where the ground is not known nothing can be said of a board there.
    return level is not None and level.ground is not None and (
        lower - level.ground >= LEAST - ON_LINE
    )  # fmt: skip


def _reach(string: String, level: float, ground_at: GroundAt, *, backwards: bool) -> float:
    # How far along from its board the ground leaves the string room, m.
    start, end = (string.end, string.start) if backwards else (string.start, string.end)
    count = max(math.ceil(string.length / PROBE), 1) + 1
    share = np.linspace(0.0, 1.0, count)
    places = np.outer(1 - share, start) + np.outer(share, end)
    blocked = np.flatnonzero(ground_at(places) > level - LEAST + ON_LINE)
    last = int(blocked[0]) - 1 if len(blocked) else count - 1
    return float(share[max(last, 0)]) * string.length
