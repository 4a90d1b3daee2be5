"""A boundary made of its deed: from paper, on pins, with curves."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely

from staking.deed import CurvesTo
from staking.errors import InputError
from staking.points import KnownPoint
from staking.site.deed.arcs import FLAT, arc_between
from staking.site.deed.deed_lot import DeedLot, boundary_ring, lot_of_deed
from staking.site.deed.deed_notices import deed_notices
from staking.site.site_request import DeedAsked
from staking.units import FOOT
from tests.site.deed.lots_by_words import T19, deed_of, feet


def pins_at(*places: tuple[float, float]) -> dict[str, KnownPoint]:
    """Points 101, 102 … at northings and eastings in feet."""
    return {
        str(101 + i): KnownPoint(name=str(101 + i), northing=n * FOOT, easting=e * FOOT)
        for i, (n, e) in enumerate(places)
    }


def kinds(lot: DeedLot) -> list[str]:
    return [each.kind for each in deed_notices(lot)]


def test_from_paper_the_first_corner_is_nothing_and_the_last_course_is_drawn_to_it() -> None:
    lot = lot_of_deed(DeedAsked(deed=deed_of(*T19)), {})
    assert (lot.boundary[0].northing, lot.boundary[0].easting) == (0.0, 0.0)
    assert lot.from_paper
    last = lot.lines[-1]
    assert (last.start, last.end) == ("4", "1")
    # Its record is the course as written, its own length the one to the first corner.
    assert feet(last.given_length or 0) == pytest.approx(95.0)
    away = math.hypot(lot.boundary[3].northing, lot.boundary[3].easting)
    assert last.length == pytest.approx(away, rel=1e-12)
    assert "deed-paper" in kinds(lot)


def test_from_paper_every_line_may_be_a_foot_off_or_the_misclosure() -> None:
    lot = lot_of_deed(DeedAsked(deed=deed_of(*T19)), {})
    assert [line.doubt for line in lot.lines] == pytest.approx([FOOT] * 4)
    # A misclosure of 2.4 ft, one in 180.
    worse = deed_of("N 88 30 15 E 122.40'", *T19[1:])
    lot = lot_of_deed(DeedAsked(deed=worse), {})
    assert feet(lot.lines[0].doubt) == pytest.approx(lot.walked.misclosure / FOOT)
    assert lot.lines[0].doubt > 2 * FOOT


def test_lines_run_from_pin_to_pin_and_are_never_stretched() -> None:
    # A lot of 150 by 100 whose pins are found 100 parts in a million farther apart: a turn of 3
    # minutes, the centre shifted by 2 and -1.5; every residual is 0.009014 outward (exact).
    record = deed_of("E 150'", "N 100'", "W 150'", "S 100'")
    pins = pins_at(
        (-1.570437, 2.036166), (-1.439525, 152.051109), (98.570437, 151.963834),
        (98.439525, 1.948891),
    )  # fmt: skip
    asked = DeedAsked(deed=record, pins=(("1", "101"), ("2", "102"), ("3", "103"), ("4", "104")))
    lot = lot_of_deed(asked, pins)
    fit = lot.fit
    assert fit is not None
    assert [feet(each.distance) for each in fit.pins] == pytest.approx([0.009014] * 4, abs=1e-6)
    # Anticlockwise by 3 minutes: the bearings turn the other way.
    assert fit.turn == pytest.approx(-math.radians(3 / 60), abs=1e-8)
    for corner, point in zip(lot.boundary, pins.values(), strict=True):
        assert (corner.northing, corner.easting) == (point.northing, point.easting)
    assert [line.doubt for line in lot.lines] == [0.0] * 4
    assert feet(lot.lines[0].length) == pytest.approx(150.015, abs=1e-4)


def test_a_corner_that_was_not_found_is_drawn_and_said() -> None:
    asked = DeedAsked(deed=deed_of(*T19), pins=(("1", "101"), ("2", "102")))
    # The first course is 120.00, and its pins stand 120.05 apart on a line due east.
    lot = lot_of_deed(asked, pins_at((0, 0), (0, 120.05)))
    assert lot.found == ("1", "2")
    # Half of the five hundredths at either pin, and the misclosure of 0.0249.
    drawn = [feet(line.doubt) for line in lot.lines]
    assert drawn == pytest.approx([0.0, 0.0499, 0.0499, 0.0499], abs=1e-4)
    assert "corners-drawn" in kinds(lot)


def test_one_pin_alone_turns_nothing() -> None:
    asked = DeedAsked(deed=deed_of(*T19), pins=(("3", "101"),))
    lot = lot_of_deed(asked, pins_at((5000, 2000)))
    assert (feet(lot.boundary[2].northing), feet(lot.boundary[2].easting)) == (5000, 2000)
    assert lot.lines[0].azimuth == pytest.approx(math.radians(88 + 30.25 / 60))
    assert "one-pin" in kinds(lot)
    assert all(line.doubt >= FOOT for line in lot.lines)


def test_a_pin_that_is_off_by_itself_is_named() -> None:
    places = [(0.0, 0.0), (3.133, 119.959), (-92.341, 122.181), (-94.983, 1.110)]
    places[1] = (3.133, 121.459)
    asked = DeedAsked(
        deed=deed_of(*T19), pins=(("1", "101"), ("2", "102"), ("3", "103"), ("4", "104"))
    )
    lot = lot_of_deed(asked, pins_at(*places))
    assert lot.fit is not None
    assert lot.fit.blamed is not None
    pin, rest = lot.fit.blamed
    assert pin.point == "102"
    assert feet(pin.distance) == pytest.approx(1.5, abs=0.01)
    assert feet(rest) < 0.02


def test_of_three_pins_none_is_named_alone() -> None:
    # Two pins fit any place but for their distance: without 102 the other two say nothing of it.
    places = [(0.0, 0.0), (3.133, 121.459), (-92.341, 122.181)]
    asked = DeedAsked(deed=deed_of(*T19), pins=(("1", "101"), ("2", "102"), ("3", "103")))
    lot = lot_of_deed(asked, pins_at(*places))
    assert lot.fit is not None
    assert lot.fit.worst > 0.2 * FOOT
    assert lot.fit.blamed is None


def test_a_pin_that_is_off_by_less_than_is_told_is_not_named() -> None:
    places = [(0.0, 0.0), (3.133, 120.109), (-92.341, 122.181), (-94.983, 1.110)]
    asked = DeedAsked(
        deed=deed_of(*T19), pins=(("1", "101"), ("2", "102"), ("3", "103"), ("4", "104"))
    )
    lot = lot_of_deed(asked, pins_at(*places))
    assert lot.fit is not None
    assert lot.fit.worst < 0.2 * FOOT
    assert lot.fit.blamed is None


@pytest.mark.parametrize(
    ("places", "why"),
    [
        ([(0, 0), (0.955, 36.563), (-28.146, 37.241)], "the ratio of feet and metres"),
        ([(0, 0), (-3.133, 119.959), (92.341, 122.181)], "the other way round"),
        ([(0, 0), (3.1, 120.0), (-92.3, 322.2)], "from where the deed puts corner"),
    ],
)
def test_pins_of_something_else_are_refused(places: list[tuple[float, float]], why: str) -> None:
    asked = DeedAsked(deed=deed_of(*T19), pins=(("1", "101"), ("2", "102"), ("3", "103")))
    with pytest.raises(InputError, match=why):
        lot_of_deed(asked, pins_at(*places))


def test_pins_in_one_place_are_refused() -> None:
    asked = DeedAsked(deed=deed_of(*T19), pins=(("1", "101"), ("2", "102")))
    with pytest.raises(InputError, match="all pins are in one place"):
        lot_of_deed(asked, pins_at((5, 5), (5, 5)))


def test_a_deed_that_stays_open_is_refused_with_the_course_that_would_close_it() -> None:
    with pytest.raises(InputError, match=r"one in 10; one of them is wrong") as caught:
        lot_of_deed(DeedAsked(deed=deed_of(T19[0], "S 1 20 00 E 59.50'", *T19[2:])), {})
    assert [each.field for each in caught.value.problems] == [
        "site boundary deed", "site boundary course 2-3"
    ]  # fmt: skip


def test_a_course_without_room_is_refused() -> None:
    with pytest.raises(InputError, match="corners 4 and 5 are in the same place"):
        lot_of_deed(DeedAsked(deed=deed_of("E 100'", "N 100'", "W 50'", "S 0.002'", "W 50'",
                                           "S 100'")), {})  # fmt: skip


@pytest.mark.parametrize("to", list(CurvesTo))
@pytest.mark.parametrize("angle", [0.2, math.pi / 2, math.pi, 4.0])
def test_the_places_along_a_curve_lie_on_its_circle(to: CurvesTo, angle: float) -> None:
    start, end = np.array([10.0, 5.0]), np.array([22.0, 14.0])
    curve, places = arc_between(start, end, to, angle)
    chain = np.vstack([start, places, end])
    # Length by the chain, which is shorter than the arc by less than a hundredth of a percent.
    length = float(np.hypot(*np.diff(chain, axis=0).T).sum())
    assert length == pytest.approx(curve.arc, rel=2e-4)
    # The area between the chain and its chord, by shapely, is the segment.
    assert shapely.Polygon(chain).area == pytest.approx(curve.segment, rel=0, abs=FLAT * curve.arc)
    # To the right of where it goes a curve to the left bulges out.
    east, north = (end - start)[1], (end - start)[0]
    side = east * (chain[len(chain) // 2] - start)[0] - north * (chain[len(chain) // 2] - start)[1]
    assert (side < 0) == (to is CurvesTo.LEFT)


def test_the_ring_of_a_lot_with_a_rounded_corner_has_its_area() -> None:
    # A lot of 60 by 120 with one corner rounded by 20: 7,114 sq ft (POB magazine, 2021).
    deed = deed_of("E 40'", "curve right radius 20' angle 90 00 00", "S 100'", "W 60'", "N 120'")
    lot = lot_of_deed(DeedAsked(deed=deed), {})
    corners = np.array([(each.northing, each.easting) for each in lot.boundary])
    ring, line_of = boundary_ring(lot.lines, corners)
    assert shapely.Polygon(ring).area / FOOT**2 == pytest.approx(7_114, abs=1.0)
    assert set(line_of) == {0, 1, 2, 3, 4}
    assert feet(lot.lines[1].length) == pytest.approx(10 * math.pi, abs=1e-6)
