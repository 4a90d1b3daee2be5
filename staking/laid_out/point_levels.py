"""How high each point of a layout stands, where the levels know it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from staking.grade.terrain.ground_readings import GroundReadings
from staking.grade.terrain.surveyed_ground import SurveyedGround
from staking.kinds import PointKind
from staking.laid_out.ground_made import SAME_BENCHMARK
from staking.layout.named_points import NamedPoint
from staking.notices import Notice, Severity, notice

if TYPE_CHECKING:
    from staking.grade.graded import Graded
    from staking.laid_out.layout_value import Layout
    from staking.site.building_on_lot import BuildingOnLot

Floats = npt.NDArray[np.float64]


def point_levels(layout: Layout, points: Sequence[NamedPoint]) -> Floats:
    """Give the elevation at which each point is set.

    Parameters
    ----------
    layout
        The layout.
    points
        Its points, as `staking.layout.named_points.named_points` lists them.

    Returns
    -------
    ndarray
        ``(n,)``, m; not-a-number where the levels do not know it. Of a stake it is the stake's top
        where the job gives that, else the existing ground at it, and nothing where that is only
        scanned; of a board's ends and marks the board's top, which is the string. A placed
        building's elevations are the survey's, and all are unknown where the levels count from
        another zero.
    """
    found = np.full(len(points), np.nan)
    graded = layout.grade
    if graded is None or (layout.placed and not count_from_the_survey(graded, layout.site)):
        return found
    on_boards = np.array([each.kind.is_on_board for each in points], dtype=bool)
    found[on_boards] = np.nan if graded.string is None else graded.string
    stakes = [each for each in points if not each.kind.is_on_board]
    ground = graded.request.site.existing
    if stakes and not (isinstance(ground, SurveyedGround) and ground.is_scanned):
        places = np.array([(each.x, each.y) for each in stakes], dtype=np.float64)
        found[~on_boards] = ground.at(places)
    tops = dict(graded.stake_tops)
    for i, each in enumerate(points):
        if each.kind in {PointKind.CORNER, PointKind.PAD} and each.of in tops:
            found[i] = tops[each.of]
    return found


def count_from_the_survey(graded: Graded, site: BuildingOnLot | None) -> bool:
    """Tell whether levels count from the zero of the survey's elevations.

    Parameters
    ----------
    graded
        The levels.
    site
        The lot with its surveys; None without.

    Returns
    -------
    bool
        True where the ground is the survey's, where the benchmark is a point of it at that
        elevation, and where nothing in the survey has an elevation.
    """
    if site is None or not isinstance(graded.request.site.existing, GroundReadings):
        return True
    if all(np.isnan(file.elevation).all() for file in site.files):
        return True
    if graded.benchmark is None or graded.benchmark_level is None:
        return False
    return any(
        abs(float(file.elevation[i]) - graded.benchmark_level) <= SAME_BENCHMARK
        for file in site.files
        for i in np.flatnonzero(np.asarray(file.names) == graded.benchmark).tolist()
    )


def another_zero_notices(graded: Graded, site: BuildingOnLot | None) -> tuple[Notice, ...]:
    """Say that the stakes' elevations are not written beside the survey's, and why.

    Parameters
    ----------
    graded
        The levels.
    site
        The lot; None without.

    Returns
    -------
    tuple of Notice
        One note where the levels count from another zero than the survey; else nothing.
    """
    if site is None or site.placement is None or count_from_the_survey(graded, site):
        return ()
    named = graded.benchmark
    count = "say nothing of what they count from"
    if named is not None:
        count = f"count from {named}, which is not a point of the survey with an elevation"
    return (
        notice(
            "levels-on-another-zero",
            "the levels {count}, so no stake has an elevation in the points files and the drawing, "
            "which have the survey's own; give a point of the survey as the benchmark to have them "
            "there",
            severity=Severity.NOTE,
            count=count,
        ),
    )
