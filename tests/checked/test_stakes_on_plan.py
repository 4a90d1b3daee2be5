"""Surveyed stakes by name, brought onto the building grid."""

from __future__ import annotations

import math

import pytest

from staking.checked.stakes_on_plan import (
    REPEATED,
    StakesRead,
    match_stakes,
    stake_names,
    stakes_on_plan,
)
from staking.errors import InputError
from staking.laid_out.layout_value import Layout
from tests.checked.barn import CORNERS, layout, on_the_ground, placed, survey

ERROR = 0.003


def read(laid: Layout, rows: list[tuple[object, ...]]) -> StakesRead:
    surveys = [survey(rows)]
    known = stake_names(laid)
    places, unknown = match_stakes(surveys, known, ERROR)
    named = {each.name: each for each in known.values()}
    return stakes_on_plan(laid, surveys, places, unknown, named, ERROR)


def test_names_may_differ_in_case_and_blanks() -> None:
    laid = layout()
    known = stake_names(laid)
    hub = laid.hubs[0]
    assert known["a"].name == "A"
    assert known[f"hub {hub.corner} {hub.wall}".lower()] == known[f"hub_{hub.corner}_{hub.wall}"]


def test_a_nail_may_be_called_by_its_board_and_mark() -> None:
    laid = layout()
    board = laid.boards[0]
    mark = board.marks[0]
    nail = stake_names(laid)[f"board {board.name} {mark.mark} {mark.wall}"]
    assert (nail.x, nail.y) == (mark.x, mark.y)


def test_a_stake_shot_in_two_places_is_refused() -> None:
    apart = REPEATED * ERROR
    assert apart == pytest.approx(3.29 * math.sqrt(2) * ERROR, rel=0, abs=1e-12)
    known = stake_names(layout())
    rows = [("A", 0.0, 0.0), ("A", 0.0, apart - 1e-6)]
    places, _ = match_stakes([survey(rows)], known, ERROR)
    assert len(places["A"]) == 2
    with pytest.raises(InputError) as caught:
        match_stakes([survey([("A", 0.0, 0.0), ("A", 0.0, apart + 1e-6)])], known, ERROR)
    assert str(caught.value) == (
        "A is there twice, 0.014 m apart: shot.csv line 2 and shot.csv line 3; keep the right "
        "one, or give a larger --stake-error"
    )


def test_on_a_placed_job_stakes_keep_their_place() -> None:
    found = read(layout(placed()), on_the_ground({**CORNERS, "P": (6.0, 4.5)}, north=0.02))
    assert [each.name for each in found.shots] == list("ABCD")
    for shot in found.shots:
        x, y = CORNERS[shot.name]
        assert (shot.x, shot.y) == pytest.approx((x, y + 0.02), rel=0, abs=1e-8)
    (pad,) = found.others
    assert (pad.x, pad.y) == pytest.approx((6.0, 4.52), rel=0, abs=1e-8)
    assert not found.crossed


def test_without_a_place_stakes_are_laid_on_the_plan_by_turn_and_shift() -> None:
    turn = math.radians(17)
    c, s = math.cos(turn), math.sin(turn)
    rows = [(n, 700 + s * x + c * y, 90 + c * x - s * y) for n, (x, y) in CORNERS.items()]
    found = read(layout(), [*rows, ("oak", 0.0, 0.0)])
    assert found.placement is None
    assert found.unknown == ("oak",)
    for shot in found.shots:
        assert (shot.x, shot.y) == pytest.approx(CORNERS[shot.name], rel=0, abs=1e-9)


def test_nails_alone_give_the_corners_where_their_strings_cross() -> None:
    laid = layout(placed())
    nails = {
        f"board_{board.name}_mark_{at}": (mark.x, mark.y)
        for board in laid.boards
        for at, mark in enumerate(board.marks, start=1)
    }
    found = read(laid, on_the_ground(nails))
    assert found.crossed
    assert len(found.nails) == len(nails)
    for shot in found.shots:
        assert (shot.x, shot.y) == pytest.approx(CORNERS[shot.name], rel=0, abs=1e-8)


def test_a_hub_counts_across_its_line_alone() -> None:
    laid = layout(placed())
    hub = laid.hubs[0]
    rows = on_the_ground({f"hub_{hub.corner}_{hub.wall}": (hub.x, hub.y), **CORNERS})
    spot = next(e for e in read(laid, rows).others if e.point.name.startswith("hub"))
    assert spot.across is not None
    x, y = CORNERS[hub.corner]
    along = (hub.x - x) * spot.across[0] + (hub.y - y) * spot.across[1]
    assert along == pytest.approx(0.0, rel=0, abs=1e-12)
    assert math.hypot(*spot.across) == pytest.approx(1.0, rel=0, abs=1e-12)
