"""A barn of 12 by 9 m laid out from values, and surveys of it; m throughout."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise

import numpy as np

from staking.laid_out.layout_value import Layout
from staking.laid_out.whole_layout import footing_strips, lay_out_whole
from staking.plan import Building, Corner, Footing, Options, Pad, Plan, Wall
from staking.points import KnownPoint, SurveyPoints
from staking.site.building_on_lot import BuildingOnLot
from staking.site.site_request import SiteAsked
from staking.site.site_results import Placement

CORNERS = {"A": (0.0, 0.0), "B": (12.0, 0.0), "C": (12.0, 9.0), "D": (0.0, 9.0)}
NORTH, EAST = 4_000_000.0, 500_000.0


def plan() -> Plan:
    footing = Footing(width=0.5, thickness=0.25, outside=0.15)
    return Plan(
        job="Quince barn",
        buildings=(
            Building(
                name=None,
                corners=tuple(Corner(name=n, x=x, y=y) for n, (x, y) in CORNERS.items()),
                walls=tuple(
                    Wall(start=a, end=b, thickness=0.2, footing=footing)
                    for a, b in pairwise("ABCDA")
                ),
            ),
        ),
        pads=(Pad(name="P", x=6.0, y=4.5, size=(0.6, 0.6), diameter=None, thickness=0.3),),
    )


def placed() -> BuildingOnLot:
    """The lot with the building's x running east from A, and one known point, 101."""
    known = KnownPoint(name="101", northing=NORTH - 10.0, easting=EAST)
    return BuildingOnLot(
        asked=SiteAsked(),
        surveys=("lot.csv",),
        files=(survey([("101", NORTH - 10.0, EAST)], name="lot.csv"),),
        unit="m",
        placement=Placement(turn=0.0, x0=0.0, y0=0.0, easting0=EAST, northing0=NORTH),
        control=(known,),
    )


def layout(site: BuildingOnLot | None = None) -> Layout:
    options = Options(unit="m")
    return lay_out_whole(plan(), options, footing_strips(plan()), None, site)


def survey(
    rows: Iterable[tuple[object, ...]], *, name: str = "shot.csv", kind: str = "delimited text"
) -> SurveyPoints:
    """Make a survey of name, northing, easting and, where they are given, words and elevation."""
    table = [(*row, *("", np.nan)[len(row) - 3 :]) for row in rows]
    return SurveyPoints(
        name=name,
        format=kind,
        names=np.array([row[0] for row in table], dtype=object),
        northing=np.array([row[1] for row in table], dtype=float),
        easting=np.array([row[2] for row in table], dtype=float),
        elevation=np.array([row[4] for row in table], dtype=float),
        descriptions=np.array([row[3] for row in table], dtype=object),
        source_line=np.arange(2, 2 + len(table)),
        unit="m",
    )


def on_the_ground(
    places: dict[str, tuple[float, float]], north: float = 0.0, east: float = 0.0
) -> list[tuple[object, ...]]:
    """Give rows of places on the building grid as they stand on the lot, shifted."""
    return [(name, NORTH + y + north, EAST + x + east) for name, (x, y) in places.items()]
