"""Points by name out of several surveys."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from staking.errors import InputError
from staking.points import Surface, SurveyPoints
from staking.survey.merge import described_as_control, find_points, find_surface

Row = tuple[str, float, float, float, str]


def survey(*rows: Row, name: str = "lot.csv") -> SurveyPoints:
    return SurveyPoints(
        name=name,
        format="delimited text",
        names=np.array([row[0] for row in rows], dtype=object),
        northing=np.array([row[1] for row in rows]),
        easting=np.array([row[2] for row in rows]),
        elevation=np.array([row[3] for row in rows]),
        descriptions=np.array([row[4] for row in rows], dtype=object),
        source_line=np.arange(2, 2 + len(rows)),
        unit="m",
    )


def test_points_are_found_across_files_with_the_first_elevation_that_is_known():
    one = survey(("1", 10.0, 20.0, math.nan, "pin"), ("2", 11.0, 21.0, 5.0, ""))
    other = survey(("1", 10.0004, 20.0, 7.5, "again"), name="more.csv")
    found = find_points((one, other), {"1": "site boundary", "2": "site boundary"})
    assert (found["1"].northing, found["1"].elevation) == (10.0, 7.5)
    assert found["1"].description == "pin"
    assert found["2"].elevation == 5.0


def test_a_name_that_means_two_places_is_refused_with_both_lines():
    one = survey(("1", 10.0, 20.0, 1.0, ""))
    other = survey(("9", 0.0, 0.0, 1.0, ""), ("1", 10.001, 20.0, 1.0, ""), name="more.csv")
    with pytest.raises(
        InputError,
        match=r"site buried gas: point 1 occurs twice, 0\.001 m apart: lot\.csv line 2 and "
        r"more\.csv line 3; give one of the two another name",
    ):
        find_points((one, other), {"1": "site buried gas"})


@pytest.mark.parametrize(
    ("name", "near"), [("1O1", "101"), ("007", "7"), ("IP-2", "ip-2"), ("102", "101")]
)
def test_a_missing_name_names_the_nearest(name: str, near: str):
    points = survey(*((each, 0.0, 0.0, 0.0, "") for each in ("101", "7", "ip-2")))
    with pytest.raises(InputError, match=f"no point {name} in lot.csv; did you mean {near}"):
        find_points((points,), {name: "site boundary"})


def test_every_missing_name_is_told_at_once():
    with pytest.raises(InputError) as fault:
        find_points((survey(("1", 0.0, 0.0, 0.0, "")),), {"8": "a", "9": "b", "1": "c"})
    assert [problem.field for problem in fault.value.problems] == ["a", "b"]


def test_marks_that_can_be_found_again_are_told_by_their_description():
    points = survey(
        ("1", 0.0, 0.0, 0.0, "Iron pin found"),
        ("2", 0.0, 0.0, 0.0, "ground"),
        ("3", 0.0, 0.0, 0.0, "control CP7"),
        ("4", 0.0, 0.0, 0.0, "nailed fence"),
        ("5", 0.0, 0.0, 0.0, "nail"),
        ("5", 1.0, 0.0, 0.0, "ground"),
        ("6", 1.0, 0.0, 0.0, "ground"),
        ("6", 1.0, 0.0, 0.0, "spike"),
    )
    assert described_as_control((points,)) == ("1", "3")
    assert described_as_control((survey(("2", 0.0, 0.0, 0.0, "")),)) == ()


def surface(name: str, *levels: float) -> Surface:
    places = ((0.0, 0.0), (0.0, 9.0), (9.0, 9.0))
    vertices = np.array([(*at, level) for at, level in zip(places, levels, strict=True)])
    return Surface(name=name, vertices=vertices, faces=np.array([[0, 1, 2]]))


def with_surfaces(*surfaces: Surface) -> SurveyPoints:
    return replace(survey(("1", 0.0, 0.0, 0.0, "")), surfaces=surfaces)


def test_of_surfaces_that_differ_the_job_says_which():
    points = with_surfaces(surface("FG", 3.0, 3.0, 3.0), surface("EG", 1.0, 1.5, 2.0))
    with pytest.raises(
        InputError,
        match=r"2 surfaces that differ.*: FG \(3\.00 to 3\.00 m\), EG \(1\.00 to 2\.00 m\); "
        r"write ground: \{surface: FG\} or \{surface: EG\}",
    ):
        find_surface((points,), None)
    found = find_surface((points,), "EG")
    assert found is not None
    assert found[1].vertices[2, 2] == 2.0
    with pytest.raises(InputError, match=r"no surface EX in lot\.csv; did you mean EG\?"):
        find_surface((points,), "EX")


def test_surfaces_that_are_the_same_need_no_choice():
    points = with_surfaces(surface("EG", 1.0, 1.5, 2.0), surface("ground", 1.0, 1.5, 2.0))
    found = find_surface((points,), None)
    assert found is not None
    assert found[1].name == "EG"
    assert find_surface((survey(("1", 0.0, 0.0, 0.0, "")),), None) is None
