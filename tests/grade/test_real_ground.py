"""Real ground: 40,000 points of bare earth from airborne laser scanning, one metre apart, and a
rock surface that another program triangulated with its break lines.

The middle 200 x 200 cells of the elevation model in the Python package lidar 0.8.4 (MIT); the
LandXML file is listed in tests/data/surveys/LICENSES.md.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np

from staking.footing.bands import footing_bands
from staking.grade.stepping.cells import SiteGround
from staking.grade.stepping.cheapest import step_footings
from staking.grade.stepping.step_rules import GradeRules
from staking.grade.terrain.break_lines import BreakLine
from staking.grade.terrain.given_surface import ground_of_faces
from staking.grade.terrain.surveyed_ground import surveyed_ground
from staking.grade.terrain.triangulate import window_surface
from staking.points import SurveySettings
from staking.survey.read import read_survey
from tests.grade import slopes

SURVEYS = Path(__file__).parents[1] / "data" / "surveys"
GRID = SURVEYS / "ground_1m_grid_40000_points_derived.xyz"
ROCK = SURVEYS / "landxml12_metre_rock_surface_breaklines_other_namespace.xml"


def squares(heights: np.ndarray, places: np.ndarray) -> np.ndarray:
    """Elevations over a grid of 1 m squares, each split along its lower diagonal."""
    cell = np.floor(places).astype(int)
    u, v = (places - cell).T
    i, j = cell[:, 0], cell[:, 1]
    a, b = heights[j, i], heights[j, i + 1]
    c, d = heights[j + 1, i + 1], heights[j + 1, i]
    first = np.where(u >= v, a + (b - a) * u + (c - b) * v, a + (d - a) * v + (c - d) * u)
    second = np.where(
        u + v <= 1, a + (b - a) * u + (d - a) * v, c + (d - c) * (1 - u) + (b - c) * (1 - v)
    )
    return np.where(a + c <= b + d, first, second)


def test_a_window_of_real_ground_and_a_footing_on_it() -> None:
    data = np.loadtxt(GRID)
    points = np.rint(data[:, :2] - data[:, :2].min(axis=0))
    heights = np.empty((200, 200))
    heights[points[:, 1].astype(int), points[:, 0].astype(int)] = data[:, 2]
    plan = slopes.outline([(x + 320, y + 330) for x, y in slopes.rectangle(36, 24)])
    hulls = [band.hull for band in footing_bands(plan)[0]]
    ground = surveyed_ground(points, data[:, 2], hulls)
    low, high = np.array(hulls).reshape(-1, 2).min(axis=0), np.array(hulls).reshape(-1, 2).max(0)
    places = np.random.default_rng(8).uniform(low, high, (5000, 2))
    assert np.abs(ground.surface.at(places) - squares(heights, places)).max() < 1e-9
    assert len(ground.surface.points) < 2000
    top = float(squares(heights, np.array(hulls).reshape(-1, 2)).max()) + 0.3
    found = step_footings(
        slopes.requested(
            plan=plan,
            site=SiteGround(existing=ground.surface),
            rules=GradeRules(frost_depth=1.2192),
            top_of_wall=top,
        )
    )
    for wall in found.walls:
        for level in wall.levels:
            assert level.frost_spare > -2e-6
            assert level.bearing_spare > -2e-6


def test_break_lines_give_the_triangles_that_the_file_itself_holds() -> None:
    survey = read_survey(ROCK, SurveySettings())
    (given,) = survey.surfaces
    centre = np.append(given.vertices[:, [1, 0]].mean(axis=0), 0.0)
    vertices = given.vertices[:, [1, 0, 2]] - centre
    lines = [
        BreakLine(name=line.name, vertices=line.vertices[:, [1, 0, 2]] - centre)
        for line in survey.lines
    ]
    assert len(lines) == 67
    corners = vertices[given.faces]
    middles, heights = corners[..., :2].mean(axis=1), corners[..., 2].mean(axis=1)
    surface, _ = window_surface(vertices[:, :2], vertices[:, 2], vertices[:, :2], lines)
    assert np.abs(surface.at(middles) - heights).max() < 1e-9
    # Without the lines 3 in 100 of its 3,244 triangles would be others.
    plain, _ = window_surface(vertices[:, :2], vertices[:, 2], vertices[:, :2])
    assert 50 < (np.abs(plain.at(middles) - heights) > 1e-9).sum() < 150
    # Its own triangles under a building in its middle are the same ground.
    start = np.median(vertices[:, :2], axis=0)
    ring = [(start[0] + x, start[1] + y) for x, y in ((0, 0), (8, 0), (8, 6), (0, 6))]
    places = start + np.random.default_rng(4).uniform((0, 0), (8, 6), (500, 2))
    taken = ground_of_faces(vertices, given.faces, [ring]).at(places)
    joined = surveyed_ground(vertices[:, :2], vertices[:, 2], [ring], lines=lines).at(places)
    assert np.abs(taken - joined).max() < 1e-9
