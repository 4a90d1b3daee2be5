"""The conductor's part for a level book: the file that the job names."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from staking.errors import InputError

if TYPE_CHECKING:
    from staking.grade.grade_request import GradeAsked
    from staking.grade.terrain.levelled_book import LevelBook


def read_levels(asked: GradeAsked) -> LevelBook:
    """Read the level book that a job's ground is taken from.

    Parameters
    ----------
    asked
        The grade section, with the book's name.

    Returns
    -------
    LevelBook
        Readings in m, not reduced.

    Raises
    ------
    InputError
        For every fault of the book, and where it cannot be read.
    """
    from staking.points import SurveySettings
    from staking.survey.level_book import read_level_book

    path = Path(asked.ground.book)
    try:
        with path.open("rb") as stream:
            return read_level_book(stream, path.name, SurveySettings(), asked.ground.unit)
    except OSError as fault:
        raise InputError(
            asked.written.problem(
                "ground",
                f"{path.name} cannot be read: {fault.strerror or 'no such file'}",
                "name a level book that lies beside the job file",
                "level_book",
            )
        ) from fault
