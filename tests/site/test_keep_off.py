"""Distances kept off points, lines and pieces of ground."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from staking.kinds import LotPart
from staking.notices import Severity
from staking.site.keep_off import keep_off_notices, kept_off
from staking.site.site_request import KeepOff
from staking.site.site_results import KeptOff, Placement

HOUSE = np.array([(0.0, 0.0), (12.0, 0.0), (12.0, 8.0), (0.0, 8.0)])
HERE = Placement(turn=0.3, x0=0.0, y0=0.0, easting0=500.0, northing0=900.0)


def distance(
    points: list[tuple[float, float]], closed: bool = False, least: float = 1.0
) -> KeptOff:
    names = tuple(str(i) for i in range(len(points)))
    if closed:
        points, names = [*points, points[0]], (*names, "0")
    asked = KeepOff(name="it", through=names, least=least, keeps=LotPart.WALL)
    (found,) = kept_off([asked], {"it": np.array(points)}, {LotPart.WALL: (HOUSE,)}, HERE, {})
    return found


def test_a_point_a_line_and_a_piece_of_ground() -> None:
    assert distance([(15.0, 12.0)]).distance == pytest.approx(5.0)
    assert distance([(-10.0, 11.0), (30.0, 11.0)]).distance == pytest.approx(3.0)
    assert distance([(14.0, 1.0), (20.0, 1.0), (20.0, 5.0)], closed=True).distance == 2.0


def test_what_the_building_stands_on_is_at_nothing() -> None:
    assert distance([(6.0, 4.0)]).distance == 0.0
    assert distance([(-5.0, 4.0), (30.0, 4.0)]).distance == 0.0
    # All of the building within an easement, and no side of it met.
    assert distance([(-50, -50), (50, -50), (50, 50), (-50, 50)], closed=True).distance == 0.0
    # A line round it that is not closed is not a piece of ground.
    assert distance([(-50, -50), (50, -50), (50, 50), (-50, 50)]).distance == 38.0


@settings(max_examples=100, deadline=None)
@given(
    st.lists(st.tuples(st.floats(-40, 40), st.floats(-40, 40)), min_size=1, max_size=6),
    st.booleans(),
)
def test_distances_are_those_of_shapely(points: list[tuple[float, float]], closed: bool) -> None:
    closed = closed and len(points) > 2
    if len(points) == 1:
        shape = shapely.Point(points[0])
    elif closed:
        shape = shapely.Polygon(points)
        if not shape.is_valid or shape.area < 1e-6:
            return
    else:
        shape = shapely.LineString(points)
    expected = shapely.Polygon(HOUSE).distance(shape)
    assert distance(points, closed).distance == pytest.approx(expected, rel=0, abs=1e-9)


def test_a_distance_that_is_not_kept_is_broken() -> None:
    assert keep_off_notices([distance([(15.0, 12.0)], least=5.0)]) == ()
    (told,) = keep_off_notices([distance([(15.0, 12.0)], least=6.0)])
    assert told.severity is Severity.BROKEN
    assert dict(told.values)["short"].metres == pytest.approx(1.0)  # type: ignore[union-attr]
