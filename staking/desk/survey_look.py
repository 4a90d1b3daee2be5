"""What the desk's page is told of a survey or a deed before it is used: figures and a map."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.desk.told_blocks import Told, block_told
from staking.units import Unit

if TYPE_CHECKING:
    from pathlib import Path

    from staking.project.deed_file import DeedInFile


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
        ``blocks``, what wants a look first, and ``map``: lines of characters, north up. Of a deed
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
    return {
        "blocks": told,
        "map": list(survey_map(counted(points), point_uses(points))),
    }


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
