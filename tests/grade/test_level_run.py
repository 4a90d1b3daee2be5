"""Levels carried, closed and shared, and the places that a book's names mean."""

from __future__ import annotations

import pytest

from staking.errors import ComputationError
from staking.grade.terrain.level_run import Sight, reduce_run
from staking.grade.terrain.named_levels import named_levels
from staking.units import INCH, Unit


@pytest.mark.parametrize(
    ("sights", "match"),
    [
        (
            [Sight(point="BM", known=100.0), Sight(point="P", fore=1.0)],
            "P is read before any backsight",
        ),
        (
            [Sight(point="BM", back=1.0, known=100.0), Sight(point="P")],
            "P has neither a reading nor an elevation",
        ),
    ],
)
def test_a_book_with_a_gap_is_refused(sights: list[Sight], match: str) -> None:
    with pytest.raises(ComputationError, match=match):
        reduce_run(sights)


def test_each_section_between_known_elevations_shares_its_own_misclosure() -> None:
    # 100 + 2 - 1 = 101; 101 + 1 - 2.1 = 99.9, known 100: -0.1 over two set-ups. From 100 on:
    # 100 + 3 - 1 = 102; 102 + 1 - 2.2 = 100.8, known 101: -0.2 over two set-ups.
    run = reduce_run([
        Sight(point="BM1", back=2.0, known=100.0),
        Sight(point="P", back=1.0, fore=1.0),
        Sight(point="BM2", back=3.0, fore=2.1, known=100.0),
        Sight(point="Q", back=1.0, fore=1.0),
        Sight(point="BM3", fore=2.2, known=101.0),
    ])
    assert [each.elevation for each in run.points] == pytest.approx(
        [100.0, 101.05, 100.0, 102.1, 101.0], abs=1e-9
    )
    assert [(e.point, e.setups) for e in run.closings] == [("BM2", 2), ("BM3", 2)]
    assert [e.misclosure for e in run.closings] == pytest.approx([-0.1, -0.2], abs=1e-9)


def test_a_known_point_in_passing_corrects_the_instrument_that_stays() -> None:
    # 100 + 5 = 105; the side sight 3.9 gives 101.1, known 101.0; the next one 2.0 is 0.1 less.
    run = reduce_run([
        Sight(point="BM1", back=5.0, known=100.0),
        Sight(point="BM2", side=3.9, known=101.0),
        Sight(point="A", side=2.0),
    ])
    assert [each.elevation for each in run.points] == pytest.approx([100.0, 101.0, 102.9], abs=1e-9)


def test_after_the_last_known_elevation_nothing_is_shared() -> None:
    run = reduce_run([Sight(point="BM", back=4.0, known=50.0), Sight(point="A", fore=1.5)])
    assert [each.elevation for each in run.points] == pytest.approx([50.0, 52.5], abs=1e-12)
    assert run.closings == ()


def test_names_mean_corners_pads_and_points_of_walls() -> None:
    found = named_levels(
        [("BM1", 10.0), ("A", 9.0), ("P1", 8.0), ("B-A at 6'", 7.0), ("A", 9.5), ("TP", 1.0)],
        ["A", "B"],
        ["P1"],
        {"A-B": 12 * 0.3048},
        Unit.FT,
    )
    assert found.corners == (("A", 9.25),)
    assert found.pads == (("P1", 8.0),)
    assert found.along == (("B-A", pytest.approx(6 * 0.3048, abs=1e-12), 7.0),)
    assert found.others == ("BM1", "TP")
    # Half a metre apart is not a level of one place.
    assert [(each.name, each.apart > INCH / 2) for each in found.twice] == [("A", True)]


def test_names_that_mean_no_place_are_said() -> None:
    found = named_levels(
        [("A-B at 40'", 1.0), ("B-C at 2'", 1.0), ("A-B at far", 1.0)],
        ["A", "B"],
        [],
        {"A-B": 12 * 0.3048},
        Unit.FT,
    )
    assert [each.message for each in found.misplaced] == [
        "A-B at 40' is past the end of A-B",
        "B-C is not a wall with a footing to pour",
        "far is not a length",
    ]
    assert [each.number for each in found.misplaced] == [0, 1, 2]
