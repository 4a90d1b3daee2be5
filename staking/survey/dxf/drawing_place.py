"""Where a drawing lies: its unit, and the grid its GEODATA puts it on."""

from __future__ import annotations

import math
import re
from typing import TYPE_CHECKING, Any

import numpy as np

from staking import crs as reference
from staking.errors import InputError, Problem
from staking.frozen import frozen
from staking.notices import Notice, Severity, notice
from staking.points import Array, SurveySettings
from staking.survey.dxf.drawing_dimensions import DimensionsSay, dimensions_say
from staking.survey.stated_system import overruled_system
from staking.survey.unit_words import IN_WORDS, unit_of_the_job
from staking.survey.xml_faults import shown
from staking.units import Unit

if TYPE_CHECKING:
    from ezdxf.document import Drawing

_UNITS = {1: Unit.IN, 2: Unit.FT, 4: Unit.MM, 6: Unit.M, 21: Unit.US_FT}
"""$INSUNITS by the open DXF reference."""
_LOCAL_GRID, _PROJECTED_GRID = 1, 2


@frozen
class Placed:
    """From the drawing's x, y, z to northing, easting, elevation, m.

    Parameters
    ----------
    metres
        Of one unit of the drawing on the ground.
    upward
        Of one unit of its heights.
    design, target
        x, y in the drawing, and the same point's northing, easting, m.
    turn
        From the grid's north to the drawing's y, anticlockwise, rad.
    crs
        The grid's code, or None.
    """

    metres: float
    upward: float
    design: tuple[float, float] = (0.0, 0.0)
    target: tuple[float, float] = (0.0, 0.0)
    turn: float = 0.0
    crs: str | None = None

    def apply(self, xyz: Array) -> Array:
        """Return ``(n, 3)`` northing, easting, elevation, m, of ``(n, 3)`` x, y, z."""
        x = (xyz[:, 0] - self.design[0]) * self.metres
        y = (xyz[:, 1] - self.design[1]) * self.metres
        cosine, sine = math.cos(self.turn), math.sin(self.turn)
        north = self.target[0] + x * sine + y * cosine
        east = self.target[1] + x * cosine - y * sine
        return np.column_stack((north, east, xyz[:, 2] * self.upward))


def _without_unit(code: int, dimensions: DimensionsSay | None, name: str) -> Problem:
    """Say that nobody says the unit of a drawing."""
    says = "does not say its unit"
    if code:
        says = f"is in a unit that nothing is surveyed in ($INSUNITS {code})"
    remedy = "give --unit ft, us-ft, in, m or mm"
    if dimensions is not None:
        says += f", and its dimensions are right in {IN_WORDS[dimensions.unit]}"
        remedy = f"give --unit {dimensions.unit.value} if they are (under site: units)"
    return Problem(path=name, message=f"the drawing {says}", remedy=remedy)


def _against_dimensions(own: Unit, code: int, dimensions: DimensionsSay, name: str) -> Problem:
    """Say that a drawing's header and its dimensions say different units."""
    return Problem(
        path=name,
        message=f"the drawing says it is in {IN_WORDS[own]} ($INSUNITS {code}), and "
        f"{dimensions.count} of its {dimensions.of} dimensions with units are right "
        f"only in {IN_WORDS[dimensions.unit]}: {shown(dimensions.text, 40)} stands where "
        f"it measures {dimensions.measured:.10g}",
        remedy=f"give --unit {dimensions.unit.value} or --unit {own.value} (under site: units)",
    )


def drawing_unit(doc: Drawing, name: str, settings: SurveySettings, said: list[Notice]) -> Unit:
    """Find the unit of a drawing: what the user says, else $INSUNITS, held to its dimensions.

    Parameters
    ----------
    doc, name
        The drawing and its file as the user named it.
    settings
        `unit` counts.
    said
        Where to say how the unit was found.

    Returns
    -------
    Unit
        The unit.

    Raises
    ------
    InputError
        Where nobody says, the drawing is in a unit that nothing is surveyed in, or its dimensions
        say another than its header.
    """
    code = int(doc.header.get("$INSUNITS", 0) or 0)
    own = _UNITS.get(code)
    dimensions = dimensions_say(doc)
    if settings.unit is not None:
        asked = Unit(settings.unit)
        if dimensions is not None and not _agree(dimensions.unit, asked):
            said.append(
                notice(
                    "unit-against-dimensions",
                    "the drawing is read in {asked} as asked, and {count} of its {of} dimensions "
                    "with a unit are right only in {unit}: {text} stands where it measures "
                    "{measured}",
                    asked=IN_WORDS[asked],
                    count=dimensions.count,
                    of=dimensions.of,
                    unit=IN_WORDS[dimensions.unit],
                    text=shown(dimensions.text, 40),
                    measured=f"{dimensions.measured:.10g}",
                )
            )
        if own is not None and own is not asked:
            said.append(
                notice(
                    "unit-overridden",
                    "the drawing says it is in {own} ($INSUNITS {code}), and is read in {asked} as "
                    "asked",
                    own=own.value,
                    code=code,
                    asked=asked.value,
                )
            )
        return asked
    if own is None and not code and dimensions is None and settings.job_unit is not None:
        said.append(unit_of_the_job(settings.job_unit))
        return Unit(settings.job_unit)
    if own is None:
        raise InputError(_without_unit(code, dimensions, name))
    if dimensions is not None and not _agree(dimensions.unit, own):
        raise InputError(_against_dimensions(own, code, dimensions, name))
    said.append(
        notice(
            "unit-found",
            "the unit is {unit}, as the drawing says ($INSUNITS {code})",
            severity=Severity.NOTE,
            unit=own.value,
            code=code,
        )
    )
    return own


def _agree(one: Unit, other: Unit) -> bool:
    """Tell whether two units are one, where no dimension tells the two feet apart."""
    feet = {Unit.FT, Unit.US_FT}
    return one is other or {one, other} <= feet


def placement(doc: Drawing, unit: Unit, settings: SurveySettings, said: list[Notice]) -> Placed:
    """Return how the drawing lies on its grid.

    Parameters
    ----------
    doc, unit
        The drawing and its unit.
    settings
        `crs` counts, over the one in GEODATA.
    said
        Where to say what was found.

    Returns
    -------
    Placed
        By the drawing's GEODATA; without one, x is easting and y northing.

    Raises
    ------
    InputError
        Where the coordinate system the user gave is none.
    """
    asked = reference.resolve(settings.crs).code if settings.crs else None
    bare = Placed(metres=unit.metres, upward=unit.metres, crs=asked)
    data = doc.modelspace().get_geodata()
    if data is None:
        _warn_of_foot(unit, asked, said)
        return bare
    if data.dxf.get("coordinate_type", 0) not in {_LOCAL_GRID, _PROJECTED_GRID}:
        said.append(
            notice(
                "geodata-unread",
                "the drawing's GEODATA gives no grid coordinates and is passed over: x is taken "
                "for easting and y for northing",
            )
        )
        return bare
    code, grid_metres = _grid(data, asked, said)
    return _placed(data, unit, settings, code, grid_metres, said)


def _placed(
    data: Any,
    unit: Unit,
    settings: SurveySettings,
    code: str | None,
    grid_metres: float,
    said: list[Notice],
) -> Placed:
    scale = float(data.dxf.get("horizontal_unit_scale", 0.0)) or unit.metres
    upward = float(data.dxf.get("vertical_unit_scale", 0.0)) or unit.metres
    if settings.unit is not None or not math.isclose(scale, unit.metres, rel_tol=1e-4):
        if not math.isclose(scale, unit.metres, rel_tol=1e-9):
            said.append(
                notice(
                    "scale-differs",
                    "GEODATA has {scale} m to a unit of the drawing, and {unit} is read",
                    scale=f"{scale:.9g}",
                    unit=unit.value,
                )
            )
        scale = upward = unit.metres
    elif abs(scale - unit.metres) < 1e-9 * unit.metres:
        # Written with few digits, a scale is no better than the unit it stands for.
        scale = unit.metres
    design, target = data.dxf.design_point, data.dxf.reference_point
    north = data.dxf.get("north_direction", (0.0, 1.0))
    said.append(
        notice(
            "geodata",
            "the drawing is placed by its GEODATA: {x}, {y} in it is easting {east}, northing "
            "{north} on the grid{crs}",
            severity=Severity.NOTE,
            x=f"{design[0]:.3f}",
            y=f"{design[1]:.3f}",
            east=f"{target[0]:.3f}",
            north=f"{target[1]:.3f}",
            crs=f", {code}" if code else "",
        )
    )
    return Placed(
        metres=scale,
        upward=upward,
        design=(float(design[0]), float(design[1])),
        target=(float(target[1]) * grid_metres, float(target[0]) * grid_metres),
        turn=math.pi / 2 - math.atan2(north[1], north[0]),
        crs=code,
    )


def _grid(data: Any, asked: str | None, said: list[Notice]) -> tuple[str | None, float]:
    """Return the code of GEODATA's grid and the metres of its unit."""
    text = str(data.coordinate_system_definition)
    found = re.search(r"<Alias\s+id=\"(\d{4,6})\"[^>]*>(?:(?!</Alias>).)*EPSG", text, re.DOTALL)
    own = f"EPSG:{found.group(1)}" if found else None
    said += overruled_system(own, asked)
    code = asked or own
    if code is not None:
        try:
            info = reference.resolve(code)
            if not info.is_geographic:
                return info.code, Unit(info.unit).metres
        except InputError as fault:
            if asked:
                raise
            said.append(
                notice(
                    "crs-not-known",
                    "the grid that GEODATA names is of no use here: {why}",
                    why=shown(fault.problems[0].message, 200),
                )
            )
            return None, 1.0
    said.append(
        notice("crs-not-named", "the drawing's GEODATA names no grid; it is taken to be in metres")
    )
    return None, 1.0


def _warn_of_foot(unit: Unit, code: str | None, said: list[Notice]) -> None:
    """Warn where a drawing's foot is not the foot of the grid it is said to be in."""
    feet = {Unit.FT, Unit.US_FT}
    if code is None or unit not in feet:
        return
    own = Unit(reference.resolve(code).unit)
    if own in feet and own is not unit:
        said.append(
            notice(
                "foot-differs",
                "the drawing is in {unit} and {crs} in {own}; drawings seldom tell the feet apart: "
                "give --unit {own} if it means that",
                unit=unit.value,
                crs=code,
                own=own.value,
            )
        )
