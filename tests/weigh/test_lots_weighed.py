"""Rows of a weigh, every one of them, against grade and order; and against the plane's own sums."""

from __future__ import annotations

import math
import os
import shutil
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from shapely.geometry import LineString, Polygon

from staking.cli import main
from tests.commands.test_weigh import PLAIN, ROOT, assert_row_is, plane
from tests.weigh.rough_lots import rough_lot, said

LOTS = int(os.environ.get("LOTS", "0"))
"""How many rough lots are tried beside the small part that always is: `LOTS=10` for many."""

READINGS = {
    "boat-shed": "grade:\n"
    "  ground: {A: 30000, B: 29600, C: 29100, D: 29500, P1: 29900, P2: 29700, P3: 29500}\n"
    "  top_of_wall: 30800\n  frost_depth: 900\n",
    "orchard-workshop": "grade:\n"
    "  ground: {A: 100' 2\", B: 99', C: 98' 4\", D: 98' 6\", E: 98', F: 99' 4\", P1: 98' 8\"}\n"
    '  top_of_wall: 103\' 4"\n  frost_depth: 36"\n',
}
"""Levels, invented, for the demonstrations that have none."""

SHIFTED = {
    "boat-shed": (("top_of_wall: {}", "30800", 30800.0),),
    "hillside-lot": (
        ("top_of_wall: {}", "103' 4\"", 103 + 4 / 12),
        ("boards: {{at: {}}}", "103' 8\"", 103 + 8 / 12),
    ),
    "orchard-workshop": (
        ("top_of_wall: {}", "103' 4\"", 103 + 4 / 12),
        ("slab: {{top: {},", "102' 8\"", 102 + 8 / 12),
        ("at: {}, max_height", "103'", 103.0),
    ),
}
"""What stands at a level in each file and goes with the top of wall: the text, and the level."""

PLACED = "north: {}, east: {}, bearing: {}"
HILLSIDE = PLACED.format("590152.3", "1640308.8", "S 75 30 00 E")


def runs_with(path: Path, text: str) -> tuple[dict[str, Any], dict[str, Any]]:
    """Run grade and order on a text."""
    path.write_text(text, encoding="utf-8")
    return said(path, "grade"), said(path, "order")


MOVED = (
    'weigh:\n  top_of_wall: {from: 103\' 8", to: 104\' 8", by: 6"}\n'
    "  move: {north: 2', east: 4', turn: 3, step: 4', turn_step: 3}\n"
)
"""Moves and turns of the hillside's workshop, which are weighed where many lots are."""


@pytest.mark.parametrize("seed", range(2, 2 + max(LOTS, 1)))
def test_rows_on_rough_lots_are_runs_of_grade_and_order(tmp_path: Path, seed: int) -> None:
    # Each row's top and place are written into the job here, by the moves that the row tells.
    section = (
        "weigh:\n  top_of_wall: {from: 105', to: 105' 4\", by: 4\"}\n"
        "  move: {north: 3', turn: 4, step: 3', turn_step: 4}\n"
    )
    lot = rough_lot(tmp_path, seed, section, priced=True)
    rows = said(lot.path, "weigh")["rows"]
    assert len(rows) >= 2 * 3 * 3
    compared = 0
    for row in rows if LOTS else rows[:2] + rows[-1:]:
        text = lot.with_row(*(row[name] for name in ("top_of_wall", "north", "east", "turn")))
        if row["steps"] is None:
            done = CliRunner().invoke(main, ["grade", str(_written(tmp_path, text)), "--json"])
            assert done.exit_code in {3, 4}
            assert done.stderr
            continue
        assert_row_is(row, *runs_with(tmp_path / "row.yaml", text))
        compared += 1
    assert compared >= (len(rows) // 2 if LOTS else 1)


def _written(folder: Path, text: str) -> Path:
    path = folder / "row.yaml"
    path.write_text(text, encoding="utf-8")
    return path


@pytest.mark.parametrize(
    ("name", "section"),
    [
        ("boat-shed", ""),
        ("orchard-workshop", ""),
        ("hillside-lot", ""),
        *([("hillside-lot", MOVED)] if LOTS else []),
    ],
)
def test_every_row_of_a_demonstration_is_a_run_of_grade_and_order(
    tmp_path: Path, name: str, section: str
) -> None:
    folder = shutil.copytree(ROOT / "fixtures" / name, tmp_path / name)
    text = (folder / "job.yaml").read_text(encoding="utf-8") + "\n" + READINGS.get(name, "")
    (folder / "job.yaml").write_text(text + section, encoding="utf-8")
    found = said(folder / "job.yaml", "weigh")
    rows, own = found["rows"], found["own"]["top_of_wall"]
    for row in rows if LOTS else rows[:: len(rows) - 1]:
        other = text
        for form, level, value in SHIFTED[name]:
            old = form.format(level)
            assert other.count(old) == 1
            shifted = f"{value + row['top_of_wall'] - own:.10f}"
            other = other.replace(old, form.format(shifted))
        if section:
            assert other.count(HILLSIDE) == 1
            # S 75 30 00 E is 104.5 degrees from north.
            # The moves are in the job's feet, the survey is in survey feet of 1200/3937 m.
            north, east = (row[name] * 0.3048 * 3937 / 1200 for name in ("north", "east"))
            new = (590152.3 + north, 1640308.8 + east, 104.5 + row["turn"])
            other = other.replace(HILLSIDE, PLACED.format(*(f"{each:.9f}" for each in new)))
        assert_row_is(row, *runs_with(folder / "row.yaml", other))


def test_rows_are_broken_where_the_walls_come_nearer_than_the_setbacks(tmp_path: Path) -> None:
    # The lot is 60' x 52' about a building of 32' x 24' whose corner A is at 5000, 5000 and whose
    # wall A-B runs east; setbacks of 10', the walls taken without eaves.
    corners = [(4988, 4986), (4988, 5046), (5040, 5046), (5040, 4986)]
    points = plane(1 / 20).splitlines()
    points += [f"P{i},{n},{e}," for i, (n, e) in enumerate(corners, 1)]
    (tmp_path / "plane.csv").write_text("\n".join(points) + "\n", encoding="utf-8")
    job = tmp_path / "shop.yaml"
    job.write_text(
        PLAIN.replace(
            "grade:\n",
            "  boundary: [P1, P2, P3, P4]\n  setbacks: {other: 10'}\ngrade:\n",
        )
        + "weigh:\n  top_of_wall: {from: 105', to: 105'}\n"
        "  move: {east: 8', turn: 5, step: 8', turn_step: 5}\n",
        encoding="utf-8",
    )
    rows = said(job, "weigh")["rows"]
    assert len(rows) == 3 * 3
    lot = [(e, n) for n, e in corners]
    lines = [LineString([a, b]) for a, b in zip(lot, lot[1:] + lot[:1], strict=True)]
    found = set()
    for row in rows:
        turn = math.radians(row["turn"])
        east, north = 5000 + row["east"], 5000 + row["north"]
        # A turn clockwise: along A-B is east turned right, and to the left of it is north turned.
        u, v = (math.cos(turn), -math.sin(turn)), (math.sin(turn), math.cos(turn))
        walls = Polygon([
            (east + a * u[0] + b * v[0], north + a * u[1] + b * v[1])
            for a, b in ((0, 0), (32, 0), (32, 24), (0, 24))
        ])
        nearest = min(walls.distance(line) for line in lines)
        inside = Polygon(lot).contains(walls)
        breaks = not inside or nearest < 10 - 1e-6
        assert bool(row["broken"]) == breaks, (row, nearest)
        found.add(breaks)
    assert found == {True, False}


def test_moved_uphill_within_a_course_a_level_trench_is_deeper_by_the_rise(tmp_path: Path) -> None:
    # All walls level, the fall 1' in 20': 2' uphill is 0.1' more ground over the trench, which is
    # 33' x 25' less 29' 8" x 21' 8": 182.2222 sq ft, 18.2222 cu ft. Across the fall nothing.
    (tmp_path / "plane.csv").write_text(plane(1 / 20), encoding="utf-8")
    job = tmp_path / "shop.yaml"
    job.write_text(
        PLAIN.replace("grade:\n", "grade:\n  level: [A-B, B-C, C-D, D-A]\n")
        + "weigh:\n  top_of_wall: {from: 104' 4\", to: 104' 4\"}\n"
        "  move: {north: 2', east: 2'}\n",
        encoding="utf-8",
    )
    rows = {(row["north"], row["east"]): row for row in said(job, "weigh")["rows"]}
    own, up, down = rows[0, 0], rows[0, -2], rows[0, 2]
    trench = (33 * 25 - (29 + 2 / 3) * (21 + 2 / 3)) / 27
    same = [row for row in (up, down) if row["wall_area"] == own["wall_area"]]
    assert same
    for row in same:
        more = trench * 0.1 * (1 if row is up else -1)
        assert row["dug"] - own["dug"] == pytest.approx(more, rel=0, abs=1e-6)
    for north in (-2, 2):
        assert rows[north, 0]["dug"] == pytest.approx(own["dug"], rel=0, abs=1e-6)
