"""Whole descriptions as they are pasted."""

from __future__ import annotations

import pytest

from staking.deed import CurvedCourse, CurvesTo, StraightCourse
from staking.errors import MeasureError
from staking.measure.deed.description import PieceKind, read_description
from staking.units import FOOT, Unit

LOT = """Lot 7, Block 3, Orchard Addition, described as follows:
COMMENCING at a stone found at the northeast corner of Section 12; thence S 00°15'00" W along the
section line, 574.07 feet; thence West 30.00 feet to a 1/2 inch iron rod at the TRUE POINT OF
BEGINNING; thence N 88°30'15" E 120.00 feet; thence S 1°20'00" E 95.50 feet to a 5/8" rebar in the
north line of Oak Street (60 feet wide); thence S 88°45'00" W, with said north line, 121.10 feet;
thence N 0°41'00" W 95.00 feet to the POINT OF BEGINNING, containing 11,481 square feet, more or
less. Basis of bearings: the north line of Section 12, taken as N 88°30'15" E.
"""


def test_a_description_is_cut_into_ties_and_courses() -> None:
    found = read_description(LOT, Unit.FT)
    assert found.faults == ()
    kinds = [piece.kind for piece in found.pieces]
    assert kinds == [
        PieceKind.OPENING, PieceKind.TIE, PieceKind.TIE, *[PieceKind.COURSE] * 4, PieceKind.CLOSING
    ]  # fmt: skip
    assert len(found.courses) == 4
    assert found.stated_area == pytest.approx(11_481 * FOOT**2)
    assert found.stated_within == pytest.approx(0.5 * FOOT**2)
    assert found.basis == "Basis of bearings: the north line of Section 12, taken as N 88°30'15\" E"


def test_every_word_but_the_basis_stands_in_a_piece() -> None:
    found = read_description(LOT, Unit.FT)
    said = " ".join(piece.words for piece in found.pieces) + (found.basis or "")
    words = {word.strip(".,;") for word in LOT.split()}
    assert {word for word in words if word not in said} == set()


def test_a_lot_that_begins_where_it_is_described_has_no_tie() -> None:
    text = LOT.replace("COMMENCING", "BEGINNING").replace("TRUE POINT OF\nBEGINNING", "corner")
    found = read_description(text, Unit.FT)
    assert (len(found.ties), len(found.courses)) == (0, 6)


def test_courses_without_thence_part_at_semicolons_and_lines() -> None:
    text = (
        "BEG 20 FT N OF THE SW COR LOT 3; N 0 DEG 10' E 100 FT; E 50 FT;\nS 100 FT; W 50 FT TO BEG"
    )
    found = read_description(text, Unit.FT)
    assert found.faults == ()
    assert len(found.courses) == 4
    assert found.opening == "BEG 20 FT N OF THE SW COR LOT 3"


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("more or\nless.", "more or less. LESS AND EXCEPT the west 5 feet.", "taken out"),
        ("described as", "except the north 10 feet, described as", "taken out"),
        ("120.00 feet;", "120.00 feet, more or less;", "only about right"),
        ("S 1°20'00\" E 95.50 feet", "along the creek 95.50 feet", "follows water"),
        ("N 0°41'00\" W 95.00 feet to", "to", "has no bearing"),
        ("120.00 feet;", "to a pin;", "has no distance"),
        ("121.10 feet;", "121.10 feet, at 60.55 feet a pin;", "two distances"),
        ("more or\nless. Basis", "more or less. Together with an easement N 10 E 20 feet. Basis",
         "a second description"),
    ],
)  # fmt: skip
def test_one_bad_piece_is_named_and_the_others_are_read(old: str, new: str, message: str) -> None:
    assert old in LOT
    found = read_description(LOT.replace(old, new), Unit.FT)
    ((words, fault),) = found.faults
    assert message in fault.message
    assert words
    sound = [piece for piece in found.pieces if piece.fault is None]
    assert len(sound) == len(found.pieces) - 1


def test_an_area_more_or_less_is_no_fault() -> None:
    assert read_description(LOT, Unit.FT).faults == ()


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("Lot 3, Block 2, Orchard Addition", "a lot and block alone has no courses"),
        ("all of lot 12 of the plat", "a lot and block alone has no courses"),
        ("the ground behind the barn", "no courses are found"),
        ("", "no courses are found"),
        ("x" * 300_000, "too long"),
    ],
)
def test_a_text_without_courses_is_refused(text: str, message: str) -> None:
    with pytest.raises(MeasureError, match=message):
        read_description(text, Unit.FT)


CLOSING = "thence S 80 E 100 feet; thence S 10 W 125 feet; thence N 80 W 125 feet to the beginning."


@pytest.mark.parametrize(
    ("ahead", "curve"),
    [
        ("a curve to the right", "with a radius of 25.00 feet and a central angle of 90°00'00\""),
        (
            "a tangent curve concave southeasterly having a radius of 25.00 feet",
            "through a central angle of 90°00'00\", an arc length of 39.27 feet",
        ),
        ("a 25.00 foot radius curve concave to the east", "an arc distance of 39.27 feet"),
        (
            "a curve, concave to the southeast, having a radius of 25.00 feet",
            "the chord of which bears N 55°00' E 35.36 feet",
        ),
    ],
)
def test_what_a_course_says_of_the_curve_that_follows_is_read_with_it(
    ahead: str, curve: str
) -> None:
    """A corner of a lot rounded off by a quarter of a circle, its radius 25 feet.

    The arc is 25 x pi / 2 = 39.27, the chord 25 x sqrt 2 = 35.36 on N 10 E + 45 degrees.
    """
    text = (
        f"Beginning at the NE corner; thence N 10 E 100.00 feet to the beginning of {ahead}; "
        f"thence along said curve {curve}; {CLOSING}"
    )
    found = read_description(text, Unit.FT)
    assert (len(found.ties), len(found.courses), found.faults) == (0, 5, ())
    straight, turned = found.courses[:2]
    assert isinstance(straight, StraightCourse)
    assert straight.length == pytest.approx(100 * FOOT, rel=0, abs=1e-9)
    assert isinstance(turned, CurvedCourse)
    assert turned.to is CurvesTo.RIGHT
    assert turned.radius == pytest.approx(25 * FOOT, rel=0, abs=1e-9)
    assert turned.words.text.startswith("thence along said curve")


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (
            "thence N 10 E 100 feet to the beginning of a curve having a radius of 25 feet; "
            "thence S 80 E 100 feet; thence S 45 W 10 feet",
            "is said of a curve, and",
        ),
        (
            "thence N 10 E 100 feet; thence S 80 E 100 feet to a curve to the left",
            "no course follows",
        ),
        (
            "thence N 10 E 100 feet to the beginning of a curve concave northerly with a radius of "
            "25 feet; thence along said curve an arc of 39.27 feet; thence S 80 E 100 feet",
            "its concave side does not tell",
        ),
        (
            "thence N 10 E 100 feet to the beginning of a curve concave easterly; thence along "
            "said curve with an arc of 39.27 feet and a chord of 35.36 feet; thence S 80 E 9 feet",
            "left or right",
        ),
    ],
)
def test_a_curve_told_by_halves_is_shown_and_refused(text: str, message: str) -> None:
    """Concave northerly, where the course before runs N 10 E, is neither hand's side."""
    found = read_description(text, Unit.FT)
    assert any(message in fault.message for _, fault in found.faults)


def test_short_words_of_assessors() -> None:
    text = """Com. at SE cor Sec 8, T2N R5W; th N 0°10' W 400 ft; th N 89°50' W 33 ft to POB; th
    N 89°50' W 200 ft; th N 0°10' W 100 ft; th S 89°50' E 200 ft; th S 0°10' E 100 ft to POB.
    .46 AC"""
    found = read_description(text, Unit.FT)
    assert (len(found.ties), len(found.courses), found.faults) == (2, 4, ())
    assert found.stated_area == pytest.approx(0.46 * 43_560 * FOOT**2)


@pytest.mark.parametrize(
    "piece",
    [
        "1", "a", " ", "n", "1 ", "thence ", "n 1 e ", "bearings are ", "along ", "1,", "(",
        "said lot ", "curve ", "chord ", "to the point of beginning ", "'", "°", "beg ", "1-",
        "1/2 inch ",
    ],
)  # fmt: skip
def test_endless_text_is_read_or_refused_at_once(piece: str) -> None:
    for text in (piece * (90_000 // len(piece)), "thence " + piece * (2_900 // len(piece))):
        try:
            found = read_description(text, Unit.FT)
        except MeasureError:
            continue
        assert found.faults
