"""Deeds and traverses that others have printed: misclosure, area, curves.

The source stands beside each. Values are as printed; the tolerance is half the last printed digit
unless the test says that the source itself rounded on the way.
"""

from __future__ import annotations

import math

import pytest

from staking.deed import CourseWords, CurvedCourse, CurvesTo
from staking.measure.deed.course import read_course
from staking.measure.deed.description import ACRE, read_description
from staking.site.deed.curves import solve_curve
from staking.site.deed.slips import SlipKind, find_slips
from staking.site.deed.traverse import leg_of, walk_round
from staking.units import FOOT, Unit
from tests.site.deed.lots_by_words import deed_of, feet, square_feet, walk


def steps(*courses: str, unit: Unit = Unit.FT) -> list[tuple[float, float]]:
    """How far north and east each course leads, in the courses' own unit."""
    return [
        (north / unit.metres, east / unit.metres)
        for north, east in (leg.step for leg in walk(*courses, unit=unit).legs)
    ]


def close_to(value: float, off: float) -> object:
    return pytest.approx(value, rel=0, abs=off)


def test_four_courses_by_azimuth() -> None:
    # J. Mahun, Open Access surveying text, Traverse adjustment self-study, solution 2: latitudes
    # and departures to 0.001, misclosure 0.157, one in 15,200. The printed sums are of rounded
    # parts, so that the misclosure may differ in its last digit.
    courses = ("226 54 23 639.15'", "0 523.69'", "235 02 29 409.54'", "79 35 02 815.93'")
    azimuths = [(226, 54, 23), (0, 0, 0), (235, 2, 29), (79, 35, 2)]
    words = [
        f"{_quadrant(*each)} {text.split(' ')[-1]}"
        for each, text in zip(azimuths, courses, strict=True)
    ]
    printed = [(-436.662, -466.732), (523.690, 0.0), (-234.660, -335.645), (147.517, 802.484)]
    for own, other in zip(steps(*words), printed, strict=True):
        assert own == close_to(other, 0.0007)
    walked = walk(*words)
    assert feet(walked.misclosure) == close_to(0.157, 0.001)
    assert walked.one_in == pytest.approx(15_200, rel=0.005)


def _quadrant(degrees: int, minutes: int, seconds: int) -> str:
    azimuth = degrees * 3600 + minutes * 60 + seconds
    north = azimuth <= 324_000 or azimuth >= 972_000
    east = azimuth <= 648_000
    turn = (
        azimuth if north and east else abs(648_000 - azimuth) if not north else 1_296_000 - azimuth
    )
    d, rest = divmod(turn, 3600)
    return f"{'N' if north else 'S'} {d} {rest // 60} {rest % 60} {'E' if east else 'W'}"


def test_four_courses_by_bearing() -> None:
    # J. Mahun, the same text, Traverse adjustment self-study, solution 1.
    courses = (
        "S 36 00 00 E 379.25'", "S 75 23 18 W 408.90'", "N 14 43 29 W 298.65'",
        "N 63 59 20 E 276.55'",
    )  # fmt: skip
    north = [-306.820, -103.152, 288.842, 121.280]
    east = [222.918, -395.675, -75.909, 248.538]
    for own, other in zip(steps(*courses), zip(north, east, strict=True), strict=True):
        assert own == close_to(other, 0.0006)
    walked = walk(*courses)
    # The sums are printed as +0.150 and -0.128, from rounded parts; back is the other way.
    assert feet(walked.north) == close_to(-0.150, 0.0015)
    assert feet(walked.east) == close_to(0.128, 0.0015)


def test_four_courses_with_their_latitudes_and_departures() -> None:
    # J. Mahun, Open Access surveying text, Traverse Computations, ch. I: raw latitudes and
    # departures to 0.001; their sums, 0.083 and 0.075, are of the printed parts.
    walked = walk(
        "S 68 05 35 W 472.68'", "N 19 46 00 W 216.13'", "N 45 55 20 E 276.52'",
        "S 54 59 15 E 382.24'",
    )  # fmt: skip
    north = [-176.357, 203.395, 192.357, -219.312]
    east = [-438.548, -73.093, 198.651, 313.065]
    for own, printed in zip(walked.legs, zip(north, east, strict=True), strict=True):
        assert (feet(own.step[0]), feet(own.step[1])) == close_to(printed, 0.0005)
    assert feet(walked.north) == close_to(-0.083, 0.001)
    assert feet(walked.east) == close_to(-0.075, 0.001)
    assert feet(walked.perimeter) == close_to(1347.57, 1e-6)


def test_five_courses_to_hundredths_of_a_foot() -> None:
    # Purdue University, ASM 215, "Traverse calculations": latitudes and departures to 0.01;
    # misclosure 0.89, one in 2,771, by parts rounded to 0.01, where unrounded ones give 0.883.
    lines = [
        (26, 10, 285.1), (104, 35, 610.45), (195, 30, 720.48), (358, 18, 203.0),
        (306, 54, 647.02),
    ]  # fmt: skip
    words = [f"{_quadrant(d, m, 0)} {length}'" for d, m, length in lines]
    north = [255.88, -153.70, -694.28, 202.91, 388.48]
    east = [125.72, 590.78, -192.54, -6.02, -517.41]
    for own, printed in zip(steps(*words), zip(north, east, strict=True), strict=True):
        assert own == close_to(printed, 0.005)
    walked = walk(*words)
    assert feet(walked.misclosure) == close_to(0.89, 0.01)
    assert walked.one_in == pytest.approx(2_771, rel=0.01)


def test_five_courses_of_a_textbook() -> None:
    # C. D. Ghilani and P. R. Wolf, Elementary Surveying, the traverse of the chapter on traverse
    # computations; latitudes and departures as a course note repeats them, which carries 0.01.
    # The misclosure of 0.08 and the area of 272,600 sq ft: from memory.
    lines = [
        (126, 55, 17, 647.25), (178, 18, 58, 203.03), (15, 31, 54, 720.35),
        (284, 35, 20, 610.24), (206, 9, 41, 285.13),
    ]  # fmt: skip
    words = [f"{_quadrant(d, m, s)} {length}'" for d, m, s, length in lines]
    north = [-388.82, -202.94, 694.05, 153.70, -255.92]
    east = [517.45, 5.97, 192.89, -590.57, -125.72]
    for own, printed in zip(steps(*words), zip(north, east, strict=True), strict=True):
        assert own == close_to(printed, 0.0085)
    walked = walk(*words)
    assert feet(walked.misclosure) == close_to(0.08, 0.005)
    assert square_feet(walked.area) == close_to(272_600, 50)


def test_six_courses_that_close_to_one_in_two_hundred() -> None:
    # "Sample Traverse Computations", scribd.com/doc/279716815, tables 1 to 3.
    walked = walk(
        "N 5 30 E 495.85'", "N 46 02 E 850.62'", "S 67 38 E 855.45'", "S 12 25 E 1020.87'",
        "S 83 44 W 1117.26'", "N 55 09 W 660.08'",
    )  # fmt: skip
    assert feet(walked.misclosure) == close_to(24.6876, 0.00005)
    # From the end back to the first corner: S 47 03.76 W.
    assert math.degrees(walked.azimuth) == close_to(180 + 47 + 3.76 / 60, 0.005 / 60)
    assert walked.one_in == pytest.approx(200, rel=0.02)


def test_six_courses_in_metres() -> None:
    # A textbook's exercise, scribd.com/document/459142023: misclosure 0.0235 of 1843.455 m.
    azimuths = [
        (129, 5, 37), (8, 44, 44), (76, 45, 38), (343, 36, 39), (265, 45, 52), (188, 58, 30)
    ]  # fmt: skip
    lengths = [329.722, 210.345, 279.330, 283.426, 433.007, 307.625]
    words = [
        f"{_quadrant(*azimuth)} {length} m"
        for azimuth, length in zip(azimuths, lengths, strict=True)
    ]
    walked = walk(*words, unit=Unit.M)
    assert walked.misclosure == close_to(0.0235, 0.0001)
    assert walked.perimeter == close_to(1843.455, 0.0005)
    assert walked.one_in == pytest.approx(78_000, rel=0.01)
    east = [255.9028, 31.9823, 271.9058, -79.9715, -431.8244, -47.9906]
    for (_, own), other in zip(steps(*words, unit=Unit.M), east, strict=True):
        assert own == close_to(other, 0.00006)


def test_a_closing_whose_printed_coordinates_are_wrong() -> None:
    # justaaa.com, civil engineering 19749: misclosure 0.045, one in 22,500. Its preliminary
    # coordinates are off by up to 0.02 and not compared.
    walked = walk(
        "N 22 36 40 W 314.02'", "S 60 39 24 W 264.49'", "S 38 46 10 E 213.50'",
        "N 88 22 58 E 217.69'",
    )  # fmt: skip
    assert feet(walked.misclosure) == close_to(0.045, 0.0005)
    assert walked.one_in == pytest.approx(22_500, rel=0.005)


def test_a_lot_in_metres_with_its_area() -> None:
    # A. M. Fillone, Elementary Surveying notes, De La Salle Univ. Manila: 7,408.03 m2 of the
    # balanced lot. Nothing is balanced here: an end moved by the misclosure changes the area by
    # no more than that times half the longest way across, 0.0118 x 130 / 2.
    walked = walk(
        "S 32 47 W 42.48", "N 56 05 W 118.93", "N 2 55 E 13.72", "N 73 38 E 67.82",
        "S 77 49 E 57.31", "S 0 07 W 51.37", unit=Unit.M,
    )  # fmt: skip
    assert walked.misclosure < 0.02
    assert walked.area == close_to(7_408.03, 0.0118 * 130 / 2)


def test_five_courses() -> None:
    # C. Camp, Univ. of Memphis, CIVL 1112 traverse notes (figures from memory).
    walked = walk(
        "S 6 15 W 189.53'", "S 29 38 E 175.18'", "N 81 18 W 197.78'", "N 12 24 W 142.39'",
        "N 42 59 E 234.58'",
    )  # fmt: skip
    assert feet(walked.north) == close_to(0.079, 0.0006)
    assert feet(walked.east) == close_to(0.163, 0.0006)
    assert feet(walked.misclosure) == close_to(0.182, 0.0006)


def test_a_course_misprinted_by_120_feet_is_named() -> None:
    # A recorded parcel, Cedar Fort, Utah, block 14: .860 acre; one length is printed 10.56 where
    # the stated area and the closing ask for 130.56.
    printed = (
        "S 0 40 22 W 140.98'", "N 87 55 08 W 151.01'", "N 88 39 45 W 125.44'",
        "N 0 17 15 E 10.56'", "N 89 35 10 E 277.33'",
    )  # fmt: skip
    deed = deed_of(*printed)
    walked = walk_round(deed)
    assert feet(walked.misclosure) == close_to(119.997, 0.0005)
    (slip,) = find_slips(deed, walked)
    assert (slip.start, slip.end, slip.kind) == ("4", "5", SlipKind.DISTANCE)
    assert feet(slip.length) == close_to(130.56, 0.005)
    mended = walk(*printed[:3], "N 0 17 15 E 130.56'", printed[4])
    assert square_feet(mended.area) / ACRE == close_to(0.860, 0.0005)


def test_field_notes_with_two_tangent_curves() -> None:
    # College Station, Texas, document 209654, Lot 2A Block 46 Southwood Valley 10-A: 0.559 acre;
    # every curve given by radius, angle, arc, tangent and chord.
    walked = walk(
        "N 79 09 26 E 205.83'",
        "curve left radius 18.38' angle 90 00 00 arc 28.87' tangent 18.38' "
        "chord N 34 09 26 E 25.99'",
        "curve left radius 565.00' angle 8 04 04 arc 79.56' tangent 39.84' "
        "chord N 14 52 36 W 79.49'",
        "N 18 54 38 W 23.56'", "S 79 09 26 W 128.00'", "S 62 09 26 W 47.14'",
        "S 10 50 34 E 17.57'", "S 39 18 40 W 55.00'", "S 10 50 34 E 54.40'",
    )  # fmt: skip
    assert square_feet(walked.area) / ACRE == close_to(0.559, 0.0005)
    assert feet(walked.misclosure) < 0.01
    assert all(leg.apart == () for leg in walked.legs)


def test_a_corner_lot_with_a_curve() -> None:
    # Utah County 30:13:0056: 0.057 acre; by its chords alone it would be 0.0563.
    walked = walk(
        "E 14.48'", "curve right radius 15' arc 15.46' chord S 28 28 23 E 14.79'",
        "S 1 03 37 W 108.01'", "W 19.53'", "N 121'",
    )  # fmt: skip
    assert square_feet(walked.area) / ACRE == close_to(0.057, 0.0005)
    assert feet(walked.misclosure) < 0.01


def test_a_strip_between_arcs_whose_stated_area_is_wrong() -> None:
    # Utah County 30:075:0066, a strip 66 ft wide between concentric arcs of 1757.79 and 1691.79.
    # It states 0.853 acre, which is both segments added. A strip that wide has 66 ft times its
    # mean length, (440.1 + 436.8)/2 of arc: about 0.664.
    walked = walk(
        "curve left radius 1757.79' chord N 28 00 55 W 437'", "S 70 15 W 68.56'",
        "curve right radius 1691.79' chord S 28 21 37 E 436.52'", "N 71 00 E 66.04'",
    )  # fmt: skip
    area = square_feet(walked.area) / ACRE
    assert area == close_to(66 * (437 + 436.52) / 2 / ACRE, 0.004)
    swollen = [leg.curve.segment / FOOT**2 / ACRE for leg in walked.legs if leg.curve is not None]
    # What is stated adds the segment that ought to be taken off.
    assert area + 2 * min(swollen, key=lambda each: abs(area + 2 * each - 0.853)) == close_to(
        0.853, 0.001
    )


def test_thirteen_courses_and_a_tie_as_they_are_recorded() -> None:
    # Utah County 23:018:0077: 8.374 acres.
    text = """COM S 574.07 FT & E 5.25 FT FR E 1/4 COR. SEC. 28; S 0 DEG 31' 26" E 793.78 FT;
    N 89 DEG 55' 3" E 319.67 FT; S 0 DEG 39' 59" E 527 FT; N 34 DEG 52' 59" W 344.06 FT;
    N 79 DEG 8' 6" W 129.34 FT; S 0 DEG 31' 26" E 42.03 FT; S 89 DEG 35' 27" W 450.48 FT;
    N 0 DEG 26' 1" E 350 FT; N 89 DEG 38' 12" E 109.07 FT; N 50 DEG 26' 1" E 270.44 FT;
    N 0 DEG 31' 24" W 498.24 FT; N 73 DEG 19' 19" E 100.88 FT; N 72 DEG 55' 49" E 29.85 FT
    TO BEG. AREA 8.374 AC."""
    description = read_description(text, Unit.FT)
    assert description.faults == ()
    assert len(description.courses) == 13
    walked = walk_round(deed_of(*(each.words.text for each in description.courses)))
    assert square_feet(walked.area) / ACRE == close_to(8.374, 0.0005)
    assert description.stated_area == pytest.approx(walked.area, rel=1e-4)
    assert feet(walked.misclosure) < 0.005


def test_a_tract_in_chains() -> None:
    # Utah County 21:002:0047: 0.336 acre. Ten square chains are an acre.
    walked = walk("N 89 W 1.12 ch", "N 1 E 3 ch", "S 89 E 1.12 ch", "S 1 W 3 ch")
    assert square_feet(walked.area) / ACRE == close_to(0.336, 0.0005)


def test_commencing_courses_are_no_boundary() -> None:
    # College Station, Texas, document 270890, 1997, lot 16 block 2 Tauber: 6 square feet.
    text = """Commencing at a rod; thence N 41°49'53" E, 7.50 feet; thence S 47°47'38" E, 6.14 feet
    to the point of beginning; thence S 47°47'38" E, 30.11 feet; thence S 42°21'36" W, 0.29 feet;
    thence N 47°28'27" W, 30.11 feet; thence N 42°21'36" E, 0.12 feet to the point of beginning,
    containing 6 square feet."""
    description = read_description(text, Unit.FT)
    assert (len(description.ties), len(description.courses)) == (2, 4)
    walked = walk_round(deed_of(*(each.words.text for each in description.courses)))
    assert square_feet(walked.area) == close_to(6, 0.5)


def test_a_curve_by_radius_and_arc_leaves_on_its_tangent() -> None:
    # mymathforum.com, 23 June 2016: a lot that its surveyors closed, the curve given by radius
    # 682.70 and arc 50.47 alone.
    walked = walk(
        "N 27 46 19 W 215.52'", "S 60 04 31 W 961.15'", "S 21 05 55 E 199.14'",
        "curve left radius 682.70' arc 50.47'", "N 58 15 E 990.0'",
    )  # fmt: skip
    assert walked.legs[3].on_tangent
    assert feet(walked.misclosure) < 0.01


CURVES = [
    # Surveying Mathematics Made Simple: R 1800, 43 25 46; its chord, printed 1331.94325, does
    # not follow from its own figures and is not compared.
    ({"radius": 1800, "angle": (43, 25, 46)}, {"arc": 1364.38, "tangent": 716.84}, 0.005),
    # Idaho Public Utilities Commission, document 134281, three curves.
    ({"radius": 2878.79, "angle": (18, 23, 28)}, {"arc": 924.05, "chord": 920.09}, 0.005),
    ({"radius": 1184.96, "angle": (7, 27, 21)}, {"arc": 154.20, "chord": 154.09}, 0.005),
    # The third is printed a hundredth up from what its own figures make of it.
    ({"radius": 2260, "angle": (3, 19, 50)}, {"arc": 131.38, "chord": 131.36}, 0.0085),
    # San Marcos, Texas, document 1904879, two curves.
    ({"radius": 15, "arc": 16.31}, {"chord": 15.52}, 0.005),
    ({"radius": 60, "arc": 108.36}, {"chord": 94.22}, 0.005),
    # dktassociates.com: R 500, L 95.92.
    ({"radius": 500, "arc": 95.92}, {"chord": 95.77}, 0.005),
    # techwhiff 399264, metres: R 420, 71 39; its arc, printed 630.266, is that of another angle.
    ({"radius": 420, "angle": (71, 39, 0)}, {"tangent": 303.19}, 0.005),
]


@pytest.mark.parametrize(("given", "printed", "off"), CURVES)
def test_printed_curves(given: dict[str, object], printed: dict[str, float], off: float) -> None:
    parts = {
        name: math.radians(value[0] + value[1] / 60 + value[2] / 3600)
        if isinstance(value, tuple)
        else value
        for name, value in given.items()
    }
    curve, apart = solve_curve(
        CurvedCourse(to=CurvesTo.LEFT, words=CourseWords(text=""), **parts)  # type: ignore[arg-type]
    )
    assert apart == ()
    for name, value in printed.items():
        assert getattr(curve, name) == close_to(value, off)


def test_directions_of_printed_curves() -> None:
    # Idaho Public Utilities Commission, document 134281: into the first in S 83 27 34 W, chord
    # S 74 15 50 W, out S 65 04 06 W: it turns to the left. The third has its radius S 77 49 06 E
    # and its chord S 10 30 59 W.
    course = read_course(
        "curve left radius 2878.79' angle 18 23 28 tangent bearing S 83 27 34 W", Unit.FT
    )
    leg = leg_of(course, None)
    second = math.radians(1 / 3600)
    assert leg.azimuth == close_to(math.radians(180 + 74 + 15 / 60 + 50 / 3600), second)
    assert leg.leaves == close_to(math.radians(180 + 65 + 4 / 60 + 6 / 3600), second)
    course = read_course("curve left radius 2260' angle 3 19 50 radius S 77 49 06 E", Unit.FT)
    azimuth = leg_of(course, None).azimuth
    assert azimuth % math.pi == close_to(math.radians(10 + 30 / 60 + 59 / 3600), second)


def test_the_chord_of_a_curve_that_a_line_leads_into() -> None:
    # dktassociates.com: into the curve N 26 00 00 W, R 500, L 95.92, chord N 31 29 45 W.
    walked = walk("N 26 00 00 W 100'", "curve left radius 500' arc 95.92'", "S 10 E 190'")
    chord = 2 * math.pi - walked.legs[1].azimuth
    assert chord == close_to(math.radians(31 + 29 / 60 + 45 / 3600), math.radians(1 / 3600))


def test_printed_segments() -> None:
    # University of Regina, Math Central: R 50, chord 38.94, segment 103.29.
    course = CurvedCourse(to=CurvesTo.LEFT, words=CourseWords(text=""), radius=50.0, chord=38.94)
    assert solve_curve(course)[0].segment == close_to(103.29, 0.005)
    # Point of Beginning magazine, 2021: 60 by 120 with one corner rounded by 20: 7,114 sq ft.
    walked = walk("E 40'", "curve right radius 20' angle 90 00 00", "S 100'", "W 60'", "N 120'")
    assert square_feet(walked.area) == close_to(7_114, 0.5)
    assert feet(walked.misclosure) < 1e-6


def test_printed_sectors() -> None:
    # solvely.ai 580386738: radius 40, 60 degrees: 837.758, the segment and its triangle.
    course = CurvedCourse(
        to=CurvesTo.LEFT, words=CourseWords(text=""), radius=40.0, angle=math.radians(60)
    )
    triangle = 40.0**2 * math.sin(math.radians(60)) / 2
    assert solve_curve(course)[0].segment + triangle == close_to(837.758, 0.0005)
    # allexperts, a lot between two arcs: radius 50, arc 72.08: 1.44 radians.
    course = CurvedCourse(to=CurvesTo.LEFT, words=CourseWords(text=""), radius=50.0, arc=72.08)
    assert solve_curve(course)[0].angle == close_to(1.44, 0.005)


def test_a_lot_worked_out_by_hand() -> None:
    """An invented lot in exact arithmetic: 0.0249 on 113.25, one in 17,337; 11,481.3 sq ft."""
    from tests.site.deed.lots_by_words import T19

    walked = walk(*T19)
    assert feet(walked.misclosure) == close_to(0.0249, 0.00005)
    assert math.degrees(walked.azimuth) == close_to(113.25, 0.005)
    assert walked.one_in == close_to(17_337, 0.5)
    assert square_feet(walked.area) == close_to(11_481.3, 0.05)
    # The third bearing reversed: 242.18, one in 1.8.
    walked = walk(*T19[:2], "N 88 45 00 E 121.10'", T19[3])
    assert feet(walked.misclosure) == close_to(242.18, 0.005)
    assert walked.one_in == close_to(1.8, 0.05)
    # 59.50 for 95.50: 36.01, on 178.6 degrees, along the second course.
    walked = walk(T19[0], "S 1 20 00 E 59.50'", *T19[2:])
    assert feet(walked.misclosure) == close_to(36.01, 0.005)
    assert math.degrees(walked.azimuth) == close_to(178.6, 0.05)
