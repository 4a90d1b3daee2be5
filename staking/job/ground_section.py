"""Where the ground comes from: the survey, or elevations and rod readings at walls and pads."""

from __future__ import annotations

import os
import re
from pathlib import Path
from typing import TYPE_CHECKING

from staking.errors import MeasureError
from staking.grade.grade_request import FinishedAsked, GroundAsked, ScanAsked
from staking.job.building.outlines_by_name import plain_name
from staking.job.keys.fields import length_of
from staking.job.keys.grade_keys import GradeKeys
from staking.job.keys.ground_keys import ROD_EXAMPLE, CloudKeys, LevelBookKeys, RodKeys, SurfaceKeys
from staking.job.keys.plausible_check import judge
from staking.job.tree.faults import Faults
from staking.job.tree.source import Branch, Scalar, scalar_at
from staking.kinds import GroundSource
from staking.tolerances import SAME_POINT

if TYPE_CHECKING:
    from staking.job.building.pads import OnLines

_AT = re.compile(r"(?P<on>.+?)\s+at\s+(?P<length>.+)")


class GroundReader:
    """Holds `ground` and `finished` of the grade section against the building.

    `instrument` and `rod_length` are the section's own, m, for readings that have no other;
    `pads` are the names of the job's pads, where may be read too.

    Parameters
    ----------
    branch
        The section as it stands in the file.
    keys
        What is sound of it.
    faults
        Where faults are noted.
    """

    instrument: float | None = None
    pads: tuple[str, ...] = ()
    rod_length: float = 0.0

    def __init__(self, branch: Branch, keys: GradeKeys, faults: Faults) -> None:
        self.branch = branch
        self.keys = keys
        self.faults = faults

    def fault(self, place: tuple[str | int, ...], message: str, remedy: str) -> None:
        """Note a fault at a place within the section."""
        self.faults.add((*self.branch.place, *place), message, remedy)

    def read_ground(
        self, lines: OnLines, corners: tuple[str, ...], needed: tuple[str, ...]
    ) -> GroundAsked | None:
        """Read where the existing ground comes from.

        Parameters
        ----------
        lines
            What finds walls and interior lines.
        corners
            All corners of the job.
        needed
            Those that must have a reading.

        Returns
        -------
        GroundAsked or None
            None where it is faulty.
        """
        ground = self.keys.ground
        if ground is None and "ground" in self.branch:
            return None
        if isinstance(ground, LevelBookKeys):
            book = str(Path(self.faults.path).parent / ground.level_book)
            return GroundAsked(source=GroundSource.LEVEL_BOOK, book=book, unit=self.faults.unit)
        if isinstance(ground, CloudKeys):
            return self._scanned(ground)
        if isinstance(ground, (RodKeys, dict)):
            return self._points(("ground",), ground, lines, corners, needed)
        if not self._surveyed(("ground",)):
            return None
        surface = ground.surface if isinstance(ground, SurfaceKeys) else None
        return GroundAsked(source=GroundSource.SURVEY, surface=surface)

    def _scanned(self, ground: CloudKeys) -> GroundAsked | None:
        """Read which files the scanned ground stands in."""
        if not self._surveyed(("ground",)):
            return None
        folder = Path(self.faults.path).parent
        return GroundAsked(
            source=GroundSource.CLOUD,
            scan=ScanAsked(
                files=tuple(os.path.normpath(folder / name) for name in ground.cloud),
                unit=ground.units,
                heights_unit=ground.heights,
                crs=ground.crs,
            ),
        )

    def _surveyed(self, place: tuple[str, ...]) -> bool:
        """Say whether a survey and a place are given, noting what is missing."""
        site = self.faults.root.get("site")
        given = site if isinstance(site, Branch) else {}
        if "survey" not in given:
            self.fault(place, "the ground is taken from the survey, and the job has none",
                        "add site: with survey: and place:, or give elevations such as "
                        "{A: 99' 4\", B: 98' 2\"}")  # fmt: skip
            return False
        if "place" not in given:
            self.fault(place, "the ground is taken from the survey, and nothing says where the "
                        "building stands on it", "add place: under site:")  # fmt: skip
            return False
        return True

    def read_finished(
        self, lines: OnLines, corners: tuple[str, ...], needed: tuple[str, ...]
    ) -> FinishedAsked:
        """Read finished grade: as the ground, so much above it, or its own points."""
        finished = self.keys.finished
        if isinstance(finished, (RodKeys, dict)):
            return FinishedAsked(
                points=self._points(("finished",), finished, lines, corners, needed)
            )
        above = finished or 0.0
        place = (*self.branch.place, "finished")
        judge("grade.finished above", place, above, self.faults, self.faults.unit)
        return FinishedAsked(above=above)

    def _points(
        self,
        place: tuple[str | int, ...],
        given: RodKeys | dict[str, float],
        lines: OnLines,
        corners: tuple[str, ...],
        needed: tuple[str, ...],
    ) -> GroundAsked:
        if not isinstance(given, RodKeys):
            return self._readings(place, given, (lines, corners, needed), None)
        instrument = given.instrument if given.instrument is not None else self.instrument
        if instrument is None and "instrument" not in self.branch[str(place[0])]:
            self.fault(place, "rod readings need the height of the instrument", ROD_EXAMPLE)
        for name, reading in given.rod.items():
            if reading > self.rod_length + SAME_POINT:
                self.fault(
                    (*place, "rod", name),
                    f"{self._text((*place, 'rod', name))} is longer than the rod of "
                    f"{self.faults.length(self.rod_length)}",
                    "check the reading, or give the rod's own rod_length",
                )
        return self._readings(
            (*place, "rod"), given.rod, (lines, corners, needed), instrument, rod=True
        )

    def _text(self, place: tuple[str | int, ...]) -> str:
        """Give a value of the section as it was typed."""
        node = scalar_at(self.faults.root, (*self.branch.place, *place))
        return node.text if node is not None else ""

    def _readings(
        self,
        place: tuple[str | int, ...],
        given: dict[str, float],
        names: tuple[OnLines, tuple[str, ...], tuple[str, ...]],
        instrument: float | None,
        *,
        rod: bool = False,
    ) -> GroundAsked:
        lines, corners, needed = names
        at_corners: list[tuple[str, float]] = []
        at_pads: list[tuple[str, float]] = []
        along: list[tuple[str, float, float]] = []
        known: dict[tuple[str, float], tuple[str, float]] = {}
        for key, level in given.items():
            here = (*place, key)
            station = _AT.fullmatch(key.strip())
            if station is not None:
                found = self._station(here, station["on"], station["length"], lines)
                if found is not None:
                    along.append((*found, level))
                    self._once(here, _spot(lines, *found), level, known)
            elif key in corners:
                at_corners.append((key, level))
                self._once(here, (key, 0.0), level, known)
            elif key in self.pads:
                at_pads.append((key, level))
            elif corners:
                pads = f", the pads {', '.join(self.pads)}" if self.pads else ""
                self.fault(here, f"there is no corner {key}",
                            f"the corners are {', '.join(corners)}{pads}; a point on a wall is "
                            "\"A-B at 18'\"")  # fmt: skip
        missing = [name for name in needed if name not in given]
        if missing and not self.faults.touched((*self.branch.place, *place)):
            self.fault(place, f"nothing is read at {', '.join(missing)}",
                        "give the ground at every corner")  # fmt: skip
        return GroundAsked(
            source=GroundSource.ROD if rod else GroundSource.READINGS,
            corners=tuple(at_corners),
            pads=tuple(at_pads),
            along=tuple(along),
            instrument=instrument,
            unit=self.faults.unit,
        )

    def _once(
        self,
        here: tuple[str | int, ...],
        spot: tuple[str, float],
        level: float,
        known: dict[tuple[str, float], tuple[str, float]],
    ) -> None:
        """Note a place that is read twice, unlike."""
        key = str(here[-1])
        first, before = known.setdefault(spot, (key, level))
        if abs(before - level) > SAME_POINT:
            self.fault(here, f"{key} and {first} are one place with two elevations, "
                        f"{self.faults.length(level)} and {self.faults.length(before)}",
                        "keep one of them")  # fmt: skip

    def _station(
        self, here: tuple[str | int, ...], on: str, text: str, lines: OnLines
    ) -> tuple[str, float] | None:
        """Find a point on a wall: its name as typed and the length along it, m."""
        place = (*self.branch.place, *here)
        remedy = "leave it out: the ground is read only where a footing is poured"
        wall = lines.find(on, place, remedy)
        try:
            along = length_of(Scalar(text, 0), self.faults.unit)
        except MeasureError as error:
            self.faults.add_error(place, error)
            return None
        if wall is None:
            return None
        if not -SAME_POINT <= along <= wall.length + SAME_POINT:
            self.fault(here, f"{self.faults.length(along)} along {on} is past its end",
                        f"{on} is {self.faults.length(wall.length)} long")  # fmt: skip
            return None
        return plain_name(on), min(max(along, 0.0), wall.length)


def _spot(lines: OnLines, name: str, along: float) -> tuple[str, float]:
    """Say which place a point on a wall is: the corner at its end, or the station on it."""
    wall = lines.frame.walls.get(name)
    if wall is None:
        return name, round(along, 3)
    station = wall.station(along)
    start, end = wall.name.split("-")
    if station <= SAME_POINT:
        return start, 0.0
    if station >= wall.length - SAME_POINT:
        return end, 0.0
    return wall.name, round(station, 3)
