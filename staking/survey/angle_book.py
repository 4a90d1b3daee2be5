"""An angle and distance book: points by angle right, zenith angle and slope distance.

Points with northing and easting in the book are known; from a known set-up and backsight each
further line gives one point more, which may be a set-up in its turn.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import BinaryIO, NoReturn

from staking.errors import InputError, MeasureError, Problem
from staking.measure.lengths import parse_angle
from staking.notices import Length, Notice, Severity, notice
from staking.points import SurveyPoints, SurveySettings
from staking.survey.assemble import survey_points
from staking.survey.book_table import BookRow, BookTable, book_unit, read_book, read_length
from staking.units import Unit

_WORDS = {
    "set-up": ("setup", "station", "at", "occupied", "instrumentat", "setuppoint"),
    "backsight": ("backsight", "bs", "backsightpoint", "back"),
    "point": ("point", "to", "foresight", "fs", "target", "pt", "name"),
    "angle right": ("angleright", "angle", "right", "horizontalangle", "ar"),
    "zenith angle": ("zenithangle", "zenith", "za", "verticalangle"),
    "slope distance": ("slopedistance", "slope", "sd", "distance"),
    "instrument height": ("instrumentheight", "hi", "heightofinstrument"),
    "target height": ("targetheight", "ht", "heightoftarget", "rodheight", "hr"),
    "northing": ("northing", "north", "n"),
    "easting": ("easting", "east", "e"),
    "elevation": ("elevation", "elev", "z"),
    "description": ("description", "desc", "remarks", "remark", "note", "notes"),
}
_REQUIRED = ("set-up", "backsight", "point", "angle right", "zenith angle", "slope distance")

CURVATURE_MATTERS = 300.0
"""Beyond this slope distance, m, the earth's curve moves an elevation by over 6 mm."""

Place = tuple[float, float, float]


@dataclass(slots=True)
class _Reduced:
    # The points so far, in order; `known` holds the latest place of each name.
    names: list[str] = field(default_factory=list)
    places: list[Place] = field(default_factory=list)
    descriptions: list[str] = field(default_factory=list)
    lines: list[int] = field(default_factory=list)
    known: dict[str, Place] = field(default_factory=dict)
    farthest: float = 0.0

    def add(self, row: BookRow, place: Place) -> None:
        name = row.get("point")
        self.names.append(name)
        self.places.append(place)
        self.descriptions.append(row.get("description"))
        self.lines.append(row.line)
        # A point measured again is kept and reported, but what is given stays what counts.
        self.known.setdefault(name, place)


def parse_angle_book(stream: BinaryIO, name: str, settings: SurveySettings) -> SurveyPoints:
    """Reduce an angle and distance book to points.

    Azimuth = azimuth from set-up to backsight + angle right; horizontal distance = slope distance
    x sin(zenith angle); difference in elevation = slope distance x cos(zenith angle) + instrument
    height - target height, given only where the set-up's elevation and both heights are.

    Parameters
    ----------
    stream
        The bytes.
    name
        The file as the user named it.
    settings
        `unit` counts, over the heading's; `crs` is passed on.

    Returns
    -------
    SurveyPoints
        Known points and reduced ones in the order of the book.

    Raises
    ------
    InputError
        Where a set-up or backsight is not known when it is used, or a line is malformed.
    """
    table = read_book(stream, name, _WORDS, _REQUIRED)
    unit = book_unit(table, settings.unit)
    done = _Reduced()
    setup = backsight = ""
    for row in table.rows:
        if not row.get("point"):
            _refuse(table, row, "the line names no point")
        if row.get("northing") or row.get("easting"):
            done.add(row, _given(table, row, unit))
            continue
        if row.get("set-up"):
            setup, backsight = row.get("set-up"), row.get("backsight")
        elif row.get("backsight"):
            backsight = row.get("backsight")
        done.add(row, _observed(table, row, unit, done, setup, backsight))
    return survey_points(
        name=name,
        format="angle and distance book",
        names=done.names,
        northing=[place[0] for place in done.places],
        easting=[place[1] for place in done.places],
        elevation=[place[2] for place in done.places],
        descriptions=done.descriptions,
        source_line=done.lines,
        unit=unit.value,
        crs=settings.crs,
        notices=_notices(table, done),
        settings=settings,
    )


def _given(table: BookTable, row: BookRow, unit: Unit) -> Place:
    northing, easting, elevation = (
        read_length(table, row, role, unit) for role in ("northing", "easting", "elevation")
    )
    if northing is None or easting is None:
        _refuse(table, row, f"{row.get('point')} has only one of northing and easting")
    if row.get("angle right") or row.get("slope distance"):
        _refuse(table, row, f"{row.get('point')} has both coordinates and readings")
    return northing, easting, math.nan if elevation is None else elevation


def _observed(
    table: BookTable, row: BookRow, unit: Unit, done: _Reduced, setup: str, backsight: str
) -> Place:
    at = _known(table, row, done, setup, "set-up")
    back = _known(table, row, done, backsight, "backsight")
    if math.hypot(back[0] - at[0], back[1] - at[1]) < 1e-3:
        _refuse(table, row, f"set-up {setup} and backsight {backsight} are one place")
    right = _angle(table, row, "angle right")
    zenith = _angle(table, row, "zenith angle")
    if not 0.0 < zenith < math.pi:
        _refuse(
            table,
            row,
            f"the zenith angle {row.get('zenith angle')} is not between 0 and 180",
            "reduce readings of the second face first",
        )
    slope = read_length(table, row, "slope distance", unit)
    if slope is None or slope <= 0.0:
        _refuse(table, row, f"{row.get('point')} has no slope distance above zero")
    done.farthest = max(done.farthest, slope)
    azimuth = math.atan2(back[1] - at[1], back[0] - at[0]) + right
    level = slope * math.sin(zenith)
    heights = [
        read_length(table, row, role, unit) for role in ("instrument height", "target height")
    ]
    rise = math.nan
    if heights[0] is not None and heights[1] is not None:
        rise = slope * math.cos(zenith) + heights[0] - heights[1]
    return (
        at[0] + level * math.cos(azimuth),
        at[1] + level * math.sin(azimuth),
        at[2] + rise,
    )


def _known(table: BookTable, row: BookRow, done: _Reduced, name: str, what: str) -> Place:
    if not name:
        _refuse(table, row, f"no {what} is named for {row.get('point')}")
    if name not in done.known:
        _refuse(
            table,
            row,
            f"{what} {name} has no coordinates yet",
            "give its northing and easting in a line above",
        )
    return done.known[name]


def _angle(table: BookTable, row: BookRow, role: str) -> float:
    text = row.get(role)
    if not text:
        _refuse(table, row, f"{row.get('point')} has no {role}")
    try:
        return parse_angle(text)
    except MeasureError as fault:
        raise InputError(
            Problem(
                path=table.name,
                line=row.line,
                field=role,
                message=fault.message,
                remedy=fault.remedy,
            )
        ) from fault


def _notices(table: BookTable, done: _Reduced) -> list[Notice]:
    said = []
    if not {"instrument height", "target height"} <= table.roles:
        said.append(
            notice(
                "no-heights",
                "the book has no instrument and target heights, so measured points have no "
                "elevation",
                severity=Severity.NOTE,
            )
        )
    if done.farthest > CURVATURE_MATTERS:
        said.append(
            notice(
                "curvature",
                "a sight of {distance} is reduced without the earth's curve; its elevation may be "
                "out by that",
                distance=Length(done.farthest),
            )
        )
    return said


def _refuse(table: BookTable, row: BookRow, message: str, remedy: str = "") -> NoReturn:
    raise InputError(Problem(path=table.name, line=row.line, message=message, remedy=remedy))
