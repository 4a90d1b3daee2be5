from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np
import numpy.typing as npt
from hypothesis import given
from hypothesis import strategies as st

from staking.kinds import Hand
from staking.plan import Building, Corner, Footing, Plan, Wall
from staking.site.place_building import place
from staking.site.site_request import (
    Place,
    PlaceAlong,
    PlaceByBearing,
    PlaceByFit,
    PlaceByTape,
    TapedCorner,
)
from staking.site.site_results import Placement

Points = Mapping[str, tuple[float, float]]

NORTHING, EASTING = 5_000_000.0, 500_000.0
CORNERS = {"A": (0.0, 0.0), "B": (11.0, 0.5), "C": (10.0, 7.0), "D": (-1.0, 8.0)}
LOT = {
    "1": (NORTHING, EASTING),
    "2": (NORTHING + 21.0, EASTING + 3.0),
    "3": (NORTHING + 20.0, EASTING + 33.0),
    "4": (NORTHING - 2.0, EASTING + 30.0),
}


def house() -> Plan:
    footing = Footing(width=0.5, thickness=0.25, outside=0.15)
    names = list(CORNERS)
    return Plan(
        job="",
        buildings=(
            Building(
                name=None,
                corners=tuple(Corner(name=n, x=x, y=y) for n, (x, y) in CORNERS.items()),
                walls=tuple(
                    Wall(start=a, end=b, thickness=0.2, footing=footing)
                    for a, b in zip(names, names[1:] + names[:1], strict=True)
                ),
            ),
        ),
    )


turns = st.floats(-math.pi, math.pi)
far = st.floats(-500.0, 500.0)


@given(turn=turns, points=st.lists(st.tuples(far, far), min_size=1, max_size=20), x=far, y=far)
def test_a_placement_and_its_inverse_cancel_to_a_micrometre(
    turn: float, points: list[tuple[float, float]], x: float, y: float
) -> None:
    placement = Placement(turn=turn, x0=x, y0=y, easting0=EASTING, northing0=NORTHING)
    back = placement.to_building(placement.to_site(np.array(points)))
    assert np.abs(back - points).max() < 1e-6


@given(turn=turns, points=st.lists(st.tuples(far, far), min_size=2, max_size=20))
def test_a_placement_keeps_every_length(turn: float, points: list[tuple[float, float]]) -> None:
    placement = Placement(turn=turn, x0=3.0, y0=-2.0, easting0=EASTING, northing0=NORTHING)
    placed = placement.to_site(np.array(points))
    assert np.abs(between(placed, placed) - between(points, points)).max() < 1e-6


def between(first: object, second: object) -> npt.NDArray[np.float64]:
    # The distance from each of the first points to each of the second.
    a, b = np.asarray(first, dtype=float), np.asarray(second, dtype=float)
    result: npt.NDArray[np.float64] = np.hypot(*(a[:, None] - b[None]).transpose(2, 0, 1))
    return result


def turned(
    points: Points, turn: float, north: float, east: float
) -> dict[str, tuple[float, float]]:
    # The whole site turned clockwise about point 1 and shifted.
    c, s = math.cos(turn), math.sin(turn)
    return {
        name: (
            NORTHING + north + (n - NORTHING) * c - (e - EASTING) * s,
            EASTING + east + (n - NORTHING) * s + (e - EASTING) * c,
        )
        for name, (n, e) in points.items()
    }


def to_lot(asked: Place, points: Points) -> npt.NDArray[np.float64]:
    # What a tape would read from every corner to every point of the lot.
    corners = place(house(), asked, points).to_site(np.array(list(CORNERS.values())))
    return between(corners, list(points.values()))


STAKED_A = (5.0, 12.0)
"""North and east of pin 1, m, right of the line from pin 1 to pin 2."""
STAKED_B = (
    STAKED_A[0] + math.dist(CORNERS["A"], CORNERS["B"]) * math.cos(1.1),
    STAKED_A[1] + math.dist(CORNERS["A"], CORNERS["B"]) * math.sin(1.1),
)
by_tape = PlaceByTape(
    corners=(
        TapedCorner(
            corner="A",
            ties=(
                ("1", math.dist(STAKED_A, (0.0, 0.0))),
                ("2", math.dist(STAKED_A, (21.0, 3.0))),
            ),
        ),
        TapedCorner(
            corner="B",
            ties=(
                ("2", math.dist(STAKED_B, (21.0, 3.0))),
                ("1", math.dist(STAKED_B, (0.0, 0.0))),
            ),
        ),
    ),
    side=Hand.RIGHT,
)
by_points = st.one_of(
    st.builds(
        PlaceAlong, wall=st.just("B-C"), along=st.just(("2", "4")), from_first=far, offset=far
    ),
    st.just(PlaceByFit(pairs=(("A", "1"), ("C", "3"), ("D", "2"), ("B", "4")))),
    st.just(by_tape),
)


@given(asked=by_points, turn=turns, north=far, east=far)
def test_turning_and_shifting_the_whole_site_changes_nothing(
    asked: Place, turn: float, north: float, east: float
) -> None:
    moved = turned(LOT, turn, north, east)
    assert np.abs(to_lot(asked, moved) - to_lot(asked, LOT)).max() < 1e-6


@given(azimuth=st.floats(0, 2 * math.pi), turn=turns, north=far, east=far)
def test_a_bearing_turned_with_the_site_changes_nothing(
    azimuth: float, turn: float, north: float, east: float
) -> None:
    at = {"at": (NORTHING + 9.0, EASTING + 8.0)}
    (n, e), (n2, e2) = at["at"], turned(at, turn, north, east)["at"]
    here = PlaceByBearing(corner="B", wall="C-D", northing=n, easting=e, azimuth=azimuth)
    there = PlaceByBearing(corner="B", wall="C-D", northing=n2, easting=e2, azimuth=azimuth + turn)
    moved = turned(LOT, turn, north, east)
    assert np.abs(to_lot(there, moved) - to_lot(here, LOT)).max() < 1e-6


@given(turn=turns, north=far, east=far)
def test_a_fit_to_a_placed_building_finds_the_placement_again(
    turn: float, north: float, east: float
) -> None:
    true = Placement(turn=turn, x0=0, y0=0, easting0=EASTING + east, northing0=NORTHING + north)
    plan = np.array(list(CORNERS.values()))
    stakes = {name: (n, e) for name, (n, e) in zip("1234", true.to_site(plan), strict=True)}
    asked = PlaceByFit(pairs=(("A", "1"), ("B", "2"), ("C", "3"), ("D", "4")))
    found = place(house(), asked, stakes)
    assert np.abs(found.to_site(plan) - true.to_site(plan)).max() < 1e-6
    assert max(r.distance for r in found.residuals) < 1e-6
    assert abs(found.scale - 1) < 1e-9
