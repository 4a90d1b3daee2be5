"""A building takes the same drain however it is written and wherever it lies."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

import pytest

from staking.grade.stepping.wall_network import build_network
from staking.order.drain.beside_footings import sorted_name
from staking.order.drain.whole_drain import Drain, drain_of
from staking.order.order_request import DrainAsked, OutletAsked
from staking.order.wall_levels import Levels, LevelStretch
from staking.plan import Existing, Plan, Point
from tests.order import jobs

FOOT, INCH = jobs.FOOT, jobs.INCH

SHAPES: dict[str, list[tuple[float, float]]] = {
    "a rectangle": [(0, 0), (36, 0), (36, 24), (0, 24)],
    "an L": [(0, 0), (36, 0), (36, 24), (14, 24), (14, 32), (0, 32)],
    "a jog of inches": [(0, 0), (18, 0), (18, 7 / 12), (36, 7 / 12), (36, 24), (0, 24)],
    "a jog of three inches in": [(0, 0), (18, 0), (18, 0.25), (36, 0.25), (36, 24), (0, 24)],
}
"""Invented, in feet."""

OUTLET = (52.0, -9.0)
NAMES = "ABCDEF"


def turned(point: tuple[float, float]) -> tuple[float, float]:
    c, s = math.cos(math.radians(17)), math.sin(math.radians(17))
    return c * point[0] - s * point[1] + 40.0, s * point[0] + c * point[1] - 25.0


def mirrored(point: tuple[float, float]) -> tuple[float, float]:
    return -point[0], point[1]


def as_metres(point: tuple[float, float]) -> tuple[float, float]:
    return tuple(round(each * FOOT, 6) / FOOT for each in point)  # type: ignore[return-value]


def levels_on(plan: Plan, back: object, *, stepped: bool) -> Levels:
    """Footings level, or stepped along the plan's own x, as it was before it was moved."""
    stretches = []
    network = build_network(plan)
    for strand in network.strands:
        start, end = (back(p) for p in (strand.start, strand.end))  # type: ignore[operator]
        at = (12 * FOOT, 24 * FOOT) if stepped else ()
        faces = [each for each in at if min(start[0], end[0]) + 0.1 < each
                 < max(start[0], end[0]) - 0.1]  # fmt: skip
        span = end[0] - start[0]
        cuts = [0.0, *sorted((f - start[0]) / span * strand.length for f in faces), strand.length]
        for a, b in pairwise(cuts):
            x = start[0] + (a + b) / 2 / strand.length * span
            down = int((x / FOOT + 1e-6) // 12) if stepped else 0
            bottom = (97 - 8 / 12 * down) * FOOT
            stretches.append(
                LevelStretch(
                    strand=strand,
                    start=a,
                    end=b,
                    dig_start=a,
                    dig_end=b,
                    top=bottom + strand.footing.thickness,
                    bottom=bottom,
                    dig=bottom,
                    courses=None,
                )
            )
    return Levels(network=network, stretches=tuple(stretches), steps=(), pads=(), course=None)


def written(
    shape: Sequence[tuple[float, float]],
    move: object = lambda p: p,
    *,
    back: bool = False,
    standing: str = "",
) -> tuple[Plan, Point]:
    """A plan of the shape, its points moved, its corners walked the other way, a side standing."""
    names = list(NAMES[: len(shape)])
    places = dict(zip(names, (move(p) for p in shape), strict=True))  # type: ignore[operator]
    if back:
        names = [names[0], *reversed(names[1:])]
    plan = jobs.building([places[name] for name in names])
    (house,) = plan.buildings
    named = dict(zip(NAMES, names, strict=False))
    corners = tuple(replace(each, name=named[each.name]) for each in house.corners)
    walls = tuple(
        replace(
            wall,
            start=named[wall.start],
            end=named[wall.end],
            existing=Existing()
            if sorted_name(f"{named[wall.start]}-{named[wall.end]}") == standing
            else None,
        )
        for wall in house.walls
    )
    x, y = move(OUTLET)  # type: ignore[operator]
    building = replace(house, corners=corners, walls=walls)
    return replace(plan, buildings=(building,)), (x * FOOT, y * FOOT)


def answer(drain: Drain) -> object:
    """What of the drain is where, in words."""
    rows = [
        (
            each.arm,
            str(each.kind),
            sorted_name(each.wall),
            each.corner,
        )
        for each in drain.stations
    ]
    return rows, [item.what for item in drain.items], [str(each.reach) for each in drain.outlets]


def figures(drain: Drain) -> list[float]:
    """Its inverts, room and quantities, m."""
    levels = [value for each in drain.stations for value in (each.invert, each.room)]
    return [*levels, *(item.quantity for item in drain.items)]


def assert_same(one: Drain, other: Drain) -> None:
    assert answer(one) == answer(other)
    # As a file in metres writes it, to the thousandth of a millimetre.
    assert figures(one) == pytest.approx(figures(other), abs=1e-4)


@pytest.mark.parametrize("standing", ["", "A-B"])
@pytest.mark.parametrize("stepped", [False, True])
@pytest.mark.parametrize("name", SHAPES)
def test_the_drain_is_the_same(name: str, stepped: bool, standing: str) -> None:
    def drained(move: object, undo: object, *, back: bool = False) -> Drain:
        plan, outlet = written(SHAPES[name], move, back=back, standing=standing)
        asked = DrainAsked(outlet=OutletAsked(at=outlet, level=92 * FOOT))
        levels = levels_on(plan, undo, stepped=stepped)
        return drain_of(plan, levels, asked, None, graded=True)

    def unturned(point: Point) -> Point:
        c, s = math.cos(math.radians(17)), math.sin(math.radians(17))
        x, y = point[0] - 40.0 * FOOT, point[1] + 25.0 * FOOT
        return c * x + s * y, -s * x + c * y

    wanted = drained(lambda p: p, lambda p: p)
    assert_same(drained(lambda p: p, lambda p: p, back=True), wanted)
    assert_same(drained(turned, unturned), wanted)
    assert_same(drained(as_metres, lambda p: p), wanted)
    assert_same(drained(mirrored, mirrored), wanted)
    assert all(each.room > -1e-9 for each in wanted.stations)
    for arm in {each.arm for each in wanted.stations}:
        inverts = [each.invert for each in wanted.stations if each.arm == arm]
        assert all(b <= a + 1e-12 for a, b in pairwise(inverts))
