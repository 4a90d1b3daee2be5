"""What each smaller number of steps takes: wall, concrete and dig."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from staking.errors import ComputationError
from staking.grade.graded import Graded, StepChoice
from staking.grade.stepping.built_steps import as_built
from staking.grade.stepping.cheapest import fewer_steps
from staking.laid_out.in_ground import dug_for, ground_of
from staking.order.concrete_items import footing_items
from staking.order.drain.whole_drain import Drain, drain_of
from staking.order.footing_in_ground import footing_in_ground
from staking.order.wall_levels import Levels, graded_levels

if TYPE_CHECKING:
    from staking.grade.stepped_footing import SteppedFooting
    from staking.laid_out.layout_value import Layout
    from staking.order.order_request import DrainAsked
    from staking.plan import Dig


def step_choices(layout: Layout, drain: DrainAsked | None = None) -> tuple[StepChoice, ...]:
    """Give what the footing takes with each number of steps, up to its own.

    Parameters
    ----------
    layout
        A layout with levels.
    drain
        The drain that is ordered, which is dug too.

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
    dig, step_cost = layout.options.dig, graded.request.rules.step_cost
    standing = footing_in_ground(layout.plan, graded_levels(graded, dig), dig, layout.footing_bands)
    ways = [(each, _levels(graded, each, dig)) for each in (*fewer, graded.stepped)]
    drains = [
        Drain() if drain is None else drain_of(layout.plan, levels, drain, None, graded=True)
        for _, levels in ways
    ]
    ground = ground_of(layout, [point for own in drains for point in own.reached])
    found = []
    for (stepped, levels), own in zip(ways, drains, strict=True):
        footing = standing.at(levels)
        # The last item is the sum of the others with its waste.
        concrete = sum(item.quantity for item in footing_items(footing, 0.0)[:-1])
        found.append(
            StepChoice(
                steps=len(stepped.steps),
                objective=stepped.objective,
                wall_area=stepped.wall_area(step_cost),
                concrete=concrete,
                dug=dug_for(layout, footing, ground, concrete, own).whole,
            )
        )
    return tuple(found)


def _levels(graded: Graded, stepped: SteppedFooting, dig: Dig) -> Levels:
    walls = tuple(
        replace(
            wall,
            profile=profile,
            built=as_built(profile, wall.strand, graded.request.rules, dig.base),
        )
        for wall, profile in zip(graded.walls, stepped.walls, strict=True)
    )
    return graded_levels(replace(graded, walls=walls, pads=stepped.pads), dig)
