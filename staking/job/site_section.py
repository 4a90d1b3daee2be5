"""The site section held against the building: what the lot asks for."""

from __future__ import annotations

import os
from pathlib import Path

from staking.job.keys.site_keys import SiteKeys
from staking.job.place import read_place
from staking.job.tree.faults import Faults
from staking.job.tree.sections import mapping_at
from staking.kinds import LotPart
from staking.measure.lengths import Unit
from staking.notices import notice
from staking.site.site_request import (
    BearingGiven,
    Buried,
    DeedAsked,
    Distances,
    KeepOff,
    Setback,
    Shape,
    SiteAsked,
)
from staking.tolerances import SAME_POINT


class LotReader:
    """Makes what the lot asks for, once the building's names are known.

    Parameters
    ----------
    keys
        What is sound of the section.
    faults
        Where faults are noted.
    """

    def __init__(self, keys: SiteKeys, faults: Faults) -> None:
        self.keys = keys
        self.faults = faults
        self.given = mapping_at(faults.root, ("site",))
        self.deed: DeedAsked | None = None

    def read(self, walls: tuple[str, ...], corners: tuple[str, ...]) -> SiteAsked | None:
        """Read what the lot asks for.

        Parameters
        ----------
        walls, corners
            The names that the building has; walls in the outline's order.

        Returns
        -------
        SiteAsked or None
            None where the section names no survey and gives no deed.
        """
        keys = self.keys
        folder = Path(self.faults.path).parent
        deed = self._deed()
        setbacks, other = self._setbacks()
        asked = SiteAsked(
            survey=tuple(os.path.normpath(folder / name) for name in keys.survey),
            unit=keys.units,
            job_unit=self.faults.unit.value,
            columns=tuple(keys.columns) if keys.columns else None,
            crs=keys.crs,
            place=read_place(keys.placed, walls, corners, self.faults) if keys.placed else None,
            boundary=keys.by_points,
            deed=deed,
            setbacks=setbacks,
            other_setback=other,
            bearings=self._bearings(),
            overhang=keys.overhang or 0.0,
            stay_clear=tuple(
                Shape(name=shape.name, through=tuple(shape.through))
                for shape in keys.stay_clear
                if shape.through and not shape.corners
            ),
            buried=tuple(
                Buried(name=line.name, through=tuple(line.through), hand_dig=line.hand_dig)
                for line in keys.buried
            ),
            keep=self._keep(),
            distances=self._distances(),
            combined_factor=keys.combined_factor,
            scaled_about=keys.scaled_about,
            height=keys.height,
            prefix=keys.prefix or "",
            numbers=keys.numbers,
            no_elevation=keys.no_elevation,
        )
        if asked.survey:
            self._tell_loose_setbacks()
            return asked
        if "survey" not in self.given:
            self._without_survey(asked)
            return asked if asked.from_paper else None
        return None

    def _without_survey(self, asked: SiteAsked) -> None:
        """Note what needs a survey, where the job has none: with a deed only what is about it."""
        by_deed = self.keys.by_deed
        if by_deed is None:
            for key in ("place", "boundary", "setbacks", "bearings", "buried", "keep"):
                # What stands there in place of points or a deed has its own fault.
                if key in self.given and not self.faults.touched(("site", key)):
                    self._ask_for_survey(key)
            if asked.stay_clear:
                self._ask_for_survey("stay_clear")
        elif by_deed.pins:
            self.faults.add(
                (*by_deed.place, "pins"),
                "there is no survey in which pins were found",
                "add survey: and the file's name, or take pins out",
            )
        of_survey = ["distances", "height", "no_elevation"]
        of_survey += ["prefix", "numbers"] if by_deed is None else ["columns", "crs"]
        for key in of_survey:
            if key in self.given:
                self.faults.add(
                    ("site", key),
                    f"{key} is about a survey, and the job has none",
                    "add survey: and the file's name",
                )

    def _deed(self) -> DeedAsked | None:
        """Read the boundary's deed, where it is given by one."""
        if self.keys.by_deed is None:
            return None
        from staking.job.deed_section import read_deed

        unit = Unit(self.keys.units) if self.keys.units else self.faults.unit
        self.deed = read_deed(self.keys.by_deed, unit, self.faults)
        if "bearings" in self.given:
            self.faults.add(
                ("site", "bearings"), "the deed gives its own bearings", "take this out"
            )
        return self.deed

    def _keep(self) -> tuple[KeepOff, ...]:
        """Make what is kept off; each has its own name."""
        found: dict[str, KeepOff] = {}
        for each in self.keys.keep:
            if each.name in found:
                self.faults.add(
                    (*each.place, "name"), f"{each.name} is used twice", "give each its own name"
                )
            if each.from_ == LotPart.EAVE and not self.keys.overhang:
                self.faults.add(
                    (*each.place, "from"),
                    "the distance is measured from the eave, and no overhang is given",
                    "add overhang: under site",
                )
            found[each.name] = KeepOff(
                name=each.name,
                through=tuple(each.through),
                least=each.least,
                keeps=LotPart(each.from_),
            )
        return tuple(found.values())

    @property
    def _corners(self) -> tuple[str, ...]:
        """The names of the boundary's corners in order; none where it is not sound."""
        if self.keys.by_deed is None:
            return self.keys.by_points
        return () if self.deed is None else self.deed.deed.corners

    def _distances(self) -> Distances:
        """Say what the coordinates' distances are, and note where half of it is missing."""
        distances = Distances(self.keys.distances or "grid")
        pair = ("combined_factor", "scaled_about")
        here = [key for key in pair if key in self.given]
        if here and distances is Distances.GRID:
            self.faults.add(
                ("site", here[0]),
                f"{here[0]} says how coordinates were scaled to the ground, and the job does not "
                "say that they were",
                "add distances: ground",
            )
        elif len(here) == 1:
            other = next(key for key in pair if key not in here)
            self.faults.add(
                ("site", here[0]),
                f"{here[0]} alone does not say how the coordinates were scaled",
                f"add {other}: too",
            )
        return distances

    def _ask_for_survey(self, key: str) -> None:
        self.faults.add(
            ("site", key),
            "there is no survey to find its points in",
            "add survey: and the file's name",
        )

    def _line(self, key: str) -> tuple[str, str] | None:
        """Split ``1-2`` into two neighbours of the boundary, whose names may hold dashes."""
        boundary = self._corners
        for start, end in zip(boundary, (*boundary[1:], *boundary[:1]), strict=True):
            if key in {f"{start}-{end}", f"{end}-{start}"}:
                return start, end
        return None

    def _unknown_line(self, section: str, line: str) -> None:
        boundary = self._corners
        if boundary or "boundary" not in self.given:
            example = f"{boundary[0]}-{boundary[1]}" if boundary else "1-2"
            self.faults.add(
                ("site", section, line),
                f"{line} is not a line of the boundary",
                f"name it by its two corners, such as {example}",
            )

    def _setbacks(self) -> tuple[tuple[Setback, ...], float | None]:
        found: list[Setback] = []
        for key, distance in self.keys.setbacks.items():
            line = self._line(key)
            if line is not None:
                self._once(key, line, distance, found)
                found.append(Setback(start=line[0], end=line[1], distance=distance))
            elif key != "other":
                self._unknown_line("setbacks", key)
        return tuple(found), self.keys.setbacks.get("other")

    def _tell_loose_setbacks(self) -> None:
        """Say that setbacks are judged against a boundary, where none is given."""
        if self.keys.setbacks and "boundary" not in self.given:
            self.faults.notices.append(
                notice(
                    "setbacks-without-boundary",
                    "setbacks are given and no boundary to measure them from, so nothing is known "
                    "of them: add boundary: with the points round the lot in order",
                )
            )

    def _once(self, key: str, line: tuple[str, str], distance: float, found: list[Setback]) -> None:
        """Note a line that is given two setbacks, once from each of its ends."""
        before = next((each for each in found if (each.start, each.end) == line), None)
        if before is not None and abs(before.distance - distance) > SAME_POINT:
            self.faults.add(
                ("site", "setbacks", key),
                f"{key} is the same line as one before it, which asks for "
                f"{self.faults.length(before.distance)}, not {self.faults.length(distance)}",
                "keep one of them",
            )

    def _bearings(self) -> tuple[BearingGiven, ...]:
        found: list[BearingGiven] = []
        for key, azimuth in self.keys.bearings.items():
            line = self._line(key)
            if line is None:
                self._unknown_line("bearings", key)
                continue
            # The bearing runs as it is written: 2-1 is 1-2 seen from its other end.
            written = line if key == f"{line[0]}-{line[1]}" else line[::-1]
            found.append(BearingGiven(start=written[0], end=written[1], azimuth=azimuth))
        return tuple(found)
