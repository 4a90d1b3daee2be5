"""Levels to read the rod by, each once with all its places."""

from __future__ import annotations

from staking.grade.graded import LevelMark
from staking.grade.setting_out.level_groups import levels_by_place
from staking.kinds import LevelKind


def mark(what: LevelKind, where: str, level: float) -> LevelMark:
    return LevelMark(
        what=what,
        where=where,
        start=None,
        end=None,
        level=level,
        add_to_benchmark=None,
        reading=None,
        turning_point="",
        down_from_string=None,
    )


LEVELS = (
    mark(LevelKind.TOP_OF_WALL, "", 31.0),
    mark(LevelKind.TOP_OF_FOOTING, "A-B", 29.0),
    mark(LevelKind.BOTTOM_OF_FOOTING, "A-B", 28.75),
    mark(LevelKind.TOP_OF_FOOTING, "B-C", 29.4),
    mark(LevelKind.TOP_OF_FOOTING, "C-D", 29.0),
)


def told(*, on_stone: bool) -> list[tuple[str, float, list[str]]]:
    found = levels_by_place(LEVELS, on_stone=on_stone)
    return [(each.what, each.level, where) for each, where in found]


def test_a_level_stands_once_with_all_its_places_the_highest_of_a_kind_first() -> None:
    assert told(on_stone=True) == [
        ("top of wall", 31.0, []),
        ("top of footing", 29.4, ["B-C"]),
        ("top of footing", 29.0, ["A-B", "C-D"]),
        ("bottom of footing", 28.75, ["A-B"]),
    ]


def test_without_stone_the_bottom_of_a_footing_is_where_the_dig_ends() -> None:
    assert "bottom of footing" not in [what for what, _, _ in told(on_stone=False)]
