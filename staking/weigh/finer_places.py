"""The search between the places of the grid: round the best place, finer and finer."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from staking.frozen import frozen
from staking.tolerances import ON_LINE
from staking.units import INCH

if TYPE_CHECKING:
    from staking.weigh.candidates import Candidate
    from staking.weigh.weigh_request import MoveAsked

FINEST = 3 * INCH
"""The search ends with moves of about this, m."""

STARTS = 4
"""Round so many of the cheapest nodes of the grid it is searched: what a place costs goes by whole
blocks, loads and steps, so that one step from the cheapest node may lead nowhere."""


@frozen
class SearchStep:
    """How far apart places are tried round the best one: `move` in m, `turn` in rad."""

    move: float
    turn: float

    @property
    def half(self) -> SearchStep:
        """The next finer step."""
        return SearchStep(move=self.move / 2, turn=self.turn / 2)

    @property
    def is_done(self) -> bool:
        """Whether it is finer than anybody would set out by choice."""
        return self.move < FINEST - ON_LINE


def first_step(move: MoveAsked) -> SearchStep:
    """Give the step that follows the grid's own: half of it."""
    return SearchStep(move=move.step / 2, turn=move.turn_step / 2)


def round_about(best: Candidate, step: SearchStep, move: MoveAsked) -> tuple[Candidate, ...]:
    """List the places next to the best one that the building may go to.

    Parameters
    ----------
    best
        The best place so far.
    step
        How far from it.
    move
        How far the building may go.

    Returns
    -------
    tuple of Candidate
        One step north, south, east, west and round either way, each with the same top.
    """
    near = []
    for name, reach, by in (
        ("north", move.north, step.move),
        ("east", move.east, step.move),
        ("turn", move.turn, step.turn),
    ):
        for sign in (1, -1):
            value = getattr(best, name) + sign * by
            if reach > 0 and abs(value) <= reach + ON_LINE:
                near.append(replace(best, **{name: value}))
    return tuple(near)
