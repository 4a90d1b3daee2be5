"""Says in a drawing which coordinate system its model space is in (GEODATA of the open DXF)."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING

from staking.units import Unit

if TYPE_CHECKING:
    from ezdxf.layouts.layout import Modelspace

    from staking.plan import Point

INSUNITS = {Unit.IN: 1, Unit.FT: 2, Unit.MM: 4, Unit.M: 6, Unit.US_FT: 21}
"""$INSUNITS by the open DXF reference: 21 is the U.S. survey foot."""

_DEFINITION = """<?xml version="1.0" encoding="UTF-16" standalone="no" ?>
<Dictionary version="1.0" xmlns="http://www.osgeo.org/mapguide/coordinatesystem">
<ProjectedCoordinateSystem id="{code}">
<Name>{name}</Name>
<Axis uom="{uom}">
<CoordinateSystemAxis>
<AxisOrder>1</AxisOrder>
<AxisName>Easting</AxisName>
<AxisAbbreviation>E</AxisAbbreviation>
<AxisDirection>East</AxisDirection>
</CoordinateSystemAxis>
<CoordinateSystemAxis>
<AxisOrder>2</AxisOrder>
<AxisName>Northing</AxisName>
<AxisAbbreviation>N</AxisAbbreviation>
<AxisDirection>North</AxisDirection>
</CoordinateSystemAxis>
</Axis>
</ProjectedCoordinateSystem>
<Alias id="{number}" type="CoordinateSystem">
<ObjectId>{code}</ObjectId>
<Namespace>EPSG Code</Namespace>
</Alias>
</Dictionary>
"""
"""The system by its register code; readers look the rest up."""
_UOM = {"m": "METER", "ft": "FOOT", "us-ft": "FOOT_US"}


def add_geodata(space: Modelspace, crs: str, unit: Unit, place: Point) -> None:
    """Say which grid the drawing is in: at `place`, design and grid point are one.

    Parameters
    ----------
    space
        Model space, x easting and y northing.
    crs
        ``EPSG:5646`` or the like.
    unit
        The drawing's unit.
    place
        Easting and northing of a point in the drawing, m.
    """
    from staking.crs_register import resolve

    info = resolve(crs)
    grid_metres = Unit(info.unit).metres
    east, north = place
    geodata = space.new_geodata()
    # A local grid whose north is the drawing's: the kind that says where its point is in the
    # system's own unit, so that a drawing in feet can lie in a system in metres.
    geodata.dxf.update({
        "coordinate_type": 1,
        "design_point": (east / unit.metres, north / unit.metres, 0),
        "reference_point": (east / grid_metres, north / grid_metres, 0),
        "horizontal_units": INSUNITS[unit],
        "vertical_units": INSUNITS[unit],
        "horizontal_unit_scale": unit.metres,
        "vertical_unit_scale": unit.metres,
        "north_direction": (0, 1),
        "up_direction": (0, 0, 1),
        "scale_estimation_method": 1,
        "sea_level_correction": 0,
    })
    geodata.coordinate_system_definition = _DEFINITION.format(
        code=escape(info.code),
        name=escape(info.name),
        uom=_UOM[info.unit],
        number=info.code.rpartition(":")[2],
    )
