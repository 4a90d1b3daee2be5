"""Times a laser cloud beside laspy, and weighs the whole process; run on request, by hand.

``python tests/benchmarks/clouds.py [MILLIONS]``. Makes an invented cloud of ten million points on
a square kilometre, compressed and not, and prints the time of reading its ground round a building
as a multiple of laspy reading the same chunks with their coordinates and classes, and of laspy only
passing over the chunks, each the least of several rounds taken in turn; and the most memory that
``staking grade --json`` holds on it, the process as a whole.
"""

from __future__ import annotations

import resource
import subprocess
import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent))
sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

import laspy
import numpy as np
from timing import interleaved_seconds, say

from staking.ground_scan import Window
from staking.points import SurveySettings
from staking.survey.scanned.read_scan import read_scan

PART = 200_000
NORTH, EAST, SIDE = 4_650_000.0, 500_000.0, 1_000.0

JOB = """
job: Cloud bench
units: m
building: {{rectangle: 12 m x 9 m, wall: 200 mm, footing: {{width: 500 mm, thickness: 250 mm}}}}
site:
  survey: {name}
  units: m
  place: {{corner: A, wall: A-B, north: 4650500, east: 500500, bearing: N 73 00 00 E}}
grade:
  top_of_wall: highest ground + 200 mm
  frost_depth: 600 mm
  course: 200 mm
"""


def made_cloud(path: Path, count: int) -> None:
    """Write an invented cloud: rolling ground, six points in ten of it, and plants."""
    header = laspy.LasHeader(version="1.4", point_format=6)
    header.scales, header.offsets = np.full(3, 0.01), np.array([EAST, NORTH, 0.0])
    chance = np.random.default_rng(5)
    with laspy.open(path, mode="w", header=header) as writer:
        for start in range(0, count, PART):
            size = min(PART, count - start)
            # A flight line after the other, so that neighbours in the file are near each other.
            x = chance.uniform(0, SIDE, size)
            y = SIDE * (start + np.arange(size)) / count
            is_ground = chance.random(size) < 0.6
            z = 200 + x / 40 + 3 * np.sin(y / 60) + chance.normal(0, 0.03, size)
            part = laspy.ScaleAwarePointRecord.zeros(size, header=header)
            part.x, part.y = x + EAST, y + NORTH
            part.z = z + np.where(is_ground, 0.0, chance.uniform(0, 15, size))
            part.classification = np.where(is_ground, 2, 5).astype(np.uint8)
            part.gps_time = start + np.arange(size) * 1e-5
            writer.write_points(part)


def with_laspy(path: Path) -> float:
    """Read the chunks with coordinates and classes."""
    total = 0.0
    with laspy.open(path) as reader:
        for chunk in reader.chunk_iterator(PART):
            x, y, z = (np.asarray(each) for each in (chunk.x, chunk.y, chunk.z))
            total += float(x[-1] + y[-1] + z[-1]) + int(np.asarray(chunk.classification)[-1])
    return total


def chunks_alone(path: Path) -> int:
    """Pass over the chunks."""
    with laspy.open(path) as reader:
        return sum(len(chunk) for chunk in reader.chunk_iterator(PART))


def peak_megabytes(job: Path) -> float:
    """Return the most memory that a whole process holds, millions of bytes."""
    code = "from staking.cli import run; run()"
    subprocess.run(
        [sys.executable, "-c", code, "grade", str(job), "--json"],
        check=True,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        cwd=Path(__file__).resolve().parents[2],
    )
    return resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss * 1024 / 1e6


def main() -> None:
    """Print all figures."""
    count = int(float(sys.argv[1]) * 1e6) if len(sys.argv) > 1 else 10_000_000
    here = Window(south=4_650_500, north=4_650_510, west=500_500, east=500_515)
    with tempfile.TemporaryDirectory() as folder:
        for name in ("tile.laz", "tile.las"):
            path = Path(folder) / name
            made_cloud(path, count)

            def ours(path: Path = path) -> object:
                return read_scan(path, SurveySettings(unit="m"), here)

            def theirs(path: Path = path) -> object:
                return with_laspy(path)

            def bare(path: Path = path) -> object:
                return chunks_alone(path)

            one, other, least = interleaved_seconds((ours, theirs, bare), rounds=4)
            sys.stdout.write(f"{name}: {one:.2f} s, {other:.2f} s and {least:.2f} s\n")
            say(f"ground of {count:,} points in {name} / laspy, coordinates too", one / other, 1.5)
            say(f"ground of {count:,} points in {name} / laspy, chunks alone", one / least, None)
            job = Path(folder) / "job.yaml"
            job.write_text(JOB.format(name=name), encoding="utf-8")
            say(f"staking grade on {name}, peak of the process", peak_megabytes(job), 250, "MB")


if __name__ == "__main__":
    main()
