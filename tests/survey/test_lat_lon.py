"""Latitude and longitude: how far apart points may lie and still be one site."""

from __future__ import annotations

from io import BytesIO

import pytest

from staking.errors import InputError
from staking.points import SurveyPoints, SurveySettings
from staking.survey.delimited.points_from_text import parse_delimited
from staking.survey.gpx import parse_gpx


def two_points(apart: float) -> SurveyPoints:
    """Two points at 45 degrees north, one of them `apart` degrees of latitude farther north."""
    points = "".join(
        f'<wpt lat="{45 + more:.6f}" lon="9.000000"><name>{n}</name></wpt>'
        for n, more in enumerate((0.0, apart))
    )
    text = f'<gpx version="1.1">{points}</gpx>'
    return parse_gpx(BytesIO(text.encode()), "two.gpx", SurveySettings())


# A degree of latitude is 111.1 km at 45 degrees (WGS 84: 2 pi a (1 - e2) / (360 (1 - e2 / 2) ^ 1.5)
# with a = 6,378,137 m and e2 = 0.00669438): 0.17 of it 18.9 km, 0.19 of it 21.1 km.
@pytest.mark.parametrize(("apart", "said"), [(0.17, False), (0.19, True), (2.0, True)])
def test_points_over_twenty_kilometres_apart_are_no_one_site(apart: float, said: bool) -> None:
    kinds = {each.kind for each in two_points(apart).notices}
    assert ("not-one-site" in kinds) == said


# 46.5 and -93.9 with six decimals, the second point farther by so many degrees.
@pytest.mark.parametrize(("apart", "degrees"), [(0.01, True), (0.45, True), (0.55, False)])
def test_unlabelled_numbers_that_span_over_half_a_degree_are_no_degrees(
    apart: float, degrees: bool
) -> None:
    text = f"46.501234 -93.912345 201.3\n{46.501234 + apart:.6f} -93.912301 201.1\n"
    if degrees:
        found = parse_delimited(BytesIO(text.encode()), "two.xyz", SurveySettings())
        assert found.crs == "EPSG:32615"
    else:
        with pytest.raises(InputError, match=r"northing|metres, feet"):
            parse_delimited(BytesIO(text.encode()), "two.xyz", SurveySettings())
