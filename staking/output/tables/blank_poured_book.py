"""An empty book of the poured footing: where to measure, what it should read, blanks."""

from __future__ import annotations

import csv
import io
import math
from itertools import pairwise
from typing import TYPE_CHECKING

from staking.job.poured_book import PAD_WAYS
from staking.kinds import FootingEdge
from staking.output.wording import Words

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from staking.adjust.pour.footing_edges import PlannedEdge
    from staking.adjust.pour.poured import TopRun
    from staking.laid_out.layout_value import Layout

HEADINGS = (
    "wall",
    "at",
    "outer plan",
    "outer or left",
    "inner plan",
    "inner or right",
    "top plan",
    "top",
    "down",
    "thickness plan",
    "thickness",
)

APART = 10 * 0.3048
"""Places to measure are no further apart along a wall, m (common practice, no source)."""

FROM_END = 2 * 0.3048
"""The first and the last place stand this far from the corners and from a step's face, m, past the
crossing footing, and a quarter of a short run (common practice, no source)."""


def poured_book_text(
    layout: Layout, planned: Sequence[PlannedEdge], runs: Sequence[TopRun], mark: str
) -> str:
    """Write out an empty book of the poured footing.

    Parameters
    ----------
    layout
        The layout.
    planned
        Its footing edges.
    runs
        Its planned tops, or nothing.
    mark
        The layout's mark and its day, which stand in the last line.

    Returns
    -------
    str
        Comma-separated text, ready for a spreadsheet and for `staking record`.
    """
    words = Words(layout.options)
    thick = {w.name: w.footing.thickness for b in layout.plan.buildings for w in b.walls}
    thick |= {line.name: line.footing.thickness for line in layout.plan.interior}
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\n")
    writer.writerow(HEADINGS)
    for first, other in pairwise(planned):
        if first.side not in {FootingEdge.OUTER, FootingEdge.LEFT}:
            continue
        own = [run for run in runs if run.where == first.where]
        for station, planned_top in _places(first.length, own):
            writer.writerow((
                first.where,
                words.length(station),
                words.length(first.from_string),
                "",
                words.length(other.from_string),
                "",
                "" if planned_top is None else words.level(planned_top),
                "",
                "",
                words.length(thick[first.where]),
                "",
            ))
    for pad in layout.plan.pads:
        own = [run for run in runs if run.where == pad.name]
        top = words.level(own[0].top) if own else ""
        thickness = words.length(pad.thickness)
        size = pad.size or (pad.diameter or 0.0, pad.diameter or 0.0)
        # both ways across, from the centre; the top and the thickness once
        for way, across in zip(PAD_WAYS, size, strict=True):
            half = words.length(across / 2)
            level = (top, "", "", thickness) if way == PAD_WAYS[0] else ("", "", "", "")
            writer.writerow((pad.name, way, half, "", half, "", *level, ""))
    stream.write(f"# layout {mark}\n")
    return stream.getvalue()


def _places(length: float, runs: Sequence[TopRun]) -> Iterator[tuple[float, float | None]]:
    # Where to measure and the planned top there: inside every level run, off the steps' faces.
    if not runs:
        for station in _stations(length):
            yield station, None
    for run in sorted(runs, key=lambda each: each.start):
        for station in _stations(run.end - run.start):
            yield run.start + station, run.top


def _stations(length: float) -> Iterator[float]:
    end = min(FROM_END, length / 4)
    parts = max(1, math.ceil((length - 2 * end) / APART))
    for i in range(parts + 1):
        yield end + (length - 2 * end) * i / parts
