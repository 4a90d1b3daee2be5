"""What a survey file holds, in tables."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from staking.ground_scan import GroundScan
from staking.kinds import ScanKind
from staking.output.blocks import Block, Column, Table
from staking.output.points.stake_points import fixed
from staking.output.points.survey_csv import DECIMALS
from staking.output.tables.notice_listings import notice_blocks
from staking.output.wording import Words, safe
from staking.plan import Options, Show
from staking.points import Surface, SurveyPoints, SurveySettings
from staking.survey.convert import extent_rows, repeated
from staking.units import Unit

FIRST = 5
"""How many points are shown as they were read."""

_SHOW = {
    Unit.FT: Show.DECIMAL_FEET,
    Unit.US_FT: Show.DECIMAL_FEET,
    Unit.IN: Show.FEET_INCHES,
    Unit.M: Show.METRES,
    Unit.MM: Show.MILLIMETRES,
}
_IN_WORDS = {
    Unit.FT: "ft, feet of 0.3048 m",
    Unit.US_FT: "us-ft, U.S. survey feet of 1200/3937 m",
    Unit.IN: "in, inches of 25.4 mm",
    Unit.M: "m, metres",
    Unit.MM: "mm, millimetres",
}


def survey_words(unit: str) -> Words:
    """Return the words in which the lengths of a survey are told.

    Parameters
    ----------
    unit
        The survey's unit by its name in the job file.

    Returns
    -------
    Words
        Decimal feet, feet and inches, metres or millimetres.
    """
    return Words(Options(unit=unit, show=_SHOW[Unit(unit)]))


def survey_blocks(points: SurveyPoints, asked: SurveySettings | None = None) -> tuple[Block, ...]:
    """Set out what a survey file holds.

    Parameters
    ----------
    points
        The survey.
    asked
        What the user said of it, which is then not what the file says.

    Returns
    -------
    tuple of Block
        What it is, its extents, its first points. What was assumed is in `survey_notices`.
    """
    said = asked or SurveySettings()
    if points.scan is not None:
        return (_about_scan(points, points.scan, said), _extents(points))
    return (_about(points, said), _extents(points), *_first_points(points))


def survey_notices(points: SurveyPoints) -> tuple[Block, ...]:
    """Set out what was assumed, repaired or left out, and what wants a look.

    Parameters
    ----------
    points
        The survey.

    Returns
    -------
    tuple of Block
        The gravest first.
    """
    return notice_blocks(points.notices, survey_words(points.unit))


def _about(points: SurveyPoints, asked: SurveySettings) -> Table:
    rows = [("format", points.format)]
    if points.columns:
        rows.append(("columns", ", ".join(points.columns) + _told(asked.columns)))
    rows += [
        ("unit", _IN_WORDS[Unit(points.unit)] + _told(asked.unit == points.unit)),
        ("coordinate system", (points.crs or "not said") + _told(asked.crs)),
        ("points", f"{points.count:,}"),
    ]
    missing = int(np.isnan(points.elevation).sum())
    if points.count:
        rows.append(("without elevation", f"{missing:,}"))
        twice = repeated(points)
        rows.append(("names that repeat", f"{len(twice):,}"))
    if points.lines:
        rows.append(("lines", f"{len(points.lines):,}"))
    for surface in points.surfaces:
        hidden = f", {surface.hidden:,} hidden" if surface.hidden else ""
        rows.append((
            f"surface {safe(surface.name)}".strip(),
            f"{len(surface.vertices):,} points, {len(surface.faces):,} faces{hidden}"
            + _heights(surface, Unit(points.unit)),
        ))
    return Table(
        title=safe(points.name),
        columns=(Column(heading="what"), Column(heading="found")),
        rows=tuple(rows),
    )


def _about_scan(points: SurveyPoints, scan: GroundScan, asked: SurveySettings) -> Table:
    heights = Unit(scan.heights_unit)
    rows = [
        ("format", points.format),
        ("unit", _IN_WORDS[Unit(points.unit)] + _told(asked.unit == points.unit)),
        ("unit of heights", _IN_WORDS[heights] + _told(asked.heights == heights.value)),
        ("coordinate system", (points.crs or "not said") + _told(asked.crs)),
    ]
    if scan.kind is ScanKind.GRID and scan.cell is not None:
        cell = fixed(scan.cell / Unit(points.unit).metres, 3)
        rows += [("side of a cell", f"{cell} {points.unit}"), ("heights", f"{scan.count:,}")]
    else:
        rows.append(("points", f"{scan.count:,}"))
    rows += [(f"class {each.code}, {each.name}", f"{each.count:,}") for each in scan.classes]
    if scan.withheld:
        rows.append(("not to be used", f"{scan.withheld:,}"))
    return Table(
        title=safe(points.name),
        columns=(Column(heading="what"), Column(heading="found")),
        rows=tuple(rows),
    )


def _heights(surface: Surface, unit: Unit) -> str:
    if len(surface.vertices) == 0:
        return ""
    levels = surface.vertices[:, 2] / unit.metres
    return f", {fixed(float(levels.min()), 2)} to {fixed(float(levels.max()), 2)} {unit.value}"


def _told(asked: object) -> str:
    return " (as you gave it)" if asked else ""


def _extents(points: SurveyPoints) -> Table:
    unit = Unit(points.unit)
    rows = extent_rows(points) / unit.metres
    shown = []
    for at, what in enumerate(("northing", "easting", "elevation")):
        known = rows[:, at][~np.isnan(rows[:, at])]
        if len(known):
            low, high = float(known.min()), float(known.max())
            shown.append((what, *(_number(each, unit) for each in (low, high, high - low))))
    return Table(
        title=f"Extents, {unit.value}",
        columns=(
            Column(heading=""),
            *(Column(heading=word, right=True) for word in ("least", "greatest", "across")),
        ),
        rows=tuple(shown),
    )


def _first_points(points: SurveyPoints) -> Sequence[Table]:
    if points.count == 0:
        return ()
    unit = Unit(points.unit)
    rows = []
    for at in range(min(FIRST, points.count)):
        numbers = (points.northing[at], points.easting[at], points.elevation[at])
        rows.append((
            safe(str(points.names[at])),
            *(_number(float(each) / unit.metres, unit) for each in numbers),
            safe(str(points.descriptions[at])),
        ))
    more = points.count - len(rows)
    return (
        Table(
            title="First points as read",
            columns=(
                Column(heading="point"),
                *(Column(heading=word, right=True) for word in ("northing", "easting", "elev.")),
                Column(heading="description"),
            ),
            rows=tuple(rows),
            note=f"and {more:,} more" if more else "",
        ),
    )


def _number(value: float, unit: Unit) -> str:
    return "none" if math.isnan(value) else fixed(value, min(DECIMALS[unit], 4))
