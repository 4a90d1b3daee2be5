"""The boundary's own bearings beside those given, and what stands too near."""

from __future__ import annotations

import math

import pytest

from staking.errors import InputError
from staking.footing.bands_and_outlines import Band, Outline
from staking.kinds import FootingKind, Hand
from staking.layout.layout_parts import Board, Hub
from staking.plan import Building, Corner, Footing, Plan, Wall
from staking.points import KnownPoint
from staking.site.building_on_lot import NamedLine, boundary_lines, stay_clear_shapes
from staking.site.built_on_lot import Built, clearances_on, digging_by_hand
from staking.site.names import names_asked
from staking.site.site_request import (
    BearingGiven,
    Buried,
    PlaceAlong,
    PlaceByFit,
    PlaceByTape,
    Setback,
    Shape,
    SiteAsked,
    TapedCorner,
)
from staking.site.site_results import Placement

FAR = (5_000_000.0, 500_000.0)
# The building's x runs north here: a quarter turn.
TURNED = Placement(turn=math.pi / 2, x0=0.0, y0=0.0, easting0=FAR[1], northing0=FAR[0])


def point(name: str, north: float, east: float) -> KnownPoint:
    return KnownPoint(name=name, northing=FAR[0] + north, easting=FAR[1] + east)


BOUNDARY = (
    point("1", -10, -30),
    point("2", -10, 20),
    point("3", 30, 20),
    point("4", 30, -30),
)


def built(stand_off: float = 2.0) -> Built:
    footing = Footing(width=0.5, thickness=0.25, outside=0.15)
    names = "ABCD"
    corners = ((0, 0), (12, 0), (12, 8), (0, 8))
    return Built(
        plan=Plan(
            job="x",
            buildings=(
                Building(
                    name=None,
                    corners=tuple(
                        Corner(name=n, x=x, y=y) for n, (x, y) in zip(names, corners, strict=True)
                    ),
                    walls=tuple(
                        Wall(start=a, end=b, thickness=0.2, footing=footing)
                        for a, b in zip(names, "BCDA", strict=True)
                    ),
                ),
            ),
        ),
        footing=Outline(
            outlines=(((-0.15, -0.15), (12.15, -0.15), (12.15, 8.15), (-0.15, 8.15)),),
            holes=(),
            area=0.0,
        ),
        dig_bands=(
            Band(
                name="A-B",
                kind=FootingKind.WALL,
                hull=((-0.15, -0.15), (12.15, -0.15), (12, 0.3), (0, 0.3)),
            ),
        ),
        boards=(
            Board(
                name="1",
                string="A-B",
                end="A",
                past="A",
                x=-stand_off,
                y=0.0,
                stand_off=stand_off,
                clear=1.0,
                ends=((-stand_off, -1.0), (-stand_off, 1.0)),
                marks=(),
            ),
        ),
        hubs=(Hub(corner="A", wall="A-B", x=-stand_off - 0.6, y=0.0),),
    )


def test_lines_run_from_point_to_point_with_length_and_azimuth():
    lines, told = boundary_lines(BOUNDARY, SiteAsked())
    assert [(each.start, each.end) for each in lines] == [
        ("1", "2"), ("2", "3"), ("3", "4"), ("4", "1"),
    ]  # fmt: skip
    assert [each.length for each in lines] == pytest.approx([50, 40, 50, 40], rel=0, abs=1e-8)
    assert [math.degrees(each.azimuth) for each in lines] == pytest.approx(
        [90, 0, 270, 180], rel=0, abs=1e-8
    )
    assert told == ()


def test_bearings_given_stand_beside_the_file_s_whichever_way_round_they_are_written():
    asked = SiteAsked(
        bearings=(
            BearingGiven(start="1", end="2", azimuth=math.radians(91.5)),
            BearingGiven(start="3", end="2", azimuth=math.radians(181.5)),
            BearingGiven(start="3", end="4", azimuth=math.radians(91.5)),
        )
    )
    lines, (told,) = boundary_lines(BOUNDARY, asked)
    given = [None if each.given is None else math.degrees(each.given) for each in lines]
    assert given[:3] == pytest.approx([91.5, 1.5, 271.5], rel=0, abs=1e-9)
    assert given[3] is None
    values = dict(told.values)
    assert (told.kind, values["side"]) == ("north", "clockwise")
    assert math.degrees(values["turn"].radians) == pytest.approx(1.5, rel=0, abs=1e-9)


def test_a_bearing_that_differs_otherwise_than_the_rest_is_told():
    asked = SiteAsked(
        bearings=tuple(
            BearingGiven(start=a, end=b, azimuth=math.radians(v))
            for a, b, v in (("1", "2", 90), ("2", "3", 0), ("3", "4", 272))
        )
    )
    _, (told,) = boundary_lines(BOUNDARY, asked)
    assert (told.kind, dict(told.values)["turns"]) == (
        "bearing",
        "1-2 by +0.000, 2-3 by +0.000, 3-4 by +2.000",
    )


def test_a_boundary_that_crosses_itself_or_repeats_a_point_is_refused():
    with pytest.raises(InputError, match="the boundary crosses itself: 1-3 and 2-4 meet"):
        boundary_lines([BOUNDARY[i] for i in (0, 2, 1, 3)], SiteAsked())
    with pytest.raises(InputError, match="2 and 5 of the boundary are in the same place"):
        boundary_lines([*BOUNDARY[:2], point("5", -10, 20.0005), *BOUNDARY[2:]], SiteAsked())


def test_clearances_are_worked_out_beside_the_building_wherever_the_grid_begins():
    asked = SiteAsked(
        setbacks=(Setback(start="2", end="1", distance=10.1),), other_setback=5.0, overhang=0.5
    )
    found, told = clearances_on(asked, BOUNDARY, TURNED, built())
    clear = {(each.line, each.what): each for each in found}
    # The building reaches from 0 to 12 north, and from 0 to 8 west.
    assert clear["1-2", "wall"].distance == pytest.approx(10, rel=0, abs=1e-8)
    assert clear["2-3", "wall"].distance == pytest.approx(20, rel=0, abs=1e-8)
    assert clear["3-4", "footing"].distance == pytest.approx(17.85, rel=0, abs=1e-8)
    assert clear["4-1", "eave"].distance == pytest.approx(21.5, rel=0, abs=1e-8)
    assert clear["1-2", "wall"].at[0] == pytest.approx(FAR[0], rel=0, abs=1e-8)
    assert [each.kind for each in told] == ["setback"] * 3


def test_boards_and_hubs_on_the_neighbour_s_side_are_told():
    _, told = clearances_on(SiteAsked(), BOUNDARY, TURNED, built(stand_off=9.7))
    (only,) = told
    values = dict(only.values)
    assert (only.kind, values["stakes"], values["line"]) == (
        "neighbour",
        "the hub of A on A-B",
        "1-2",
    )


def test_digging_by_hand_and_stakes_over_a_buried_line_are_told():
    line = NamedLine(
        name="gas line", points=(point("31", -2.1, -20), point("32", -2.1, 20)), hand_dig=0.5
    )
    found, told = digging_by_hand((line,), TURNED, built())
    assert found == ()
    (only,) = told
    assert only.kind == "stake-over-line"
    assert dict(only.values)["stakes"] == "board 1"
    across = NamedLine(
        name="gas line", points=(point("31", 3, -20), point("32", 3, 20)), hand_dig=0.5
    )
    (stretch,), (told_dig,) = digging_by_hand((across,), TURNED, built())
    assert (stretch.wall, stretch.start, stretch.end) == (
        "A-B",
        pytest.approx(2.5, rel=0, abs=1e-8),
        pytest.approx(3.5, rel=0, abs=1e-8),
    )
    assert told_dig.kind == "hand-dig"


def test_shapes_through_surveyed_points_come_onto_the_building_grid():
    house = NamedLine(name="house", points=BOUNDARY[:3])
    (shape,) = stay_clear_shapes((house,), TURNED)
    assert shape.corners[0] == pytest.approx((-10, 30), rel=0, abs=1e-8)
    assert shape.corners[2] == pytest.approx((30, -20), rel=0, abs=1e-8)


@pytest.mark.parametrize(
    ("place", "names"),
    [
        (PlaceAlong(wall="A-B", along=("7", "8"), from_first=0, offset=0), ["7", "8"]),
        (PlaceByFit(pairs=(("A", "7"), ("B", "8"))), ["7", "8"]),
        (
            PlaceByTape(
                corners=(
                    TapedCorner(corner="A", ties=(("7", 1.0), ("8", 1.0))),
                    TapedCorner(corner="B", ties=(("7", 1.0), ("9", 1.0))),
                ),
                side=Hand.LEFT,
            ),
            ["7", "8", "9"],
        ),
        (None, []),
    ],
)
def test_every_point_a_job_names_is_looked_for(place: object, names: list[str]):
    asked = SiteAsked(
        place=place,  # type: ignore[arg-type]
        boundary=("1", "2", "3"),
        stay_clear=(Shape(name="house", through=("2", "5")),),
        buried=(Buried(name="gas", through=("6", "1"), hand_dig=0.6),),
    )
    fields = names_asked(asked)
    assert list(fields) == [*names, "1", "2", "3", "5", "6"]
    assert fields["2"] == "site boundary"
    assert fields["6"] == "site buried gas"
