"""What a drawing's model space holds that a survey is made of, in the drawing's own x, y, z."""

from __future__ import annotations

import math
import re
from collections import Counter
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from staking.notices import Notice, Severity, notice
from staking.survey.delimited.heading import understand
from staking.survey.name_list import listed
from staking.survey.xml_faults import shown

if TYPE_CHECKING:
    from ezdxf.document import Drawing

Xyz = tuple[float, float, float]

ON_POINT = 6
"""A text sits on a point whose x and y agree with its own to this many decimals."""


@dataclass(frozen=True, slots=True)
class DrawnPoint:
    """A point of the drawing; its name is empty where nothing gives one."""

    name: str
    at: Xyz
    description: str


@dataclass(frozen=True, slots=True)
class DrawnLine:
    """A chain of vertices, named by its layer."""

    name: str
    vertices: tuple[Xyz, ...]


@dataclass(frozen=True, slots=True)
class DrawnFace:
    """A face with three or four corners."""

    layer: str
    corners: tuple[Xyz, ...]


@dataclass(slots=True)
class Drawn:
    """Everything collected; `passed` counts what is no survey, by its entity type.

    `has_levels` tells whether an attribute gives a height, so that a z of 0 is one.
    """

    points: list[DrawnPoint] = field(default_factory=list)
    lines: list[DrawnLine] = field(default_factory=list)
    faces: list[DrawnFace] = field(default_factory=list)
    passed: Counter[str] = field(default_factory=Counter)
    arcs: int = 0
    has_levels: bool = False

    def notices(self) -> list[Notice]:
        """Say what was passed over."""
        said = []
        if self.passed:
            kinds = [f"{count} {kind}" for kind, count in sorted(self.passed.items())]
            said.append(
                notice(
                    "entities-passed-over",
                    "the drawing also holds {kinds}, which are passed over",
                    severity=Severity.NOTE,
                    kinds=shown(listed(kinds), 300),
                )
            )
        if self.arcs:
            said.append(
                notice(
                    "arcs-straight",
                    "arcs within lines are taken straight from end to end ({count})",
                    count=self.arcs,
                )
            )
        return said


def collect(doc: Drawing) -> Drawn:
    """Collect points, lines and faces of a drawing's model space.

    Parameters
    ----------
    doc
        The drawing.

    Returns
    -------
    Drawn
        Points with their names from attributes or from a text that sits on them. A POINT under a
        block reference with attributes is the same point and stands once.
    """
    drawn = Drawn()
    marks: list[Xyz] = []
    texts: list[Any] = []
    entity: Any
    for entity in doc.modelspace():
        kind = entity.dxftype()
        if kind == "POINT":
            marks.append(_xyz(entity.dxf.location))
        elif kind == "INSERT" and _add_inserted(entity, drawn):
            continue
        elif kind == "3DFACE":
            drawn.faces.append(DrawnFace(str(entity.dxf.layer), _corners(entity)))
        elif kind in {"TEXT", "MTEXT"}:
            texts.append(entity)
        elif kind in {"LINE", "LWPOLYLINE", "POLYLINE"} and _add_line(entity, drawn):
            continue
        else:
            drawn.passed[shown(kind)] += 1
    taken = {_key(point.at) for point in drawn.points}
    labels = _Labels(texts)
    for at in marks:
        if _key(at) in taken:
            continue
        name, description = labels.at(at)
        drawn.points.append(DrawnPoint(name, at, description))
    if left := labels.left:
        drawn.passed["TEXT"] += left
    return drawn


class _Labels:
    """Texts by the place they sit on."""

    def __init__(self, texts: list[Any]) -> None:
        self._at: dict[tuple[float, ...], list[str]] = {}
        self._used: set[tuple[float, ...]] = set()
        self._count = 0
        for entity in texts:
            self._count += 1
            text = entity.plain_text() if entity.dxftype() == "MTEXT" else _plain(entity.dxf.text)
            if not text.strip():
                continue
            self._at.setdefault(_key(_xyz(entity.dxf.insert))[:2], []).append(text.strip())
            align = entity.dxf.get("align_point") if entity.dxftype() == "TEXT" else None
            if align is not None and _key(_xyz(align))[:2] != _key(_xyz(entity.dxf.insert))[:2]:
                self._at.setdefault(_key(_xyz(align))[:2], []).append(text.strip())

    def at(self, place: Xyz) -> tuple[str, str]:
        """Return name and description of the text that sits on a place, both empty if none.

        Of several texts the first is the name; ``12 (iron pin)`` is both at once.

        Returns
        -------
        tuple of str
            Name and description.
        """
        found = self._at.get(_key(place)[:2])
        if not found:
            return "", ""
        self._used.add(_key(place)[:2])
        both = re.fullmatch(r"(\S+)\s+\((.*)\)", found[0])
        name, more = (both.group(1), [both.group(2)]) if both else (found[0], [])
        return name, " ".join([*more, *found[1:]])

    @property
    def left(self) -> int:
        """How many texts sit on no point."""
        return max(0, self._count - sum(len(self._at[key]) for key in self._used))


def _add_inserted(entity: Any, drawn: Drawn) -> bool:
    """Add the point of a block reference whose attributes name one; return False for others."""
    values = {str(each.dxf.tag): _plain(str(each.dxf.text)) for each in entity.attribs}
    found: dict[str, str] = {}
    for tag, value in values.items():
        role = understand(tag).role
        if role and role not in found:
            found[role] = value
    name = found.get("point", "")
    if not name and len(values) == 1:
        name = next(iter(values.values()))
    if not name.strip():
        # A title block has attributes too.
        return False
    x, y, z = _xyz(entity.dxf.insert)
    if "elevation" in found:
        try:
            level = float(found["elevation"]) if found["elevation"].strip() else math.nan
        except ValueError:
            level = math.nan
        drawn.has_levels |= not math.isnan(level)
        # The height may be in the attribute alone; an empty one says that there is none.
        z = level if z == 0.0 else z
    drawn.points.append(DrawnPoint(name, (x, y, z), found.get("description", "")))
    return True


def _add_line(entity: Any, drawn: Drawn) -> bool:
    """Add a line; return False for what only looks like one, such as a mesh."""
    kind = entity.dxftype()
    if kind == "LINE":
        vertices = [_xyz(entity.dxf.start), _xyz(entity.dxf.end)]
        is_closed = False
    elif kind == "LWPOLYLINE":
        vertices = [_xyz(vertex) for vertex in entity.vertices_in_wcs()]
        if entity.dxf.elevation == 0.0:
            vertices = [(x, y, math.nan) for x, y, _ in vertices]
        drawn.arcs += sum(1 for point in entity.get_points("b") if point[0])
        is_closed = bool(entity.closed)
    else:
        if not (entity.is_2d_polyline or entity.is_3d_polyline):
            return False
        vertices = [_xyz(vertex) for vertex in entity.points_in_wcs()]
        drawn.arcs += sum(1 for vertex in entity.vertices if vertex.dxf.get("bulge", 0.0))
        is_closed = bool(entity.is_closed)
    if len(vertices) < 2:
        return False
    if is_closed:
        vertices.append(vertices[0])
    drawn.lines.append(DrawnLine(str(entity.dxf.layer), tuple(vertices)))
    return True


def _corners(entity: Any) -> tuple[Xyz, ...]:
    found: list[Xyz] = []
    for corner in (entity.dxf.vtx0, entity.dxf.vtx1, entity.dxf.vtx2, entity.dxf.vtx3):
        if _xyz(corner) not in found:
            found.append(_xyz(corner))
    return tuple(found)


def _plain(text: str) -> str:
    # The open DXF reference: \U+ and four hexadecimal digits stand for a character.
    return re.sub(
        r"\\U\+(?![Dd][89A-Fa-f])([0-9A-Fa-f]{4})", lambda found: chr(int(found[1], 16)), text
    )


def _xyz(vector: Any) -> Xyz:
    return (float(vector[0]), float(vector[1]), float(vector[2]) if len(vector) > 2 else 0.0)


def _key(place: Xyz) -> tuple[float, ...]:
    # Adding nothing turns a negative nothing into a plain one.
    return tuple(round(number, ON_POINT) + 0.0 for number in place[:2])
