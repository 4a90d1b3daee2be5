"""The poured footing against the plan: signs, pairs, levels, the worst place."""

from __future__ import annotations

import math

import pytest

from staking.adjust.pour.footing_edges import PlannedEdge, planned_edges
from staking.adjust.pour.poured import (
    Deviation,
    EdgeFound,
    LevelFound,
    Poured,
    Terms,
    TopRun,
    judge_poured,
    planned_top,
)
from staking.kinds import Casting, FootingEdge, PouredFigure, WallMaterial
from staking.plan import Building, Corner, Footing, InteriorLine, Pad, Plan, Wall

INCH = 0.0254
FOOT = 0.3048
FOOTING = Footing(width=20 * INCH, thickness=10 * INCH, outside=6 * INCH)


def plan(clockwise: bool = False) -> Plan:
    points = {"A": (0.0, 0.0), "B": (36 * FOOT, 0.0), "C": (36 * FOOT, 24 * FOOT)}
    points["D"] = (0.0, 24 * FOOT)
    order = list("DCBA") if clockwise else list("ABCD")
    return Plan(
        job="Invented",
        buildings=(
            Building(
                name=None,
                corners=tuple(
                    Corner(name=name, x=points[name][0], y=points[name][1]) for name in order
                ),
                walls=tuple(
                    Wall(start=a, end=b, thickness=8 * INCH, footing=FOOTING)
                    for a, b in zip(order, [*order[1:], order[0]], strict=True)
                ),
            ),
        ),
        interior=(
            InteriorLine(
                name="G",
                start=(14 * FOOT, 0.0),
                end=(14 * FOOT, 24 * FOOT),
                start_on="A-B",
                end_on="C-D",
                thickness=8 * INCH,
                footing=Footing(width=16 * INCH, thickness=8 * INCH, outside=4 * INCH),
            ),
        ),
        pads=(
            Pad(name="P", x=15.0, y=2.0, size=(0.6, 0.9), diameter=None, thickness=0.3),
            Pad(name="Q", x=18.0, y=2.0, size=None, diameter=0.5, thickness=0.3),
        ),
    )


def edge_of(where: str, side: FootingEdge, of: Plan | None = None) -> PlannedEdge:
    (edge,) = (
        each for each in planned_edges(of or plan()) if (each.where, each.side) == (where, side)
    )
    return edge


def judged(
    edges: list[EdgeFound] | None = None,
    levels: list[LevelFound] | None = None,
    runs: tuple[TopRun, ...] = (),
    terms: Terms | None = None,
) -> Poured:
    return judge_poured(
        plan(), planned_edges(plan()), edges or [], levels or [], runs, terms or Terms()
    )


def only(poured: Poured, what: str) -> Deviation:
    (found,) = (each for each in poured.deviations if each.what == what)
    return found


def found(
    side: FootingEdge, more: float, station: float = 3.0, row: int | None = None
) -> EdgeFound:
    return EdgeFound(where="A-B", side=side, station=station, more=more, row=row)


def top(value: float, station: float) -> LevelFound:
    return LevelFound(where="A-B", what=PouredFigure.TOP, station=station, value=value)


@pytest.mark.parametrize("clockwise", [False, True])
def test_outer_and_inner_edges_lie_either_side_of_the_outside_face(clockwise: bool) -> None:
    wall = "B-A" if clockwise else "A-B"
    of = plan(clockwise)
    assert edge_of(wall, FootingEdge.OUTER, of).start[1] == pytest.approx(
        -6 * INCH, rel=0, abs=1e-12
    )
    assert edge_of(wall, FootingEdge.INNER, of).start[1] == pytest.approx(
        14 * INCH, rel=0, abs=1e-12
    )
    assert edge_of(wall, FootingEdge.OUTER, of).beyond((1.0, -7 * INCH)) == pytest.approx(
        INCH, rel=0, abs=1e-12
    )
    assert edge_of(wall, FootingEdge.INNER, of).beyond((1.0, 15 * INCH)) == pytest.approx(
        INCH, rel=0, abs=1e-12
    )


def test_left_and_right_of_an_interior_line_are_seen_from_its_first_end() -> None:
    assert edge_of("G", FootingEdge.LEFT).start[0] == pytest.approx(
        14 * FOOT - 8 * INCH, rel=0, abs=1e-12
    )
    assert edge_of("G", FootingEdge.RIGHT).start[0] == pytest.approx(
        14 * FOOT + 8 * INCH, rel=0, abs=1e-12
    )


def test_a_round_pad_is_measured_from_its_centre() -> None:
    edge = edge_of("Q", FootingEdge.ROUND)
    assert edge.beyond((18.0, 2.26)) == pytest.approx(0.01, rel=0, abs=1e-12)


def test_a_square_pad_has_four_edges_and_both_its_sizes() -> None:
    widths = [edge_of("P", str(i)).width for i in range(1, 5)]
    assert widths == [0.6, 0.9, 0.6, 0.9]
    assert edge_of("P", FootingEdge.FIRST).start[0] == pytest.approx(15.3, rel=0, abs=1e-12)


def test_an_edge_half_an_inch_short_is_out_under_masonry_and_good_under_concrete() -> None:
    edges = [found(FootingEdge.OUTER, -INCH / 2)]
    assert not judged(edges).good
    assert judged(edges, terms=Terms(carries=WallMaterial.CONCRETE, cast=Casting.FORMS)).good


def test_both_edges_of_one_row_give_a_width() -> None:
    poured = judged([
        found(FootingEdge.OUTER, -0.3 * INCH, row=4),
        found(FootingEdge.INNER, 0.1 * INCH, row=4),
    ])
    width = only(poured, "width")
    assert width.off == pytest.approx(-0.2 * INCH, rel=0, abs=1e-12)
    assert width.planned == pytest.approx(20 * INCH, rel=0, abs=1e-12)
    assert only(poured, "outer edge").measured == pytest.approx(5.7 * INCH, rel=0, abs=1e-12)


def test_surveyed_edges_over_two_feet_apart_give_no_width() -> None:
    near = judged([found(FootingEdge.OUTER, 0.0, 3.0), found(FootingEdge.INNER, 0.0, 3.6)])
    far = judged([found(FootingEdge.OUTER, 0.0, 3.0), found(FootingEdge.INNER, 0.0, 3.7)])
    assert [each.what for each in near.deviations].count("width") == 1
    assert [each.what for each in far.deviations].count("width") == 0


def test_a_footing_too_narrow_is_told_even_where_both_edges_are_good() -> None:
    poured = judged([
        found(FootingEdge.OUTER, -0.35 * INCH, row=1),
        found(FootingEdge.INNER, -0.35 * INCH, row=1),
    ])
    bad = [each.what for each in poured.deviations if not each.good]
    assert bad == ["width"]


def test_the_top_is_judged_against_the_run_it_stands_on() -> None:
    runs = (
        TopRun(where="A-B", start=0.0, end=4.0, top=30.0),
        TopRun(where="A-B", start=4.0, end=10.9, top=29.8),
    )
    poured = judged(levels=[top(30.01, 1.0), top(29.79, 8.0)], runs=runs)
    assert [each.off for each in poured.deviations if each.what == "top"] == pytest.approx(
        [0.01, -0.01], rel=0, abs=1e-12
    )
    assert poured.good


def test_at_a_step_a_top_belongs_to_the_nearer_of_the_two_runs() -> None:
    runs = (
        TopRun(where="A-B", start=0.0, end=4.0, top=30.0),
        TopRun(where="A-B", start=4.0, end=10.9, top=29.8),
    )
    assert planned_top(runs, 3.95, 29.81) == 29.8
    assert planned_top(runs, 3.5, 29.81) == 30.0


def test_without_a_planned_top_only_the_fall_is_judged() -> None:
    poured = judged(levels=[top(30.0, 1.0), top(30.0 - 0.3 * INCH, 5.0)])
    (level,) = poured.deviations
    assert level.what == "level"
    assert level.off == pytest.approx(-0.3 * INCH, rel=0, abs=1e-9)
    assert not poured.good


def test_over_forty_feet_half_an_inch_of_fall_is_allowed() -> None:
    good = judged(levels=[top(30.0, 0.0), top(30.0 + 0.44 * INCH, 36 * FOOT)])
    bad = judged(levels=[top(30.0, 0.0), top(30.0 + 0.46 * INCH, 36 * FOOT)])
    assert good.good
    assert not bad.good


def test_a_thin_footing_is_out_and_a_thick_one_is_not() -> None:
    def thick(value: float) -> Poured:
        return judged(
            levels=[LevelFound(where="A-B", what=PouredFigure.THICKNESS, station=2.0, value=value)]
        )

    assert thick(9.5 * INCH).good
    assert not thick(9.4 * INCH).good
    assert thick(20 * INCH).good


def test_the_worst_is_what_takes_the_most_of_its_limit() -> None:
    poured = judged([
        found(FootingEdge.OUTER, 2.5 * INCH, 1.0),
        found(FootingEdge.OUTER, -0.39 * INCH, 8.0),
    ])
    (verdict,) = poured.verdicts
    worst = verdict.worst()
    assert worst is not None
    assert worst.station == 8.0
    assert verdict.worst("top") is None


def test_what_was_not_measured_is_listed() -> None:
    assert judged([found(FootingEdge.OUTER, 0.0)]).missing == ("B-C", "C-D", "D-A", "G", "P", "Q")


def test_a_deviation_stands_on_the_planned_edge_at_its_station() -> None:
    deviation = only(judged([found(FootingEdge.INNER, 0.01, 3.0)]), PouredFigure.INNER_EDGE)
    assert (deviation.x, deviation.y) == pytest.approx((3.0, 14 * INCH), rel=0, abs=1e-12)
    assert deviation.out == pytest.approx((0.0, 1.0), rel=0, abs=1e-12)
    assert math.isclose(deviation.share, 0.01 / (3 * INCH), rel_tol=1e-9)
