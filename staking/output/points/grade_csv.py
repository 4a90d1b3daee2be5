"""The levels file: every level to set, and every step to dig, a line each."""

from __future__ import annotations

import csv
from typing import TYPE_CHECKING, TextIO

from staking.measure.lengths import Unit
from staking.output.points.stake_points import cell_text, fixed

if TYPE_CHECKING:
    from staking.laid_out.layout_value import Layout

_DECIMALS = {Unit.FT: 4, Unit.US_FT: 4, Unit.IN: 3, Unit.M: 4, Unit.MM: 1}
"""Decimals that hold a tenth of a millimetre in each unit."""


def write_grade_csv(layout: Layout, stream: TextIO) -> None:
    """Write the levels file.

    Parameters
    ----------
    layout
        The layout, with levels.
    stream
        A text stream opened with ``newline=""``.

    Raises
    ------
    ValueError
        Where the layout has no levels.

    Notes
    -----
    A step's line runs from its riser face to where the lower level is dug, at the lower dig's
    level.
    """
    graded = layout.grade
    if graded is None:
        raise ValueError("the layout has no levels")
    unit = Unit(layout.options.unit)

    def text(metres: float | None) -> str:
        return "" if metres is None else fixed(metres / unit.metres, _DECIMALS[unit])

    lengths = ("from", "to", "level", "add_to_benchmark", "reading", "down_from_string")
    writer = csv.writer(stream)
    writer.writerow(("what", "where", *(f"{each}_{unit.value}" for each in lengths)))
    for mark in graded.levels:
        writer.writerow((
            mark.what,
            cell_text(mark.where),
            text(mark.start),
            text(mark.end),
            text(mark.level),
            text(mark.add_to_benchmark),
            text(mark.reading),
            text(mark.down_from_string),
        ))
    for wall in graded.walls:
        for each in wall.built:
            level = each.dig_level
            benchmark, string = graded.benchmark_level, graded.string
            writer.writerow((
                "step",
                cell_text(each.step.wall),
                text(each.step.station),
                text(each.dig_to),
                text(level),
                text(None if benchmark is None else benchmark - level),
                "",
                text(None if string is None else string - level),
            ))
