"""What each smaller number of steps takes: wall, concrete and dig."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from staking.errors import ComputationError
from staking.grade.graded import Graded, StepChoice
from staking.grade.stepping.built_steps import as_built
from staking.grade.stepping.cheapest import fewer_steps
from staking.laid_out.in_ground import ground_of
from staking.order.concrete_items import footing_items
from staking.order.footing_in_ground import FootingInGround, footing_in_ground
from staking.order.trench import bottom_volume, volume_of_banks
from staking.order.wall_levels import graded_levels

if TYPE_CHECKING:
    from staking.grade.stepped_footing import SteppedFooting
    from staking.laid_out.layout_value import Layout
    from staking.order.trench import FacetsOf


def step_choices(layout: Layout) -> tuple[StepChoice, ...]:
    """Give what the footing takes with each number of steps, up to its own.

    Parameters
    ----------
    layout
        A layout with levels.

    Returns
    -------
    tuple of StepChoice
        From the fewest steps on, the footing's own last: each the least wall with so many, and none
        that takes as much wall as one with fewer. Nothing where there is no smaller number.

    Raises
    ------
    ValueError
        Where the layout has no levels.
    """
    graded = layout.grade
    if graded is None:
        raise ValueError("only a layout with levels has steps")
    try:
        fewer: Sequence[SteppedFooting] = fewer_steps(graded.request, len(graded.stepped.steps))
    except ComputationError:
        return ()
    if not fewer:
        return ()
    ground = ground_of(layout)
    dig = layout.options.dig
    standing = footing_in_ground(layout.plan, graded_levels(graded, dig), dig, layout.footing_bands)
    return tuple(_choice(standing, graded, each, ground) for each in (*fewer, graded.stepped))


def _choice(
    standing: FootingInGround, graded: Graded, stepped: SteppedFooting, ground: FacetsOf
) -> StepChoice:
    dig, rules = standing.dig, graded.request.rules
    walls = tuple(
        replace(wall, profile=profile, built=as_built(profile, wall.strand, rules, dig.base))
        for wall, profile in zip(graded.walls, stepped.walls, strict=True)
    )
    levels = graded_levels(replace(graded, walls=walls, pads=stepped.pads), dig)
    footing = standing.at(levels)
    sides = volume_of_banks(footing.banks, dig.bank, ground)
    # The last item is the sum of the others with its waste.
    concrete = sum(item.quantity for item in footing_items(footing, 0.0)[:-1])
    return StepChoice(
        steps=len(stepped.steps),
        objective=stepped.objective,
        wall_area=stepped.wall_area(rules.step_cost),
        concrete=concrete,
        dug=bottom_volume(footing.pieces, ground) + sides,
    )
