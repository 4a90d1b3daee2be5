"""The site section: what the lot asks for, and the faults of asking."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from staking.errors import InputError
from staking.job.build import parse_job
from staking.site.site_request import PlaceAlong, PlaceByBearing, PlaceByFit, PlaceByTape

FT = 0.3048
US_FT = 1200 / 3937
HEAD = (
    "job: Test\nbuilding:\n  rectangle: 36' x 24'\n  wall: 8\"\n"
    '  footing: {width: 20", thickness: 10"}\n'
)


def site_of(text):
    return parse_job(HEAD + "site:\n" + text, "jobs/job.yaml").site


def faults_of(text):
    with pytest.raises(InputError) as caught:
        site_of(text)
    return [str(problem) for problem in caught.value.problems]


def test_a_whole_section_is_read_in_its_own_unit():
    asked = site_of(
        "  survey: lot.csv\n  units: us-ft\n  crs: epsg:5646\n"
        "  columns: [point, northing, easting, elevation, description]\n"
        "  place: {corner: A, wall: A-B, north: 590000, east: 1200000, bearing: N 14 30 00 E}\n"
        "  boundary: [001, 1E5, 3, 4]\n  setbacks: {001-1E5: 25, other: 10'}\n"
        "  bearings: {1E5-001: S 45 W}\n"
        '  overhang: 12"\n  stay_clear: [{name: house, through: [101, 102, 103]}]\n'
        '  buried: [{name: gas line, through: [31, 32], hand_dig: 24"}]\n'
    )
    assert asked.survey == (str(Path("jobs") / "lot.csv"),)
    assert (asked.unit, asked.crs) == ("us-ft", "EPSG:5646")
    assert isinstance(asked.place, PlaceByBearing)
    assert asked.place.northing == pytest.approx(590000 * US_FT, abs=1e-9, rel=0)
    assert asked.place.azimuth == pytest.approx(math.radians(14.5), abs=1e-12, rel=0)
    assert asked.boundary == ("001", "1E5", "3", "4")
    (setback,) = asked.setbacks
    assert (setback.start, setback.end) == ("001", "1E5")
    assert setback.distance == pytest.approx(25 * US_FT, abs=1e-12, rel=0)
    assert asked.other_setback is not None
    (bearing,) = asked.bearings
    assert (bearing.start, bearing.end) == ("1E5", "001")
    assert asked.stay_clear[0].through == ("101", "102", "103")
    assert asked.buried[0].through == ("31", "32")


def test_columns_are_those_that_the_command_line_takes():
    asked = site_of("  survey: lot.csv\n  columns: [point, latitude, longitude, -, elevation]\n")
    assert asked.columns == ("point", "latitude", "longitude", "-", "elevation")
    told = faults_of("  survey: lot.csv\n  columns: [point, northing, easting, northing]\n")
    assert told == ["jobs/job.yaml, line 8, site columns: northing is named twice; name it once"]


def test_a_misspelled_way_to_place_is_one_fault():
    told = faults_of("  survey: a.csv\n  place: {fitt: {A: 201, B: 202}}\n")
    assert told == ["jobs/job.yaml, line 8, site place fitt: no such key; write fit"]


def test_the_other_three_ways_to_place_are_read():
    along = site_of(
        "  survey: [a.csv, b.csv]\n"
        "  place: {wall: A-B, along: [101, 102], from_first: 12', offset: left 20'}\n"
    )
    assert len(along.survey) == 2
    assert along.place == PlaceAlong(
        wall="A-B", along=("101", "102"), from_first=12 * FT, offset=-20 * FT
    )
    fit = site_of("  survey: a.csv\n  place: {fit: {A: 201, B: 202, C: 203}}\n")
    assert fit.place == PlaceByFit(pairs=(("A", "201"), ("B", "202"), ("C", "203")))
    tape = site_of(
        "  survey: a.csv\n"
        "  place: {tape: {A: {101: 20', 102: 31' 6\"}, B: {101: 50', 102: 30'}}, side: left}\n"
    )
    assert isinstance(tape.place, PlaceByTape)
    assert tape.place.side == "left"
    assert tape.place.corners[0].ties == (("101", 20 * FT), ("102", 31.5 * FT))


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (
            "  place: {fit: {A: 201, B: 202}}\n",
            "jobs/job.yaml, line 7, site place: there is no survey to find its points in; "
            "add survey: and the file's name",
        ),
        (
            "  survey: a.csv\n  place: {corner: Z, north: 1, east: 2, bearing: N 1 E}\n",
            "jobs/job.yaml, line 8, site place corner: Z is not a corner of the building; "
            "write one of A, B, C, D",
        ),
        (
            "  survey: a.csv\n  place: {corner: A, north: 1, east: 2}\n",
            "jobs/job.yaml, line 8, site place: bearing is missing; "
            "give corner, north, east, bearing",
        ),
        (
            "  survey: a.csv\n  place: {wall: A-B, along: [1, 2], offset: 20'}\n",
            "jobs/job.yaml, line 8, site place offset: 20' has no side; "
            "write right 20' or left 20'",
        ),
        (
            "  survey: a.csv\n  boundary: [1, 2, 3]\n  setbacks: {1-9: 25'}\n",
            "jobs/job.yaml, line 9, site setbacks 1-9: 1-9 is not a line of the boundary; "
            "name it by its two corners, such as 1-2",
        ),
        (
            "  survey: a.csv\n  crs: NAD83\n",
            "jobs/job.yaml, line 8, site crs: NAD83 is not an EPSG code; "
            "write one such as EPSG:5646",
        ),
        (
            "  survey: a.csv\n  buried: [{name: gas, through: [31]}]\n",
            "jobs/job.yaml, line 8, site buried gas: hand_dig is missing; "
            "give name, through, hand_dig",
        ),
        (
            "  survey: a.csv\n  columns: [point, north, easting]\n",
            "jobs/job.yaml, line 8, site columns 2: north is not a column; write point, northing, "
            "easting, elevation, description, latitude, longitude, west-longitude, latitude-dms, "
            "longitude-dms, west-longitude-dms, south-latitude, south-latitude-dms, "
            "latitude-minutes, latitude-seconds, latitude-letter, longitude-minutes, "
            "longitude-seconds, longitude-letter or -",
        ),
    ],
)
def test_a_fault_of_the_section_is_told_with_its_line(text, expected):
    assert expected in faults_of(text)


def test_a_shape_through_surveyed_points_needs_a_survey():
    told = faults_of("  stay_clear: [{name: house, through: [1, 2, 3]}]\n")
    assert len(told) == 1
    assert "there is no survey to find its points in" in told[0]
