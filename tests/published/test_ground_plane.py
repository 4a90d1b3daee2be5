"""Four pins, 60 m by 45 m on the ground, on three grids: what a tape between them reads.

The pins' coordinates were made apart from this program, with the geodesic on GRS 80 and the grids
of the EPSG register: on the ground at a height h a length is the geodesic's times
1 + h / 6,371,000 m. They are given to 0.1 mm (0.0001 US survey foot), the ratio of grid to
ground to eight decimals.
`test_the_pins_are_right_on_the_ground` holds them against pyproj's geodesic once more.
"""

from __future__ import annotations

import itertools
import json
import re
from dataclasses import dataclass
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from pyproj import CRS, Geod, Transformer

from staking.cli import main

PINS_TAPED = {"1-2": 60.0, "2-3": 45.0, "3-4": 60.0, "4-1": 45.0, "1-3": 75.0, "2-4": 75.0}
"""What a tape reads from pin to pin, m: a 3-4-5 in fifteens."""

SHOWN = {60.0: "196' 10 3/16\"", 45.0: "147' 7 5/8\"", 75.0: "246' 0 3/4\""}
"""The same in feet, inches and sixteenths."""


@dataclass(frozen=True)
class Grid:
    """A lot's grid, unit, height in m, pins (northing, easting) and the ratio grid to ground."""

    crs: str
    unit: str
    metres: float
    height: float
    pins: tuple[tuple[str, str], ...]
    ratio: float


GRIDS = (
    # 42.0 N 93.0 W, on the central meridian.
    Grid(
        "EPSG:26915", "m", 1.0, 280.0,
        (("4649776.2247", "500000.0000"), ("4649786.6390", "500059.0622"),
         ("4649830.9356", "500051.2515"), ("4649820.5214", "499992.1893")),
        0.99955607,
    ),
    # 41.9 N 90.2 W, near the zone's edge; 1.00023401 to 1.00023434 over the lot.
    Grid(
        "EPSG:26915", "m", 1.0, 190.0,
        (("4642465.1454", "732262.1922"), ("4642477.4905", "732320.9228"),
         ("4642521.5384", "732311.6639"), ("4642509.1933", "732252.9333")),
        1.00023418,
    ),
    # 39.2 N 105.9 W, US survey feet.
    Grid(
        "EPSG:2232", "us-ft", 1200 / 3937, 2830.0,
        (("1497985.6279", "2886645.4823"), ("1498018.9397", "2886839.3920"),
         ("1498164.3719", "2886814.4082"), ("1498131.0602", "2886620.4984")),
        0.99949343,
    ),
)  # fmt: skip


@pytest.fixture(params=GRIDS, ids=["middle", "edge", "high"])
def grid(request: pytest.FixtureRequest) -> Grid:
    found: Grid = request.param
    return found


@pytest.fixture
def job(tmp_path: Path, grid: Grid) -> Path:
    level = f"{grid.height / grid.metres:.3f}"
    rows = [f"point,northing_{grid.unit},easting_{grid.unit},elevation_{grid.unit}"]
    rows += [f"{i},{n},{e},{level}" for i, (n, e) in enumerate(grid.pins, start=1)]
    (tmp_path / "lot.csv").write_text("\n".join(rows) + "\n", encoding="utf-8")
    path = tmp_path / "hall.yaml"
    path.write_text(
        'job: Hall\nunits: ft\nbuilding:\n  rectangle: 60 m x 45 m\n  wall: 8"\n'
        '  footing: {width: 20", thickness: 10"}\ntape: {length: 300\'}\n'
        f"site:\n  survey: lot.csv\n  units: {grid.unit}\n  crs: {grid.crs}\n"
        "  place: {wall: A-B, along: [1, 2]}\n  boundary: [1, 2, 3, 4]\n",
        encoding="utf-8",
    )
    return path


def run(*words: object) -> Result:
    line = [str(word) for word in words]
    return CliRunner(env={"COLUMNS": "200"}).invoke(main, line, catch_exceptions=False)


def test_the_pins_are_right_on_the_ground(grid: Grid) -> None:
    system = CRS(grid.crs)
    back = Transformer.from_crs(system, system.geodetic_crs, always_xy=True)
    places = [back.transform(float(east), float(north)) for north, east in grid.pins]
    geod = Geod(a=6378137.0, rf=298.257222101)
    for line, taped in PINS_TAPED.items():
        one, two = (places[int(name) - 1] for name in line.split("-"))
        far = geod.inv(*one, *two)[2] * (1 + grid.height / 6_371_000)
        assert far == pytest.approx(taped, rel=0, abs=1.5e-4), line


def test_the_combined_factor_is_the_ratio_of_grid_to_ground(grid: Grid, job: Path) -> None:
    result = run("layout", job, "--json")
    document = json.loads(result.stdout)
    # The edge of the zone: anywhere between the ends of its range, which its middle is.
    near = 1.7e-7 if grid.height == 190.0 else 5e-9
    assert document["combined_factor"] == pytest.approx(grid.ratio, rel=0, abs=near)


def test_every_side_of_the_lot_reads_as_taped(grid: Grid, job: Path) -> None:
    table = run("layout", job).stdout.split("Boundary, from the survey")[1]
    for line in ("1-2", "2-3", "3-4", "4-1"):
        (row,) = [each for each in table.splitlines() if each.startswith(f"{line} ")][:1]
        assert re.split(r"\s{2,}", row)[1] == SHOWN[PINS_TAPED[line]]


def test_the_diagonals_read_as_taped(job: Path) -> None:
    # The building is as large as the lot, so that its corners A to D stand on pins 1 to 4.
    for start, end in itertools.pairwise("1234"):
        table = run("stakeout", job, "--setup", start, "--backsight", end).stdout
        shots = table.split(f"Set up on {start}")[1].splitlines()
        across = "ABCD"[(int(start) + 1) % 4]
        (row,) = [each for each in shots if each.startswith(f"{across} ")][:1]
        assert re.split(r"\s{2,}", row.strip())[-1] == SHOWN[75.0]
