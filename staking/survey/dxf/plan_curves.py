"""DXF as a designer's plan: its curves with blocks taken apart, and its dimensions."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any, BinaryIO

import numpy as np

from staking.errors import InputError, Problem
from staking.outline.designers_drawing import CurveKind, DrawnCurve, PlanDrawing
from staking.survey.dxf.drawing_dimensions import drawn_dimensions
from staking.survey.dxf.open_drawing import open_drawing, overheard
from staking.units import Unit

if TYPE_CHECKING:
    from ezdxf.document import Drawing

    from staking.notices import Notice

_UNITS = {1: Unit.IN, 2: Unit.FT, 4: Unit.MM, 6: Unit.M, 21: Unit.US_FT}
"""$INSUNITS by the open DXF reference."""
_CHAINS = {"LWPOLYLINE", "POLYLINE"}
_FREE = {"ELLIPSE", "SPLINE"}
_FLATTENED = 1e-6
"""How far chords of ellipses and splines may lie off them, as a part of the drawing's size."""
_MOST_CURVES = 500_000
"""Curves of a drawing at most: a plan has some thousands."""


def read_plan_drawing(path: Path) -> tuple[PlanDrawing, tuple[Notice, ...]]:
    """Read a designer's drawing.

    Parameters
    ----------
    path
        A DXF file, as the user named it.

    Returns
    -------
    tuple
        The drawing, and notices of what was damaged in it.

    Raises
    ------
    InputError
        Where it cannot be read or is not a sound DXF.
    """
    name = str(path)
    if path.suffix.lower() == ".dwg":
        raise InputError(
            Problem(
                path=name,
                message="a .dwg file is in a format that is not open, and is not read",
                remedy="have it saved as DXF (the version of 2018 or any earlier one)",
            )
        )
    if not path.is_file():
        there = "this is a folder, and a file is meant" if path.is_dir() else "there is no file"
        raise InputError(Problem(path=name, message=there, remedy="name the drawing's DXF file"))
    try:
        with path.open("rb") as stream:
            return parse_plan_drawing(stream, name)
    except OSError as fault:
        reason = fault.strerror or str(fault)
        raise InputError(
            Problem(path=name, message=f"the file cannot be read ({reason})")
        ) from fault


def parse_plan_drawing(stream: BinaryIO, name: str) -> tuple[PlanDrawing, tuple[Notice, ...]]:
    """Read a designer's drawing from a stream.

    Parameters
    ----------
    stream
        The bytes.
    name
        The file as the user named it.

    Returns
    -------
    tuple
        As `read_plan_drawing`.

    Raises
    ------
    InputError
        Where it is not a sound DXF, or holds more curves than a plan has.

    References
    ----------
    The open DXF reference: $INSUNITS, LINE, ARC, CIRCLE, LWPOLYLINE, POLYLINE, ELLIPSE, SPLINE,
    INSERT, DIMENSION.
    """
    doc, said = open_drawing(stream, name)
    try:
        with overheard():
            curves = tuple(_curves(doc, name))
            dimensions = tuple(drawn_dimensions(doc))
    except InputError:
        raise
    except Exception as fault:
        # What a malformed entity raises inside the drawing library is of every kind.
        raise InputError(
            Problem(path=name, message="an entity of the drawing is malformed")
        ) from fault
    code = int(doc.header.get("$INSUNITS", 0) or 0)
    return (
        PlanDrawing(name=name, curves=curves, dimensions=dimensions, header_unit=_UNITS.get(code)),
        tuple(said),
    )


def _curves(doc: Drawing, name: str) -> Iterator[DrawnCurve]:
    from ezdxf import disassemble

    count = 0
    for entity in doc.modelspace():
        kind = entity.dxftype()
        if kind == "INSERT":
            parts: Iterable[Any] = disassemble.recursive_decompose([entity])
        elif kind == "DIMENSION":
            continue
        else:
            parts = [entity]
        for part in parts:
            layer = str(part.dxf.layer)
            if kind == "INSERT" and layer == "0":
                # The open DXF reference: what a block holds on layer 0 takes the block's layer.
                layer = str(entity.dxf.layer)
            for curve in _of(part, layer):
                count += 1
                if count > _MOST_CURVES:
                    raise InputError(
                        Problem(
                            path=name,
                            message=f"the drawing holds more than {_MOST_CURVES:,} curves",
                            remedy="export the walls' and footings' layers alone",
                        )
                    )
                yield curve


def _of(entity: Any, layer: str) -> Iterator[DrawnCurve]:
    kind = entity.dxftype()
    if kind == "LINE":
        yield _straight(layer, [entity.dxf.start, entity.dxf.end])
    elif kind == "ARC":
        yield from _arc(layer, entity, entity.dxf.start_angle, entity.dxf.end_angle)
    elif kind == "CIRCLE":
        yield from _arc(layer, entity, 0.0, 180.0)
        yield from _arc(layer, entity, 180.0, 360.0)
    elif kind in _CHAINS:
        if kind == "POLYLINE" and not (entity.is_2d_polyline or entity.is_3d_polyline):
            return
        for part in entity.virtual_entities():
            yield from _of(part, layer)
    elif kind in _FREE:
        yield _straight(layer, list(entity.flattening(_sagitta(entity))))


def _sagitta(entity: Any) -> float:
    points = (
        [*entity.control_points]
        if entity.dxftype() == "SPLINE"
        else [entity.dxf.center + entity.dxf.major_axis, entity.dxf.center - entity.dxf.major_axis]
    )
    places = np.array([(p[0], p[1]) for p in points], dtype=float)
    size = float(np.ptp(places, axis=0).max()) if len(places) else 1.0
    return max(size, 1e-6) * _FLATTENED * 10


def _straight(layer: str, points: list[Any]) -> DrawnCurve:
    places = np.array([(float(p[0]), float(p[1])) for p in points], dtype=float)
    return DrawnCurve(layer=layer, kind=CurveKind.STRAIGHT, points=places)


def _arc(layer: str, entity: Any, start: float, end: float) -> Iterator[DrawnCurve]:
    sweep = (end - start) % 360.0 or 360.0
    # Halved, so that three points always tell the circle well, a whole one too.
    for first in (start, start + sweep / 2):
        angles = [first, first + sweep / 4, first + sweep / 2]
        # In the entity's own plane anticlockwise: seen from behind, it runs the other way round.
        points = list(entity.vertices(angles))
        places = np.array([(float(p[0]), float(p[1])) for p in points], dtype=float)
        yield DrawnCurve(layer=layer, kind=CurveKind.ARC, points=places)
