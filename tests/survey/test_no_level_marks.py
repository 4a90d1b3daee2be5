"""Numbers that instruments and grids write where nothing was measured are not elevations."""

from __future__ import annotations

import io

import numpy as np
import pytest

from staking.points import SurveyPoints, SurveySettings
from staking.survey.delimited.points_from_text import parse_delimited

HEAD = "Point,Northing,Easting,Elevation,Description\n"


def read(level: str) -> SurveyPoints:
    text = f"{HEAD}1,5000,4000,101.25,\n2,5010,4000,{level},\n3,5010,4010,102.5,\n"
    return parse_delimited(io.BytesIO(text.encode()), "lot.csv", SurveySettings(unit="m"))


# The least numbers of two and four bytes, and rows of nines: common practice, no source.
@pytest.mark.parametrize("mark", ["-32768", "-32767", "-9999", "-99999", "-999999", "-9999.00"])
def test_a_mark_for_no_elevation_is_none(mark: str) -> None:
    points = read(mark)
    assert np.isnan(points.elevation).tolist() == [False, True, False]
    assert any(mark.removesuffix(".00") in str(dict(each.values)) for each in points.notices)


@pytest.mark.parametrize("level", ["-32.768", "-1.5", "3276.8"])
def test_an_elevation_that_looks_like_a_mark_is_kept(level: str) -> None:
    assert read(level).elevation.tolist() == [101.25, float(level), 102.5]
