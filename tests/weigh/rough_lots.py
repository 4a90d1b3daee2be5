"""Invented lots: rough ground on a slope, a building turned on it, and what bounds its places."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from click.testing import CliRunner

from staking.cli import main

WIDE, DEEP = 32.0, 24.0
"""The building's walls A-B and B-C, ft, its corner A at 5000, 5000."""

PRICES = "concrete: 165\nblock: 2.10\ncorner block: 2.60\nhalf block: 1.90\ndig: 40\nsteel: 1.15\n"
PRICES += "haul: 18\nfill: 30\nstone: 28\nmortar: 14\n"


@dataclass(frozen=True, slots=True, kw_only=True)
class RoughLot:
    """A job on a rough lot.

    Attributes
    ----------
    path
        The job file.
    azimuth
        Of wall A-B, degrees clockwise from north.
    lines
        The lot's corners, east and north in feet, P1 first.
    setbacks
        From each line of the lot, P1-P2 first, ft.
    overhang
        How far the eaves stand out, ft.
    well, drain, gas
        A point, a piece of ground and a buried line, east and north in feet.
    """

    path: Path
    azimuth: float
    lines: tuple[tuple[float, float], ...]
    setbacks: tuple[float, ...]
    overhang: float
    well: tuple[float, float]
    drain: tuple[tuple[float, float], ...]
    gas: tuple[tuple[float, float], ...]

    def with_row(self, top: float, north: float, east: float, turn: float) -> str:
        """Give the job's text with a top, ft, and moves, ft and degrees, and nothing weighed."""
        text = self.path.read_text(encoding="utf-8")
        own = f"north: 5000, east: 5000, bearing: {self.azimuth:.0f}"
        new = (
            f"north: {5000 + north:.10f}, east: {5000 + east:.10f}, "
            f"bearing: {self.azimuth + turn:.9f}"
        )
        assert text.count(own) == 1
        text, _, _ = text.replace(own, new).partition("weigh:\n")
        return text.replace('highest ground + 8"', f"{top:.10f}")


def rough_lot(folder: Path, seed: int, weigh: str, *, priced: bool = False) -> RoughLot:
    """Write a lot.

    Parameters
    ----------
    folder
        Where to.
    seed
        Of slope, unevenness, bearing, boundary and setbacks.
    weigh
        The job's weigh section.
    priced
        Whether the order has prices.
    """
    rng = np.random.default_rng(seed)
    slope = rng.uniform(-0.06, 0.06, 2)
    azimuth = float(rng.integers(20, 70))
    rows = []
    for i, (north, east) in enumerate(rng.uniform(-120, 120, (220, 2)).tolist(), 1):
        height = 100 + slope[0] * north + slope[1] * east + rng.uniform(0, 0.8)
        rows.append((str(i), 5000 + north, 5000 + east, f"{height:.3f}"))
    along = np.radians(azimuth)
    u = np.array((np.sin(along), np.cos(along)))
    v = np.array((-u[1], u[0]))
    setbacks = tuple(rng.integers(6, 12, 4).astype(float).tolist())

    def at(x: float, y: float) -> tuple[float, float]:
        east, north = 5000 + x * u + y * v
        return round(float(east), 3), round(float(north), 3)

    # Each line some feet more than its setback off the wall it faces, and not along it.
    left, right, near, far = (
        rng.uniform(1.5, 6, 2) + each
        for each in (setbacks[3], setbacks[1], setbacks[0], setbacks[2])
    )
    lines = (
        at(-left[0], -near[0]),
        at(WIDE + right[0], -near[1]),
        at(WIDE + right[1], DEEP + far[0]),
        at(-left[1], DEEP + far[1]),
    )
    well = at(WIDE + rng.uniform(8, 14), rng.uniform(4, 20))
    low = -rng.uniform(9, 13)
    drain = tuple(at(*each) for each in ((2, low), (14, low - 2), (14, low - 8), (2, low - 8)))
    gas = (at(-10, DEEP + rng.uniform(2, 5)), at(WIDE + 10, DEEP + rng.uniform(2, 5)))
    named = {"P": lines, "W": (well,), "D": drain, "G": gas}
    for letter, points in named.items():
        rows += [(f"{letter}{i}", north, east, "") for i, (east, north) in enumerate(points, 1)]
    text = "point,northing,easting,elevation\n" + "\n".join(
        f"{name},{north:.3f},{east:.3f},{height}" for name, north, east, height in rows
    )
    (folder / "lot.csv").write_text(text + "\n", encoding="utf-8")
    (folder / "prices.yaml").write_text(PRICES, encoding="utf-8")
    kept = ", ".join(f"P{i}-P{i % 4 + 1}: {setback:.0f}'" for i, setback in enumerate(setbacks, 1))
    path = folder / f"lot{seed}.yaml"
    path.write_text(
        f"""job: On a rough lot
units: ft
building:
  rectangle: {WIDE:.0f}' x {DEEP:.0f}'
  wall: 8"
  footing: {{width: 20", thickness: 10"}}
site:
  survey: lot.csv
  place: {{corner: A, wall: A-B, north: 5000, east: 5000, bearing: {azimuth:.0f}}}
  boundary: [P1, P2, P3, P4]
  setbacks: {{{kept}}}
  overhang: 18"
  keep:
    - {{name: well, through: [W1], least: 8', from: footing}}
    - {{name: drain field, through: [D1, D2, D3, D4, D1], least: 9', from: wall}}
  buried: [{{name: gas line, through: [G1, G2], hand_dig: 24"}}]
grade:
  ground: survey
  top_of_wall: highest ground + 8"
  frost_depth: 36"
  benchmark: {{name: nail in oak, elevation: 100'}}
order:
  steel: {{bars: 2, size: 4, cover: 3", lap: 30", stock: 20'}}
  block: {{length: 16", height: 8"}}
"""
        + ("  prices: prices.yaml\n" if priced else "")
        + weigh,
        encoding="utf-8",
    )
    return RoughLot(
        path=path,
        azimuth=azimuth,
        lines=lines,
        setbacks=setbacks,
        overhang=1.5,
        well=well,
        drain=drain,
        gas=gas,
    )


def said(job: Path, command: str, *words: str) -> dict[str, Any]:
    """Run a command with --json and give its document."""
    done = CliRunner().invoke(main, [command, str(job), *words, "--json"], catch_exceptions=False)
    assert done.exit_code in {0, 5}, done.stderr
    found: dict[str, Any] = json.loads(done.stdout)
    return found
