"""Points, and what a layout or a survey draws between them, as LandXML 1.2."""

from __future__ import annotations

import datetime as dt
import re
from typing import TYPE_CHECKING, TextIO

import numpy as np

from staking.frozen import frozen
from staking.output.points.xml_text import attribute
from staking.units import Unit

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from staking.output.points.layout_rings import NamedRing
    from staking.points import Array, Surface, SurveyLine, SurveyPoints

    Write = Callable[[str], object]

_WORDS = {
    Unit.FT: ("Imperial", "foot"),
    Unit.US_FT: ("Imperial", "USSurveyFoot"),
    Unit.IN: ("Imperial", "inch"),
    Unit.M: ("Metric", "meter"),
    Unit.MM: ("Metric", "millimeter"),
}
_REST = {
    "Imperial": 'areaUnit="squareFoot" volumeUnit="cubicYard" temperatureUnit="fahrenheit" '
    'pressureUnit="inHG"',
    "Metric": 'areaUnit="squareMeter" volumeUnit="cubicMeter" temperatureUnit="celsius" '
    'pressureUnit="milliBars"',
}
_DECIMALS = {Unit.FT: 5, Unit.US_FT: 5, Unit.IN: 4, Unit.M: 5, Unit.MM: 2}
"""Decimals that hold a hundredth of a millimetre in each unit."""

_NO_DAY = dt.date(2000, 1, 1)
"""The schema wants a date; one that stays makes the same points give the same bytes."""


@frozen
class LayoutInLandXml:
    """What a layout adds to its points.

    Parameters
    ----------
    job
        The job's name.
    mark
        The layout's mark and its day.
    boundary
        The lot's; None without.
    rings
        The closed lines of the building.
    """

    job: str
    mark: str
    boundary: NamedRing | None
    rings: tuple[NamedRing, ...]


def write_landxml(
    points: SurveyPoints,
    stream: TextIO,
    day: dt.date | None = None,
    layout: LayoutInLandXml | None = None,
) -> None:
    """Write points, lines and surfaces as LandXML.

    Parameters
    ----------
    points
        The survey; its `unit` is the one written in.
    stream
        Where to, in UTF-8.
    day
        The day that the file bears; None for one that has none.
    layout
        What goes with the points of a layout; None for a survey's.

    References
    ----------
    LandXML-1.2 schema, landxml.org, 2008. Coordinates are northing, easting, elevation; an
    elevation that is not known is left out. A lot is a Parcel; a building's outline a PlanFeature
    ("a planimetric feature not otherwise defined by the schema, such as building footprints"); the
    CoordGeom of either is a list of Lines, each with its Start and its End. A layout's mark stands
    in the description of the Project.
    """
    unit = Unit(points.unit)
    system, word = _WORDS[unit]
    write = stream.write
    write('<?xml version="1.0" encoding="UTF-8"?>\n')
    write(
        '<LandXML xmlns="http://www.landxml.org/schema/LandXML-1.2" version="1.2" '
        f'date="{day or _NO_DAY:%Y-%m-%d}" time="00:00:00" language="English" readOnly="false">\n'
    )
    write(f'  <Units><{system} linearUnit="{word}" {_REST[system]}/></Units>\n')
    code = re.fullmatch(r"EPSG:([0-9]+)", points.crs or "", re.IGNORECASE)
    if code:
        write(f'  <CoordinateSystem epsgCode="{code.group(1)}"/>\n')
    if layout is not None:
        described = attribute(f"layout {layout.mark}")
        write(f"  <Project name={attribute(layout.job)} desc={described}/>\n")
    write('  <Application name="staking"/>\n')
    scale, decimals = unit.metres, _DECIMALS[unit]
    rows = np.column_stack((points.northing, points.easting, points.elevation)) / scale
    if len(rows):
        write("  <CgPoints>\n")
        for name, described, row in zip(points.names, points.descriptions, rows, strict=True):
            desc = f" desc={attribute(described)}" if described else ""
            write(f"    <CgPoint name={attribute(name)}{desc}>{_row(row, decimals)}</CgPoint>\n")
        write("  </CgPoints>\n")
    edges = [line for line in points.lines if line.is_break_line]
    _write_surfaces(write, points.surfaces, edges, scale, decimals)
    _write_lines(write, [line for line in points.lines if not line.is_break_line], scale, decimals)
    if layout is not None:
        lots = () if layout.boundary is None else (layout.boundary,)
        _write_rings(write, "Parcel", lots, scale, decimals)
        _write_rings(write, "PlanFeature", layout.rings, scale, decimals)
    write("</LandXML>\n")


def _row(row: Array, decimals: int) -> str:
    """Return northing, easting and a known elevation; minus nought is nought."""
    known = row if not np.isnan(row[2]) else row[:2]
    return " ".join(f"{value + 0.0:.{decimals}f}" for value in known.tolist())


def _list(vertices: Array, scale: float, decimals: int) -> str:
    """Return an element with a list of vertices, flat where an elevation is not known."""
    width = 2 if np.isnan(vertices[:, 2]).any() else 3
    words = [
        f"{value + 0.0:.{decimals}f}" for value in (vertices[:, :width] / scale).ravel().tolist()
    ]
    return f"<PntList{width}D>{' '.join(words)}</PntList{width}D>"


def _write_surfaces(
    write: Write,
    surfaces: tuple[Surface, ...],
    edges: list[SurveyLine],
    scale: float,
    decimals: int,
) -> None:
    """Write the surfaces; break lines go with the first, or alone where there is none."""
    if not surfaces and not edges:
        return
    write("  <Surfaces>\n")
    for index, surface in enumerate(surfaces or (None,)):
        name = "break lines" if surface is None else surface.name
        write(f"    <Surface name={attribute(name)}>\n")
        if edges and index == 0:
            write("      <SourceData><Breaklines>\n")
            for line in edges:
                inner = _list(line.vertices, scale, decimals)
                kind = attribute(line.name)
                write(f'        <Breakline brkType="standard" name={kind}>{inner}</Breakline>\n')
            write("      </Breaklines></SourceData>\n")
        if surface is not None:
            _write_definition(write, surface, scale, decimals)
        write("    </Surface>\n")
    write("  </Surfaces>\n")


def _write_definition(write: Write, surface: Surface, scale: float, decimals: int) -> None:
    """Write the points and faces of a surface, its points numbered from 1."""
    write('      <Definition surfType="TIN">\n        <Pnts>\n')
    for number, row in enumerate(surface.vertices / scale, start=1):
        write(f'          <P id="{number}">{_row(row, decimals)}</P>\n')
    write("        </Pnts>\n        <Faces>\n")
    for a, b, c in (surface.faces + 1).tolist():
        write(f"          <F>{a} {b} {c}</F>\n")
    write("        </Faces>\n      </Definition>\n")


def _write_lines(write: Write, lines: Iterable[SurveyLine], scale: float, decimals: int) -> None:
    """Write the other lines as plan features."""
    lines = list(lines)
    if not lines:
        return
    write("  <PlanFeatures>\n")
    for line in lines:
        first, last = (_row(line.vertices[at] / scale, decimals) for at in (0, -1))
        inner = _list(line.vertices, scale, decimals)
        write(
            f"    <PlanFeature name={attribute(line.name)}><CoordGeom><IrregularLine>"
            f"<Start>{first}</Start><End>{last}</End>{inner}"
            "</IrregularLine></CoordGeom></PlanFeature>\n"
        )
    write("  </PlanFeatures>\n")


def _write_rings(
    write: Write, kind: str, rings: tuple[NamedRing, ...], scale: float, decimals: int
) -> None:
    """Write closed lines side by side, as `kind` in the element that gathers such."""
    if not rings:
        return
    write(f"  <{kind}s>\n")
    for ring in rings:
        name, described = attribute(ring.name), attribute(ring.description)
        write(f"    <{kind} name={name} desc={described}>\n      <CoordGeom>\n")
        places = [" ".join(f"{v + 0.0:.{decimals}f}" for v in row) for row in ring.corners / scale]
        for side, start, end in zip(ring.sides, places, [*places[1:], places[0]], strict=True):
            named = f" name={attribute(side)}" if side else ""
            write(f"        <Line{named}><Start>{start}</Start><End>{end}</End></Line>\n")
        write(f"      </CoordGeom>\n    </{kind}>\n")
    write(f"  </{kind}s>\n")
