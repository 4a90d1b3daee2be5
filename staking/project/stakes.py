"""The conductor's part for surveyed stakes: the files read, and their points on the plan."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.errors import InputError, Problem

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from staking.checked.stakes_on_plan import StakesRead
    from staking.points import SurveySettings
    from staking.project.resolve import Resolved


def read_stakes(
    resolved: Resolved, paths: Sequence[Path], settings: SurveySettings, error: float | None = None
) -> StakesRead:
    """Read surveyed stakes and bring them onto the building grid.

    Parameters
    ----------
    resolved
        The resolved job: points are named as its layout names them.
    paths
        Files of any survey format; points are named as in the points file of the layout.
    settings
        What the user says of them.
    error
        The standard error of a coordinate, m; None for as good as the job's tape.

    Returns
    -------
    StakesRead
        Where the job is placed, on its place; else by the turn and shift that fit best.

    Raises
    ------
    InputError
        Every fault of the files, and names that mean two places.
    """
    from staking.checked.shots_on_plan import coordinate_error
    from staking.checked.stakes_on_plan import match_stakes, stake_names, stakes_on_plan
    from staking.project.layout_marks import refuse_older_nails
    from staking.project.shots import read_surveys

    layout = resolved.layout
    surveys, told = read_surveys(layout, paths, settings)
    error, said = coordinate_error(layout.options, surveys, error)
    known = stake_names(layout)
    places, unknown = match_stakes(surveys, known, error)
    if not places:
        raise InputError(
            Problem(
                message="no point is named like a corner, nail, pad or hub of the job",
                remedy=f"name them as in points.csv: {', '.join(list(known)[:4])} …",
                path=str(paths[0]),
            )
        )
    named = {each.name: each for each in known.values()}
    boards = [name for name in places if named[name].kind.is_on_board]
    refuse_older_nails(layout, paths, boards)
    return stakes_on_plan(layout, surveys, places, unknown, named, error, (*told, *said))
