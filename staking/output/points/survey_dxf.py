"""Surveyed points as DXF: a point and a block reference with its texts for each, and lines."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, TextIO

import numpy as np

from staking.output.drawing.geodata import INSUNITS, add_geodata
from staking.output.drawing.point_attributes import add_reference, define_block
from staking.output.points.stake_points import fixed
from staking.output.points.survey_csv import DECIMALS
from staking.units import Unit

if TYPE_CHECKING:
    import datetime as dt

    from ezdxf.document import Drawing
    from ezdxf.layouts.layout import Modelspace

    from staking.points import Array, SurveyPoints

LAYERS = {"points": "V-NODE", "lines": "V-LINE", "surfaces": "V-SURF"}
"""Survey points, lines and surfaces by the national CAD layer convention's discipline V."""

_TEXT_PART = 250.0
"""A name is this part of the survey's width high, so that it reads on the whole of it."""


def write_survey_dxf(points: SurveyPoints, stream: TextIO, day: dt.date | None = None) -> None:
    """Write points, lines and surfaces as a DXF drawing (R2010), x easting and y northing.

    Parameters
    ----------
    points
        The survey; the drawing is in its unit. A point without an elevation stands at nothing,
        and its attribute ELEVATION is empty.
    stream
        Where to, open for text in UTF-8.
    day
        The day that the drawing bears; None for one that has none.
    """
    from ezdxf.filemanagement import new

    from staking.output.drawing.write_drawing import write_drawing

    unit = Unit(points.unit)
    doc = new("R2010", setup=False)
    doc.header["$INSUNITS"] = INSUNITS[unit]
    doc.header["$MEASUREMENT"] = int(unit in {Unit.M, Unit.MM})
    for layer, colour in zip(LAYERS.values(), (1, 7, 8), strict=True):
        doc.layers.add(layer, color=colour)
    space = doc.modelspace()
    _add_points(doc, space, points, unit)
    for line in points.lines:
        if np.isnan(line.vertices[:, 2]).any():
            flat = _xyz(line.vertices, unit)[:, :2].tolist()
            space.add_lwpolyline(flat, dxfattribs={"layer": LAYERS["lines"]})
        else:
            corners = _xyz(line.vertices, unit).tolist()
            space.add_polyline3d(corners, dxfattribs={"layer": LAYERS["lines"]})
    for surface in points.surfaces:
        corners = _xyz(surface.vertices, unit)
        for face in surface.faces.tolist():
            space.add_3dface(
                [corners[index] for index in face], dxfattribs={"layer": LAYERS["surfaces"]}
            )
    if points.crs is not None:
        _add_georeference(space, points, unit)
    write_drawing(doc, stream, day)


def _xyz(rows: Array, unit: Unit) -> Array:
    """Return x, y, z in the drawing's unit of northing, easting, elevation, m."""
    return np.nan_to_num(rows[:, [1, 0, 2]] / unit.metres)


def _add_points(doc: Drawing, space: Modelspace, points: SurveyPoints, unit: Unit) -> None:
    rows = np.column_stack((points.northing, points.easting, points.elevation))
    places = _xyz(rows, unit).tolist()
    height = _text_height(points, unit)
    define_block(doc, height, shown=True)
    attributes = {"layer": LAYERS["points"]}
    for name, place, level, description in zip(
        points.names, places, points.elevation.tolist(), points.descriptions, strict=True
    ):
        space.add_point(place, dxfattribs=attributes)
        elevation = "" if math.isnan(level) else fixed(level / unit.metres, DECIMALS[unit])
        texts = (str(name), elevation, str(description))
        add_reference(space, tuple(place), LAYERS["points"], texts)


def _text_height(points: SurveyPoints, unit: Unit) -> float:
    if points.count == 0:
        return 1.0
    width = max(float(np.ptp(points.northing)), float(np.ptp(points.easting)))
    return max(width / _TEXT_PART, 0.01) / unit.metres


def _add_georeference(space: Modelspace, points: SurveyPoints, unit: Unit) -> None:
    """Say which grid the drawing is in: at its middle, design and grid point are one."""
    assert points.crs is not None
    rows = [line.vertices for line in points.lines] + [each.vertices for each in points.surfaces]
    north, east = (
        float(np.mean(points.northing)) if points.count else float(rows[0][0, 0]),
        float(np.mean(points.easting)) if points.count else float(rows[0][0, 1]),
    )
    add_geodata(space, points.crs, unit, (east, north))
