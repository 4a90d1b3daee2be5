"""The cheapest row against every node of its grid, and against places drawn at random."""

from __future__ import annotations

import math
import os
from pathlib import Path

import numpy as np
import pytest

from staking.errors import ProjectError
from staking.project.layout import load_job
from staking.project.order import order_job
from staking.project.resolve import resolve
from tests.weigh.rough_lots import RoughLot, rough_lot, said
from tests.weigh.test_broken_places import broken_by_shapely

LOTS = int(os.environ.get("LOTS", "1"))
PLACES = int(os.environ.get("PLACES", "4"))
"""`LOTS=10 PLACES=50` for five hundred places."""

MOVE, TURN = 4.0, 6.0
"""How far the building may go either way, ft and degrees; the grid has the steps that it has by
itself, 2' and 3 degrees."""

AT_MOST = 0.005
"""A search may miss so much of the cost."""

TOPS = (105.0, 105 + 4 / 12)


def cost_at(lot: RoughLot, folder: Path, top: float, place: tuple[float, float, float]) -> float:
    """Return what the job costs with a top at a place; infinite where it breaks something."""
    path = folder / "place.yaml"
    path.write_text(lot.with_row(top, *place), encoding="utf-8")
    try:
        resolved = resolve(load_job(path))
        ordered = order_job(resolved)
    except ProjectError:
        return math.inf
    told = {each.severity for each in (*resolved.layout.notices, *ordered.notices)}
    tops = {each.kind for each in resolved.layout.notices} & {"grade-over-top", "grade-near-top"}
    return math.inf if "broken" in told or tops else sum(cost for _, cost in ordered.costs)


@pytest.mark.parametrize("seed", range(40, 40 + LOTS))
def test_no_place_is_cheaper_than_the_cheapest_row(tmp_path: Path, seed: int) -> None:
    reach = f"{{north: {MOVE:.0f}', east: {MOVE:.0f}', turn: {TURN:.0f}}}"
    if LOTS == 1:
        reach = "{north: 2', east: 2', turn: 3}"
    top = TOPS[0] if LOTS == 1 else TOPS[1]
    section = f"weigh:\n  top_of_wall: {{from: 105', to: {top:.10f}, by: 4\"}}\n  move: {reach}\n"
    lot = rough_lot(tmp_path, seed, section, priced=True)
    found = said(lot.path, "weigh")
    rows, best = found["rows"], found["rows"][found["best"] - 1]
    assert not best["broken"]
    assert all(best["cost"] <= row["cost"] for row in rows if row["cost"] and not row["broken"])

    rng = np.random.default_rng(seed)
    tried, cheaper = 0, []
    limit = (2.0, 2.0, 3.0) if LOTS == 1 else (MOVE, MOVE, TURN)
    for _ in range(400 * PLACES):
        place = tuple((rng.uniform(-1, 1, 3) * limit).round(4).tolist())
        if broken_by_shapely(lot, dict(zip(("north", "east", "turn"), place, strict=True))):
            continue
        costs = {each: cost_at(lot, tmp_path, each, place) for each in TOPS if each <= top}
        least = min(costs.values())
        if math.isfinite(least):
            tried += 1
            cheaper.append((1 - least / best["cost"], place, costs))
        if tried == PLACES:
            break
    assert tried == PLACES
    worst = max(cheaper, key=lambda each: each[0])
    print(f"lot {seed}: {len(rows)} rows, cheapest {best['cost']}, a place saves {worst}")
    assert worst[0] <= AT_MOST, (best, worst)
