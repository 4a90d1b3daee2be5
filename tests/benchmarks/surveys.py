"""Times the reading of a large delimited file beside pandas; run on request, never by the tests.

``python tests/benchmarks/surveys.py [POINTS]``. Prints the ratio of the least times of several
rounds, taken in turn, and the extra memory at the peak as a multiple of the result.
"""

from __future__ import annotations

import io
import random
import sys
import tracemalloc
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent))
sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

import pandas as pd
from timing import interleaved_seconds, say

from staking.points import SurveyPoints, SurveySettings
from staking.survey.delimited.points_from_text import parse_delimited

WORDS = ("ground", "edge of drive", "oak tree", "fence corner", "spot", "top of bank", "toe")


def made_file(points: int) -> bytes:
    """Return an invented file with text names and descriptions."""
    chance = random.Random(5)
    lines = ["Point,Northing,Easting,Elevation,Description"]
    for number in range(points):
        north, east = 240000 + 4000 * chance.random(), 2380000 + 4000 * chance.random()
        level = 300 + 60 * chance.random()
        word = WORDS[number % len(WORDS)]
        lines.append(f"GS{number:07d},{north:.4f},{east:.4f},{level:.3f},{word} {number % 97}")
    return ("\n".join(lines) + "\n").encode()


def size_of(points: SurveyPoints) -> int:
    """Return the bytes a result holds, each text counted once."""
    arrays = (points.northing, points.easting, points.elevation, points.source_line)
    texts = {id(text): text for part in (points.names, points.descriptions) for text in part}
    held = sum(array.nbytes for array in (*arrays, points.names, points.descriptions))
    return held + sum(map(sys.getsizeof, texts.values()))


def main() -> None:
    """Print both figures."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 1_000_000
    data = made_file(count)
    settings = SurveySettings(unit="us-ft")

    def ours() -> SurveyPoints:
        return parse_delimited(io.BytesIO(data), "made.csv", settings)

    def theirs() -> pd.DataFrame:
        return pd.read_csv(io.BytesIO(data), dtype={"Point": str, "Description": str})

    one, other = interleaved_seconds((ours, theirs), rounds=5)
    sys.stdout.write(f"{one:.3f} s and {other:.3f} s\n")
    say(f"reading {count:,} points / pandas.read_csv", one / other, 1.0)
    tracemalloc.start()
    points = ours()
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    size = size_of(points)
    say("extra memory at the peak / the result", (peak - size) / size, 3.0)


if __name__ == "__main__":
    main()
