"""Boxes and lines as columns, beside Shapely's own answers for the same shapes."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely

from staking.output.drawing.drawn_words import Box, Segment, Text, Variant
from staking.output.drawing.places.ground_columns import (
    box_columns,
    cover,
    line_columns,
    meet,
    touching,
    touching_all,
    word_columns,
)
from staking.output.drawing.places.label_places import place

_AIR = 1e-6
"""Nearer than this, m, either answer is right."""


def random_boxes(count: int, seed: int) -> list[Box]:
    numbers = np.random.default_rng(seed)
    return [
        Box(x=x, y=y, width=2 + 3 * w, height=0.5 + h, turn=turn)
        for x, y, w, h, turn in zip(
            *numbers.uniform(-6, 6, (2, count)),
            *numbers.uniform(0, 1, (2, count)),
            numbers.choice([0.0, math.pi / 2, 0.3, -1.2], count),
            strict=True,
        )
    ]


def random_lines(count: int, seed: int) -> list[Segment]:
    ends = np.random.default_rng(seed).uniform(-8, 8, (count, 4)).round(1).tolist()
    return [((a, b), (c, b if i % 5 == 0 else d)) for i, (a, b, c, d) in enumerate(ends)]


def shapes(boxes: list[Box]) -> list[shapely.Polygon]:
    return [shapely.Polygon(box.corners) for box in boxes]


@pytest.mark.parametrize("seed", range(3))
def test_boxes_cover_one_another_where_their_polygons_share_ground(seed: int):
    boxes, others = random_boxes(400, seed), random_boxes(400, seed + 10)
    found = cover(box_columns(boxes), box_columns(others))
    pairs = list(zip(shapes(boxes), shapes(others), strict=True))
    sure = [abs(shapely.area(shapely.intersection(a, b))) for a, b in pairs]
    apart = [shapely.distance(a, b) for a, b in pairs]
    for is_covered, area, gap in zip(found, sure, apart, strict=True):
        assert is_covered == (area > 0) or max(area, gap) < _AIR


@pytest.mark.parametrize("seed", range(3))
def test_lines_meet_boxes_where_they_cross_the_polygons(seed: int):
    boxes, lines = random_boxes(400, seed), random_lines(400, seed)
    found = meet(box_columns(boxes), line_columns(lines))
    for is_met, shape, line in zip(found, shapes(boxes), lines, strict=True):
        other = shapely.LineString(line)
        near = shapely.distance(shapely.boundary(shape), other) < _AIR
        assert is_met == shapely.intersects(shape, other) or near


def test_a_level_line_along_a_side_meets_the_box_and_one_past_it_does_not():
    box = box_columns([Box(x=0.0, y=0.0, width=4.0, height=2.0)] * 3)
    lines = line_columns([((-5.0, 1.0), (5.0, 1.0)), ((-5.0, 1.1), (5.0, 1.1)), ((0.0, 0.0),) * 2])
    assert meet(box, lines).tolist() == [True, False, True]


def test_all_that_touches_is_found():
    boxes, others = random_boxes(60, 1), random_boxes(80, 2)
    own, there = touching(box_columns(boxes), box_columns(others))
    hulls = [[shapely.box(*shape.bounds) for shape in shapes(each)] for each in (boxes, others)]
    expected = {
        (i, j)
        for i, one in enumerate(hulls[0])
        for j, other in enumerate(hulls[1])
        if shapely.intersects(one, other)
    }
    assert set(zip(own.tolist(), there.tolist(), strict=True)) == expected
    near = set(touching_all(box_columns(boxes[:1]), box_columns(others)).tolist())
    assert near == {j for i, j in expected if i == 0}


def test_words_cover_the_ground_of_their_boxes():
    texts = [
        Text(text=word, x=1.0, y=2.0, height=0.3, turn=turn, align=align)
        for word in ("board 12", "C-D")
        for turn in (0.0, 1.0)
        for align in (-1, 0, 1)
    ]
    assert np.allclose(word_columns(texts), box_columns([t.box for t in texts]), rtol=0, atol=1e-9)


def test_a_word_keeps_off_another_words_lines_and_its_lines_off_words():
    word = Variant(texts=(Text(text="AAAA", x=0.0, y=0.0, height=1.0),))
    leader = (((-9.0, 0.0), (9.0, 0.0)),)
    through = Variant(texts=(Text(text="B", x=20.0, y=0.0, height=1.0),), lines=leader)
    beside = Variant(texts=(Text(text="B", x=20.0, y=9.0, height=1.0),), penalty=9)
    assert place([[word], [through, beside]], [], []) == (word, beside)
    off = Variant(texts=(Text(text="AAAA", x=0.0, y=9.0, height=1.0),), penalty=9)
    assert place([[through], [word, off]], [], []) == (through, off)
