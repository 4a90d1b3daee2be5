"""What the desk's page is told of a survey before it is used: what it holds, and a small map."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.desk.told_blocks import Told, block_told

if TYPE_CHECKING:
    from pathlib import Path


def survey_look(path: Path, unit: str | None, job_unit: str | None) -> Told:
    """Say what a survey holds, as `staking survey` does.

    Parameters
    ----------
    path
        The survey.
    unit, job_unit
        As in `staking.project.desk.look_at_survey`.

    Returns
    -------
    dict
        ``blocks``, what wants a look first, and ``map``: lines of characters, north up.
    """
    from staking.output.tables.survey_map import survey_map
    from staking.output.tables.survey_tables import survey_blocks, survey_notices
    from staking.project.desk import look_at_survey
    from staking.survey.convert import counted
    from staking.survey.words.point_uses import point_uses

    points = look_at_survey(path, unit, job_unit)
    blocks = (*survey_notices(points), *survey_blocks(points))
    told = [block_told(each) for each in blocks]
    for each in told:
        # Where this computer keeps the file is its own affair.
        each["title"] = each["title"].replace(str(path), path.name)
    return {
        "blocks": told,
        "map": list(survey_map(counted(points), point_uses(points))),
    }
