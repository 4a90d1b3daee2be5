"""What the desk's page is told of a survey or a deed before it is used: figures and a map."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.desk.told_blocks import Told, block_told
from staking.kinds import PointUse
from staking.units import Unit

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from staking.points import Array, SurveyPoints
    from staking.project.deed_file import DeedInFile

_MOST_SHOTS = 1500
"""More shots than this are not drawn each: a map of this size shows no more."""


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
        ``blocks``, what wants a look first, ``map``: lines of characters, north up, and ``points``
        that a map is drawn from: place, use and name of each, of very many shots some. Of a deed
        ``map`` is empty, ``deed`` is its text, ``ring`` the east and north of its corners from
        the first one, m, and ``faults`` why it cannot be a job's boundary as it stands.
    """
    from staking.project.deed_file import read_deed_file

    deed = read_deed_file(path, Unit(unit or job_unit or "ft"))
    return _survey(path, unit, job_unit) if deed is None else _deed(deed, path)


def _survey(path: Path, unit: str | None, job_unit: str | None) -> Told:
    from staking.output.tables.survey_map import survey_map
    from staking.output.tables.survey_tables import survey_blocks, survey_notices
    from staking.project.desk import look_at_survey
    from staking.survey.convert import counted
    from staking.survey.words.point_uses import point_uses

    points = look_at_survey(path, unit, job_unit)
    blocks = (*survey_notices(points), *survey_blocks(points))
    told = [block_told(each) for each in blocks]
    _hide_folder(told, path)
    rows, uses = counted(points), point_uses(points)
    return {
        "blocks": told,
        "map": list(survey_map(rows, uses)),
        "points": _points(points, rows, uses),
    }


def _points(points: SurveyPoints, rows: Array, uses: Sequence[PointUse]) -> list[Told]:
    """Give what the page draws its map from: east and north from the south-west corner."""
    low = rows[:, :2].min(axis=0) if len(rows) else (0.0, 0.0)
    shots = sum(each is PointUse.SHOT for each in uses) if uses else len(rows)
    apart = max(1, -(-shots // _MOST_SHOTS))
    found, seen = [], 0
    for at, (north, east) in enumerate(rows[:, :2].tolist()):
        use = uses[at] if uses else PointUse.SHOT
        if use is PointUse.SHOT:
            seen += 1
            if seen % apart:
                continue
        # Vertices of a surface have no names.
        name = str(points.names[at]) if points.count else ""
        found.append({
            "at": [round(east - low[1], 3), round(north - low[0], 3)],
            "use": use.value,
            "name": name,
        })
    return found


def _deed(deed: DeedInFile, path: Path) -> Told:
    from staking.desk.drawn_answer import faults_told
    from staking.output.tables.deed_file_tables import deed_file_blocks, deed_file_notices
    from staking.survey.deed_text import deed_text

    told = [block_told(each) for each in (*deed_file_notices(deed), *deed_file_blocks(deed))]
    _hide_folder(told, path)
    fault = deed.fault
    corners = () if deed.walked is None else deed.walked.corners.tolist()
    return {
        "blocks": told,
        "map": [],
        "deed": deed_text(path),
        "ring": [[east, north] for north, east in corners],
        "faults": [] if fault is None else [each["text"] for each in faults_told(fault, "")],
    }


def _hide_folder(told: list[Told], path: Path) -> None:
    # Where this computer keeps the file is its own affair.
    for each in told:
        each["title"] = each["title"].replace(str(path), path.name)
