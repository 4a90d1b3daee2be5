from __future__ import annotations

import itertools
import math
from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from staking.adjust.blunders import Sifted, likely_slip, misfit_limit, sift
from staking.adjust.misfit_notices import chi_squared_limit
from staking.network.fitted import Measurement

INCH = 0.0254
FOOT = 0.3048


def ring(count: int, rng: np.random.Generator) -> NDArray[np.float64]:
    """Corners round a rough circle whose every reading is well checked."""
    for _ in range(400):
        angle = 2 * np.pi * (np.arange(count) + rng.uniform(-0.2, 0.2, count)) / count
        away = rng.uniform(8, 12, (count, 1))
        points = np.column_stack([np.cos(angle), np.sin(angle)]) * away
        found = read(points, 1e-6, rng).solution
        numbers = [each.redundancy for each in found.adjusted]
        others = np.abs(found.correlation - np.eye(len(numbers)))
        if min(numbers) >= 0.25 and others.max() <= 0.8:
            return points
    raise AssertionError("no such ring")


def read(
    points: NDArray[np.float64],
    error: float,
    rng: np.random.Generator,
    place: int = -1,
    mistake: float = 0.0,
) -> Sifted:
    names = [chr(ord("A") + i) for i in range(len(points))]
    pairs = list(itertools.combinations(range(len(points)), 2))
    measured = [
        Measurement(
            from_name=names[i],
            to_name=names[j],
            distance=math.dist(points[i], points[j])
            + float(rng.normal(0, error))
            + (mistake if place == k else 0.0),
            standard_error=error,
        )
        for k, (i, j) in enumerate(pairs)
    ]
    return sift(names, points, measured)


@pytest.mark.parametrize(
    ("count", "error", "mistake", "least"),
    [
        (6, INCH / 8, 0.1, 95),
        (6, INCH / 8, -0.1, 95),
        (7, INCH / 8, FOOT, 95),
        (12, INCH / 8, 0.1, 95),
        (6, INCH / 8, FOOT, 95),
        (6, INCH / 16, INCH, 80),
        (7, INCH / 16, -INCH, 80),
    ],
)
def test_a_planted_mistake_is_named_alone_with_its_size(
    count: int, error: float, mistake: float, least: int
) -> None:
    rng = np.random.default_rng(20)
    points = ring(count, rng)
    good = 0
    for _ in range(100):
        place = int(rng.integers(count * (count - 1) // 2))
        found = read(points, error, rng, place, mistake)
        if len(found.suspects) == 1 and found.suspects[0].members == (place,):
            suspect = found.suspects[0]
            good += abs(suspect.size - mistake) <= 3 * suspect.size_error
    assert good >= least


def test_good_readings_are_left_in_peace() -> None:
    rng = np.random.default_rng(21)
    points = ring(6, rng)
    assert sum(not read(points, INCH / 8, rng).suspects for _ in range(100)) >= 90


def test_an_inch_with_an_ordinary_tape_is_named_in_half_to_four_fifths_of_cases() -> None:
    """The share that data snooping can reach at these redundancies; docs/methods.md says why."""
    rng = np.random.default_rng(22)
    gable = np.array([(0.0, 0.0), (12.0, 0.0), (12.0, 8.0), (6.0, 11.0), (0.0, 8.0)])
    named = 0
    for _ in range(300):
        place = int(rng.integers(10))
        found = read(gable, INCH / 8, rng, place, INCH)
        named += len(found.suspects) == 1 and found.suspects[0].members == (place,)
    assert 0.5 <= named / 300 <= 0.8


def test_a_reading_that_is_left_out_keeps_its_figures_and_shows_its_difference() -> None:
    rng = np.random.default_rng(23)
    points = ring(6, rng)
    found = read(points, INCH / 8, rng, 4, FOOT)
    assert found.left_out == {4}
    assert found.redundancy == 6
    each = found.adjusted[4]
    assert each.residual == pytest.approx(-FOOT, rel=0, abs=0.02)
    assert abs(each.standardised) > 3.29
    (told,) = found.notices
    assert told.kind == "reading-does-not-fit"
    assert dict(told.values)["slip"] == "a tape held at the 1 ft mark"


def test_with_one_reading_too_many_something_is_off_but_not_which() -> None:
    points = np.array([(0.0, 0.0), (11.0, 0.0), (11.0, 7.0), (0.0, 7.0)])
    found = read(points, INCH / 8, np.random.default_rng(24), 1, FOOT)
    assert found.unclear
    assert found.suspected == frozenset(range(6))
    assert found.left_out == frozenset()
    assert [told.kind for told in found.notices] == ["something-is-off"]


def test_readings_that_disagree_as_a_whole_are_said_to_and_none_is_named() -> None:
    # Readings off by up to three times the tape's error, none of which alone explains it: the root
    # mean square of the weighted residuals, over the readings too many, is what is said.
    rng = np.random.default_rng(7)
    points = ring(6, rng)
    pairs = list(itertools.combinations(range(6), 2))
    error = INCH / 8
    off = (-1.5, -1.3, 2.0, -2.6, 0.6, 1.5, -2.0, -2.8, -1.4, 1.0, 0.4, -2.2, -0.4, 1.1, -0.5)
    measured = [
        Measurement(
            from_name="ABCDEF"[i],
            to_name="ABCDEF"[j],
            distance=math.dist(points[i], points[j]) + off[k] * error,
            standard_error=error,
        )
        for k, (i, j) in enumerate(pairs)
    ]
    found = sift(list("ABCDEF"), points, measured)
    assert found.suspects == ()
    (said,) = (each for each in found.notices if each.kind == "readings-disagree")
    squares = sum((each.residual / error) ** 2 for each in found.solution.adjusted)
    # 15 readings for 6 corners, of which place and turn are free: 9 distances fix them.
    assert dict(said.values)["times"] == f"{math.sqrt(squares / 6):.1f}"
    good = [replace(each, standard_error=4 * error) for each in measured]
    kinds = {each.kind for each in sift(list("ABCDEF"), points, good).notices}
    assert "readings-disagree" not in kinds


def test_without_a_reading_too_many_it_is_said_that_nothing_checks_it() -> None:
    points = np.array([(0.0, 0.0), (4.0, 0.0), (0.0, 3.0)])
    found = read(points, INCH / 8, np.random.default_rng(25))
    assert found.redundancy == 0
    assert [told.kind for told in found.notices] == ["nothing-checks"]


@pytest.mark.parametrize(
    ("size", "error", "slip"),
    [
        (0.31, 0.005, "a tape held at the 1 ft mark"),
        (-0.30, 0.005, "the foot before read"),
        (0.0255, 0.001, "a tape held at the 1 in mark"),
        (0.1, 0.003, "a tape held at the 10 cm mark"),
        (0.2, 0.005, ""),
        (0.0254, 0.01, ""),
    ],
)
def test_a_usual_slip_is_told_by_its_size(size: float, error: float, slip: str) -> None:
    assert likely_slip(size, error) == slip


@pytest.mark.parametrize(("count", "limit"), [(6, 3.29), (20, 3.2905), (40, 3.4808), (200, 3.8906)])
def test_of_many_readings_one_must_stand_out_further(count: int, limit: float) -> None:
    """Two-sided normal points as tables print them: 0.0005 and 0.0001 for 40 and 200 readings."""
    assert misfit_limit(count) == pytest.approx(limit, rel=0, abs=5e-5)


@pytest.mark.parametrize("count", [6, 12])
def test_good_readings_are_left_in_peace_however_many(count: int) -> None:
    rng = np.random.default_rng(28)
    points = ring(count, rng)
    assert sum(not read(points, INCH / 8, rng).suspects for _ in range(100)) >= 95


@pytest.mark.parametrize(("freedom", "limit"), [(1, 6.635), (3, 11.345), (10, 23.209)])
def test_the_limit_of_the_global_test_is_near_the_tables(freedom: int, limit: float) -> None:
    """99 % points of chi-squared as every table prints them."""
    assert chi_squared_limit(freedom) == pytest.approx(limit, rel=0, abs=0.02 * limit)


def test_two_readings_written_in_each_others_place_are_told_as_swapped() -> None:
    rng = np.random.default_rng(26)
    points = ring(7, rng)
    good = read(points, INCH / 16, rng).solution.adjusted
    measured = [each.measurement for each in good]
    one, other = measured[3], measured[9]
    apart = other.distance - one.distance
    assert abs(apart) > FOOT
    measured[3] = replace(one, distance=other.distance)
    measured[9] = replace(other, distance=one.distance)
    found = sift("ABCDEFG", points, measured)
    assert found.left_out == {3, 9}
    sizes = {each.members[0]: each.size for each in found.suspects}
    # taken against the shape by the others, not against one that the other mistake spoils
    assert sizes[3] == pytest.approx(apart, rel=0, abs=0.01)
    assert sizes[9] == pytest.approx(-apart, rel=0, abs=0.01)
    told = found.notices[0]
    assert told.kind == "readings-swapped"
    assert dict(told.values) == {"one": "A-E", "other": "B-F"}


def test_two_mistakes_that_do_not_fit_each_other_are_not_told_as_swapped() -> None:
    rng = np.random.default_rng(27)
    points = ring(7, rng)
    measured = [each.measurement for each in read(points, INCH / 16, rng).solution.adjusted]
    for place, mistake in ((3, FOOT), (9, -FOOT / 2)):
        each = measured[place]
        measured[place] = replace(each, distance=each.distance + mistake)
    found = sift("ABCDEFG", points, measured)
    assert found.left_out == {3, 9}
    assert {told.kind for told in found.notices} == {"reading-does-not-fit"}
