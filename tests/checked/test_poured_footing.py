"""A poured footing surveyed and recorded, from values."""

from __future__ import annotations

import math

import pytest

from staking.adjust.pour.footing_edges import planned_edges
from staking.adjust.pour.on_footing import OnFooting, PointLevel
from staking.adjust.pour.poured import EdgeFound, LevelFound
from staking.checked.poured_on_plan import SurveyedFooting, footing_names, footing_on_plan
from staking.checked.poured_record import PouredRead, planned_tops, record_poured, string_level
from staking.errors import ComputationError, InputError
from staking.kinds import FootingEdge, PouredFigure, WallMaterial
from staking.laid_out.layout_value import Layout
from tests.checked.barn import EAST, NORTH, layout, placed, survey

EDGES = planned_edges(layout().plan)


def on(
    where: str, x: float, y: float, side: FootingEdge | None = FootingEdge.OUTER, **more: object
) -> OnFooting:
    """A point on a footing, on the lot of the barn."""
    made = {
        "wheres": (where,),
        "side": side,
        "level": None,
        "easting": EAST + x,
        "northing": NORTH + y,
        "elevation": math.nan,
        "name": "7",
        "line": 3,
    }
    return OnFooting(**(made | more))  # type: ignore[arg-type]


def found(points: list[OnFooting], laid: Layout | None = None) -> SurveyedFooting:
    laid = layout(placed()) if laid is None else laid
    shot = survey([(each.name, each.northing, each.easting) for each in points])
    return footing_on_plan(laid, [shot], [(shot, each) for each in points], [], EDGES)


def test_a_wall_may_be_named_from_either_end() -> None:
    names = footing_names(layout().plan, EDGES)
    assert names["B-A"] == names["A-B"] == "A-B"
    assert names["P"] == "P"


def test_a_point_lies_beyond_its_edge_by_what_it_is_off() -> None:
    # The outer edge of A-B is planned 0.15 m outside the wall's outside face, y -0.15.
    (edge,) = found([on("A-B", 4.0, -0.16)]).edges
    assert edge.station == pytest.approx(4.0, rel=0, abs=1e-8)
    assert edge.more == pytest.approx(0.01, rel=0, abs=1e-8)
    # The inner one 0.5 m farther in: a point at y 0.36 stands 10 mm beyond it.
    (edge,) = found([on("A-B", 4.0, 0.36, FootingEdge.INNER)]).edges
    assert edge.more == pytest.approx(0.01, rel=0, abs=1e-8)


def test_a_pads_point_belongs_to_the_nearest_of_its_edges() -> None:
    (edge,) = found([on("P", 6.32, 4.5, FootingEdge.FIRST)]).edges
    assert edge.station is None
    assert edge.more == pytest.approx(0.02, rel=0, abs=1e-8)


def test_a_top_and_the_bottom_beside_it_give_a_thickness() -> None:
    top = on("A-B", 4.0, -0.15, level=PointLevel.TOP, elevation=30.25)
    bottom = on("A-B", 4.2, -0.15, level=PointLevel.BOTTOM, elevation=30.0)
    levels = found([bottom, top]).levels
    assert [(each.what, each.value) for each in levels] == [("top", 30.25), ("thickness", 0.25)]
    far = on("A-B", 8.0, -0.15, level=PointLevel.BOTTOM, elevation=30.0)
    assert [each.what for each in found([far, top]).levels] == ["top"]


def test_faults_of_points_name_file_and_line() -> None:
    with pytest.raises(InputError) as caught:
        found([
            on("A-B", 4.0, -1.0),
            on("A-B", 4.0, -0.15, FootingEdge.LEFT),
            on("A-B", 4.0, -0.15, level=PointLevel.TOP, name="8"),
        ])
    assert str(caught.value).splitlines() == [
        "shot.csv, line 3: 7 lies 0.85 m from the planned outer edge of A-B; is it another edge, "
        "or another grid?",
        "shot.csv, line 3: 7 is on the left edge, and A-B has outer and inner; is it another edge, "
        "or another grid?",
        "shot.csv, line 3: 8 is a top without an elevation; give its elevation",
    ]


def test_where_no_edge_is_where_it_should_be_one_sentence_says_so() -> None:
    with pytest.raises(InputError) as caught:
        found([on("A-B", x, -1.0) for x in (1.0, 2.0, 3.0)])
    assert str(caught.value) == (
        "shot.csv: no edge lies where it is planned, the nearest 0.85 m off; say with --unit what "
        "the file is in, or see that it is on the job's grid"
    )


def test_without_a_place_the_footing_is_laid_on_the_plan_by_its_edges() -> None:
    turn = math.radians(40)
    c, s = math.cos(turn), math.sin(turn)
    places = [
        ("A-B", 3.0, -0.15), ("A-B", 9.0, -0.15), ("B-C", 12.15, 2.0), ("B-C", 12.15, 7.0),
        ("C-D", 9.0, 9.15), ("C-D", 3.0, 9.15), ("D-A", -0.15, 7.0), ("D-A", -0.15, 2.0),
    ]  # fmt: skip
    turned = [on(where, c * x - s * y, s * x + c * y) for where, x, y in places]
    read = found(turned, layout())
    assert read.fitted == "edges"
    assert max(abs(each.more) for each in read.edges) < 1e-6
    with pytest.raises(ComputationError, match="the edges do not run two ways"):
        found(turned[:2], layout())


def test_points_that_say_nothing_are_told() -> None:
    laid, shot = layout(placed()), survey([("7", NORTH - 0.15, EAST + 1), ("oak", NORTH, EAST)])
    points = [(shot, on("A-B", 1.0, -0.15, elevation=30.0))]
    read = footing_on_plan(laid, [shot], points, ["oak", "101"], EDGES)
    assert [each.kind for each in read.notices] == ["points-not-read", "edge-elevations"]
    with pytest.raises(InputError, match="no point says which footing edge or top it is on"):
        footing_on_plan(laid, [shot], [], ["oak"], EDGES)


def test_one_top_for_all_is_the_planned_top_of_every_footing() -> None:
    runs = planned_tops(layout(), EDGES, 30.0)
    assert {run.where for run in runs} == {"A-B", "B-C", "C-D", "D-A", "P"}
    assert {run.top for run in runs} == {30.0}
    assert next(run.end for run in runs if run.where == "A-B") == pytest.approx(
        12.0, rel=0, abs=1e-9
    )
    assert planned_tops(layout(), EDGES) == ()


def test_strings_stand_where_the_boards_stand_without_levels() -> None:
    laid = layout()
    assert string_level(laid) == laid.options.boards.at


def test_a_footing_on_its_plan_is_within_its_limits() -> None:
    edge = EdgeFound(where="A-B", side=FootingEdge.OUTER, station=4.0, more=0.0)
    top = LevelFound(where="A-B", what=PouredFigure.TOP, station=4.0, value=30.0)
    read = PouredRead(edges=(edge,), levels=(top,))
    record = record_poured(layout(), EDGES, read, (), carries=WallMaterial.CONCRETE, top=30.0)
    assert record.good
    assert record.has_tops
    assert [each.kind for each in record.notices] == ["not-measured"]
    without = record_poured(layout(), EDGES, read, (), carries=WallMaterial.MASONRY, top=None)
    assert [each.kind for each in without.notices] == [
        "not-measured", "no-planned-tops", "carries-masonry",
    ]  # fmt: skip


def test_a_footing_a_foot_short_is_out() -> None:
    edge = EdgeFound(where="A-B", side=FootingEdge.OUTER, station=4.0, more=-0.3)
    record = record_poured(
        layout(), EDGES, PouredRead(edges=(edge,)), (), carries=WallMaterial.CONCRETE, top=None
    )
    assert not record.good
    assert [each.off for each in record.poured.deviations if not each.good] == pytest.approx(
        [-0.3], rel=0, abs=1e-9
    )
