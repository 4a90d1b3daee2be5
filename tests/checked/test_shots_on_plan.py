"""How well surveyed stakes are known, and whether they can be the plan's at all."""

from __future__ import annotations

import math

import numpy as np
import pytest

from staking.checked.shots_on_plan import (
    coordinate_error,
    lot_points,
    refuse_mirrored,
    refuse_wrong_size,
)
from staking.errors import ComputationError, InputError
from staking.plan import Options, Tape
from tests.checked.barn import CORNERS, EAST, NORTH, layout, placed, survey

PLAN = np.array(list(CORNERS.values()))


def test_a_distance_between_two_stakes_is_as_good_as_one_reading_of_the_tape() -> None:
    error, (said,) = coordinate_error(Options(tape=Tape(error=0.004)), [], None)
    # two coordinates of equal error make a distance's: 0.004 over the root of two
    assert error == pytest.approx(0.004 / math.sqrt(2), rel=0, abs=1e-12)
    assert said.kind == "stake-error"


def test_a_given_error_stands_and_a_track_is_known_to_three_metres() -> None:
    assert coordinate_error(Options(), [], 0.01) == (0.01, [])
    error, (said,) = coordinate_error(Options(), [survey([], kind="GPX")], None)
    assert error == 3.0
    assert said.severity == "warning"


def test_stakes_of_another_unit_are_refused() -> None:
    with pytest.raises(InputError, match=r"0\.3048 times as far apart .* ratio of feet and metres"):
        refuse_wrong_size(PLAN * 0.3048, PLAN)
    with pytest.raises(InputError, match=r"3\.2808 times as far apart"):
        refuse_wrong_size(PLAN / 0.3048, PLAN)
    refuse_wrong_size(PLAN * 1.02, PLAN)


def test_stakes_of_the_mirror_image_are_refused() -> None:
    # an L: a rectangle's mirror image is the rectangle itself under other names
    there = np.array([(0, 0), (12, 0), (12, 4), (5, 4), (5, 9), (0, 9)], dtype=float)
    with pytest.raises(ComputationError, match="mirror image"):
        refuse_mirrored(there[:, ::-1] + 700, there)
    quarter = np.array([[0.0, 1.0], [-1.0, 0.0]])
    refuse_mirrored(there @ quarter + 700, there)


def test_points_of_the_lot_are_taken_out_and_the_farthest_is_named() -> None:
    shot = survey([("101", NORTH - 10.0, EAST + 0.03), ("77", NORTH, EAST)])
    left, (said,) = lot_points(layout(placed()), [shot], ["101", "77"], 0.02)
    assert left == ("77",)
    assert dict(said.values)["point"] == "101"
    assert dict(said.values)["far"].metres == pytest.approx(0.03, rel=0, abs=1e-9)
    assert said.severity == "warning"
    _, (said,) = lot_points(layout(placed()), [shot], ["101"], 0.04)
    assert said.severity == "note"


def test_without_a_lot_nothing_is_taken_out() -> None:
    assert lot_points(layout(), [survey([("101", 0, 0)])], ["101"], 0.02) == (("101",), ())
