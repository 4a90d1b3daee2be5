"""Coordinate geometry points of a LandXML file, in nested groups and by reference."""

from __future__ import annotations

import math

import numpy as np

from staking.notices import Notice, Severity, notice
from staking.points import Array
from staking.survey.xml_faults import PointFaults, numbers, shown
from staking.survey.xml_stream import Element

Row = tuple[float, float, float]

_POSITION = "write northing, easting and, where known, elevation, with blanks between"


def row_of(text: str) -> Row | str:
    """Read ``northing easting [elevation]``, or return what is wrong with it.

    Parameters
    ----------
    text
        An element's text, in the file's unit.

    Returns
    -------
    tuple of float or str
        With not-a-number for an elevation that is not given; else the fault in words.
    """
    found = numbers(text)
    if isinstance(found, str):
        return f"“{shown(found)}” is not a number"
    if len(found) not in {2, 3}:
        count = len(found)
        return (
            f"there {'is 1 number' if count == 1 else f'are {count} numbers'} where 2 or 3 belong"
        )
    return found[0], found[1], found[2] if len(found) == 3 else math.nan


class PointList:
    """Gathers the points while the file is read.

    Parameters
    ----------
    faults
        Where faults are taken down.
    """

    def __init__(self, faults: PointFaults) -> None:
        self._faults = faults
        self.names: list[str] = []
        self.descriptions: list[str] = []
        self.lines: list[int] = []
        self._rows: list[Row] = []
        self._by_name: dict[str, Row] = {}
        self._waiting: list[tuple[str, str, str, int]] = []
        self._listed = 0

    def open(self, element: Element) -> None:
        """Do nothing: a point is whole when it closes."""

    def close(self, element: Element) -> None:
        """Take in a point."""
        if element.name != "CgPoint":
            return
        attributes = element.attributes
        name = attributes.get("name", "").strip()
        described = _description(attributes)
        target = attributes.get("pntRef", "").strip()
        if target and not element.text.strip():
            if not name or name == target:
                # A group that lists a point held elsewhere; the point is counted there.
                self._waiting.append(("", target, "", element.line))
            else:
                self._waiting.append((name, target, described, element.line))
            return
        name = name or attributes.get("oID", "").strip()
        row = row_of(element.text)
        if isinstance(row, str):
            what = f"point {shown(name)}" if name else "a point without a name"
            self._faults.add(element.line, f"{what}: {row}", _POSITION)
            return
        self._keep(name, row, described, element.line)

    def resolve(self) -> None:
        """Give the points that refer to others their coordinates, once all are read."""
        waiting = self._waiting
        while waiting:
            left = []
            for name, target, described, line in waiting:
                row = self._by_name.get(target)
                if row is None:
                    left.append((name, target, described, line))
                elif name:
                    self._keep(name, row, described, line)
                else:
                    self._listed += 1
            if len(left) == len(waiting):
                for _, target, _, line in left:
                    self._faults.add(
                        line,
                        f"the reference is to a point “{shown(target)}” that is not in the file",
                    )
                break
            waiting = left
        self._waiting = []

    def find(self, name: str) -> Row | None:
        """Return a point's row by name, in the file's unit, or None."""
        return self._by_name.get(name)

    def rows(self) -> Array:
        """Return the points, ``(n, 3)`` northing, easting, elevation, in the file's unit."""
        return np.array(self._rows, dtype=float).reshape(-1, 3)

    def notices(self) -> list[Notice]:
        """Say what was not counted."""
        if not self._listed:
            return []
        return [
            notice(
                "references-not-counted",
                "{count} entries of point groups name a point held elsewhere in the file and are "
                "not counted again",
                severity=Severity.NOTE,
                count=self._listed,
            )
        ]

    def _keep(self, name: str, row: Row, described: str, line: int) -> None:
        self.names.append(name)
        self._rows.append(row)
        self.descriptions.append(described)
        self.lines.append(line)
        if name:
            self._by_name.setdefault(name, row)


def _description(attributes: dict[str, str]) -> str:
    """Return code and description as one; either may be missing or repeat the other."""
    code, said = attributes.get("code", "").strip(), attributes.get("desc", "").strip()
    if not code or said == code or said.startswith(f"{code} "):
        return said or code
    return f"{code} {said}" if said else code
