"""A layout staked out from known points, by arithmetic on a placed building."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from staking.errors import InputError
from staking.laid_out.layout_value import Layout
from staking.laid_out.staked_out import (
    known_stakes,
    refuse_names_of_the_survey,
    stake_out,
    stakes_in_files,
)
from staking.layout.named_points import named_points
from staking.points import KnownPoint
from staking.site.plane.ground_plane import GroundPlane
from staking.site.site_request import SiteAsked
from tests.checked.barn import EAST, NORTH, layout, placed, survey

# Two known points on the ground: 6 m south and 6 m west of A, out of the building's way.
SOUTH = KnownPoint(name="101", northing=NORTH - 6.0, easting=EAST)
WEST = KnownPoint(name="102", northing=NORTH, easting=EAST - 6.0)


def barn(**more: object) -> Layout:
    return layout(replace(placed(), control=(SOUTH, WEST), **more))  # type: ignore[arg-type]


def test_corner_a_is_taped_from_both_known_points() -> None:
    staked = stake_out(barn())
    tie = next(each for each in staked.ties if each.name == "A")
    lengths = {tie.first: tie.first_distance, tie.second: tie.second_distance}
    assert lengths == pytest.approx({"101": 6.0, "102": 6.0}, rel=0, abs=1e-8)
    assert staked.points[0].name == "A"
    assert staked.places[0] == pytest.approx((NORTH, EAST), rel=0, abs=1e-8)
    assert staked.shots == ()


def test_an_instrument_turns_right_from_its_backsight() -> None:
    staked = stake_out(barn(), "101", "102")
    shot = next(each for each in staked.shots if each.name == "A")
    # From 101, A lies due north and 102 north-west at 45 degrees: A is 45 degrees to the right.
    assert math.degrees(shot.angle_right) == pytest.approx(45.0, rel=0, abs=1e-6)
    assert shot.distance == pytest.approx(6.0, rel=0, abs=1e-8)
    assert {each.control for each in staked.deltas} == {"101"}


def test_coordinates_are_the_surveys_and_tapes_the_grounds() -> None:
    # A tenth of a metre on this grid is one on the ground; A has the same numbers on both, since
    # 0.1 times a number and 0.9 times it are the number.
    plane = GroundPlane(factor=0.1, northing0=0.9 * NORTH, easting0=0.9 * EAST)
    staked = stake_out(barn(plane=plane))
    at = [each.name for each in staked.points].index("B")
    assert staked.places[at] == pytest.approx((NORTH, EAST + 1.2), rel=0, abs=1e-8)
    tie = next(each for each in staked.ties if each.name == "A")
    assert tie.first_distance == pytest.approx(6.0, rel=0, abs=1e-8)


def test_a_backsight_too_near_is_told_and_one_in_the_same_place_refused() -> None:
    near = replace(SOUTH, name="103", easting=EAST + 0.5)
    same = replace(SOUTH, name="104")
    laid = layout(replace(placed(), control=(SOUTH, near, same)))
    assert "short-backsight" in {each.kind for each in stake_out(laid, "101", "103").notices}
    with pytest.raises(InputError, match="set-up 101 and backsight 104 are in the same place"):
        stake_out(laid, "101", "104")


def test_without_a_place_nothing_is_staked_out() -> None:
    with pytest.raises(InputError, match="staking out needs the building on a survey"):
        stake_out(layout())


def test_stakes_are_called_by_prefix_number_and_their_own_name() -> None:
    numbered = barn(asked=SiteAsked(numbers=501))
    assert stakes_in_files(numbered)["A"].name == "501"
    points = named_points(numbered.plan, numbered.hubs, numbered.boards)
    known = known_stakes(numbered, points)
    assert known["A"].name == known["501"].name == "A"
    assert stakes_in_files(layout())["A"].name == "A"


def test_a_stake_called_as_a_surveyed_point_is_refused_until_it_has_a_prefix() -> None:
    files = (survey([("A", NORTH, EAST)], name="lot.csv"),)
    with pytest.raises(InputError, match=r"^site: A "):
        refuse_names_of_the_survey(barn(files=files))
    refuse_names_of_the_survey(barn(files=files, asked=SiteAsked(prefix="W-")))
    refuse_names_of_the_survey(layout())
