"""LandXML 1.0 to 2.0 in whatever namespace: points, lines, break lines and surfaces.

National profiles reuse the same content under a namespace of their own, so only the elements'
own names count. Coordinates are northing, easting, elevation, in that order.
"""

from __future__ import annotations

from typing import BinaryIO

import numpy as np

from staking.notices import Notice, Severity, notice
from staking.points import Array, Surface, SurveyLine, SurveyPoints, SurveySettings
from staking.survey.assemble import survey_points
from staking.survey.landxml.cogo_points import PointList
from staking.survey.landxml.landxml_header import Header
from staking.survey.landxml.landxml_system import system_notices
from staking.survey.landxml.parcels_and_breaklines import LineList
from staking.survey.landxml.triangle_surfaces import SurfaceList
from staking.survey.xml_faults import PointFaults, numbered, numbered_notices
from staking.survey.xml_stream import read_elements


def parse_landxml(
    stream: BinaryIO, name: str, settings: SurveySettings | None = None
) -> SurveyPoints:
    """Read a LandXML file, or one of a profile that reuses its content.

    Parameters
    ----------
    stream
        The bytes.
    name
        The file as the user named it.
    settings
        Its `unit` and `crs` count before the file's own.

    Returns
    -------
    SurveyPoints
        The coordinate geometry points; where there are none, those of the surfaces, else the
        data points a surface was made from, else the vertices of the lines.

    Raises
    ------
    InputError
        Where the file is not a sound LandXML, says no unit, or a point, face or reference is
        faulty.

    References
    ----------
    LandXML-1.2 schema, landxml.org, 2008: CgPoint, Pnts, Faces, Breakline, DataPoints, Units.
    """
    asked = settings or SurveySettings()
    faults = PointFaults(name, asked.skip_bad_lines)
    header = Header(name, asked)
    points = PointList(faults)
    surfaces = SurfaceList(faults)
    lines = LineList(faults, points)
    parts = (header, points, surfaces, lines)
    for event in read_elements(stream, name, "LandXML"):
        for part in parts:
            (part.open if event.opens else part.close)(event.element)
        if event.opens and event.element.parent is None:
            header.check_root(event.element)
    points.resolve()
    lines.resolve()
    scale, code = header.scale(), header.crs()
    made = surfaces.made(scale)
    drawn = lines.made(scale)
    skipped = faults.settle()
    names, rows, descriptions, numbers, told = _chosen(points, surfaces, made, drawn, scale)
    names, given = numbered(names)
    notices = [*header.notices(), *skipped, *points.notices(), *surfaces.notices(), *told]
    if code is not None:
        notices += system_notices(name, code, header.unit(), rows)
    notices += numbered_notices(given)
    return survey_points(
        name=name,
        format="LandXML",
        names=names,
        northing=rows[:, 0].copy(),
        easting=rows[:, 1].copy(),
        elevation=rows[:, 2].copy(),
        descriptions=descriptions,
        unit=header.unit(),
        source_line=numbers,
        crs=code,
        lines=drawn,
        surfaces=made,
        notices=[*notices, *lines.notices()],
        settings=asked,
    )


def _chosen(
    points: PointList,
    surfaces: SurfaceList,
    made: tuple[Surface, ...],
    drawn: tuple[SurveyLine, ...],
    scale: float,
) -> tuple[list[str], Array, list[str], list[int], list[Notice]]:
    """Return what counts as the file's points: names, rows in m, descriptions, lines, notices."""
    if points.names:
        return points.names, points.rows() * scale, points.descriptions, points.lines, []
    if made:
        names, rows, numbers = surfaces.points(made)
        return names, rows, [""] * len(names), numbers, [_said("the surfaces' points")]
    if len(surfaces.data):
        rows = surfaces.data_rows() * scale
        told = [_said("the data points of its surfaces")]
        return [""] * len(rows), rows, surfaces.data_names, surfaces.data_lines, told
    if drawn:
        rows = np.vstack([line.vertices for line in drawn])
        count = len(rows)
        return [""] * count, rows, [""] * count, [0] * count, [_said("the vertices of its lines")]
    return [], np.empty((0, 3)), [], [], []


def _said(what: str) -> Notice:
    return notice(
        "points-taken-from",
        "the file holds no coordinate geometry points; {what} are counted as its points",
        severity=Severity.NOTE,
        what=what,
    )
