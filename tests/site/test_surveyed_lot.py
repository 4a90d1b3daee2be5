"""A lot made of its surveys, from values: placed and not, its marks, what is built on it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from staking.footing.bands_and_outlines import Outline
from staking.plan import Building, Corner, Footing, Options, Plan, Wall
from staking.points import KnownPoint, SurveyPoints
from staking.site.building_on_lot import BuildingOnLot
from staking.site.built_on_lot import on_the_lot
from staking.site.plane.ground_plane import AS_SURVEYED, GroundPlane
from staking.site.plane.lot_plane import LotGround
from staking.site.plane.plane_basis import HeightSource, PlaneBasis
from staking.site.site_request import Buried, PlaceByBearing, Setback, Shape, SiteAsked
from staking.site.surveyed_lot import LotSurveys, marks_named, surveyed_lot, surveys_on_lot

BASIS = PlaneBasis(northing=0.0, easting=0.0, height=None, source=HeightSource.UNKNOWN)
# Round a lot of 40 by 30 m, and a shape and a line on it: northing, easting.
PLACES = {
    "1": (0.0, 0.0), "2": (0.0, 40.0), "3": (30.0, 40.0), "4": (30.0, 0.0),
    "s1": (20.0, 30.0), "s2": (20.0, 34.0), "s3": (24.0, 32.0),
    "g1": (2.0, 2.0), "g2": (2.0, 38.0),
}  # fmt: skip
ASKED = SiteAsked(
    place=PlaceByBearing(corner="A", wall="A-B", northing=5.0, easting=10.0, azimuth=np.pi / 2),
    boundary=("1", "2", "3", "4"),
    setbacks=(Setback(start="1", end="2", distance=6.0),),
    stay_clear=(Shape(name="shed", through=("s1", "s2", "s3")),),
    buried=(Buried(name="gas", through=("g1", "g2"), hand_dig=0.6),),
)


def plan() -> Plan:
    places = {"A": (0.0, 0.0), "B": (8.0, 0.0), "C": (8.0, 6.0), "D": (0.0, 6.0)}
    footing = Footing(width=0.5, thickness=0.25, outside=0.15)
    return Plan(
        job="Medlar shed",
        buildings=(
            Building(
                name=None,
                corners=tuple(Corner(name=n, x=x, y=y) for n, (x, y) in places.items()),
                walls=tuple(
                    Wall(start=a, end=b, thickness=0.2, footing=footing)
                    for a, b in zip("ABCD", "BCDA", strict=True)
                ),
            ),
        ),
    )


def surveys(ground: LotGround | None = None) -> LotSurveys:
    table = np.array(list(PLACES.values()))
    read = SurveyPoints(
        name="lot.csv",
        format="delimited text",
        names=np.array(list(PLACES), dtype=object),
        northing=table[:, 0],
        easting=table[:, 1],
        elevation=np.full(len(table), np.nan),
        descriptions=np.array([""] * len(table), dtype=object),
        source_line=np.zeros(len(table), dtype=np.int64),
        unit="m",
    )
    given = {
        name: KnownPoint(name=name, northing=north, easting=east)
        for name, (north, east) in PLACES.items()
    }
    made = LotGround(plane=AS_SURVEYED, basis=BASIS) if ground is None else ground
    return surveys_on_lot([read], given, None, made)


def lot(asked: SiteAsked = ASKED) -> tuple[BuildingOnLot, Plan]:
    return surveyed_lot(asked, plan(), Options(unit="m"), surveys(), ())


def test_points_and_files_come_onto_the_plane() -> None:
    # 1 m on the ground is 0.5 on this grid, about its origin
    plane = GroundPlane(factor=0.5, northing0=0.0, easting0=0.0)
    moved = surveys(LotGround(plane=plane, basis=BASIS))
    assert (moved.points["3"].northing, moved.points["3"].easting) == (60.0, 80.0)
    assert moved.files[0].northing[2] == 60.0
    assert moved.read[0].northing[2] == 30.0


def test_points_of_a_buried_line_are_no_marks_to_tape_from() -> None:
    assert marks_named(ASKED, tuple(PLACES)) == ("1", "2", "3", "4", "s1", "s2", "s3")
    assert marks_named(ASKED, tuple(PLACES), ["g1"])[-1] == "g1"


def test_a_placed_building_stands_where_the_job_says_and_keeps_off_the_shapes() -> None:
    site, kept_off = lot()
    assert site.placement is not None
    north, east = site.placement.to_site(np.array([[8.0, 6.0]]))[0].tolist()
    # x runs east from A at northing 5, easting 10
    assert (north, east) == pytest.approx((11.0, 18.0), rel=0, abs=1e-9)
    (shape,) = kept_off.stay_clear
    assert shape.name == "shed"
    assert shape.corners[0] == pytest.approx((20.0, 15.0), rel=0, abs=1e-9)
    assert [each.length for each in site.lines] == [40.0, 30.0, 40.0, 30.0]
    assert [each.hand_dig for each in site.buried] == [0.6]


def test_without_a_place_it_is_said_that_nothing_is_known_of_clearances() -> None:
    site, same = lot(replace(ASKED, place=None))
    assert site.placement is None
    assert same.stay_clear == ()
    assert site.notices[-1].kind == "not-placed"


def test_the_finished_layout_is_held_against_boundary_and_buried_lines() -> None:
    site, placed = lot()
    ring = ((-0.15, -0.15), (8.15, -0.15), (8.15, 6.15), (-0.15, 6.15))
    footing = Outline(outlines=(ring,), holes=(), area=8.3 * 6.3)
    done = on_the_lot(site, placed, footing, (), (), ())
    found = {(each.line, each.what): each.distance for each in done.clearances}
    # the wall stands 5 m north of 1-2, its footing's edge 0.15 m nearer; 6 m are asked
    near = min(far for (line, _), far in found.items() if line == "1-2")
    assert near == pytest.approx(4.85, rel=0, abs=1e-9)
    assert any(each.severity == "broken" for each in done.notices)
    unplaced = replace(site, placement=None)
    assert on_the_lot(unplaced, placed, footing, (), (), ()) is unplaced
