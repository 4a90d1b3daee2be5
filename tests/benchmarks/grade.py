"""Times stepped footings and the ground; run on request, never by the tests.

``python tests/benchmarks/grade.py``. Prints ratios: the steps of a building beside HiGHS on the
same rules, twice the wall beside once, and the ground of a large survey beside a triangulation
of all of it. Run by ``run_all.py`` too.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent))
sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

import numpy as np
from timing import interleaved_seconds, least_seconds, process, say

from staking.footing.bands import footing_bands
from staking.grade.stepping.cells import SiteGround
from staking.grade.stepping.cheapest import network_bounds, solve, step_footings
from staking.grade.stepping.step_places import wall_runs
from staking.grade.stepping.step_rules import GradeRules
from staking.grade.stepping.wall_network import build_network
from staking.grade.terrain.surveyed_ground import surveyed_ground
from staking.plan import Plan
from tests.grade import slopes
from tests.grade.programme import programme

ROOT = Path(__file__).resolve().parents[2]
RUN = "from staking.cli import run; run()"
LIBRARIES = """
import click
import numpy
import pyproj
import rich.table
import ruamel.yaml
import scipy.spatial
import shapely
from pydantic import BaseModel
"""


def house(width: float = 36.0) -> Plan:
    """Return a building 24' deep with a cross wall."""
    lines = [("G", (17.5, 0.0), (17.5, 24.0))]
    return slopes.outline(slopes.rectangle(width, 24), lines)


def rough(seed: int, plan: Plan) -> SiteGround:
    """Return invented ground about the plan: a slope with a foot of unevenness."""
    rng = np.random.default_rng(seed)
    points = rng.uniform((-10, -10), (30, 25), (400, 2))
    heights = 30 + points @ rng.uniform(-0.15, 0.15, 2) + rng.uniform(0, 0.3, 400)
    hulls = [band.hull for band in footing_bands(plan)[0]]
    return SiteGround(existing=surveyed_ground(points, heights, hulls))


def time_steps() -> None:
    """Twelve slopes, each also as a mixed-integer programme; only the solving is timed."""
    plan, rules = house(), GradeRules(frost_depth=1.2)
    network = build_network(plan)
    runs = wall_runs(network, rules)
    cases = []
    for seed in range(12):
        request = slopes.requested(plan=plan, site=rough(seed, plan), rules=rules, top_of_wall=32.0)
        bounds = network_bounds(request)
        cases.append((bounds, programme(network, bounds, rules, runs)))

    def ours() -> None:
        for bounds, _ in cases:
            solve(network, bounds, rules, runs, count_next=False)

    def theirs() -> None:
        for _, written in cases:
            written.least()

    one, reference = interleaved_seconds((ours, theirs), rounds=5)
    say("steps of 36' x 24' and a cross wall / HiGHS on the same rules", one / reference, 0.2)


def time_lengths() -> None:
    """The whole work on walls twice as long, falling as much from end to end."""
    before = None
    for scale in (1, 2, 4, 8):
        width = 36.0 * scale
        ground = slopes.plane(lambda x, y, scale=scale: 30 - x / 8 / scale, 400.0)  # type: ignore[misc]
        request = slopes.requested(
            plan=house(width),
            site=SiteGround(existing=ground),
            rules=GradeRules(frost_depth=1.2),
            top_of_wall=30.5,
        )
        taken = least_seconds(lambda request=request: step_footings(request), rounds=5)  # type: ignore[misc]
        if before is not None:
            say(f"stepped footing: {width:.0f}' / {width / 2:.0f}' of wall", taken / before, 2.0)
        before = taken


def time_ground(count: int = 1_000_000) -> None:
    """The ground under one building in a large survey, beside SciPy's Delaunay of all of it."""
    from scipy.spatial import Delaunay

    rng = np.random.default_rng(9)
    points = rng.uniform(-600, 600, (count, 2))
    heights = 300 - points[:, 0] / 12 + rng.uniform(0, 0.1, count)
    hulls = [band.hull for band in footing_bands(house())[0]]
    ours = least_seconds(lambda: surveyed_ground(points, heights, hulls), rounds=3)
    whole = least_seconds(lambda: Delaunay(points), rounds=1)
    say(f"ground of a survey of {count:,} points / Delaunay of all", ours / whole, 0.5)


def time_command() -> None:
    """The command on the hillside demo beside loading its libraries."""
    job = str(ROOT / "fixtures" / "hillside-lot" / "job.yaml")
    command, libraries = interleaved_seconds((
        process(RUN, "grade", job, "--json", cwd=str(ROOT)),
        process(LIBRARIES, cwd=str(ROOT)),
    ))
    say("staking grade on the hillside lot / loading its libraries", command / libraries, 1.6)


def time_stakes() -> None:
    """The whole process of checking surveyed stakes on the hillside lot, beside its libraries."""
    lot = ROOT / "fixtures" / "hillside-lot" / "job.yaml"
    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder) / "out"
        process(RUN, "layout", str(lot), "--only", "csv", "--out", str(out), cwd=str(ROOT))()
        stakes = str(out / "points.csv")
        check, load = interleaved_seconds((
            process(RUN, "check", str(lot), "--stakes", stakes, "--json", cwd=str(ROOT)),
            process(LIBRARIES, cwd=str(ROOT)),
        ))
    say("staking check --stakes / loading its libraries", check / load, 1.6)


def main() -> None:
    """Time everything."""
    time_steps()
    time_lengths()
    time_ground()
    time_command()
    time_stakes()


if __name__ == "__main__":
    main()
