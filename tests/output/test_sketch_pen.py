"""The pen of sketches: which words it keeps, and which a line runs through."""

from __future__ import annotations

from staking.output.drawing.drawn_words import Box, Text, Variant
from staking.output.pictures.sketch_pen import SketchPen


def word(x: float, y: float) -> Text:
    return Text(text="AB", x=x, y=y, height=1.0)


def pen() -> SketchPen:
    # 40 m by 20 m about the origin, a millimetre of paper for a metre.
    return SketchPen("sketch", Box(x=0.0, y=0.0, width=40.0, height=20.0), 1.0)


def test_a_line_runs_through_a_label_where_it_runs_through_one_of_its_words() -> None:
    drawn = pen()
    drawn.line((-20.0, 5.0), (20.0, 5.0), 0.2)
    clear, through = word(0.0, 0.0), word(0.0, 5.0)
    labels = [
        Variant(texts=(clear,)),
        Variant(texts=(clear, through)),
        Variant(),
        Variant(texts=(through,)),
        Variant(texts=(clear, clear)),
    ]
    assert drawn.struck(labels) == [False, True, False, True, False]


def test_a_line_that_words_need_not_keep_off_strikes_none() -> None:
    drawn = pen()
    assert drawn.struck([Variant(texts=(word(0.0, 5.0),))]) == [False]
    drawn.line((-20.0, 5.0), (20.0, 5.0), 0.2, kept_off=False)
    assert drawn.struck([Variant(texts=(word(0.0, 5.0),))]) == [False]
    assert drawn.struck([]) == []


def test_places_are_kept_that_lie_in_the_window_whole_and_over_its_foot() -> None:
    inside, outside, low = word(0.0, 0.0), word(20.0, 0.0), word(0.0, -7.0)
    places = [Variant(texts=(each,)) for each in (inside, outside, low)]
    places.append(Variant(texts=(inside, outside)))
    assert [each.texts for each in pen().kept(places, 0.5)] == [(inside,), (low,)]
    assert [each.texts for each in pen().kept(places, 0.5, 5.0)] == [(inside,)]
