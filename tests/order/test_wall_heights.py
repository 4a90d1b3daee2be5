"""The height of walls that the order gives beside that of the levels."""

from __future__ import annotations

from dataclasses import replace

import pytest

from staking.order.wall_levels import height_notices
from tests.order.jobs import INCH, level, rectangle

LEVELS = replace(level(rectangle(24, 16), courses=6), course=8 * INCH)


@pytest.mark.parametrize(
    ("courses", "inches", "kinds"),
    [
        (None, None, []),
        (6, None, []),
        (5, None, ["courses-and-levels"]),
        (None, 48, []),  # six courses of 8"
        (None, 49, ["height-and-levels"]),
    ],
)
def test_a_height_unlike_the_levels_is_said(
    courses: int | None, inches: float | None, kinds: list[str]
) -> None:
    height = None if inches is None else inches * INCH
    assert [each.kind for each in height_notices(LEVELS, courses, height)] == kinds


def test_walls_of_several_heights_are_said_with_both_ends() -> None:
    first, *others = LEVELS.stretches
    stepped = replace(LEVELS, stretches=(replace(first, courses=7), *others))
    (said,) = height_notices(stepped, 6, None)
    assert dict(said.values)["counted"] == "6 to 7"
    assert height_notices(stepped, None, 52 * INCH) == ()


def test_without_levels_nothing_is_compared() -> None:
    assert height_notices(level(rectangle(24, 16), courses=6), 5, 1.0) == ()
