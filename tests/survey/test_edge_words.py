"""Which footing edge or top a surveyed point says it is on."""

from __future__ import annotations

import math

import numpy as np
import pytest

from staking.points import SurveyPoints
from staking.survey.words.edge_words import OnFooting, points_on_footing

NAMES = {"A-B": "A-B", "B-A": "A-B", "B-C": "B-C", "A-BB": "A-BB", "G": "G", "P1": "P1"}


def read(name: str, said: str) -> OnFooting | None:
    survey = SurveyPoints(
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
    found, unread = points_on_footing(survey, NAMES, ["P1"])
    assert len(found) + len(unread) == 1
    return found[0] if found else None


@pytest.mark.parametrize(
    ("name", "said", "where", "side", "level"),
    [
        ("1", "A-B outer edge", "A-B", "outer", ""),
        ("outer_A-B_3", "", "A-B", "outer", ""),
        ("4", "OUTSIDE edge of B-A", "A-B", "outer", ""),
        ("5", "footing, inner, B-C, top", "B-C", "inner", "top"),
        ("6", "top of A-B", "A-B", "", "top"),
        ("7", "bottom A-B", "A-B", "", "bottom"),
        ("8", "A-BB inner", "A-BB", "inner", ""),
        ("9", "G left edge", "G", "left", ""),
        ("10", "P1 edge", "P1", "", ""),
    ],
)
def test_a_point_says_its_wall_and_edge(
    name: str, said: str, where: str, side: str, level: str
) -> None:
    found = read(name, said)
    assert found is not None
    assert (found.wheres, found.side or "", found.level or "") == ((where,), side, level)


def test_a_corner_of_the_footing_is_on_two_walls() -> None:
    found = read("1", "outer corner A-B B-C")
    assert found is not None
    assert found.wheres == ("A-B", "B-C")


@pytest.mark.parametrize(
    "said",
    [
        "tree", "A-B", "outer edge", "A-B outer inner", "top of A-B outer inner",
        "top of the fence", "A-C outer edge", "G edge", "XA-B outer",
    ],
)  # fmt: skip
def test_a_point_that_does_not_say_is_left(said: str) -> None:
    assert read("1", said) is None


def test_an_edge_of_a_pad_is_told_without_its_side() -> None:
    found = read("10", "P1 edge")
    assert found is not None
    assert found.on_pad_edge
