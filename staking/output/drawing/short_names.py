"""Names as the plan shows them: long ones shortened, so that they do not make the plan smaller."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from staking.plan import Plan

_LONGEST = 14
"""A name of more letters is shortened on the plan; the tables have it whole."""
_HEAD, _TAIL = 7, 4
"""Letters kept before and after the dots."""


class ShownNames:
    """How each name of a plan is written on it.

    Parameters
    ----------
    plan
        The plan. A name is left whole where its short form would stand for another one too.
    """

    def __init__(self, plan: Plan) -> None:
        names = [corner.name for building in plan.buildings for corner in building.corners]
        names += [line.name for line in plan.interior]
        names += [pad.name for pad in plan.pads]
        short = {name: _short(name) for name in names}
        taken = Counter(short.values())
        self._short = {name: each for name, each in short.items() if taken[each] == 1}

    def __call__(self, text: str) -> str:
        """Write a name, or a wall's two corners with a dash between them.

        Returns
        -------
        str
            The name as it is shown; what is not a name of the plan stays.
        """
        return "-".join(self._short.get(part, part) for part in text.split("-"))


def _short(name: str) -> str:
    if len(name) <= _LONGEST:
        return name
    return f"{name[:_HEAD]}...{name[-_TAIL:]}"
