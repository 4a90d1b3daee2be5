"""Which corner and wall are held while the others are moved."""

from __future__ import annotations

import math
from collections.abc import Sequence

from staking.adjust.moves import Hold
from staking.errors import InputError, Problem
from staking.layout.steps.base_line import LEAST_SHARE
from staking.plan import Plan, Wall

BEST = "best"
"""The word for the fit that moves least."""

PLACE = "place"
"""The word for the planned place on the lot."""


def parse_hold(
    plan: Plan, names: Sequence[str], text: str | None, base: tuple[str, str]
) -> Hold | None:
    """Read which corner and wall are held.

    Parameters
    ----------
    plan
        The plan.
    names
        The corners that were taped.
    text
        ``C,C-D``, ``C``, ``best`` or None.
    base
        The line from which the order of work starts, its first corner first.

    Returns
    -------
    Hold or None
        The base line where nothing is said; None for the best fit.

    Raises
    ------
    InputError
        When it names no corner or wall that was taped.
    """
    if text is None:
        return default_hold(plan, names, base)
    if text.strip().lower() == BEST:
        return None
    taped = [(w.start, w.end) for w in _taped(plan, names)]
    corner, _, wall_text = (part.strip() for part in text.partition(","))
    if corner not in names:
        raise InputError(
            _fault(f"{corner} is not a corner that was taped; there are {', '.join(names)}")
        )
    if wall_text:
        ends = tuple(part.strip() for part in wall_text.split("-"))
        if ends not in taped and ends[::-1] not in taped:
            raise InputError(_fault(f"{wall_text} is not a wall with both its corners taped"))
        return Hold(corner=corner, wall=(ends[0], ends[1]))
    own = [wall for wall in taped if corner in wall]
    # the wall that starts at the corner comes before the one that ends there
    own.sort(key=lambda wall: wall[0] != corner)
    if not own:
        raise InputError(_fault(f"no wall at {corner} has both its corners taped"))
    return Hold(corner=corner, wall=own[0])


def default_hold(plan: Plan, names: Sequence[str], base: tuple[str, str]) -> Hold:
    """Give what is held where nobody says.

    Parameters
    ----------
    plan
        The plan.
    names
        The corners that were taped.
    base
        The line from which the order of work starts, its first corner first.

    Returns
    -------
    Hold
        The base line; where it was not taped, the longest taped side against a standing building
        that is at least half as long as the longest taped wall, else that wall, else the first
        corner and the farthest one from it.
    """
    if set(base) <= set(names):
        return Hold(corner=base[0], wall=base)
    places = plan.corner_points
    taped = _taped(plan, names)

    def length(wall: Wall) -> float:
        return round(math.dist(places[wall.start], places[wall.end]), 4)

    least = LEAST_SHARE * max(map(length, taped), default=0.0)
    against = [wall for wall in taped if wall.existing is not None and length(wall) >= least]
    if taped:
        held = min(against or taped, key=lambda wall: (-length(wall), _by_name(wall)))
        return Hold(corner=_by_name(held)[0], wall=_by_name(held))
    first = names[0]
    other = max(names[1:], key=lambda name: math.dist(places[first], places[name]))
    return Hold(corner=first, wall=(first, other))


def holds_of(plan: Plan, base: tuple[str, str]) -> tuple[Hold | None, ...]:
    """List what may be held.

    Parameters
    ----------
    plan
        The plan.
    base
        The line from which the order of work starts, its first corner first.

    Returns
    -------
    tuple of Hold or None
        The base line, which is held where nobody says; then each wall from either end; None for the
        best fit.
    """
    first = Hold(corner=base[0], wall=base)
    walls = [(w.start, w.end) for b in plan.buildings for w in b.walls]
    others = [Hold(corner=corner, wall=wall) for wall in walls for corner in wall]
    kept = [
        hold for hold in others if (hold.corner, set(hold.wall)) != (first.corner, set(first.wall))
    ]
    return (first, *kept, None)


def _by_name(wall: Wall) -> tuple[str, str]:
    return min(wall.start, wall.end), max(wall.start, wall.end)


def _taped(plan: Plan, names: Sequence[str]) -> list[Wall]:
    known = set(names)
    return [w for b in plan.buildings for w in b.walls if {w.start, w.end} <= known]


def _fault(message: str) -> Problem:
    return Problem(message=message, remedy="write --hold C,C-D or --hold best", field="--hold")
