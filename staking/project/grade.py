"""The conductor of the levels: the ground of a job, then the levels of its footing."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from staking.frozen import frozen

if TYPE_CHECKING:
    from collections.abc import Sequence

    from staking.footing.bands_and_outlines import Band
    from staking.grade.grade_request import GradeAsked
    from staking.grade.graded import Graded
    from staking.grade.stepping.wall_network import Network
    from staking.laid_out.footing_levels import GroundRead
    from staking.laid_out.layout_value import Layout
    from staking.order.order_request import OrderAsked
    from staking.plan import Options, Plan
    from staking.site.building_on_lot import BuildingOnLot


@frozen(eq=False)
class GroundUnderWalls:
    """The walls of a building and the ground that is known under them."""

    network: Network
    ground: GroundRead


def ground_under_walls(
    asked: GradeAsked,
    plan: Plan,
    options: Options,
    bands: Sequence[Band],
    lot: BuildingOnLot | None,
) -> GroundUnderWalls:
    """Find the walls of a job and the ground under them: what no top of wall changes.

    Parameters
    ----------
    asked
        The grade section.
    plan, options, bands
        The building, the rest of the job, and the footings.
    lot
        The surveys, and where the building stands on them.

    Returns
    -------
    GroundUnderWalls
        The network of walls and the ground.

    Notes
    -----
    `staking.errors.InputError` comes from the ground and the benchmark.
    """
    from staking.grade.stepping.wall_network import join_walls
    from staking.project.ground import read_ground

    network = join_walls(plan, bands)
    ground = read_ground(asked, network, plan, options, bands, lot)
    return GroundUnderWalls(network=network, ground=ground)


def grade_job(asked: GradeAsked, plan: Plan, options: Options, under: GroundUnderWalls) -> Graded:
    """Work out the levels of a job, all but what depends on boards and hubs.

    Parameters
    ----------
    asked
        The grade section.
    plan, options
        The building, and the rest of the job.
    under
        Its walls and their ground.

    Returns
    -------
    Graded
        Without stakes and boards.

    Notes
    -----
    `staking.errors.InputError` comes where the top of the wall cannot be; `ComputationError` where
    no stepped footing keeps the rules.
    """
    from staking.laid_out.footing_levels import footing_levels

    return footing_levels(asked, plan, options, under.network, under.ground)


def grade_other_ways(layout: Layout, order: OrderAsked | None = None) -> Layout:
    """Add to the levels of a job what another top of wall, and other steps, would give.

    Parameters
    ----------
    layout
        The job laid out.
    order
        The order section: a drain in it is dug too.

    Returns
    -------
    Layout
        With `gains`, `larger_steps` and the next-cheapest number of steps; ways that break a rule
        are left out.
    """
    from staking.laid_out.footing_levels import other_ways
    from staking.laid_out.step_choices import step_choices

    if layout.grade is None:
        return layout
    choices = step_choices(layout, None if order is None else order.drain)
    graded = replace(other_ways(layout.grade), choices=choices)
    return replace(layout, grade=graded)
