"""Slips of the pen in a plan: corners nearly square, lines nearly along a wall, pads on pads."""

from __future__ import annotations

import math

import pytest

from staking.footing.bands import footing_bands
from staking.footing.odd_plan import odd_plan_notices
from staking.notices import Angle, Length
from staking.plan import Building, Corner, Footing, InteriorLine, Pad, Plan, Point, Wall

FOOT = 0.3048
FOOTING = Footing(width=20 / 12 * FOOT, thickness=10 / 12 * FOOT, outside=0.5 * FOOT)
L_SHAPE = [(0, 0), (36, 0), (36, 24), (24, 24), (24, 32), (0, 32)]


def plan_of(
    points: list[Point],
    interior: tuple[InteriorLine, ...] = (),
    pads: tuple[Pad, ...] = (),
    turn: float = 0.0,
    *,
    clockwise: bool = False,
) -> Plan:
    cosine, sine = math.cos(turn), math.sin(turn)
    places = [((x * cosine - y * sine) * FOOT, (x * sine + y * cosine) * FOOT) for x, y in points]
    names = [chr(ord("A") + i) for i in range(len(points))]
    listed = list(zip(names, places, strict=True))
    if clockwise:
        listed = listed[:1] + listed[:0:-1]
    corners = tuple(Corner(name=name, x=x, y=y) for name, (x, y) in listed)
    order = [corner.name for corner in corners]
    walls = tuple(
        Wall(start=start, end=end, thickness=2 / 3 * FOOT, footing=FOOTING)
        for start, end in zip(order, order[1:] + order[:1], strict=True)
    )
    building = Building(name=None, corners=corners, walls=walls)
    return Plan(job="shed", buildings=(building,), interior=interior, pads=pads)


def said(plan: Plan) -> list[tuple[str, dict[str, object]]]:
    bands, _ = footing_bands(plan)
    return [(each.kind, dict(each.values)) for each in odd_plan_notices(plan, bands)]


@pytest.mark.parametrize("turn", [0.0, math.radians(17)])
@pytest.mark.parametrize("clockwise", [False, True])
def test_square_plans_say_nothing(turn: float, clockwise: bool) -> None:
    assert said(plan_of(L_SHAPE, turn=turn, clockwise=clockwise)) == []
    jog = [(0, 0), (30, 0), (30, 20), (18, 20), (18, 20.25), (0, 20.25)]
    assert said(plan_of(jog, turn=turn, clockwise=clockwise)) == []


@pytest.mark.parametrize("turn", [0.0, math.radians(17)])
@pytest.mark.parametrize("clockwise", [False, True])
def test_a_corner_an_inch_out_of_square_is_named(turn: float, clockwise: bool) -> None:
    # C stands an inch too near to D: B-C leans by an inch in 24', which is 1 1/2" over 36'.
    points = [(0, 0), (36, 0), (36 - 1 / 12, 24), (0, 24)]
    found = {
        values["corner"]: values
        for _, values in said(plan_of(points, turn=turn, clockwise=clockwise))
    }
    assert set(found) == {"B", "C"}
    lean = math.atan2(1 / 12, 24)
    assert found["B"]["angle"] == Angle(pytest.approx(math.pi / 2 - lean, rel=0, abs=1e-9))
    assert found["B"]["out"] == Length(pytest.approx(36 * FOOT * math.sin(lean), rel=0, abs=1e-9))
    assert found["B"]["length"] == Length(pytest.approx(36 * FOOT))


def test_corners_meant_to_be_out_of_square_say_nothing() -> None:
    # A bevel of 45 degrees, and a wall that slants 3 degrees.
    assert said(plan_of([(0, 0), (36, 0), (36, 20), (32, 24), (0, 24)])) == []
    slant = [(0, 0), (36, 0), (36 - 24 * math.tan(math.radians(3)), 24), (0, 24)]
    assert said(plan_of(slant)) == []


def test_figures_rounded_to_a_hundredth_of_a_foot_say_nothing() -> None:
    # 24 ft turned by 17 degrees, each coordinate typed to two decimals: at most 0.06" off each.
    turned = [
        (
            round(x * math.cos(0.2967) - y * math.sin(0.2967), 2),
            round(x * math.sin(0.2967) + y * math.cos(0.2967), 2),
        )
        for x, y in [(0, 0), (36, 0), (36, 24), (0, 24)]
    ]
    assert said(plan_of(turned)) == []


def line(start: Point, end: Point) -> InteriorLine:
    return InteriorLine(
        name="G",
        start=(start[0] * FOOT, start[1] * FOOT),
        end=(end[0] * FOOT, end[1] * FOOT),
        start_on="A-B",
        end_on="E-F",
        thickness=2 / 3 * FOOT,
        footing=FOOTING,
    )


def test_a_line_measured_from_the_wrong_end_is_named_with_the_figure_it_would_have() -> None:
    # E-F runs from x = 24' to 0: 14' from E is x = 10', and 10' from E would be x = 14'.
    ((kind, values),) = said(plan_of(L_SHAPE, (line((14, 0), (10, 32)),)))
    assert kind == "interior-wrong-end"
    assert values["on"] == "E-F"
    assert values["station"] == Length(pytest.approx(10 * FOOT))


def test_a_line_nearly_along_a_wall_is_named() -> None:
    # A foot over 32': 1.79 degrees.
    ((kind, values),) = said(plan_of(L_SHAPE, (line((14, 0), (13, 32)),)))
    assert kind == "interior-slant"
    assert values["angle"] == Angle(pytest.approx(math.atan2(1, 32), rel=0, abs=1e-9))
    assert values["out"] == Length(pytest.approx(FOOT, rel=0, abs=1e-9))


def test_a_line_along_a_wall_and_one_well_across_say_nothing() -> None:
    assert said(plan_of(L_SHAPE, (line((14, 0), (14, 32)),))) == []
    assert said(plan_of(L_SHAPE, (line((20, 0), (13, 32)),))) == []


@pytest.mark.parametrize(("apart", "kinds"), [(1.5, ["pads-overlap"]), (2.0, []), (4.0, [])])
def test_pads_over_each_other_are_named_and_touching_ones_are_not(
    apart: float, kinds: list[str]
) -> None:
    pads = tuple(
        Pad(
            name=name,
            x=(50 + far) * FOOT,
            y=0.0,
            size=(2 * FOOT, 2 * FOOT),
            diameter=None,
            thickness=FOOT,
        )
        for name, far in (("P1", 0.0), ("P2", apart))
    )
    found = said(plan_of(L_SHAPE, pads=pads))
    assert [kind for kind, _ in found] == kinds
    if kinds:
        assert found[0][1]["apart"] == Length(pytest.approx(apart * FOOT))
