"""The levels of the page's rod box: each level once, with every place that has it."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from staking.grade.setting_out.level_groups import levels_by_place
from staking.grade.setting_out.rods import SAME_SIGHT
from staking.output.wording import Words, safe

if TYPE_CHECKING:
    from staking.grade.graded import Graded, LevelMark
    from staking.laid_out.layout_value import Layout


def rod_box(layout: Layout) -> dict[str, Any] | None:
    """Set out the levels of a job.

    Parameters
    ----------
    layout
        The layout.

    Returns
    -------
    dict or None
        Rows and what is said of benchmark and rod; None where the job has no levels.
    """
    graded = layout.grade
    if graded is None or not graded.levels:
        return None
    words = Words(layout.options)

    def length(metres: float | None) -> str:
        return "" if metres is None else words.length(metres)

    rows = [
        {
            "what": mark.what,
            "where": safe(", ".join(where)) or "all",
            # The string itself is not below the string.
            "down": length(mark.down_from_string or None),
            "level": words.level(mark.level),
            "add": (
                ""
                if mark.add_to_benchmark is None
                else _to_add(words.added(mark.add_to_benchmark, graded.rod))
            ),
        }
        for mark, where in _groups(layout, graded)
    ]
    return {
        "rows": rows,
        "benchmark": None if graded.benchmark is None else safe(graded.benchmark),
        "benchmark_level": graded.benchmark_level,
        "benchmark_shown": (
            "" if graded.benchmark_level is None else words.level(graded.benchmark_level)
        ),
        "length": words.length(graded.rod_length),
    }


def rod_data(layout: Layout) -> dict[str, Any] | None:
    """Build what the rod box works with, the levels in the order of its rows.

    Parameters
    ----------
    layout
        The layout.

    Returns
    -------
    dict or None
        Elevations, m; None where the job has no levels.
    """
    graded = layout.grade
    if graded is None or not graded.levels:
        return None
    return {
        "benchmark": None if graded.benchmark is None else safe(graded.benchmark),
        "benchmarkLevel": graded.benchmark_level,
        "known": _known(layout, graded),
        "sameSight": SAME_SIGHT,
        "instrument": graded.instrument,
        "rod": graded.rod,
        "rodLength": graded.rod_length,
        "levels": [round(mark.level, 9) for mark, _ in _groups(layout, graded)],
    }


def _to_add(added: str) -> str:
    return added if added.startswith("less ") else f"add {added}"


def _known(layout: Layout, graded: Graded) -> list[list[Any]]:
    # The benchmark first; where it is a point of the survey, the others with an elevation too,
    # which then are on the same zero.
    if graded.benchmark is None or graded.benchmark_level is None:
        return []
    found = {safe(graded.benchmark): round(graded.benchmark_level, 9)}
    control = () if layout.site is None else layout.site.control
    if graded.benchmark in {point.name for point in control}:
        for point in control:
            if math.isfinite(point.elevation):
                found.setdefault(safe(point.name), round(point.elevation, 9))
    return [list(each) for each in found.items()]


def _groups(layout: Layout, graded: Graded) -> list[tuple[LevelMark, list[str]]]:
    return levels_by_place(graded.levels, on_stone=layout.options.dig.base > 0)
