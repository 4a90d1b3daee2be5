"""Long names on the plan."""

from __future__ import annotations

from dataclasses import replace

from staking.job.build import parse_job
from staking.laid_out.layout_value import Layout
from staking.output.drawing.drawing_scale import frame_plan
from staking.output.drawing.short_names import ShownNames
from staking.project.layout import lay_out_job
from tests.output.printed_jobs import printed

LONG = "North_west_corner_by_the_old_oak_tre"


def laid_out(first: str, second: str = "B") -> Layout:
    text = (
        "job: Shed\nunits: ft\nbuilding:\n"
        f"  corners: {{{first}: [0, 0], {second}: [24, 0], C: [24, 16], D: [0, 16]}}\n"
        '  wall: 8"\n  footing: {width: 20", thickness: 10"}\n'
    )
    return lay_out_job(parse_job(text, "job.yaml"))


def texts(layout: Layout) -> list[str]:
    return [text.text for each in frame_plan(layout).variants for text in each.texts]


def test_a_long_name_is_shortened_on_the_plan_and_keeps_its_scale_readable() -> None:
    assert len(LONG) == 36
    layout = laid_out(LONG)
    assert "North_w..._tre" in texts(layout)
    assert not [text for text in texts(layout) if LONG in text]
    assert any(text.endswith(", B-North_w..._tre") for text in texts(layout))
    # 3/16" = 1'-0" with one-letter names; no more than a step or two smaller.
    assert frame_plan(laid_out("A")).ratio == 64
    assert frame_plan(layout).ratio <= 96


def test_names_that_would_look_alike_stay_whole() -> None:
    plan = laid_out("North_west_corner_post", "North_west_kerb_post").plan
    shown = ShownNames(plan)
    assert shown("North_west_corner_post") == "North_west_corner_post"
    assert shown("C-D") == "C-D"


def test_a_name_of_fourteen_letters_is_not_touched() -> None:
    plan = laid_out("Fourteen_lette").plan
    assert ShownNames(plan)("C-Fourteen_lette") == "C-Fourteen_lette"
    assert ShownNames(replace(plan, buildings=()))(LONG) == LONG


def test_boards_of_very_many_nails_bear_their_numbers_alone() -> None:
    layout = printed("twelve-corners").layout
    assert sum(len(board.marks) for board in layout.boards) > 100
    boards = [text for text in texts(layout) if text.startswith("board ")]
    assert sorted(boards) == sorted(f"board {each.name}" for each in layout.boards)
    assert "outer footing edge" not in texts(layout)
    # 52' between walls, some 80' with its boards, takes most of a letter sheet's 8 1/2" at
    # 1/16" = 1'-0" (common practice, no source).
    assert frame_plan(layout).ratio <= 192
