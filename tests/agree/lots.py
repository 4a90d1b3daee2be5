"""Invented jobs on surveyed lots, where boards and tapes must give way to what stands there."""

from __future__ import annotations

import math
from pathlib import Path

NOTCH = """\
job: Notch workshop
units: ft
building:
  corners: {A: [0, 0], B: [36', 0], C: [36', 16'], D: [20', 16'], E: [20', 32'], F: [0, 32']}
  wall: 8"
  footing: {width: 20", thickness: 10"}
site:
  survey: lot.csv
  units: ft
  columns: [point, northing, easting, elevation, description]
  place: {corner: A, wall: A-B, north: 5000, east: 2000, bearing: N 73 00 00 E}
  stay_clear: [{name: shed, through: [31, 32, 33, 34]}]
grade:
  ground: survey
  benchmark: {name: nail in oak, elevation: 100'}
  top_of_wall: 101'
  frost_depth: 42"
"""
"""An L with a surveyed shed in its notch: no tape C-E, and no room for a board beyond E on E-F."""

SHED = ((23, 20), (31, 20), (31, 34), (23, 34))
"""The shed's corners on the building grid, ft."""


def write_lot(
    folder: Path,
    job: str,
    shed: tuple[tuple[float, float], ...] = SHED,
    fall: tuple[float, float] = (0.04, 0.02),
) -> Path:
    """Write a job and its survey, in feet; the ground falls along x and y from 99 ft at A.

    A-B runs N 73 E from northing 5000, easting 2000.
    """
    azimuth = math.radians(73)

    def place(x: float, y: float) -> str:
        east = 2000 + x * math.sin(azimuth) - y * math.cos(azimuth)
        north = 5000 + x * math.cos(azimuth) + y * math.sin(azimuth)
        return f"{north:.4f},{east:.4f},{99 - fall[0] * x - fall[1] * y:.3f}"

    rows = [f"{31 + i},{place(x, y)},shed corner" for i, (x, y) in enumerate(shed)]
    pins = ((-20, -20), (70, -20), (70, 60), (-20, 60))
    rows += [f"{1 + i},{place(x, y)},iron pin" for i, (x, y) in enumerate(pins)]
    spots = [(x, y) for x in range(-15, 70, 10) for y in range(-15, 60, 10)]
    rows += [f"{101 + i},{place(x, y)},ground" for i, (x, y) in enumerate(spots)]
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "lot.csv").write_text("\n".join(rows) + "\n", encoding="utf-8")
    path = folder / "job.yaml"
    path.write_text(job, encoding="utf-8")
    return path
