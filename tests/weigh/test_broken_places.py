"""What a place breaks, against what shapely finds from the plan's corners and the lot's lines.

Nothing here is asked of the package but what it says: the building is a rectangle of 32' by 24'
whose corner A is placed at 5000, 5000, its footing stands out 6", its eaves 18"; the footing's
strips are 20" wide, so that what is dug is that ring.
"""

from __future__ import annotations

import math
import os
import re
from pathlib import Path
from typing import Any

import pytest
from shapely import Point
from shapely.geometry import LineString, Polygon

from tests.weigh.rough_lots import DEEP, WIDE, RoughLot, rough_lot, said

LOTS = int(os.environ.get("LOTS", "1"))
CLOSE = 0.1e-3 / 0.3048
"""What a distance may lack before it is called broken, ft: a tenth of a millimetre."""

GRID = (
    "weigh:\n  top_of_wall: {from: 106', to: 106'}\n"
    "  move: {north: 4', east: 4', turn: 6, step: 4', turn_step: 6}\n"
)


def around(lot: RoughLot, row: dict[str, Any], out: float) -> Polygon:
    """Return the outside face at a row's place, grown by so many feet with its corners mitred."""
    along = math.radians(lot.azimuth + row["turn"])
    u = (math.sin(along), math.cos(along))
    v = (-u[1], u[0])  # left of A-B, where the building lies
    east, north = 5000 + row["east"], 5000 + row["north"]
    return Polygon([
        (east + x * u[0] + y * v[0], north + x * u[1] + y * v[1])
        for x, y in (
            (-out, -out),
            (WIDE + out, -out),
            (WIDE + out, DEEP + out),
            (-out, DEEP + out),
        )
    ])


def broken_by_shapely(lot: RoughLot, row: dict[str, Any]) -> set[tuple[str, str]]:
    """Return which part comes too near to what."""
    parts = {
        "eave": around(lot, row, lot.overhang),
        "wall": around(lot, row, 0.0),
        "footing": around(lot, row, 0.5),
    }
    found = set()
    for i, setback in enumerate(lot.setbacks):
        line = LineString([lot.lines[i], lot.lines[(i + 1) % 4]])
        for name, part in parts.items():
            if part.distance(line) < setback - CLOSE:
                found.add((name, f"P{i + 1}-P{(i + 1) % 4 + 1}"))
    if parts["footing"].distance(Point(lot.well)) < 8 - CLOSE:
        found.add(("footing", "well"))
    if parts["wall"].distance(Polygon(lot.drain)) < 9 - CLOSE:
        found.add(("wall", "drain field"))
    return found


def broken_as_said(row: dict[str, Any]) -> set[tuple[str, str]]:
    """Return the same from the row's sentences."""
    found = set()
    for said_ in row["broken"]:
        near = re.match(
            r"the (eave|wall|footing) (?:comes within .+ of|stands .+ over|stands on) "
            r"(?:the boundary line (P\d-P\d)|(well|drain field))",
            said_,
        )
        if near:
            found.add((near[1], near[2] or near[3]))
    return found


def dug_beside(lot: RoughLot, row: dict[str, Any]) -> set[str]:
    """Return the walls whose strip of the dig lies within 2' of the buried line."""
    line = LineString(lot.gas)
    outer = around(lot, row, 0.5).exterior.coords
    # The strip of a wall is 20" wide and as long as the footing, corners included.
    inner = around(lot, row, 0.5 - 20 / 12).exterior.coords
    walls = ("A-B", "B-C", "C-D", "D-A")
    strips = [Polygon([outer[i], outer[i + 1], inner[i + 1], inner[i]]) for i in range(len(walls))]
    return {
        wall for wall, strip in zip(walls, strips, strict=True) if strip.distance(line) < 2 - CLOSE
    }


@pytest.mark.parametrize("seed", range(20, 20 + LOTS))
def test_what_a_place_breaks_is_what_shapely_finds(tmp_path: Path, seed: int) -> None:
    lot = rough_lot(tmp_path, seed, GRID)
    rows = said(lot.path, "weigh")["rows"]
    assert len(rows) == 3 * 3 * 3
    kinds: set[str] = set()
    for row in rows:
        wanted = broken_by_shapely(lot, row)
        assert broken_as_said(row) == wanted, row
        # Nothing else is broken here: the top stands clear of the ground, no footing is near.
        assert len(row["broken"]) == len(wanted), row
        kinds |= {what for _, what in wanted} | ({"free"} if not wanted else set())
        beside = dug_beside(lot, row)
        assert bool(row["noted"]) == bool(beside), row
        for each in row["noted"]:
            assert each.endswith("comes within 2' 0\" of gas line: dig there by hand")
            told = set(re.findall(r"[A-D]-[A-D]", each))
            # Corners belong to both walls that meet there, here to half of each.
            assert beside <= told
    assert "free" in kinds
    assert len(kinds) > 2
