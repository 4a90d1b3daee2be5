"""What a drawing's model space holds that a survey is made of, in the drawing's own x, y, z."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from staking.frozen import frozen
from staking.notices import Notice, Severity, notice
from staking.survey.dxf.drawn_texts import DrawnText, drawn_text, plain
from staking.survey.name_list import listed
from staking.survey.xml_faults import shown

if TYPE_CHECKING:
    from ezdxf.document import Drawing

Xyz = tuple[float, float, float]


@frozen(kw_only=False)
class DrawnBlock:
    """A block reference with attributes: where it stands, and their texts by their names."""

    name: str
    at: Xyz
    attributes: dict[str, str]


@frozen(kw_only=False)
class DrawnLine:
    """A chain of vertices, named by its layer."""

    name: str
    vertices: tuple[Xyz, ...]


@frozen(kw_only=False)
class DrawnFace:
    """A face with three or four corners."""

    layer: str
    corners: tuple[Xyz, ...]


@dataclass(slots=True)
class Drawn:
    """Everything collected; `passed` counts what is not a survey, by its entity type."""

    marks: list[Xyz] = field(default_factory=list)
    blocks: list[DrawnBlock] = field(default_factory=list)
    texts: list[DrawnText] = field(default_factory=list)
    lines: list[DrawnLine] = field(default_factory=list)
    faces: list[DrawnFace] = field(default_factory=list)
    passed: Counter[str] = field(default_factory=Counter)
    arcs: int = 0

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
    """Collect what a drawing's model space holds that a survey is made of.

    Parameters
    ----------
    doc
        The drawing.

    Returns
    -------
    Drawn
        As drawn, in the order of the drawing.
    """
    drawn = Drawn()
    entity: Any
    for entity in doc.modelspace():
        kind = entity.dxftype()
        if kind == "POINT":
            drawn.marks.append(_xyz(entity.dxf.location))
        elif kind == "INSERT" and entity.attribs:
            values = {str(each.dxf.tag): plain(str(each.dxf.text)) for each in entity.attribs}
            at = _xyz(entity.dxf.insert)
            drawn.blocks.append(DrawnBlock(str(entity.dxf.name), at, values))
        elif kind == "3DFACE":
            drawn.faces.append(DrawnFace(str(entity.dxf.layer), _corners(entity)))
        elif kind in {"TEXT", "MTEXT"}:
            text = drawn_text(entity)
            if text is None:
                drawn.passed["TEXT"] += 1
            else:
                drawn.texts.append(text)
        elif kind in {"LINE", "LWPOLYLINE", "POLYLINE"} and _add_line(entity, drawn):
            continue
        else:
            drawn.passed[shown(kind)] += 1
    return drawn


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


def _xyz(vector: Any) -> Xyz:
    return (float(vector[0]), float(vector[1]), float(vector[2]) if len(vector) > 2 else 0.0)
