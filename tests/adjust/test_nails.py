"""Surveyed nails: slides along the boards, crossings of the strings, the fit onto lines."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest

from staking.adjust.nails import (
    Nail,
    crossings,
    fit_to_lines,
    planned_nails,
    slide_of,
)
from staking.layout.boards import StringsAndBoards, lay_out
from staking.plan import Building, Corner, Footing, Options, Plan, Point, Wall

INCH = 0.0254


def barn() -> Plan:
    footing = Footing(width=0.508, thickness=0.254, outside=0.1524)
    points = {"A": (0.0, 0.0), "B": (11.0, 0.0), "C": (11.0, 7.0), "D": (0.0, 7.0)}
    names = [*points, "A"]
    return Plan(
        job="Invented",
        buildings=(
            Building(
                name=None,
                corners=tuple(Corner(name=n, x=x, y=y) for n, (x, y) in points.items()),
                walls=tuple(
                    Wall(start=a, end=b, thickness=0.2032, footing=footing)
                    for a, b in pairwise(names)
                ),
            ),
        ),
    )


@pytest.fixture
def pulled() -> StringsAndBoards:
    from staking.footing.bands import footing_bands

    return lay_out(barn(), Options(), footing_bands(barn())[0])


@pytest.fixture
def nails(pulled: StringsAndBoards) -> tuple[Nail, ...]:
    count = sum(len(board.marks) for board in pulled.boards)
    return planned_nails([str(i) for i in range(count)], pulled.strings, pulled.boards)


def test_the_way_of_a_nail_is_away_from_the_building(nails: tuple[Nail, ...]) -> None:
    outward = {"A-B": (0, -1), "B-C": (1, 0), "C-D": (0, 1), "D-A": (-1, 0)}
    for nail in nails:
        assert nail.way == pytest.approx(outward[nail.wall], rel=0, abs=1e-9)


def test_a_nail_an_inch_too_far_out_slides_an_inch_toward_the_building(
    nails: tuple[Nail, ...],
) -> None:
    nail = next(each for each in nails if each.wall == "A-B")
    slide = slide_of(nail, (nail.x + 0.3, nail.y - INCH), INCH / 4, INCH / 16)
    assert slide.distance == pytest.approx(-INCH, rel=0, abs=1e-12)
    assert slide.rounded == pytest.approx(-INCH, rel=0, abs=1e-12)
    assert not slide.good


def test_strings_cross_where_their_nails_say(
    pulled: StringsAndBoards, nails: tuple[Nail, ...]
) -> None:
    def moved(nail: Nail) -> Point:
        # the string of B-C stands an inch out, all along
        return (nail.x + (INCH if nail.wall == "B-C" else 0.0), nail.y)

    found = {nail.name: (nail, moved(nail)) for nail in nails}
    crossed = crossings(barn(), pulled.strings, found)
    assert crossed["B"] == pytest.approx((11.0 + INCH, 0.0), rel=0, abs=1e-9)
    assert crossed["C"] == pytest.approx((11.0 + INCH, 7.0), rel=0, abs=1e-9)
    assert crossed["A"] == pytest.approx((0.0, 0.0), rel=0, abs=1e-9)


def test_a_string_with_one_nail_crosses_nothing(
    pulled: StringsAndBoards, nails: tuple[Nail, ...]
) -> None:
    found = {nail.name: (nail, (nail.x, nail.y)) for nail in nails if nail.board != "1"}
    assert set(crossings(barn(), pulled.strings, found)) == {"C", "D"}


def test_points_on_lines_come_back_whatever_their_turn() -> None:
    plan = np.array([(0, 0), (5, 0), (11, 3), (11, 6), (2, 7), (0, 4)], dtype=float)
    ways = np.array([(0, -1), (0, -1), (1, 0), (1, 0), (0, 1), (-1, 0)], dtype=float)
    for degrees in (0, 17, 100, 200, 300):
        turn = math.radians(degrees)
        c, s = math.cos(turn), math.sin(turn)
        here = plan @ np.array([[c, s], [-s, c]]) + (100.0, -40.0)
        matrix, off = fit_to_lines(here, plan, ways, -turn + 0.1)
        assert np.abs(off).max() < 1e-9
        assert np.column_stack((here, np.ones(6))) @ matrix.T == pytest.approx(
            plan, rel=0, abs=1e-9
        )


def test_once_every_nail_has_slid_the_strings_cross_over_the_corners(
    pulled: StringsAndBoards, nails: tuple[Nail, ...]
) -> None:
    rng = np.random.default_rng(3)
    step = INCH / 16
    slid = {}
    for nail in nails:
        here = np.array((nail.x, nail.y)) + rng.normal(0, INCH, 2)
        size = slide_of(nail, (float(here[0]), float(here[1])), step, step).rounded
        there = here + size * np.array(nail.way)
        slid[nail.name] = (nail, (float(there[0]), float(there[1])))
    crossed = crossings(barn(), pulled.strings, slid)
    assert len(crossed) == 4
    for corner in barn().buildings[0].corners:
        assert math.dist(crossed[corner.name], corner.point) < 2 * step
