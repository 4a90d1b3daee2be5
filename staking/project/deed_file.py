"""The conductor's part for a deed in a file of its own: looked at, beside its words."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from staking.errors import InputError, MeasureError, Problem
from staking.frozen import frozen
from staking.units import Unit

if TYPE_CHECKING:
    from staking.deed import Deed
    from staking.measure.deed.description import Description
    from staking.site.deed.slips import Slip
    from staking.site.deed.traverse import Traverse

FEWEST = 3
"""Courses round a lot, at least."""


@frozen(eq=False)
class DeedInFile:
    """A deed as a file holds it.

    Parameters
    ----------
    name
        The file as the user named it.
    unit
        What a bare number was taken as.
    description
        Its text, cut into courses.
    deed, walked, slips
        The lot, its courses walked round, and what would explain that it does not close; None and
        nothing where a piece of the text is not understood.
    """

    name: str
    unit: Unit
    description: Description
    deed: Deed | None = None
    walked: Traverse | None = None
    slips: tuple[Slip, ...] = ()

    @property
    def fault(self) -> InputError | None:
        """Why it cannot be the boundary of a job: pieces not understood, courses that stay open."""
        if self.deed is None or self.walked is None:
            from staking.measure.deed.description import in_its_words

            return InputError(
                *(
                    Problem(
                        path=self.name,
                        message=in_its_words(words, fault),
                        remedy=fault.remedy,
                    )
                    for words, fault in self.description.faults
                )
            )
        from staking.site.deed.deed_lot import open_problems

        problems = open_problems(self.walked, self.slips, self.deed)
        if not problems:
            return None
        return InputError(*(replace(each, path=self.name, field=None) for each in problems[:1]))


def read_deed_file(path: Path, unit: Unit) -> DeedInFile | None:
    """Read a file that holds the courses of a deed or a plat.

    Parameters
    ----------
    path
        The file.
    unit
        What a bare number is in.

    Returns
    -------
    DeedInFile or None
        None where the file is something else, or cannot be opened.

    Raises
    ------
    InputError
        Where it holds no course that is understood, too few of them, or a curve that no circle
        has.
    """
    from staking.measure.deed.description import read_description
    from staking.survey.deed_text import deed_text

    text = deed_text(path)
    if text is None:
        return None
    try:
        description = read_description(text, unit)
    except MeasureError as error:
        problem = Problem(path=str(path), message=error.message, remedy=error.remedy)
        raise InputError(problem) from error
    if description.faults:
        return DeedInFile(name=str(path), unit=unit, description=description)
    return _walked(str(path), unit, description)


def _walked(name: str, unit: Unit, description: Description) -> DeedInFile:
    from staking.deed import Deed
    from staking.site.deed.slips import find_slips
    from staking.site.deed.traverse import walk_round

    count = len(description.courses)
    if count < FEWEST:
        raise InputError(
            Problem(
                path=name,
                message=f"there {'is one course' if count == 1 else f'are {count} courses'} round "
                "the lot, where three or more are due",
                remedy="give all courses, from the first corner back to it",
            )
        )
    deed = Deed(
        courses=description.courses,
        corners=tuple(str(number) for number in range(1, count + 1)),
        ties=description.ties,
        basis=description.basis,
        stated_area=description.stated_area,
        stated_within=description.stated_within,
        opening=description.opening,
    )
    walked = walk_round(deed)
    return DeedInFile(
        name=name,
        unit=unit,
        description=description,
        deed=deed,
        walked=walked,
        slips=find_slips(deed, walked),
    )
