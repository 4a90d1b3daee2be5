"""The one place where faults and notices of a job file gather while it is read."""

from __future__ import annotations

from pathlib import Path

from staking.errors import InputError, MeasureError, Problem
from staking.job.tree.job_limits import MOST_LISTED
from staking.job.tree.source import Branch, Place, field_words, line_of
from staking.measure.lengths import Unit, format_length
from staking.notices import Notice
from staking.plan import Show


def not_beside(name: str) -> tuple[str, str]:
    """Say that a file does not stand beside the job, and what to do."""
    return (
        f"{name} does not stand beside the job",
        "copy it into the job's folder and give its name alone",
    )


class Faults:
    """Everything found wrong so far, and every notice.

    Parameters
    ----------
    root
        The whole file as a tree.
    path
        The file as the user named it.
    within
        The folder in which files that are read along must stand; None for anywhere.
    """

    def __init__(self, root: Branch, path: str, within: Path | None = None) -> None:
        self.root = root
        self.path = path
        self.within = within
        self.unit = Unit.FT
        self.show = Show.FEET_INCHES
        self.nearest = 0.0254 / 16
        self.problems: list[Problem] = []
        self.notices: list[Notice] = []
        self._places: set[Place] = set()
        self._more = 0
        self._seen: set[tuple[Place, str]] = set()
        self._unlikely: set[tuple[str, str]] = set()

    def add(self, place: Place, message: str, remedy: str = "") -> None:
        """Note a fault at a place in the file; the same fault is noted once.

        Beyond `MOST_LISTED` faults are only counted.
        """
        self._places.add(place)
        if (place, message) in self._seen:
            return
        self._seen.add((place, message))
        if self.is_full:
            self._more += 1
            return
        problem = Problem(
            path=self.path,
            line=line_of(self.root, place),
            field=field_words(place, self.root),
            message=message,
            remedy=remedy,
            place=place,
        )
        if problem not in self.problems:
            self.problems.append(problem)

    @property
    def is_full(self) -> bool:
        """Whether as many faults are noted as are listed."""
        return len(self.problems) >= MOST_LISTED

    def unlikely(self, told: Notice, alike: tuple[str, str]) -> None:
        """Take a notice of an unlikely value; the same value of the same kind is said once."""
        if alike not in self._unlikely:
            self._unlikely.add(alike)
            self.notices.append(told)

    def touched(self, place: Place) -> bool:
        """Say whether a fault was noted at a place or within it.

        Returns
        -------
        bool
            True where what is missing may have been given and be faulty: no second fault is due.
        """
        return any(noted[: len(place)] == place for noted in self._places)

    def add_error(self, place: Place, error: MeasureError) -> None:
        """Note a fault that a field's reader found."""
        self.add(place, error.message, error.remedy)

    def length(self, metres: float) -> str:
        """Write a length, m, the way the job shows lengths."""
        return format_length(metres, self.show, self.nearest)

    def stop_if_any(self) -> None:
        """End the reading where there are faults.

        Raises
        ------
        InputError
            With the faults in the order of the file's lines; of many, how many more there are.
        """
        if not self.problems:
            return
        found = sorted(self.problems, key=lambda problem: problem.line or 0)
        more = self._more + len(found) - MOST_LISTED
        if more > 0:
            said = f"and {more:,} more fault{'s' if more > 1 else ''}"
            last = Problem(path=self.path, message=said, remedy="mend these first")
            found = [*found[:MOST_LISTED], last]
        raise InputError(*found)
