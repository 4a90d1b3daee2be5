"""What the document of a layout says of its lot: coordinates in the survey's unit."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import numpy as np

from staking.output.documents.deed_document import curve_record, degrees
from staking.output.wording import safe
from staking.site.building_on_lot import coordinates
from staking.site.plane.ground_plane import AS_SURVEYED
from staking.units import Unit

if TYPE_CHECKING:
    from staking.laid_out.layout_value import Layout
    from staking.lines import Array
    from staking.plan import Point
    from staking.site.building_on_lot import BuildingOnLot

Record = dict[str, Any]


class SiteGrid:
    """Coordinates and bearings on the survey's grid, or nothing where there is no placement.

    Parameters
    ----------
    site
        The lot, or None.
    """

    def __init__(self, site: BuildingOnLot | None) -> None:
        self._site = site
        self._placement = None if site is None else site.placement
        self._metres = 1.0 if site is None else Unit(site.unit).metres

    def place(self, point: Point) -> Record:
        """Give a point's coordinates.

        Parameters
        ----------
        point
            x and y on the building grid, m.

        Returns
        -------
        dict
            ``northing`` and ``easting`` in the survey's unit, or both None.
        """
        if self._site is None or self._placement is None:
            return {"northing": None, "easting": None}
        return self.surveyed(self._placement.to_site(np.array([point])))

    def surveyed(self, place: Array) -> Record:
        """Give the coordinates of one place of the lot's plane.

        Parameters
        ----------
        place
            North and east on the plane, m, shape ``(2,)`` or ``(1, 2)``.

        Returns
        -------
        dict
            ``northing`` and ``easting`` in the survey's unit.
        """
        plane = AS_SURVEYED if self._site is None else self._site.plane
        northing, easting = plane.back(place)[0].tolist()
        # Scaled there and back, millions of metres have eight decimals that mean something.
        digits = 10 if plane.is_the_survey else 8
        return {
            "northing": round(northing / self._metres, digits) + 0.0,
            "easting": round(easting / self._metres, digits) + 0.0,
        }

    def length(self, metres: float) -> float:
        """Turn a length or an elevation from metres into the survey's unit."""
        return round(float(metres) / self._metres, 10) + 0.0

    def bearing(self, start: Point, end: Point) -> float | None:
        """Give the azimuth from one point to another.

        Parameters
        ----------
        start, end
            x and y on the building grid, m.

        Returns
        -------
        float or None
            Degrees clockwise from the north of the survey's grid, 0 up to 360; None without a
            placement.
        """
        if self._placement is None:
            return None
        own = math.atan2(end[1] - start[1], end[0] - start[0])
        return degrees(math.pi / 2 - own - self._placement.turn)


def clearance_records(layout: Layout, length: Callable[[float], float]) -> list[Record]:
    """Give the clearances.

    Parameters
    ----------
    layout
        The layout.
    length
        Metres to the job's unit.

    Returns
    -------
    list of dict
        Line by line, eave, wall and footing in turn.
    """
    if layout.site is None:
        return []
    grid = SiteGrid(layout.site)
    return [
        {
            "line": safe(each.line),
            "what": each.what,
            "distance": length(each.distance),
            "setback": None if each.setback is None else length(each.setback),
            "ok": each.ok,
            "doubt": length(each.doubt),
            **grid.surveyed(np.array(each.at)),
        }
        for each in layout.site.clearances
    ]


def kept_off_records(layout: Layout, length: Callable[[float], float]) -> list[Record]:
    """Give how far the building keeps off wells, tanks, fields and easements.

    Parameters
    ----------
    layout
        The layout.
    length
        Metres to the job's unit.

    Returns
    -------
    list of dict
        In the order of the job.
    """
    if layout.site is None:
        return []
    grid = SiteGrid(layout.site)
    return [
        {
            "name": safe(each.name),
            "what": each.what,
            "distance": length(each.distance),
            "least": length(each.least),
            "ok": each.ok,
            "doubt": length(each.doubt),
            **grid.surveyed(np.array(each.at)),
        }
        for each in layout.site.kept_off
    ]


def boundary_records(layout: Layout, length: Callable[[float], float]) -> list[Record]:
    """Give the lines round the lot: measured on the ground, beside what a plat or deed says.

    Parameters
    ----------
    layout
        The layout.
    length
        Metres to the job's unit.

    Returns
    -------
    list of dict
        Line by line; bearings in degrees clockwise from the north of the survey's grid, those on
        record from the record's own north.
    """
    if layout.site is None:
        return []
    return [
        {
            "line": safe(f"{each.start}-{each.end}"),
            "length": length(each.length),
            "bearing": degrees(each.azimuth),
            "record": None
            if each.given is None
            else {
                "length": None if each.given_length is None else length(each.given_length),
                "bearing": degrees(each.given),
            },
            "curve": curve_record(each.curve, length),
            "doubt": length(each.doubt),
        }
        for each in layout.site.lines
    ]


def hand_dig_records(layout: Layout, length: Callable[[float], float]) -> list[Record]:
    """Give the stretches that are dug by hand.

    Parameters
    ----------
    layout
        The layout.
    length
        Metres to the job's unit.

    Returns
    -------
    list of dict
        Line by line, wall by wall; stations from the wall's first corner.
    """
    if layout.site is None:
        return []
    return [
        {
            "name": safe(each.name),
            "wall": each.wall,
            "from": length(each.start),
            "to": length(each.end),
        }
        for each in layout.site.hand_dig
    ]


def site_record(site: BuildingOnLot) -> Record:
    """Give the lot itself: placement, boundary, grid figures.

    Parameters
    ----------
    site
        The lot.

    Returns
    -------
    dict
        Lengths in the survey's unit, angles in degrees.
    """
    grid = SiteGrid(site)
    figures = site.grid
    return {
        "surveys": [safe(name) for name in site.surveys],
        "crs": site.crs,
        "placement": None if site.placement is None else _placement(site, grid),
        "boundary": [
            {
                "from": safe(each.start),
                "to": safe(each.end),
                "length": grid.length(each.length),
                "bearing": degrees(each.azimuth),
                "given": None if each.given is None else degrees(each.given),
            }
            for each in site.lines
        ],
        "control": [
            {
                "name": safe(each.name),
                **grid.surveyed(coordinates([each])),
                "elevation": None if math.isnan(each.elevation) else grid.length(each.elevation),
            }
            for each in site.control
        ],
        "grid": None
        if figures is None
        else {
            "scale": figures.scale,
            "sea_level_factor": figures.sea_level_factor,
            "combined": figures.combined,
            "convergence": round(math.degrees(figures.convergence), 10),
            "height": None if figures.elevation is None else grid.length(figures.elevation),
        },
    }


def _placement(site: BuildingOnLot, grid: SiteGrid) -> Record | None:
    placed = site.placement
    if placed is None:
        return None
    return {
        # Anticlockwise, from the survey's easting to the building grid's x.
        "turn": round(math.degrees(placed.turn), 10) + 0.0,
        "scale_of_fit": placed.scale,
        "residuals": [
            {
                "corner": each.corner,
                "point": safe(each.point),
                "northing": grid.length(each.northing),
                "easting": grid.length(each.easting),
            }
            for each in placed.residuals
        ],
    }
