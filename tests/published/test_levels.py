"""Level books, cuts and fills, and grade rods, as printed.

level-1: W. Amin, engineering survey notes, Universiti Sains Malaysia, levelling example.
level-2: worked question on differential levelling (public question-and-answer page).
level-3: C. D. Ghilani and P. R. Wolf, Elementary Surveying, chapter 5 (from memory).
level-4, E15: level circuit sample problem on a public page; its adjusted column is derived.
level-5: Modern Carpentry, Building Layout, finding grade level.
grade-1, grade-2, E10 to E12: NAVEDTRA 14081, Equipment Operator, chapter 15, p. 15-30 (the text
prints 376.15 once for 375.15). E13: NAVEDTRA 14070, p. 218. E14: public levelling example.
grade-3: Framing Floors, Walls and Ceilings, excavation layout record, p. 13.
"""

from __future__ import annotations

import pytest

from staking.grade.setting_out.rods import (
    CutFill,
    Sight,
    add_to_benchmark,
    adjust_by_distance,
    cut_or_fill,
    down_from_string,
    instrument_height,
    reduce_book,
    rod_reading,
    target_reading,
)


def test_level_1_a_book_closed_between_two_benchmarks() -> None:
    book = reduce_book(
        29.23,
        [
            Sight(point="OBM1", back=1.717),
            Sight(point="A", side=1.432),
            Sight(point="B", back=2.918, fore=1.716),
            Sight(point="C", side=2.272),
            Sight(point="D", back=0.816, fore=0.953),
            Sight(point="E", back=1.436, fore=3.005),
            Sight(point="CP", back=1.246, fore=1.391),
            Sight(point="F", side=1.353),
            Sight(point="G", side=1.462),
            Sight(point="OBM2", fore=0.628),
        ],
        known=29.66,
    )
    carried = {point.point: point.elevation for point in book.points}
    adjusted = {point.point: point.adjusted for point in book.points}
    assert book.backsights == pytest.approx(8.133, abs=5e-4)
    assert book.foresights == pytest.approx(7.693, abs=5e-4)
    assert book.misclosure == pytest.approx(0.01, abs=5e-4)
    printed = {
        "A": (29.515, 29.51),
        "B": (29.231, 29.23),
        "C": (29.877, 29.87),
        "D": (31.196, 31.19),
        "E": (29.007, 29.00),
        "CP": (29.052, 29.04),
        "F": (28.945, 28.93),
        "G": (28.836, 28.83),
        "OBM2": (29.670, 29.66),
    }
    for name, (level, final) in printed.items():
        assert carried[name] == pytest.approx(level, abs=5e-4)
        # The final levels are printed to 0.01, F exactly on the rounding edge.
        assert adjusted[name] == pytest.approx(final, abs=0.0051)


def test_level_2_a_book_with_its_page_check() -> None:
    book = reduce_book(
        100.0,
        [
            Sight(point="BM A", back=3.10),
            Sight(point="TP1", back=6.44, fore=9.82),
            Sight(point="TP2", back=8.76, fore=6.96),
            Sight(point="TP3", back=7.12, fore=3.27),
            Sight(point="BM B", fore=10.42),
        ],
        known=94.91,
    )
    heights = [point.instrument for point in book.points[:-1]]
    assert heights == pytest.approx([103.1, 99.72, 101.52, 105.37], abs=0.005)
    levels = [point.elevation for point in book.points[1:]]
    assert levels == pytest.approx([93.28, 92.76, 98.25, 94.95], abs=0.005)
    assert (book.backsights, book.foresights) == pytest.approx((25.42, 30.47), abs=0.005)
    assert book.misclosure == pytest.approx(0.04, abs=0.005)


def test_level_3_a_loop_of_seven_set_ups() -> None:
    back = [1.33, 0.22, 0.96, 0.46, 11.95, 12.55, 12.77]
    fore = [8.37, 7.91, 11.72, 8.71, 2.61, 0.68, 0.21]
    names = ["TP1", "TP2", "TP3", "BM Oak", "TP4", "TP5", "BM Mill"]
    sights = [Sight(point="BM Mill", back=back[0])]
    sights += [
        Sight(point=name, fore=reading, back=following)
        for name, reading, following in zip(names, fore, [*back[1:], None], strict=True)
    ]
    book = reduce_book(2053.18, sights, known=2053.18)
    assert [point.elevation for point in book.points[1:]] == pytest.approx(
        [2046.14, 2038.45, 2027.69, 2019.44, 2028.78, 2040.65, 2053.21], abs=0.005
    )
    assert book.misclosure == pytest.approx(0.03, abs=0.005)
    assert [point.adjusted for point in book.points[1:]] == pytest.approx(
        [2046.14, 2038.44, 2027.68, 2019.42, 2028.76, 2040.62, 2053.18], abs=0.0051
    )


def test_level_4_a_circuit_adjusted_by_distance() -> None:
    levels = [
        (5.245, 783.213),
        (11.271, 891.764),
        (17.718, 843.195),
        (21.964, 739.708),
        (25.247, 702.956),
        (30.5, 728.486),
    ]
    assert adjust_by_distance(levels, 728.730) == pytest.approx(
        [783.255, 891.854, 843.337, 739.884, 703.158, 728.730], abs=5e-4
    )


def test_level_5_the_difference_of_two_readings() -> None:
    # Readings of 5' 2" at A and 5' 9" at B: A is 7" higher.
    difference = cut_or_fill(ground=-(5 * 12 + 2), grade=-(5 * 12 + 9))
    assert difference == CutFill(cut=7, fill=0)


@pytest.mark.parametrize(
    ("marked", "on_hub", "on_grade", "target", "left"),
    [
        (CutFill(cut=7.5, fill=0), 5.0, 12.2, 12.5, CutFill(cut=0.3, fill=0)),
        (CutFill(cut=0, fill=7.0), 12.0, 5.5, 5.0, CutFill(cut=0, fill=0.5)),
    ],
)
def test_grade_1_and_e12_checking_from_a_hub(
    marked: CutFill, on_hub: float, on_grade: float, target: float, left: CutFill
) -> None:
    reading = target_reading(on_hub, marked)
    assert reading == pytest.approx(target, abs=0.05)
    remaining = cut_or_fill(ground=-on_grade, grade=-reading)
    assert remaining.cut == pytest.approx(left.cut, abs=0.01)
    assert remaining.fill == pytest.approx(left.fill, abs=0.01)


def test_grade_2_and_e10_fill_from_a_benchmark() -> None:
    instrument = instrument_height(365.01, 11.56)
    assert instrument == pytest.approx(376.57, abs=0.005)
    ground = instrument - 1.42
    assert ground == pytest.approx(375.15, abs=0.005)
    assert cut_or_fill(ground, 378.75).fill == pytest.approx(3.6, abs=0.005)
    rod = rod_reading(instrument, 378.75, 13.0)
    assert rod.value == pytest.approx(-2.18, abs=0.005)
    assert rod.turning_point


def test_grade_3_inches_over_the_benchmark_stake() -> None:
    # The foundation's top is 30" over the corner stake, the benchmark stake 6" over it.
    assert add_to_benchmark(6.0, 30.0) == pytest.approx(-24.0, abs=0.05)


def test_e11_a_fill_carried_on() -> None:
    ground = 240.0 - 7.0
    instrument = instrument_height(ground, 4.0)
    assert instrument == pytest.approx(237.0, abs=0.05)
    assert cut_or_fill(instrument - 4.5, 239.0).fill == pytest.approx(6.5, abs=0.05)


def test_e13_cuts_at_offset_hubs_of_a_pipe() -> None:
    invert = 122.87 - 0.0218 * 50
    assert invert == pytest.approx(121.78, abs=0.005)
    assert cut_or_fill(126.94, 122.87).cut == pytest.approx(4.07, abs=0.005)
    assert cut_or_fill(127.33, invert).cut == pytest.approx(5.55, abs=0.005)


def test_e14_height_of_instrument() -> None:
    instrument = instrument_height(820.00, 8.42)
    assert instrument == pytest.approx(828.42, abs=0.005)
    assert down_from_string(instrument, 827.22) == pytest.approx(1.20, abs=0.005)
