"""Times ``staking weigh`` beside one run of grade and order for every row; run on request.

``python tests/benchmarks/weigh.py``. Whole processes. Grade and order run three times each and
are counted two hundred times; the two hundred rows are worked out once. Run by ``run_all.py`` too.
"""

from __future__ import annotations

import os
import resource
import shutil
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent))

from timing import process, say

ROOT = Path(__file__).resolve().parents[2]
RUN = "from staking.cli import run; run()"
ROWS = 200
FEW = """
weigh:
  top_of_wall: {from: 103' 4", to: 105' 8", by: 4"}
"""
MANY = FEW + "  move: {north: 4', east: 4'}\n"
"""Eight tops at twenty-five places."""


def lot(folder: Path, section: str) -> str:
    """Write the hillside lot with a weigh section and return its job file."""
    shutil.copytree(ROOT / "fixtures" / "hillside-lot", folder)
    job = folder / "job.yaml"
    job.write_text(job.read_text(encoding="utf-8") + section, encoding="utf-8")
    return str(job)


def spent(work: Callable[[], object]) -> tuple[float, float]:
    """Return seconds by the clock and of the processors, of the processes that `work` starts."""
    before, start = os.times(), time.perf_counter()
    work()
    after = os.times()
    busy = after.children_user + after.children_system
    return time.perf_counter() - start, busy - before.children_user - before.children_system


def time_weigh(rounds: int = 3) -> None:
    """Two hundred rows beside two hundred runs of grade and order, and how memory grows."""
    with tempfile.TemporaryDirectory() as name:
        few, many = lot(Path(name) / "few", FEW), lot(Path(name) / "many", MANY)
        singly = [process(RUN, word, many, "--json", cwd=str(ROOT)) for word in ("grade", "order")]
        clock, busy = 0.0, 0.0
        for work in singly:
            work()
            taken = [spent(work) for _ in range(rounds)]
            clock += min(each for each, _ in taken)
            busy += min(each for _, each in taken)
        process(RUN, "weigh", few, "--json", cwd=str(ROOT))()
        small = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss
        seconds, worked = spent(process(RUN, "weigh", many, "--json", cwd=str(ROOT)))
        large = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss
    say("staking weigh of 200 rows / 200 runs of grade and order", seconds / ROWS / clock, 0.08)
    say("the same in processor time, of two processors", worked / 2 / ROWS / busy, 0.08)
    say("largest process of 200 rows / of 8 rows", large / small, 1.1)


def main() -> None:
    """Time everything."""
    time_weigh()


if __name__ == "__main__":
    main()
