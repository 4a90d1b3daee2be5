"""Where the ground comes from: the survey, or elevations and rod readings at walls and pads."""

from __future__ import annotations

import difflib
import re
from pathlib import Path
from typing import TYPE_CHECKING, Any

from staking.errors import MeasureError
from staking.grade.grade_request import FinishedAsked, GroundAsked
from staking.job.fields import length_of
from staking.job.frame import plain_name
from staking.job.models import respell
from staking.job.nodes import NodeReader, own_text
from staking.job.plausible_check import judge
from staking.job.source import Branch, Items, Scalar
from staking.tolerances import SAME_POINT

if TYPE_CHECKING:
    from staking.job.pads import OnLines

_EXAMPLE = 'write survey, or elevations such as {A: 99\' 4", "A-B at 18\'": 98\' 10"}'
_ROD_EXAMPLE = "write {rod: {A: 5' 2 3/8\"}, instrument: 104' 6\"}"
_BOOK = "level_book"
_SURFACE = "surface"
_AT = re.compile(r"(?P<on>.+?)\s+at\s+(?P<length>.+)")


class GroundReader(NodeReader):
    """Reads `ground` and `finished` of the grade section.

    `instrument` and `rod_length` are the section's own, m, for readings that have no other;
    `pads` are the names of the job's pads, where may be read too.
    """

    instrument: float | None = None
    pads: tuple[str, ...] = ()
    rod_length: float = 0.0

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
        node = self.branch.get("ground")
        if isinstance(node, Branch):
            if any(difflib.get_close_matches(key, [_BOOK], cutoff=0.7) for key in node):
                return self._level_book(node)
            if any(difflib.get_close_matches(key, [_SURFACE], cutoff=0.7) for key in node):
                return self._surface(node)
            return self._points(("ground",), node, lines, corners, needed)
        if isinstance(node, Items):
            self.fault(("ground",), "a list is no ground", _EXAMPLE)
            return None
        if node is not None:
            word = self.attempt(("ground",), own_text, node)
            if word is None:
                return None
            if word.casefold() != "survey":
                self.fault(("ground",), f"{word} is no ground", _EXAMPLE)
                return None
        return GroundAsked(source="survey") if self._surveyed(("ground",)) else None

    def _level_book(self, node: Branch) -> GroundAsked | None:
        """Read the name of the level book that the ground is taken from."""
        respell(node, [_BOOK], self.faults)
        name = self.attempt(("ground", _BOOK), own_text, node[_BOOK])
        if name is None:
            return None
        book = str(Path(self.faults.path).parent / name)
        return GroundAsked(source="level_book", book=book, unit=self.faults.unit)

    def _surface(self, node: Branch) -> GroundAsked | None:
        """Read the name of the survey's surface that is the ground."""
        respell(node, [_SURFACE], self.faults)
        name = self.attempt(("ground", _SURFACE), own_text, node[_SURFACE])
        if name is None or not self._surveyed(("ground",)):
            return None
        return GroundAsked(source="survey", surface=name)

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
        node = self.branch.get("finished")
        if isinstance(node, Branch):
            return FinishedAsked(points=self._points(("finished",), node, lines, corners, needed))
        above = self.attempt(("finished",), self._above, node)
        return FinishedAsked(above=above or 0.0)

    def _above(self, node: Any) -> float:
        text = own_text(node)
        if text.casefold() == "existing":
            return 0.0
        if text[0] not in "+-":
            raise MeasureError(
                f"{text} does not say whether it is filled or cut",
                f"write +{text} for fill, -{text} for a cut, existing, or elevations at points",
            )
        metres = length_of(node, self.unit)
        judge("grade.finished", (*self.branch.place, "finished"), metres, self.faults, self.unit)
        return metres

    def _points(
        self,
        place: tuple[str | int, ...],
        node: Branch,
        lines: OnLines,
        corners: tuple[str, ...],
        needed: tuple[str, ...],
    ) -> GroundAsked | None:
        if "rod" not in node:
            return self._readings(place, node, (lines, corners, needed), None)
        respell(node, ["rod", "instrument"], self.faults)
        own = self.attempt((*place, "instrument"), self.length, node.get("instrument"))
        instrument = own if own is not None else self.instrument
        if instrument is None and not self.faults.touched((*self.branch.place, *place)):
            self.fault(place, "rod readings need the height of the instrument", _ROD_EXAMPLE)
        rod = node["rod"]
        if not isinstance(rod, Branch):
            self.fault((*place, "rod"), "points with their readings are due here", _ROD_EXAMPLE)
            return None
        return self._readings((*place, "rod"), rod, (lines, corners, needed), instrument, rod=True)

    def _readings(
        self,
        place: tuple[str | int, ...],
        node: Branch,
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
        reader = self._on_rod if rod else self.length
        for key, value in node.items():
            here = (*place, key)
            level = self.attempt(here, reader, value)
            station = _AT.fullmatch(key.strip())
            if station is not None:
                found = self._station(here, station["on"], station["length"], lines)
                if found is not None and level is not None:
                    along.append((*found, level))
                    self._once(here, _spot(lines, *found), level, known)
            elif key in corners:
                if level is not None:
                    at_corners.append((key, level))
                    self._once(here, (key, 0.0), level, known)
            elif key in self.pads:
                if level is not None:
                    at_pads.append((key, level))
            elif corners:
                pads = f", the pads {', '.join(self.pads)}" if self.pads else ""
                self.fault(here, f"there is no corner {key}",
                            f"the corners are {', '.join(corners)}{pads}; a point on a wall is "
                            "\"A-B at 18'\"")  # fmt: skip
        missing = [name for name in needed if name not in node]
        if missing and not self.faults.touched((*self.branch.place, *place)):
            self.fault(place, f"nothing is read at {', '.join(missing)}",
                        "give the ground at every corner")  # fmt: skip
        return GroundAsked(
            source="rod" if rod else "readings",
            corners=tuple(at_corners),
            pads=tuple(at_pads),
            along=tuple(along),
            instrument=instrument,
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

    def _on_rod(self, node: Any) -> float:
        metres = self.length(node)
        if metres < 0.0:
            raise MeasureError(f"{node.text} is no rod reading", "write zero or more")
        if metres > self.rod_length + SAME_POINT:
            raise MeasureError(
                f"{node.text} is longer than the rod of {self.faults.length(self.rod_length)}",
                "check the reading, or give the rod's own rod_length",
            )
        return metres

    def _station(
        self, here: tuple[str | int, ...], on: str, text: str, lines: OnLines
    ) -> tuple[str, float] | None:
        """Find a point on a wall: its name as typed and the length along it, m."""
        place = (*self.branch.place, *here)
        remedy = "leave it out: the ground is read where a footing of ours stands"
        wall = lines.find(on, place, remedy)
        along = self.attempt(here, self.length, Scalar(text, 0))
        if wall is None or along is None:
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
