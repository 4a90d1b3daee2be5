"""One course as people write it."""

from __future__ import annotations

import math

import pytest

from staking.deed import CurvedCourse, CurvesTo, StraightCourse
from staking.errors import MeasureError
from staking.measure.deed.course import read_course
from staking.measure.deed.distances import read_distance
from staking.units import FOOT, US_SURVEY_FOOT, Unit

N88 = 88 + 30 / 60 + 15 / 3600


@pytest.mark.parametrize(
    "words",
    [
        "N 88 30 15 E 120'",
        "N88-30-15E 120.00",
        "thence N 88°30'15\" E 120.00 feet to an iron pin",
        "THENCE NORTH 88 DEGREES 30 MINUTES 15 SECONDS EAST, A DISTANCE OF 120.00 FEET",
        "thence N. 88° 30' 15\" E., along the south line of Lot 5, 120 ft.",
        "thence N 88°30’15” E for a distance of 120.00' to a 1/2\" rebar with cap LS 1234",
        "thence N 88º30'15'' E (120.00 feet) to the west line of a 60 foot right-of-way",
        "N 88 DEG 30' 15\" E 120.00 FT",
        "thence along Mill Creek Road N 88°30'15\" E 120.00 feet (36.576 m)",
        "(3) N 88°30'15\" E, 120.00 feet, to the NE corner of the NW 1/4 of Section 12",
        "thence, with the line recorded in Volume 3, Page 40, N 88°30'15\" E - 120.00 feet",
        "thence 120.00 feet on a line bearing N 88°30'15\" E",
    ],
)  # fmt: skip
def test_one_course_in_many_words(words: str) -> None:
    course = read_course(words, Unit.FT)
    assert isinstance(course, StraightCourse)
    assert math.degrees(course.azimuth) == pytest.approx(N88, rel=0, abs=1e-9)
    assert course.length / FOOT == pytest.approx(120.0, rel=0, abs=1e-9)
    assert course.words.text == " ".join(words.split())


@pytest.mark.parametrize(
    ("words", "azimuth", "feet"),
    [
        ("E 14.48", 90, 14.48),
        ("West 19.53 feet", 270, 19.53),
        ("thence due South 100.5'", 180, 100.5),
        ("thence North along the fence 121 feet", 0, 121),
        ("N 89 W 1.12 ch", 271, 73.92),
        ("S 1 W 2 chains 50 links", 181, 165),
        ("N 12°30' E 12 rods to a stone", 12.5, 198),
        ("S 5 E 7 poles and 3 links", 175, 117.48),
        ("N 10 E 1,110.25 feet", 10, 1110.25),
        ("N 10 E 95 feet, 6 inches", 10, 95.5),
        ("N 10 E 95' 6 1/2\"", 10, 95 + 6.5 / 12),
        ("N 10 E 36.576 m", 10, 120),
    ],
)
def test_points_of_the_compass_and_old_measures(words: str, azimuth: float, feet: float) -> None:
    course = read_course(words, Unit.FT)
    assert isinstance(course, StraightCourse)
    assert math.degrees(course.azimuth) == pytest.approx(azimuth, rel=0, abs=1e-9)
    assert course.length / FOOT == pytest.approx(feet, rel=0, abs=1e-9)


def test_a_bare_distance_is_in_the_unit_given() -> None:
    assert read_distance("120", Unit.M) == 120.0
    assert read_distance("1 chain", Unit.US_FT) == pytest.approx(66 * US_SURVEY_FOOT, rel=1e-12)
    with pytest.raises(MeasureError, match="not a distance over zero"):
        read_distance("0", Unit.FT)
    with pytest.raises(MeasureError, match="is over 10 km"):
        read_distance("99999 m", Unit.FT)


@pytest.mark.parametrize(
    "words",
    [
        "curve right radius 50' chord S 44 10 W 62' 3\"",
        "thence along the arc of a curve to the right, with a radius of 50.00 feet, the chord of "
        "which bears S 44°10' W 62.25 feet, to a point",
        "thence 67.15 feet along a 50 foot radius curve to the right, whose chord bears "
        "S 44°10'00\" W, 62.25 feet",
    ],
)  # fmt: skip
def test_a_curve_by_its_radius_and_chord(words: str) -> None:
    course = read_course(words, Unit.FT)
    assert isinstance(course, CurvedCourse)
    assert course.to is CurvesTo.RIGHT
    assert course.radius == pytest.approx(50 * FOOT)
    assert course.chord == pytest.approx(62.25 * FOOT)
    assert math.degrees(course.chord_azimuth or 0) == pytest.approx(224 + 10 / 60)


def test_every_part_of_a_curve_has_its_name() -> None:
    course = read_course(
        "thence along a tangent curve to the left having a radius of 18.38 feet, a central angle "
        "of 90°00'00\", an arc length of 28.87 feet, a tangent of 18.38 feet and a chord which "
        "bears N 34°09'26\" E a distance of 25.99 feet",
        Unit.FT,
    )
    assert isinstance(course, CurvedCourse)
    parts = (course.radius, course.arc, course.tangent, course.chord)
    assert [part and part / FOOT for part in parts] == pytest.approx([18.38, 28.87, 18.38, 25.99])
    assert course.angle == pytest.approx(math.pi / 2)


@pytest.mark.parametrize(
    "words",
    [
        "thence N 10 E, passing an iron pin at 20.00 feet, a total distance of 100.00 feet",
        "thence N 10 E at 20.00 feet passing a pin, at 60 feet a fence, in all 100.00 feet",
        "thence N 10 E, crossing the alley at 20 feet, 100.00 feet in all",
        "thence N 10 E a total distance of 100.00 feet, passing a pin at 20.00 feet",
    ],
)
def test_what_is_passed_on_the_way_is_no_length_of_the_course(words: str) -> None:
    course = read_course(words, Unit.FT)
    assert isinstance(course, StraightCourse)
    assert course.length == pytest.approx(100 * FOOT, rel=0, abs=1e-9)
    assert course.words.distance == "100.00 feet"


@pytest.mark.parametrize(
    ("words", "to"),
    [
        ("along a curve concave to the northeast, radius 50', chord N 30 W 20'", CurvesTo.RIGHT),
        ("along a curve concave southwesterly, radius 50', chord N 30 W 20'", CurvesTo.LEFT),
        ("along a curve concave north, radius 50', chord S 80 E 20'", CurvesTo.LEFT),
        ("along a curve concave westerly, radius 50', chord N 10 E 20'", CurvesTo.LEFT),
    ],
)
def test_a_concave_curve_turns_toward_its_centre(words: str, to: CurvesTo) -> None:
    """North-east lies right of N 30 W, south-west left; north left of S 80 E, west of N 10 E."""
    course = read_course(words, Unit.FT)
    assert isinstance(course, CurvedCourse)
    assert course.to is to


def test_a_radial_line_runs_to_the_side_that_is_concave() -> None:
    text = "curve left concave northwesterly, radial bearing S 30 E, radius 50', arc 20'"
    course = read_course(text, Unit.FT)
    assert isinstance(course, CurvedCourse)
    assert math.degrees(course.radial_azimuth or 0) == pytest.approx(330.0, rel=0, abs=1e-9)


@pytest.mark.parametrize(
    ("words", "message"),
    [
        ("thence N 10 E 100 feet, passing a pin at 20 feet", "two distances"),
        ("thence N 10 E passing a pin at 120 feet, a total distance of 100 feet", "two distances"),
        ("curve concave north, radius 50', chord N 10 E 20'", "its concave side does not tell"),
        ("thence northerly 100 feet", "has no bearing"),
        ("thence at right angles 100 feet", "has no bearing"),
        ("thence N 10 E to a pin", "has no distance"),
        ("thence N 10 E one hundred feet", "has no distance"),
        ("thence N 10 E 100 feet more or less", "only about right"),
        ("thence N 10 E 100 feet +/-", "only about right"),
        ("thence N 10 E approximately 100 feet", "only about right"),
        ("thence down the creek N 10 E 100 feet", "follows water"),
        ("thence with the meanders of the branch N 10 E 100 feet", "follows water"),
        ("thence N 10 E 100 feet and 20 feet to a pin", "two distances"),
        ("thence N 10 E 100 feet (40 m)", "two distances"),
        ("thence N 10 E 100 feet S 80 E 20 feet", "two bearings"),
        ("thence N 10 E 100 feet at 7.5", 'at 7.5" is not understood'),
        ("thence N 10 E 100 feet passing a pin at 20", "is not understood"),
        ("thence N 100 E 100 feet", "more than 90 degrees"),
        ("curve right radius 50'", "too little of the curve"),
        ("curve radius 50' arc 20'", "left or right"),
        ("curve to the left and right radius 50' arc 20'", "both left and right"),
        ("curve right radius 50' chord 20' N 10 E 30'", "nothing says"),
        ("curve right radius 50' arc 20' and 30 more", "nothing says which part"),
        ("curve right arc 20' angle 20 0 0 angle 30 0 0", "two angles"),
        ("", "has no bearing"),
    ],
)
def test_what_is_not_understood_is_refused(words: str, message: str) -> None:
    with pytest.raises(MeasureError, match=message):
        read_course(words, Unit.FT)
