"""Deeds of random lots: they close, are read back from their own words, and lie on their pins."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from staking.deed import Course, CurvedCourse, Deed, StraightCourse
from staking.errors import InputError, MeasureError, ProjectError
from staking.measure.angles import format_bearing
from staking.measure.deed.course import read_course
from staking.measure.deed.description import read_description
from staking.points import KnownPoint
from staking.site.deed.deed_lot import lot_of_deed
from staking.site.deed.slips import SlipKind, find_slips
from staking.site.deed.traverse import walk_round
from staking.site.site_request import DeedAsked
from staking.units import FOOT, Unit
from tests.site.deed.lots_by_words import deed_of

SECOND = math.radians(1 / 3600)


@st.composite
def rings(draw: st.DrawFn) -> np.ndarray:
    """Corners of a lot, north and east in feet, round a point in its middle."""
    count = draw(st.integers(3, 9))
    gaps = draw(st.lists(st.floats(0.4, 1.0), min_size=count, max_size=count))
    turns = np.cumsum(np.array(gaps) / sum(gaps)) * 2 * math.pi
    reach = draw(st.lists(st.floats(40.0, 200.0), min_size=count, max_size=count))
    way = draw(st.sampled_from([1.0, -1.0]))
    return np.column_stack((np.array(reach) * np.cos(turns), way * np.array(reach) * np.sin(turns)))


def words_of(ring: np.ndarray) -> list[str]:
    """The courses round a ring as a plat writes them: to the second and the hundredth."""
    ends = np.roll(ring, -1, axis=0)
    return [
        f"{format_bearing(math.atan2(east, north))} {math.hypot(north, east):.2f} feet"
        for north, east in (ends - ring).tolist()
    ]


@settings(max_examples=100, deadline=None)
@given(rings())
def test_a_lot_written_as_a_plat_has_it_closes(ring: np.ndarray) -> None:
    walked = walk_round(deed_of(*words_of(ring)))
    lengths = np.hypot(*(np.roll(ring, -1, axis=0) - ring).T)
    # Half a hundredth of length and half a second of bearing in every course, at the worst.
    rounding = float((0.0051 + lengths * SECOND / 2).sum())
    assert walked.misclosure / FOOT <= rounding
    area = shapely.Polygon(ring).area
    across = float(np.ptp(ring, axis=0).max()) * 2
    assert walked.area / FOOT**2 == pytest.approx(area, rel=0, abs=rounding * across)


@settings(max_examples=50, deadline=None)
@given(rings(), st.floats(-3.0, 3.0), st.floats(-1e5, 1e5), st.floats(-1e5, 1e5), st.data())
def test_corners_that_were_not_found_come_where_they_are(
    ring: np.ndarray, turn: float, north: float, east: float, data: st.DataObject
) -> None:
    deed = deed_of(*words_of(ring))
    c, s = math.cos(turn), math.sin(turn)
    true = (ring @ np.array([[c, s], [-s, c]])) * FOOT + (north, east)
    # Two pins far enough apart that what they are written to holds the direction.
    kept = data.draw(st.permutations(range(len(ring))))[:2]
    apart = math.dist(true[kept[0]], true[kept[1]])
    pins = tuple((str(i + 1), f"P{i + 1}") for i in kept)
    points = {
        f"P{i + 1}": KnownPoint(name=f"P{i + 1}", northing=n, easting=e)
        for i, (n, e) in enumerate(true.tolist())
    }
    lot = lot_of_deed(DeedAsked(deed=deed, pins=pins), points)
    across = float(np.ptp(true, axis=0).max()) * 2
    within = 0.02 * FOOT * len(ring) * (1 + across / apart)
    for corner, (n, e) in zip(lot.boundary, true.tolist(), strict=True):
        assert math.hypot(corner.northing - n, corner.easting - e) <= within
    for i in kept:
        assert lot.boundary[i].northing == points[f"P{i + 1}"].northing
    assert all(
        (line.doubt == 0.0) == ({line.start, line.end} <= {corner for corner, _ in pins})
        for line in lot.lines
    )


LOT = (
    "N 12 34 56 E 183.27'", "N 81 02 13 E 142.65'", "S 23 45 17 E 97.41'", "N 78 13 09 E 58.36'",
    "S 4 27 38 W 136.92'", "S 86 51 24 W 237.90'",
)  # fmt: skip
"""Six courses that close on a seventh, which is worked out in `closed_lot`."""


def closed_lot() -> list[str]:
    walked = walk_round(deed_of(*LOT))
    last = f"{format_bearing(walked.azimuth)} {walked.misclosure / FOOT:.2f}'"
    return [*LOT, last]


PLANTED = [
    (0, "S 12 34 56 W 183.27'", SlipKind.REVERSED),
    (2, "N 23 45 17 W 97.41'", SlipKind.REVERSED),
    (1, "N 81 02 13 W 142.65'", SlipKind.LETTER),
    (3, "S 78 13 09 E 58.36'", SlipKind.LETTER),
    (0, "N 21 34 56 E 183.27'", SlipKind.BEARING_DIGITS),
    (1, "N 18 02 13 E 142.65'", SlipKind.BEARING_DIGITS),
    (5, "S 86 15 24 W 237.90'", SlipKind.BEARING_DIGITS),
    (0, "N 12 34 56 E 138.27'", SlipKind.DISTANCE_DIGITS),
    (4, "S 4 27 38 W 163.92'", SlipKind.DISTANCE_DIGITS),
    (2, "S 23 45 17 E 79.41'", SlipKind.DISTANCE_DIGITS),
]


@pytest.mark.parametrize(("at", "words", "kind"), PLANTED)
def test_ten_planted_slips_are_named(at: int, words: str, kind: SlipKind) -> None:
    sound = closed_lot()
    assert find_slips(deed_of(*sound), walk_round(deed_of(*sound))) == ()
    wrong = [*sound]
    wrong[at] = words
    deed = deed_of(*wrong)
    slips = find_slips(deed, walk_round(deed))
    true = read_course(sound[at], Unit.FT)
    assert isinstance(true, StraightCourse)
    named = slips[0]
    assert (named.start, named.kind) == (str(at + 1), kind)
    assert named.azimuth == pytest.approx(true.azimuth, rel=0, abs=1e-9)
    assert named.length == pytest.approx(true.length, rel=0, abs=1e-9)


def as_values(course: Course) -> tuple[object, ...]:
    if isinstance(course, StraightCourse):
        return (course.azimuth, course.length)
    return (course.to, course.radius, course.arc, course.angle, course.chord, course.tangent,
            course.chord_azimuth, course.tangent_azimuth, course.radial_azimuth)  # fmt: skip


WORDS = st.sampled_from([
    "thence", "N 88°30'15\" E", "S 1 20 E", "120.00 feet", "95' 6\"", "12 chains", "30", "to a pin",
    "more or less", "along the creek", "curve", "to the left", "right", "radius of", "50.00'",
    "chord", "arc", "central angle of", "71°20'00\"", "tangent", "of", ",", ";", ".", "\n",
    "point of beginning", "commencing at", "beginning at", "less and except", "containing",
    "0.5 acres", "Lot 5", "Block 2", "1/2 inch iron rod", "West", "north", "due", "(", ")", "and",
    "bearings are based on", "a", "feet", "'", "\"", "°", "1e9", "99999999999", "-", "½", "٣",
])  # fmt: skip


@settings(max_examples=400, deadline=None)
@given(st.one_of(st.text(max_size=200), st.lists(WORDS, max_size=40).map(" ".join)))
def test_any_text_gives_courses_or_a_fault(text: str) -> None:
    for read in (read_course, read_description):
        try:
            found = read(text, Unit.FT)
        except MeasureError:
            continue
        courses = [found] if isinstance(found, StraightCourse | CurvedCourse) else found.courses
        for course in courses:
            assert all(
                value is None or isinstance(value, str) or math.isfinite(value)
                for value in as_values(course)
            )
        if len(courses) >= 3:
            corners = tuple(str(i) for i in range(len(courses)))
            deed = Deed(courses=tuple(courses), corners=corners)
            try:
                lot = lot_of_deed(DeedAsked(deed=deed), {})
            except ProjectError:
                continue
            assert np.isfinite([(each.northing, each.easting) for each in lot.boundary]).all()


@settings(max_examples=60, deadline=None)
@given(rings(), st.floats(20.0, 80.0))
def test_pins_of_another_lot_are_refused(ring: np.ndarray, off: float) -> None:
    deed = deed_of(*words_of(ring))
    points = {
        str(i): KnownPoint(name=str(i), northing=n * FOOT, easting=e * FOOT)
        for i, (n, e) in enumerate(ring.tolist())
    }
    first = points["0"]
    points["0"] = replace(first, northing=first.northing + off, easting=first.easting - off)
    pins = tuple((str(i + 1), str(i)) for i in range(len(ring)))
    with pytest.raises(InputError, match="from where the deed puts corner"):
        lot_of_deed(DeedAsked(deed=deed, pins=pins), points)
