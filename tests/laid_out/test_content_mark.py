"""The mark of a content: stable against rounding, moved by everything else."""

from __future__ import annotations

import re

from staking.laid_out.content_mark import ALPHABET, LENGTH, content_mark, dated_mark, mark_in


def test_a_mark_is_eight_letters_that_make_no_words() -> None:
    mark = content_mark(["A", 1.0])
    assert re.fullmatch(rf"[{ALPHABET}]{{{LENGTH}}}", mark)
    assert not set("AEIOU") & set(ALPHABET)


def test_rounding_in_the_last_bit_changes_nothing_in_any_unit() -> None:
    """Sixteenths of an inch and millimetres turned to metres two ways: n x 0.0254 / 16 and back."""
    for sixteenths in range(1, 4000, 7):
        one = sixteenths * 0.0254 / 16
        other = sixteenths / 192 * 0.3048
        assert content_mark([one]) == content_mark([other])
    for millimetres in range(1, 4000, 7):
        assert content_mark([millimetres / 1000]) == content_mark([millimetres * 0.1 / 100])


def test_a_hundredth_of_a_millimetre_changes_the_mark() -> None:
    assert content_mark([3.0]) != content_mark([3.00001])


def test_names_do_not_slide_into_one_another() -> None:
    contents = (["AB", "C"], ["A", "BC"], [["AB"], "C"], ["AB", ["C"]], ["AB", "C", None])
    assert len({content_mark(each) for each in contents}) == len(contents)


def test_a_length_is_no_flag_and_no_name() -> None:
    assert len({content_mark([each]) for each in (1.0, True, "1.0", None)}) == 4


def test_the_order_counts() -> None:
    assert content_mark(["A", "B"]) != content_mark(["B", "A"])


def test_a_mark_is_found_again_in_what_carries_it() -> None:
    mark = content_mark(["A", 2.0])
    assert mark_in(f"A,1,2,{dated_mark(mark, '2026-11-30')}\r\n") == mark
    assert mark_in(f"# layout {dated_mark(mark, None)}\n") == mark


def test_the_last_mark_of_a_file_counts() -> None:
    first, last = content_mark(["A"]), content_mark(["B"])
    text = (
        f"# layout {dated_mark(first, '2026-01-01')}\n# layout {dated_mark(last, '2026-02-02')}\n"
    )
    assert mark_in(text) == last


def test_eight_capitals_alone_are_no_mark() -> None:
    assert mark_in("BCDFGHJK\nMNPQRSTV of the lot\n") is None
