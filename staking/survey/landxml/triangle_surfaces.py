"""Surfaces of a LandXML file: points, faces and the data they were made from."""

from __future__ import annotations

from array import array
from dataclasses import dataclass, field

import numpy as np

from staking.notices import Notice, Severity, notice
from staking.points import Array, Surface
from staking.survey.landxml.cogo_points import row_of
from staking.survey.xml_faults import PointFaults, numbers, shown
from staking.survey.xml_stream import Element


@dataclass(slots=True, eq=False)
class _Definition:
    """A surface while it is read; coordinates in the file's unit."""

    name: str
    ids: dict[str, int] = field(default_factory=dict)
    rows: array[float] = field(default_factory=lambda: array("d"))
    lines: list[int] = field(default_factory=list)
    faces: list[tuple[int, tuple[str, ...]]] = field(default_factory=list)
    hidden: int = 0


class SurfaceList:
    """Gathers the surfaces while the file is read.

    Parameters
    ----------
    faults
        Where faults are taken down.
    """

    def __init__(self, faults: PointFaults) -> None:
        self._faults = faults
        self._found: list[_Definition] = []
        self._open: _Definition | None = None
        self._quads = self._flat = 0
        self.data: array[float] = array("d")
        self.data_names: list[str] = []
        self.data_lines: list[int] = []

    def open(self, element: Element) -> None:
        """Begin a surface."""
        if element.name == "Definition":
            around = element.within("Surface")
            name = "" if around is None else around.attributes.get("name", "")
            self._open = _Definition(name.strip() or f"surface {len(self._found) + 1}")

    def close(self, element: Element) -> None:
        """Take in a point, a face, or data points."""
        kind = element.name
        if kind == "P":
            self._take_point(element)
        elif kind == "F":
            self._take_face(element)
        elif kind == "Definition":
            if self._open is not None and self._open.ids:
                self._found.append(self._open)
            self._open = None
        elif kind in {"PntList3D", "PntList2D"} and element.parent_name == "DataPoints":
            self._take_data(element, 3 if kind == "PntList3D" else 2)

    def made(self, scale: float) -> tuple[Surface, ...]:
        """Return the surfaces.

        Parameters
        ----------
        scale
            The metres of one of the file's units.

        Returns
        -------
        tuple of Surface
            In m.
        """
        surfaces = []
        for found in self._found:
            vertices = np.array(found.rows, dtype=float).reshape(-1, 3) * scale
            faces = [self._indices(found, line, ids) for line, ids in found.faces]
            kept = [triangle for face in faces for triangle in face]
            surfaces.append(
                Surface(
                    name=found.name,
                    vertices=vertices,
                    faces=np.array(kept, dtype=np.intp).reshape(-1, 3),
                    hidden=found.hidden,
                )
            )
        return tuple(surfaces)

    def points(self, made: tuple[Surface, ...]) -> tuple[list[str], Array, list[int]]:
        """Return the surfaces' points under the numbers the file gives them.

        Parameters
        ----------
        made
            The surfaces, from `made`.

        Returns
        -------
        tuple
            Names, rows in m, and lines of the file. Several surfaces number their points alike,
            so each name then begins with its surface's.
        """
        several = len(self._found) > 1
        names = [
            f"{found.name}:{number}" if several else number
            for found in self._found
            for number in found.ids
        ]
        lines = [line for found in self._found for line in found.lines]
        return names, np.vstack([surface.vertices for surface in made]), lines

    def data_rows(self) -> Array:
        """Return the data points, ``(n, 3)``, in the file's unit."""
        return np.array(self.data, dtype=float).reshape(-1, 3)

    def notices(self) -> list[Notice]:
        """Say what was left out or taken apart."""
        said = []
        hidden = sum(found.hidden for found in self._found)
        for count, kind, text in (
            (hidden, "hidden-faces", "{count} faces are marked as hidden and left out"),
            (self._quads, "quads", "{count} faces of four corners are each taken as two triangles"),
            (self._flat, "flat-faces", "{count} faces name one corner twice and are left out"),
            (
                len(self.data_lines) if self._found else 0,
                "data-points",
                "{count} data points, from which a surface was made, are not counted beside it",
            ),
        ):
            if count:
                said.append(notice(kind, text, severity=Severity.NOTE, count=count))
        return said

    def _take_point(self, element: Element) -> None:
        found = self._open
        if found is None:
            return
        number = element.attributes.get("id", "").strip()
        what = f"point {shown(number)} of “{shown(found.name)}”"
        row = row_of(element.text)
        if not number:
            self._faults.add(element.line, f"a point of “{shown(found.name)}” has no id")
        elif number in found.ids:
            self._faults.add(element.line, f"{what} stands in the file twice")
        elif isinstance(row, str):
            self._faults.add(element.line, f"{what}: {row}")
        elif np.isnan(row[2]):
            self._faults.add(element.line, f"{what} has no elevation", "a surface needs one")
        else:
            found.ids[number] = len(found.ids)
            found.rows.extend(row)
            found.lines.append(element.line)

    def _take_face(self, element: Element) -> None:
        found = self._open
        if found is None:
            return
        if element.attributes.get("i", "").strip() == "1":
            found.hidden += 1
            return
        ids = tuple(element.text.split())
        if len(ids) not in {3, 4}:
            self._faults.add(
                element.line,
                f"a face of “{shown(found.name)}” has {len(ids)} corners where 3 belong",
            )
            return
        found.faces.append((element.line, ids))

    def _indices(
        self, found: _Definition, line: int, ids: tuple[str, ...]
    ) -> list[tuple[int, int, int]]:
        """Return a face's triangles by index of point; faces may stand before their points."""
        at = [found.ids.get(one, -1) for one in ids]
        if -1 in at:
            self._faults.add(
                line,
                f"a face of “{shown(found.name)}” names point {shown(ids[at.index(-1)])}, which "
                "the surface does not have",
            )
            return []
        if len(set(at)) < len(at):
            self._flat += 1
            return []
        if len(at) == 4:
            self._quads += 1
            return [(at[0], at[1], at[2]), (at[0], at[2], at[3])]
        return [(at[0], at[1], at[2])]

    def _take_data(self, element: Element, width: int) -> None:
        found = numbers(element.text)
        around = element.parent.attributes if element.parent is not None else {}
        if isinstance(found, str):
            self._faults.add(element.line, f"data points: “{shown(found)}” is not a number")
            return
        if len(found) % width:
            self._faults.add(
                element.line,
                f"data points: {len(found)} numbers are not a whole number of points of {width}",
            )
            return
        rows = np.full((len(found) // width, 3), np.nan)
        rows[:, :width] = np.array(found).reshape(-1, width)
        self.data.extend(rows.ravel())
        self.data_names += [around.get("name", "").strip()] * len(rows)
        self.data_lines += [element.line] * len(rows)
