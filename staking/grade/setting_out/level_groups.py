"""The levels of a job as a list to read the rod by: each level once, with all its places."""

from __future__ import annotations

from collections.abc import Sequence

from staking.grade.graded import LevelMark
from staking.tolerances import ON_LINE

_UNDER = frozenset({"bottom of footing", "bottom of pad"})
"""What has the same level as the bottom of the dig where no stone lies under the footings."""


def levels_by_place(
    levels: Sequence[LevelMark], *, on_stone: bool
) -> list[tuple[LevelMark, list[str]]]:
    """Gather the marks that lie level with one another.

    Parameters
    ----------
    levels
        Every level to set, in the order of the walls.
    on_stone
        Whether stone lies under the footings. Without it the bottom of a footing is where the dig
        ends, and is told once.

    Returns
    -------
    list of tuple of LevelMark and list of str
        The first mark of each level, and the places where that level holds: the kinds of levels
        in the order in which they first come, within each kind the highest first. An empty list
        of places stands for the whole building.
    """
    groups: list[tuple[LevelMark, list[str]]] = []
    for mark in levels:
        if not on_stone and mark.what in _UNDER:
            continue
        for first, where in groups:
            if first.what == mark.what and abs(first.level - mark.level) < ON_LINE:
                if mark.where and mark.where not in where:
                    where.append(mark.where)
                break
        else:
            groups.append((mark, [mark.where] if mark.where else []))
    order = list(dict.fromkeys(mark.what for mark, _ in groups))
    return sorted(groups, key=lambda group: (order.index(group[0].what), -group[0].level))
