"""The points file: every stake, board end, nail and pad, for whoever sets out by coordinates.

Comma-delimited with a header that states the unit, UTF-8, one point a line. Text in it can
neither start a formula in a spreadsheet nor break a line.
"""

from __future__ import annotations

import csv
from dataclasses import replace
from typing import TYPE_CHECKING, TextIO

import numpy as np

from staking.laid_out.point_levels import point_levels
from staking.layout.named_points import NamedPoint, named_points
from staking.measure.lengths import Unit
from staking.measure.rounding import decimal_text
from staking.output.wording import safe
from staking.site.stake_names import points_in_files

if TYPE_CHECKING:
    from collections.abc import Sequence

    from staking.laid_out.layout_value import Layout
    from staking.points import Array, SurveyPoints

COLUMNS = ("point", "northing", "easting", "elevation", "description")
"""What a survey's columns mean where it does not say otherwise."""

_ON_BUILDING_GRID = ("point", "easting", "northing", "elevation", "description")
"""The columns of a building that is not placed: x before y."""

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


def stakes_with_levels(layout: Layout) -> tuple[tuple[NamedPoint, float], ...]:
    """List what is staked, each with its elevation.

    Parameters
    ----------
    layout
        The layout.

    Returns
    -------
    tuple
        Corners, pads, ends of interior lines and hubs, as `layout_points` names them, with the
        elevation that `staking.laid_out.point_levels.point_levels` gives, m.
    """
    points = layout_points(layout)
    levels = point_levels(layout, points).tolist()
    return tuple(
        (point, level)
        for point, level in zip(points, levels, strict=True)
        if not point.kind.is_on_board
    )


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
        building grid, y as northing and x as easting, in the job's unit. Elevations are those of
        `staking.laid_out.point_levels.point_levels`.
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
        elevation=point_levels(layout, points),
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
    to where the survey came from; else x and y stand on the building grid. Where any elevation is
    known there is a column for it; an elevation that is not known is left blank.
    """
    points = survey_of(layout)
    unit = Unit(points.unit)
    decimals = _DECIMALS[unit]
    known = bool(np.isfinite(points.elevation).any())
    headings = {each: f"{each}_{unit.value}" for each in ("northing", "easting", "elevation")}
    columns = _columns(points.columns, known)
    if not layout.placed:
        headings |= {"northing": f"y_{unit.value}", "easting": f"x_{unit.value}"}
        columns = [each for each in _ON_BUILDING_GRID if known or each != "elevation"]

    def lengths(metres: Array) -> list[str]:
        return ["" if each != each else fixed(each, decimals) for each in metres / unit.metres]

    cells = {
        "point": [cell_text(name) for name in points.names],
        "northing": lengths(points.northing),
        "easting": lengths(points.easting),
        "elevation": lengths(points.elevation),
        "description": [cell_text(each) for each in points.descriptions],
    }
    writer = csv.writer(stream)
    writer.writerow((*(headings.get(each, each) for each in columns), LAYOUT))
    marks = [mark] * points.count
    writer.writerows(zip(*(cells[each] for each in columns), marks, strict=True))


def _columns(surveyed: Sequence[str], has_levels: bool) -> list[str]:
    """Return the survey's columns and, after them, those that a stake is no use without."""
    columns = [each for each in surveyed if each in COLUMNS]
    for each in COLUMNS:
        if each not in columns and each != "elevation":
            columns.append(each)
    if has_levels and "elevation" not in columns:
        places = max(columns.index("northing"), columns.index("easting"))
        columns.insert(places + 1, "elevation")
    return columns


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
