import math

import pytest

from staking.output.drawing.drawing_sheet import wrap
from staking.output.drawing.drawn_words import Box, Text, Variant, scales, text_width, upright
from staking.output.drawing.layers import clean_text
from staking.output.drawing.places.label_places import place
from staking.plan import Show


def text(x: float, y: float, words: str = "A-B") -> Variant:
    return Variant(texts=(Text(text=words, x=x, y=y, height=1.0),))


def test_boxes_turned_against_each_other_share_ground_only_where_they_do():
    flat = Box(x=0, y=0, width=4, height=2)
    turned = Box(x=0, y=2.3, width=2, height=2, turn=math.pi / 4)
    # The turned square's lowest corner is at 2.3 - sqrt(2) = 0.886, under the flat top at 1.
    assert flat.covers(turned)
    assert not flat.covers(Box(x=0, y=2.5, width=2, height=2, turn=math.pi / 4))


def test_a_line_meets_a_box_only_where_it_enters_it():
    box = Box(x=0, y=0, width=4, height=2, turn=math.pi / 2)
    assert box.meets(((-5, 1.9), (5, 1.9)))
    assert not box.meets(((-5, 2.1), (5, 2.1)))
    assert not box.meets(((2, 0), (5, 0)))


def test_a_label_takes_its_first_place_that_covers_nothing():
    chosen = place([[text(0, 0)], [text(1, 0), text(0, 5)]], [], [])
    assert chosen[1] == text(0, 5)


def test_a_label_keeps_off_lines_where_it_can():
    chosen = place([[text(0, 0), text(0, 3)]], [((-9, 0), (9, 0))], [])
    assert chosen == (text(0, 3),)


def test_a_label_crosses_a_line_rather_than_cover_a_word():
    chosen = place([[text(0, 0)], [text(0, 0), text(0, 3)]], [((-9, 3), (9, 3))], [])
    assert chosen[1] == text(0, 3)


def test_the_same_labels_always_give_the_same_places():
    labels = [[text(x, y) for x in range(3) for y in range(3)] for _ in range(5)]
    assert place(labels, [], []) == place(labels, [], [])


def test_a_huge_plan_tries_no_more_places_than_a_large_one():
    tried = []

    def variants(at: int):
        for i in range(100):
            tried.append(at)
            yield text(0, 0, f"{at} {i}")

    place([variants(at) for at in range(3000)], [], [])
    assert len(tried) <= 4 * 3000


@pytest.mark.parametrize(
    ("given", "read"), [(0, 0), (180, 0), (90, 90), (-90, 90), (270, 90), (135, -45), (30, 30)]
)
def test_text_reads_from_below_or_from_the_right(given: float, read: float):
    assert math.degrees(upright(math.radians(given))) == pytest.approx(read, rel=0, abs=1e-9)


def test_feet_jobs_plot_at_architects_scales_and_metric_ones_at_round_ratios():
    assert scales(Show.FEET_INCHES)[4] == (96, '1/8" = 1\'-0"')
    assert scales(Show.MILLIMETRES)[2] == (50, "1:50")


@pytest.mark.parametrize(
    ("given", "kept"),
    [
        ("plain 36'", "plain 36'"),
        ("two\nlines\r\n 0\x00", "two lines 0"),
        ("A^J", "A^ J"),
        ("A^ J", "A^ J"),
        ("50%%d", "50% %d"),
        ("%%%%c", "% % % %c"),
        ("5 %", "5 %"),
        ("\\U+0041", "\\ U+0041"),
        ("\\m+1aaaa", "\\ m+1aaaa"),
        ("C:\\barn", "C:\\barn"),
        ("\ud800\u202eabc", "abc"),
        ("Grünes Häuschen 倉庫", "Grünes Häuschen 倉庫"),
    ],
)
def test_text_from_a_job_becomes_one_line_without_codes(given: str, kept: str):
    assert clean_text(given) == kept


def test_lines_of_the_title_fit_their_width_whatever_the_words():
    rows = wrap("a barn " + "x" * 200 + " by the brook", 3.5, 54)
    assert all(text_width(row, 3.5) <= 54 for row in rows)
    assert "".join(rows).replace(" ", "") == "abarn" + "x" * 200 + "bythebrook"
