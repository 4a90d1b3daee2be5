"""What is said of two layouts one after the other; numbers, places and lengths are invented."""

from __future__ import annotations

from dataclasses import replace

from staking.laid_out.layout_changes import BoardMemory, Memory, layout_changes
from staking.output.wording import Words
from staking.plan import Options

FOOT = 0.3048
NAILS = {"outside face A-B": 0.0, "inside face A-B": -8 / 12 * FOOT}


def board(at: str, x: float) -> BoardMemory:
    return BoardMemory(at=at, place=(x * FOOT, 0.0), nails=NAILS)


BEFORE = Memory(
    mark="BCDFGHJK",
    boards={"1": board("A-B start", -4), "2": board("A-B end", 40), "3": board("B-C start", 44)},
    tapes={"A-B": 36 * FOOT, "B-C": 24 * FOOT},
)


def said(now: Memory, before: Memory = BEFORE) -> list[str]:
    words = Words(Options())
    return [words.notice(each) for each in layout_changes(before, now)]


def changed(**values: object) -> Memory:
    return replace(BEFORE, mark="ZYXWVTSR", **values)  # type: ignore[arg-type]


def test_the_same_layout_has_not_changed() -> None:
    assert said(BEFORE) == ["nothing has changed: layout BCDFGHJK"]


def test_another_mark_with_the_same_figures_says_that_they_are_the_same() -> None:
    assert said(changed()) == [
        "boards, nails, tapes and levels are the same; something else of the layout is not"
    ]


def test_a_board_with_another_number_is_the_same_board() -> None:
    boards = {"1": BEFORE.boards["2"], "2": BEFORE.boards["1"], "3": BEFORE.boards["3"]}
    assert said(changed(boards=boards)) == ["boards have other numbers: 2 is now 1, 1 is now 2"]


def test_a_board_that_moved_is_named_with_how_far() -> None:
    boards = {**BEFORE.boards, "2": board("A-B end", 40.5)}
    assert said(changed(boards=boards)) == ['board 2 stands elsewhere, by up to 6"']


def test_less_than_half_a_millimetre_is_no_move() -> None:
    boards = {**BEFORE.boards, "2": board("A-B end", 40 + 0.0004 / FOOT)}
    assert "stands elsewhere" not in " ".join(said(changed(boards=boards)))


def test_boards_come_and_go() -> None:
    boards = {"1": BEFORE.boards["1"], "2": BEFORE.boards["2"], "3": board("C-D start", 9)}
    assert said(changed(boards=boards)) == ["board 3 is new", "board 3 is gone"]


def test_nails_with_other_offsets_are_named_by_board() -> None:
    moved = replace(BEFORE.boards["1"], nails={**NAILS, "inside face A-B": -10 / 12 * FOOT})
    fewer = replace(BEFORE.boards["3"], nails={"outside face A-B": 0.0})
    boards = {"1": moved, "2": BEFORE.boards["2"], "3": fewer}
    assert said(changed(boards=boards)) == [
        "nails have other offsets on boards 1, 3: set them anew"
    ]


def test_tapes_that_read_otherwise_and_other_pairs_are_named() -> None:
    tapes = {"A-B": 36.5 * FOOT, "A-C": 43 * FOOT}
    assert said(changed(tapes=tapes)) == [
        "other lengths are to be read on A-B",
        "other pairs are taped: new A-C; no longer B-C",
    ]


def test_levels_are_compared_where_both_are_known() -> None:
    before = replace(BEFORE, levels={("A-B", 0.0): 29.0, ("A-B", 4.0): 28.8, ("B-C", 0.0): 28.8})
    now = replace(before, levels={("A-B", 0.0): 29.1016, ("A-B", 6.0): 28.8, ("B-C", 0.0): 28.8})
    # 0.1016 m is 4"; the mark alone does not tell, for grade.json is of another run
    assert said(now, before) == [
        'other dig levels than in the grade.json here, by up to 4", on A-B',
        "the footing steps elsewhere than in the grade.json here, on A-B",
    ]
    assert said(replace(now, levels=None), before) == ["nothing has changed: layout BCDFGHJK"]


def test_levels_and_tapes_may_differ_by_half_a_millimetre_and_by_no_more() -> None:
    before = replace(BEFORE, levels={("A-B", 0.0): 0.0}, tapes={"A-B": 0.0})
    near = said(replace(before, levels={("A-B", 0.0): 0.0005}), before)
    assert near == ["nothing has changed: layout BCDFGHJK"]
    assert said(replace(before, levels={("A-B", 0.0): 0.0006}), before)[0].startswith("other dig")
    taped = replace(before, mark="ZYXWVTSR", tapes={"A-B": 0.0005})
    assert not any("lengths" in each for each in said(taped, before))
    far = replace(taped, tapes={"A-B": 0.0006})
    assert "other lengths are to be read on A-B" in said(far, before)
