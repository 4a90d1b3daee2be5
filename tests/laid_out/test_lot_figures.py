"""What the sheet of the lot shows, on the hillside demo, measured again from its coordinates."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from staking.laid_out.footing_sections import footing_sections
from staking.laid_out.lot_figures import ground_fall, lot_figures
from staking.project.layout import load_job
from staking.project.resolve import resolve
from staking.project.sheets import prepare_sheets

FOOT = 1200 / 3937
"""The site section of the job is in survey feet, m."""
JOB = Path(__file__).resolve().parents[2] / "fixtures" / "hillside-lot" / "job.yaml"


@pytest.fixture(scope="module")
def sheets():
    return prepare_sheets(resolve(load_job(JOB)))


def test_an_arc_swings_through_its_stake_with_the_length_of_the_tie(sheets):
    figures = sheets.values.lot
    assert len(figures.arcs) == 4
    assert {arc.stake for arc in figures.arcs} == {sheets.work.base.first, sheets.work.base.second}
    for arc in figures.arcs:
        assert math.dist(arc.centre, arc.at) == pytest.approx(arc.distance, rel=0, abs=1e-6)


def test_setbacks_keep_their_distance_from_every_line(sheets):
    layout = sheets.layout
    edges = layout.site.placement.to_building(
        np.array([[p.northing, p.easting] for p in layout.site.boundary])
    )
    wanted = {"1-2": 25 * FOOT, "2-3": 10 * FOOT, "3-4": 10 * FOOT, "4-1": 10 * FOOT}
    (ring,) = sheets.values.lot.setbacks
    assert len(ring) == 4
    for line, start, end in zip(layout.site.lines, edges, np.roll(edges, -1, axis=0), strict=True):
        along = (end - start) / np.linalg.norm(end - start)
        across = [abs(along[0] * (y - start[1]) - along[1] * (x - start[0])) for x, y in ring]
        assert min(across) == pytest.approx(wanted[line.name], rel=0, abs=1e-6)
        # One whole side of the ring runs along it.
        assert sum(each < wanted[line.name] + 1e-6 for each in across) == 2


def test_ties_are_square_to_their_lines_and_as_long_as_the_clearance(sheets):
    ties = sheets.values.lot.ties
    assert {tie.line for tie in ties} == {"1-2", "2-3", "3-4", "4-1"}
    for tie in ties:
        assert math.dist(tie.at, tie.foot) == pytest.approx(tie.distance, rel=0, abs=1e-6)


def test_the_ground_falls_from_the_highest_stake_to_the_lowest(sheets):
    fall = ground_fall(sheets.layout)
    ground = {
        each.name: each.ground for each in sheets.layout.grade.stakes if each.name in "ABCDEF"
    }
    assert ground[fall.highest] == max(ground.values())
    assert fall.drop == pytest.approx(max(ground.values()) - min(ground.values()), abs=1e-12)
    places = {c.name: c.point for b in sheets.layout.plan.buildings for c in b.corners}
    (x1, y1), (x2, y2) = places[fall.highest], places[fall.lowest]
    assert math.cos(fall.turn) * (x2 - x1) + math.sin(fall.turn) * (y2 - y1) > 0
    assert ground_fall(replace(sheets.layout, grade=None)) is None


def test_a_building_that_is_not_placed_has_no_lot():
    job = JOB.parents[1] / "orchard-workshop" / "job.yaml"
    layout = resolve(load_job(job)).layout
    assert lot_figures(layout, None, None) is None


def test_walls_are_sorted_by_how_they_are_built():
    sheets = prepare_sheets(resolve(load_job(JOB.parents[1] / "orchard-workshop" / "job.yaml")))
    usual, other, inside = footing_sections(sheets.layout, sheets.asked)
    assert usual.walls == ("A-B", "B-C", "D-E", "E-F", "F-A")
    inch = 0.0254
    assert (usual.wall, usual.width, usual.outside, usual.inside) == pytest.approx(
        (8 * inch, 20 * inch, 6 * inch, 6 * inch), rel=0, abs=1e-9
    )
    assert other.walls == ("C-D",)
    assert (other.outside, other.inside) == pytest.approx((8 * inch, 4 * inch), rel=0, abs=1e-9)
    assert (inside.walls, inside.is_interior) == (("G",), True)
    assert usual.steel.cover == pytest.approx(3 * inch, rel=0, abs=1e-12)
    assert usual.frost_depth is None
