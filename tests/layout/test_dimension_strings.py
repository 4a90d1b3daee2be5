"""Strings of dimensions, against what one adds up on the plan by hand."""

from __future__ import annotations

import math

import pytest

from staking.layout.dimension_strings import dimension_strings, pad_places
from staking.plan import (
    Building,
    Corner,
    Footing,
    InteriorLine,
    Opening,
    Pad,
    Plan,
    Sleeve,
    Wall,
)

FOOTING = Footing(width=0.5, thickness=0.25, outside=0.15)


def building(places: dict[str, tuple[float, float]]) -> Building:
    names = list(places)
    return Building(
        name=None,
        corners=tuple(Corner(name=name, x=x, y=y) for name, (x, y) in places.items()),
        walls=tuple(
            Wall(start=start, end=end, thickness=0.2, footing=FOOTING)
            for start, end in zip(names, [*names[1:], names[0]], strict=True)
        ),
    )


RECTANGLE = {"A": (0.0, 0.0), "B": (10.0, 0.0), "C": (10.0, 6.0), "D": (0.0, 6.0)}


def turned(places: dict[str, tuple[float, float]], degrees: float):
    cos, sin = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return {name: (cos * x - sin * y, sin * x + cos * y) for name, (x, y) in places.items()}


def test_parts_run_from_the_first_corner_and_add_up_to_the_whole():
    plan = Plan(
        job="x",
        buildings=(building(RECTANGLE),),
        interior=(
            InteriorLine(
                name="G", start=(7.0, 0.0), end=(7.0, 6.0), start_on="A-B", end_on="C-D",
                thickness=0.2, footing=FOOTING,
            ),
        ),
        openings=(Opening(wall="A-B", start=2.0, width=1.5, drop=0.2),),
        sleeves=(Sleeve(wall="B-C", station=4.0, invert=None, size=0.1),),
    )  # fmt: skip
    found = {each.of: each for each in dimension_strings(plan)}
    lengths = [part.length for part in found["A-B"].parts]
    assert lengths == pytest.approx([2.0, 1.5, 3.5, 3.0], rel=0, abs=1e-12)
    assert sum(lengths) == pytest.approx(found["A-B"].whole.length, rel=0, abs=1e-12)
    # C-D begins at C: the line at x = 7 is three from it.
    assert [part.length for part in found["C-D"].parts] == pytest.approx([3, 7], rel=0, abs=1e-12)
    assert [part.length for part in found["B-C"].parts] == pytest.approx([4, 2], rel=0, abs=1e-12)
    assert found["D-A"].parts == ()
    assert "G" not in found
    assert found["A-B"].out == (0.0, -1.0)


@pytest.mark.parametrize("degrees", [0.0, 17.0])
@pytest.mark.parametrize("clockwise", [False, True])
def test_an_ell_has_its_whole_sides_in_its_walls_and_a_tee_besides(degrees, clockwise):
    ell = {
        "A": (0.0, 0.0), "B": (10.0, 0.0), "C": (10.0, 6.0), "D": (4.0, 6.0), "E": (4.0, 9.0),
        "F": (0.0, 9.0),
    }  # fmt: skip
    tee = {
        "A": (0.0, 0.0), "B": (10.0, 0.0), "C": (10.0, 4.0), "D": (7.0, 4.0), "E": (7.0, 9.0),
        "F": (3.0, 9.0), "G": (3.0, 4.0), "H": (0.0, 4.0),
    }  # fmt: skip
    for places, wholes in ((ell, []), (tee, [9.0])):
        order = dict(reversed(places.items())) if clockwise else places
        plan = Plan(job="x", buildings=(building(turned(order, degrees)),))
        strings = dimension_strings(plan)
        own = [each.whole.length for each in strings if not each.of]
        assert own == pytest.approx(wholes, rel=0, abs=1e-9)
        for each in strings:
            run = math.dist(each.whole.start, each.whole.end)
            assert run == pytest.approx(each.whole.length, rel=0, abs=1e-9)


def test_pads_are_placed_from_the_nearest_corner_along_its_wall():
    pads = (
        Pad(name="P", x=3.0, y=1.0, size=(0.6, 0.6), diameter=None, thickness=0.3),
        Pad(name="Q", x=11.0, y=-2.0, size=None, diameter=0.5, thickness=0.3),
    )
    plan = Plan(job="x", buildings=(building(RECTANGLE),), pads=pads)
    inside, outside = pad_places(plan)
    assert (inside.corner, inside.wall) == ("A", "A-B")
    assert (inside.along, inside.square) == pytest.approx((3.0, 1.0), rel=0, abs=1e-12)
    # From B along B-C: two back, and one out of the building.
    assert (outside.corner, outside.wall) == ("B", "B-C")
    assert (outside.along, outside.square) == pytest.approx((-2.0, -1.0), rel=0, abs=1e-12)
    assert pad_places(Plan(job="x", buildings=(), pads=pads)) == ()
