"""The points file: every stake, board end, nail and pad, for whoever sets out by coordinates.

Comma-delimited with a header that states the unit, UTF-8, one point a line. Text in it can
neither start a formula in a spreadsheet nor break a line.
"""

from __future__ import annotations

import csv
from dataclasses import replace
from typing import TYPE_CHECKING, TextIO

import numpy as np

from staking.layout.named_points import NamedPoint, named_points
from staking.measure.lengths import Unit
from staking.measure.rounding import decimal_text
from staking.output.wording import safe
from staking.site.stake_names import points_in_files

if TYPE_CHECKING:
    from staking.laid_out.layout_value import Layout
    from staking.points import SurveyPoints

COLUMNS = ("point", "northing", "easting", "elevation", "description")
"""What a survey's columns mean where it does not say otherwise."""

LAYOUT = "layout"
"""The heading of the column that carries the layout's mark."""

_DECIMALS = {Unit.FT: 4, Unit.US_FT: 4, Unit.IN: 3, Unit.M: 4, Unit.MM: 1}
"""Decimals that hold a tenth of a millimetre in each unit."""


def layout_points(layout: Layout) -> tuple[NamedPoint, ...]:
    """List the points of a layout.

    Parameters
    ----------
    layout
        The layout.

    Returns
    -------
    tuple of NamedPoint
        Corners, pads, ends of interior lines, hubs, board ends, marks, under their names in files
        and on instruments; every name once.
    """
    points = named_points(layout.plan, layout.hubs, layout.boards)
    return points_in_files(points, None if layout.site is None else layout.site.asked)


def survey_of(layout: Layout) -> SurveyPoints:
    """Return the points of a layout as a survey, for the formats that surveyors read.

    Parameters
    ----------
    layout
        The layout.

    Returns
    -------
    SurveyPoints
        In the survey's unit and coordinates where the building is placed, with its coordinate
        system unless they were scaled to the ground; else on the
        building grid, y as northing and x as easting, in the job's unit.
    """
    from staking.points import SurveyPoints

    points = layout_points(layout)
    places = np.array([(each.y, each.x) for each in points], dtype=float)
    site = layout.site
    if site is not None and site.placement is not None:
        places = site.to_survey(places[:, ::-1])
    else:
        site = None
    return SurveyPoints(
        name=safe(layout.plan.job),
        format="layout",
        names=np.array([safe(each.name) for each in points], dtype=object),
        northing=places[:, 0],
        easting=places[:, 1],
        elevation=np.full(len(points), np.nan),
        descriptions=np.array([safe(each.description) for each in points], dtype=object),
        source_line=np.zeros(len(points), dtype=np.int64),
        unit=layout.options.unit if site is None else site.unit,
        columns=COLUMNS if site is None else site.columns or COLUMNS,
        crs=site.crs if site is not None and site.is_on_the_grid else None,
    )


def survey_on_the_earth(layout: Layout) -> SurveyPoints:
    """Return the points of a layout in its coordinate system, for formats of degrees.

    Parameters
    ----------
    layout
        The layout, placed on a lot of which `Site.is_on_the_earth` holds.

    Returns
    -------
    SurveyPoints
        As `survey_of`, with coordinates that were scaled to the ground taken back to the grid.
    """
    points, site = survey_of(layout), layout.site
    if site is None or site.scaled is None:
        return points
    places = site.scaled.to_grid(np.column_stack((points.northing, points.easting)))
    return replace(points, northing=places[:, 0].copy(), easting=places[:, 1].copy(), crs=site.crs)


def write_points_csv(layout: Layout, stream: TextIO, mark: str) -> None:
    """Write the points file.

    Parameters
    ----------
    layout
        The layout.
    stream
        A text stream opened with ``newline=""``.
    mark
        The layout's mark and its day: they stand in the last column of every point, so that they
        stay with it when rows are sorted, taken out or put into another file.

    Notes
    -----
    On a survey's grid the columns and the unit are the survey's own, so that the file goes back
    to where the survey came from; else x and y stand on the building grid.
    """
    if layout.placed:
        _write_placed(survey_of(layout), stream, mark)
        return
    unit = Unit(layout.options.unit)
    decimals = _DECIMALS[unit]
    writer = csv.writer(stream)
    writer.writerow(("point", f"x_{unit.value}", f"y_{unit.value}", "description", LAYOUT))
    for point in layout_points(layout):
        writer.writerow((
            cell_text(point.name),
            fixed(point.x / unit.metres, decimals),
            fixed(point.y / unit.metres, decimals),
            cell_text(point.description),
            mark,
        ))


def _write_placed(points: SurveyPoints, stream: TextIO, mark: str) -> None:
    unit = Unit(points.unit)
    decimals = _DECIMALS[unit]
    columns = [each for each in points.columns if each in COLUMNS]
    # Whatever the survey left out, a stake without its name or meaning helps nobody.
    columns += [each for each in COLUMNS if each not in columns and each != "elevation"]
    writer = csv.writer(stream)
    lengths = {"northing", "easting", "elevation"}
    headings = [f"{each}_{unit.value}" if each in lengths else each for each in columns]
    writer.writerow((*headings, LAYOUT))
    cells = {
        "point": [cell_text(name) for name in points.names],
        "northing": [fixed(each, decimals) for each in points.northing / unit.metres],
        "easting": [fixed(each, decimals) for each in points.easting / unit.metres],
        "elevation": [""] * points.count,
        "description": [cell_text(each) for each in points.descriptions],
    }
    marks = [mark] * points.count
    writer.writerows(zip(*(cells[each] for each in columns), marks, strict=True))


def fixed(value: float, decimals: int) -> str:
    """Write a coordinate with a fixed number of decimals and no negative nothing.

    Parameters
    ----------
    value
        The coordinate, in the file's unit.
    decimals
        How many decimals.

    Returns
    -------
    str
        ``-0.5000``; ``0.0000`` for what rounds to nothing from below.

    Examples
    --------
    >>> fixed(-0.00001, 4)
    '0.0000'
    """
    return decimal_text(value, decimals)


def cell_text(text: str) -> str:
    """Make text safe in a cell that a spreadsheet may open.

    Parameters
    ----------
    text
        A name or a description.

    Returns
    -------
    str
        One line; text that would start a formula has an apostrophe before it.

    Examples
    --------
    >>> cell_text("=1+1")
    "'=1+1"
    """
    line = safe(text).strip()
    return f"'{line}" if line.startswith(("=", "+", "-", "@")) else line
