"""The site section: the survey, how the building is placed on it, and what to keep off.

Point names are the survey's own and may be anything, so they are taken as typed.
"""

from __future__ import annotations

import os
import re
from pathlib import Path
from typing import Any

from staking.errors import MeasureError
from staking.job.faults import Faults
from staking.job.models import SiteKeys, respell
from staking.job.nodes import own_text, read_bearing
from staking.job.place import PlaceReader
from staking.job.source import Branch, Items
from staking.measure.lengths import Unit
from staking.site.site_request import BearingGiven, Buried, Setback, Shape, SiteAsked

COLUMNS = ("point", "northing", "easting", "elevation", "description")


class LotReader(PlaceReader):
    """Reads the section, noting every fault where it stands; `keys` is what is sound of it."""

    def __init__(
        self, branch: Branch, unit: Unit | None, folder: Path, faults: Faults, keys: SiteKeys
    ) -> None:
        super().__init__(branch, unit, folder, faults)
        self.keys = keys

    def read(self, walls: tuple[str, ...], corners: tuple[str, ...]) -> SiteAsked | None:
        """Read what the lot asks for.

        Parameters
        ----------
        walls, corners
            The names that the building has; walls in the outline's order.

        Returns
        -------
        SiteAsked or None
            None where the section names no survey.
        """
        boundary = self._points("boundary", least=3)
        survey, columns = self._survey(), self._columns()
        setbacks, other = self._setbacks(boundary)
        asked = SiteAsked(
            survey=survey,
            unit=self.given_unit.value if self.given_unit else None,
            columns=columns,
            crs=self.attempt(("crs",), _crs),
            place=self.read_place(walls, corners),
            boundary=boundary,
            setbacks=setbacks,
            other_setback=other,
            bearings=self._bearings(boundary),
            overhang=self.attempt(("overhang",), self.not_negative) or 0.0,
            stay_clear=self._shapes(),
            buried=self._buried(),
        )
        if survey:
            return asked
        if "survey" not in self.branch:
            for key in ("place", "boundary", "setbacks", "bearings", "buried"):
                if key in self.branch:
                    self._ask_for_survey((key,))
            if asked.stay_clear:
                self._ask_for_survey(("stay_clear",))
        return None

    def _ask_for_survey(self, place: tuple[str, ...]) -> None:
        self.fault(
            place,
            "there is no survey to find its points in",
            "add survey: and the file's name",
        )

    def _points(self, key: str, least: int) -> tuple[str, ...]:
        return self.names((key,), self.branch.get(key), least)

    def _survey(self) -> tuple[str, ...]:
        node = self.branch.get("survey")
        if node is None:
            return ()
        items = node if isinstance(node, Items) else [node]
        places = [("survey", i) if node is items else ("survey",) for i in range(len(items))]
        found = [
            self.attempt(place, own_text, item) for place, item in zip(places, items, strict=True)
        ]
        return tuple(os.path.normpath(self.folder / name) for name in found if name)

    def _columns(self) -> tuple[str, ...] | None:
        names = self._points("columns", least=2)
        for i, name in enumerate(names):
            if name not in {*COLUMNS, "-"}:
                self.fault(("columns", i), f"{name} is no column",
                            f"write {', '.join(COLUMNS)} or -")  # fmt: skip
        return names or None

    def _line(self, key: str, boundary: tuple[str, ...]) -> tuple[str, str] | None:
        """Split ``1-2`` into two neighbours of the boundary, whose names may hold dashes."""
        sides = list(zip(boundary, (*boundary[1:], *boundary[:1]), strict=True))
        for start, end in sides:
            if key in {f"{start}-{end}", f"{end}-{start}"}:
                return start, end
        return None

    def _lines(self, key: str, boundary: tuple[str, ...]) -> list[tuple[str, Any]]:
        node = self.branch.get(key)
        if node is None:
            return []
        if not isinstance(node, Branch):
            self.fault((key,), "boundary lines with their values are due here",
                        "write them as {1-2: value}")  # fmt: skip
            return []
        return list(node.items())

    def _unknown_line(self, section: str, line: str, boundary: tuple[str, ...]) -> None:
        if boundary or "boundary" not in self.branch:
            example = f"{boundary[0]}-{boundary[1]}" if boundary else "1-2"
            self.fault((section, line), f"{line} is no line of the boundary",
                        f"name it by its two corners, such as {example}")  # fmt: skip

    def _setbacks(self, boundary: tuple[str, ...]) -> tuple[tuple[Setback, ...], float | None]:
        found: list[Setback] = []
        other: float | None = None
        for key, node in self._lines("setbacks", boundary):
            distance = self.attempt(("setbacks", key), self.not_negative, node)
            line = self._line(key, boundary)
            if key == "other":
                other = distance
            elif line is None:
                self._unknown_line("setbacks", key, boundary)
            elif distance is not None:
                found.append(Setback(start=line[0], end=line[1], distance=distance))
        return tuple(found), other

    def _bearings(self, boundary: tuple[str, ...]) -> tuple[BearingGiven, ...]:
        found: list[BearingGiven] = []
        for key, node in self._lines("bearings", boundary):
            azimuth = self.attempt(("bearings", key), read_bearing, node)
            line = self._line(key, boundary)
            if line is None:
                self._unknown_line("bearings", key, boundary)
            elif azimuth is not None:
                # The bearing runs as it is written: 2-1 is 1-2 seen from its other end.
                written = line if key == f"{line[0]}-{line[1]}" else line[::-1]
                found.append(BearingGiven(start=written[0], end=written[1], azimuth=azimuth))
        return tuple(found)

    def _shapes(self) -> tuple[Shape, ...]:
        node = self.branch.get("stay_clear")
        if not isinstance(node, Items):
            return ()
        found = []
        for i, item in enumerate(node):
            if isinstance(item, Branch) and "through" in item and "corners" not in item:
                through = self.names(("stay_clear", i, "through"), item["through"], 3)
                name = self.attempt(("stay_clear", i, "name"), own_text, item.get("name"))
                if name and through:
                    found.append(Shape(name=name, through=through))
        return tuple(found)

    def _buried(self) -> tuple[Buried, ...]:
        node = self.branch.get("buried")
        if node is None:
            return ()
        if not isinstance(node, Items):
            self.fault(("buried",), "a list of buried lines is due here", "start each with a dash")
            return ()
        found = []
        for i, item in enumerate(node):
            here = ("buried", i)
            if not isinstance(item, Branch):
                self.fault(here, "a buried line's keys are due here",
                            'write {name: gas line, through: [31, 32], hand_dig: 24"}')  # fmt: skip
                continue
            respell(item, ["name", "through", "hand_dig"], self.faults)
            self.due(here, item, ("name", "through", "hand_dig"))
            name = self.attempt((*here, "name"), own_text, item.get("name"))
            through = self.names((*here, "through"), item.get("through"), 2)
            width = self.attempt((*here, "hand_dig"), self.not_negative, item.get("hand_dig"))
            if name and through and width is not None:
                found.append(Buried(name=name, through=through, hand_dig=width))
        return tuple(found)


def _crs(node: Any) -> str:
    text = own_text(node)
    match = re.fullmatch(r"(?:epsg\s*:?\s*)?([0-9]{4,6})", text, re.IGNORECASE)
    if match is None:
        raise MeasureError(f"{text} is no EPSG code", "write one such as EPSG:5646")
    return f"EPSG:{match[1]}"
