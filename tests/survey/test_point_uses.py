"""Control and corners of the lot told from other shots by their words."""

from __future__ import annotations

import math

import numpy as np
import pytest

from staking.kinds import PointUse
from staking.output.tables.survey_map import survey_map
from staking.points import SurveyPoints
from staking.survey.words.point_uses import point_uses


def made_points(name: str, said: str) -> SurveyPoints:
    """A survey of one point."""
    return SurveyPoints(
        name="shot.csv",
        format="delimited text",
        names=np.array([name], dtype=object),
        northing=np.array([1.0]),
        easting=np.array([2.0]),
        elevation=np.array([math.nan]),
        descriptions=np.array([said], dtype=object),
        source_line=np.array([2]),
        unit="m",
    )


@pytest.mark.parametrize(
    ("name", "said", "use"),
    [
        ("11", "control, hub and tack", PointUse.CONTROL),
        ("BM1", 'nail in oak, 1" above root', PointUse.CONTROL),
        ("CP-2", "", PointUse.CONTROL),
        ("1", "iron pin, lot corner", PointUse.CORNER),
        ("7", "rebar with cap", PointUse.CORNER),
        ("8", "control on iron pin", PointUse.CONTROL),
        ("101", "neighbour's house corner", PointUse.SHOT),
        ("31", "gas line, paint mark", PointUse.SHOT),
        ("201", "ground", PointUse.SHOT),
        ("202", "pine, 12 in", PointUse.SHOT),
    ],
)
def test_a_point_is_told_by_its_name_and_its_description(name, said, use) -> None:
    assert point_uses(made_points(name, said)) == (use,)


def test_the_map_has_a_sign_and_a_word_for_each_kind_that_is_there() -> None:
    rows = np.array([[0.0, 0.0, 1.0], [10.0, 0.0, 1.0], [10.0, 20.0, 1.0], [5.0, 10.0, 1.0]])
    uses = (PointUse.CORNER, PointUse.CONTROL, PointUse.SHOT, PointUse.SHOT)
    lines = survey_map(rows, uses)
    drawn = "".join(lines[1:-2])
    assert (drawn.count("x"), drawn.count("^"), drawn.count(".")) == (1, 1, 2)
    assert lines[1].startswith("|^")
    assert lines[-3].startswith("|x")
    assert lines[-1].endswith("x corner of the lot  ^ control")
    plain = survey_map(rows)
    assert "control" not in plain[-1]
    assert "corner" not in plain[-1]


def test_control_is_seen_where_a_corner_stands_in_the_same_place() -> None:
    rows = np.array([[0.0, 0.0, 1.0], [0.0, 0.0, 1.0], [10.0, 20.0, 1.0]])
    uses = (PointUse.CONTROL, PointUse.CORNER, PointUse.SHOT)
    assert "^" in survey_map(rows, uses)[-3]
