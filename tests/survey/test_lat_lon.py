"""Latitude and longitude: how far apart points may lie and still be one site."""

from __future__ import annotations

from io import BytesIO

import pytest

from staking.points import SurveyPoints, SurveySettings
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
