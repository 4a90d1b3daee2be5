"""Rows on invented lots: against grade and order, and against shapely and the plane's own sums."""

from __future__ import annotations

import math
import os
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner
from shapely.geometry import LineString, Polygon

from staking.cli import main
from tests.commands.test_weigh import PLAIN, assert_row_is, document, plane

LOTS = int(os.environ.get("LOTS", "1"))
"""How many rough lots are tried: `LOTS=10` for many."""


def rough_lot(folder: Path, seed: int) -> Path:
    """Write an invented lot: a slope with a foot of unevenness, a building turned on it."""
    rng = np.random.default_rng(seed)
    slope = rng.uniform(-0.06, 0.06, 2)
    lines = ["point,northing,easting,elevation"]
    for i, (north, east) in enumerate(rng.uniform(-120, 120, (220, 2)).tolist(), 1):
        height = 100 + slope[0] * north + slope[1] * east + rng.uniform(0, 0.8)
        lines.append(f"{i},{5000 + north:.3f},{5000 + east:.3f},{height:.3f}")
    (folder / "plane.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    text = PLAIN.replace("bearing: E", f"bearing: N {rng.integers(20, 70)} 00 00 E")
    job = folder / f"lot{seed}.yaml"
    job.write_text(
        text.replace("top_of_wall: 104'", 'top_of_wall: highest ground + 8"')
        + "weigh:\n  move: {north: 3', turn: 4, step: 3', turn_step: 4}\n"
        + "  top_of_wall: {from: 105', to: 105'}\n",
        encoding="utf-8",
    )
    return job


def said(job: Path, command: str, *words: str) -> dict[str, object]:
    return document(CliRunner().invoke(main, [command, str(job), *words, "--json"]))


@pytest.mark.parametrize("seed", range(2, 2 + LOTS))
def test_rows_on_rough_lots_are_runs_of_grade_and_order(tmp_path: Path, seed: int) -> None:
    job = rough_lot(tmp_path, seed)
    text = job.read_text(encoding="utf-8")
    rows = said(job, "weigh")["rows"]
    chosen = [i for i, row in enumerate(rows, 1) if row["steps"] is not None]
    for number in np.random.default_rng(seed).choice(chosen, 1, replace=False).tolist():
        job.write_text(text, encoding="utf-8")
        taken = CliRunner().invoke(main, ["weigh", str(job), "--take", str(number)])
        assert taken.exit_code == 0, taken.stderr
        assert_row_is(rows[number - 1], said(job, "grade"), said(job, "order"))


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
