"""Times the tool and prints ratios; run on request, never by the tests, and never failing.

``python tests/benchmarks/run_all.py``. Seconds differ from machine to machine; a ratio of two
times of one run says the same everywhere, near enough. The figures of docs/performance.md come
from here.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent))

from adjustment import time_adjustment
from desk import main as time_desk
from drawings import main as time_drawings
from grade import main as time_grade
from plans import comb, house, options
from timing import interleaved_seconds, least_seconds, process, say
from weigh import time_weigh

ROOT = Path(__file__).resolve().parents[2]

RUN = "from staking.cli import run; run()"
CLICK = "import click"
EMPTY_DRAWING = """
import sys
import click
import ezdxf
import numpy
import ruamel.yaml
import shapely
from pydantic import BaseModel
document = ezdxf.new(setup=True)
document.saveas(sys.argv[1])
"""


def time_processes() -> None:
    """Whole processes, start to end, beside scripts that only load the same libraries."""
    with tempfile.TemporaryDirectory() as folder:
        job = str(ROOT / "fixtures" / "orchard-workshop" / "job.yaml")
        out = str(Path(folder) / "out")
        cwd = str(ROOT)
        layout, empty = interleaved_seconds((
            process(RUN, "layout", job, "--only", "dxf,csv,json", "--out", out, cwd=cwd),
            process(EMPTY_DRAWING, str(Path(folder) / "empty.dxf"), cwd=cwd),
        ))
        say("staking layout / loading its libraries, empty drawing", layout / empty, 1.5)
        help_, diagonal, click = interleaved_seconds(
            (
                process(RUN, "--help", cwd=cwd),
                process(RUN, "diagonal", "24ft", "32ft", cwd=cwd),
                process(CLICK, cwd=cwd),
            ),
            rounds=15,
        )
        say("staking --help / import click", help_ / click, 1.5)
        say("staking diagonal 24ft 32ft / import click", diagonal / click, 1.5)


def time_combs() -> None:
    """Bands, strings and boards of comb-shaped outlines, each beside the one half its size."""
    from staking.footing.bands import footing_bands
    from staking.layout.boards import lay_out

    def work(corners: int) -> float:
        plan = comb(corners)

        def once() -> None:
            bands, _ = footing_bands(plan)
            lay_out(plan, options(), bands)

        return least_seconds(once, rounds=3)

    before = None
    for corners in (1000, 2000, 4000, 8000):
        taken = work(corners)
        if before is not None:
            say(f"bands, strings, boards: {corners} / {corners // 2} corners", taken / before, 2.5)
        before = taken


def time_outline() -> None:
    """The merged outline beside Shapely's union of the same bands alone."""
    from shapely import Polygon, unary_union

    from staking.footing.bands import footing_bands
    from staking.footing.footing_outline import merge

    bands, _ = footing_bands(comb(2000))
    polygons = [Polygon(band.hull) for band in bands]
    ours, union = interleaved_seconds((lambda: merge(bands), lambda: unary_union(polygons)))
    say("footing outline / unary_union, 2000 bands", ours / union, 1.2)


def time_checks() -> None:
    """The choice of tapes for 200 corners, beside nothing: it is to stay under a second."""
    from staking.layout.checks import choose_checks

    plan = comb(200)
    say("checks of 200 corners", least_seconds(lambda: choose_checks(plan, options()), 3), 1, "s")


def time_houses(count: int = 1000) -> None:
    """Many houses in one process, everything but reading and writing files."""
    from staking.job.build import Job
    from staking.project.layout import lay_out_job

    jobs = [Job(plan=house(each), options=options(), notices=()) for each in range(count)]

    def all_of_them() -> None:
        for job in jobs:
            lay_out_job(job)

    taken = least_seconds(all_of_them, rounds=1)
    say(f"house plans a second, {count} in one process", count / taken, None, "a second")


def time_lot() -> None:
    """A thousand marks against a thousand boundary lines and from a thousand known points."""
    import math

    import numpy as np

    from staking.site.clearance import Lot, beyond
    from staking.site.stakeout import shots, ties

    numbers = np.random.default_rng(4)
    turns = np.linspace(0, 2 * math.pi, 1001)[:-1]
    names = tuple(map(str, range(1000)))
    lot = Lot(names=names, points=np.stack((np.cos(turns), np.sin(turns)), axis=1) * 60)
    marks, known = numbers.uniform(-70, 70, (1000, 2)), numbers.uniform(-80, 80, (1000, 2))
    named = {name: [(float(x), float(y))] for name, (x, y) in zip(names, marks, strict=True)}

    def once() -> None:
        beyond(lot, named)
        ties(names, marks, names, known, 30.48)
        shots(names, marks, (0.0, 0.0), (1.0, 1.0))

    say("1,000 marks against 1,000 lines and points", least_seconds(once, 5), 0.2, "s")


def main() -> None:
    """Time everything."""
    time_processes()
    time_combs()
    time_outline()
    time_checks()
    time_adjustment()
    time_houses()
    time_lot()
    time_grade()
    time_weigh()
    time_drawings()
    time_desk()


if __name__ == "__main__":
    main()
