"""The conductor of the levels: the ground of a job, then the levels of its footing."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from staking.footing.bands_and_outlines import Band
    from staking.grade.grade_request import GradeAsked
    from staking.grade.graded import Graded
    from staking.plan import Options, Plan
    from staking.site.building_on_lot import BuildingOnLot


def grade_job(
    asked: GradeAsked,
    plan: Plan,
    options: Options,
    bands: Sequence[Band],
    lot: BuildingOnLot | None,
) -> Graded:
    """Work out the levels of a job, all but what depends on boards and hubs.

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
    Graded
        Without stakes and boards.

    Notes
    -----
    `staking.errors.InputError` comes from the ground and the benchmark, and where the top of the
    wall cannot be; `ComputationError` where no stepped footing keeps the rules.
    """
    from staking.grade.stepping.wall_network import join_walls
    from staking.laid_out.footing_levels import footing_levels
    from staking.project.ground import read_ground

    network = join_walls(plan, bands)
    ground = read_ground(asked, network, plan, options, bands, lot)
    return footing_levels(asked, plan, options, network, ground)


def grade_other_ways(graded: Graded) -> Graded:
    """Add to the levels of a job what another top of wall, and larger steps, would give.

    Parameters
    ----------
    graded
        The levels.

    Returns
    -------
    Graded
        With `gains` and `larger_steps`; ways that break a rule are left out.
    """
    from staking.laid_out.footing_levels import other_ways

    return other_ways(graded)
