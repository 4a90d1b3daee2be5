"""Lines of a LandXML file: break lines of surfaces, and parcels, plan features and alignments."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np

from staking.notices import Notice, notice
from staking.points import SurveyLine
from staking.survey.landxml.cogo_points import PointList, Row, row_of
from staking.survey.xml_faults import PointFaults, numbers, shown
from staking.survey.xml_stream import Element

_CURVED = {"Curve", "Spiral", "Chain"}
_HOLDERS = {"Breakline": True, "Boundary": False, "Contour": False, "Watershed": False}
"""Elements of a surface that hold a list of points; whether it is a break line."""


@dataclass(slots=True, eq=False)
class _Chain:
    """A line while it is read: vertices, or the names of points they refer to."""

    name: str
    vertices: list[tuple[Row | str, int]] = field(default_factory=list)
    is_break_line: bool = False


class LineList:
    """Gathers the lines while the file is read.

    Parameters
    ----------
    faults
        Where faults are taken down.
    points
        Where the points that a line refers to are found at the end.
    """

    def __init__(self, faults: PointFaults, points: PointList) -> None:
        self._faults, self._points = faults, points
        self._found: list[_Chain] = []
        self._open: _Chain | None = None
        self._lines: list[SurveyLine] = []
        self._curves = 0
        self._last: tuple[Row | str, int] | None = None

    def open(self, element: Element) -> None:
        """Begin a line."""
        if element.name == "CoordGeom":
            around = element.parent
            self._open = _Chain("" if around is None else around.attributes.get("name", "").strip())
        elif element.name in _HOLDERS:
            self._open = _Chain(
                element.attributes.get("name", "").strip(), [], _HOLDERS[element.name]
            )

    def close(self, element: Element) -> None:
        """Take in a vertex, or end a line."""
        kind = element.name
        if self._open is None:
            return
        if kind in {"Start", "End"} and element.within("CoordGeom") is not None:
            self._take_end(element)
        elif kind in {"PntList3D", "PntList2D"}:
            self._take_list(element, 3 if kind == "PntList3D" else 2)
        elif kind == "IrregularLine":
            # Its end is written before the points between.
            if self._last is not None:
                self._open.vertices.append(self._last)
            self._last = None
        elif kind in _CURVED:
            self._curves += 1
        elif kind == "CoordGeom" or kind in _HOLDERS:
            self._found.append(self._open)
            self._open = None

    def resolve(self) -> None:
        """Put the coordinates in place of references, once all points are read."""
        for chain in self._found:
            rows: list[Row] = []
            for vertex, line in chain.vertices:
                row = self._points.find(vertex) if isinstance(vertex, str) else vertex
                if row is None:
                    self._faults.add(
                        line,
                        f"line “{shown(chain.name)}” refers to a point “{shown(str(vertex))}” that "
                        "is not in the file",
                    )
                elif not rows or not _same(rows[-1], row):
                    rows.append(row)
            if len(rows) > 1:
                self._lines.append(
                    SurveyLine(
                        name=chain.name,
                        vertices=np.array(rows, dtype=float),
                        is_break_line=chain.is_break_line,
                    )
                )
        self._found = []

    def made(self, scale: float) -> tuple[SurveyLine, ...]:
        """Return the lines in m; `scale` is the metres of one of the file's units."""
        return tuple(
            SurveyLine(
                name=line.name, vertices=line.vertices * scale, is_break_line=line.is_break_line
            )
            for line in self._lines
        )

    def notices(self) -> list[Notice]:
        """Say what was simplified."""
        if not self._curves:
            return []
        return [
            notice(
                "curves-as-chords",
                "{count} curves are taken as straight lines between their ends",
                count=self._curves,
            )
        ]

    def _take_end(self, element: Element) -> None:
        chain = self._open
        if chain is None:
            return
        target = element.attributes.get("pntRef", "").strip()
        vertex: tuple[Row | str, int]
        if target and not element.text.strip():
            vertex = (target, element.line)
        else:
            row = row_of(element.text)
            if isinstance(row, str):
                self._faults.add(element.line, f"line “{shown(chain.name)}”: {row}")
                return
            vertex = (row, element.line)
        if element.name == "End" and element.parent_name == "IrregularLine":
            self._last = vertex
        else:
            chain.vertices.append(vertex)

    def _take_list(self, element: Element, width: int) -> None:
        chain = self._open
        if chain is None:
            return
        found = numbers(element.text)
        if isinstance(found, str):
            self._faults.add(
                element.line, f"line “{shown(chain.name)}”: “{shown(found)}” is not a number"
            )
        elif len(found) % width:
            self._faults.add(
                element.line,
                f"line “{shown(chain.name)}”: {len(found)} numbers are not a whole number of "
                f"points of {width}",
            )
        else:
            flat = _contour_level(element)
            for at in range(0, len(found), width):
                level = found[at + 2] if width == 3 else flat
                chain.vertices.append(((found[at], found[at + 1], level), element.line))


def _same(one: Row, other: Row) -> bool:
    """Whether two vertices are the same place, written twice."""
    return one[:2] == other[:2] and (one[2] == other[2] or math.isnan(one[2] + other[2]))


def _contour_level(element: Element) -> float:
    """Return the elevation of a contour's points, which stands once beside them."""
    contour = element.within("Contour")
    found = numbers("" if contour is None else contour.attributes.get("elev", ""))
    return math.nan if isinstance(found, str) or len(found) != 1 else found[0]
