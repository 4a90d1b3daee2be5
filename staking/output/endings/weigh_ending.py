"""The last lines of ``staking weigh``: which row, and how to take it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.output.endings.six_lines import Ending, files_sentence
from staking.output.weighed.weigh_tables import figure_text, place_text
from staking.output.wording import Words, safe
from staking.weigh.weighed_row import WeighColumn

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from staking.weigh.weighed import Weighed


def weigh_ending(weighed: Weighed, job: Path, paths: Sequence[Path]) -> Ending:
    """Say what the comparison comes to.

    Parameters
    ----------
    weighed
        The rows.
    job
        The job file.
    paths
        The files that were written.

    Returns
    -------
    Ending
        The best row where it is priced; else the row with the least wall.
    """
    count = len(weighed.rows)
    standing = sum(1 for row in weighed.rows if row.stands)
    verdict = f"{standing} of {count} rows may be chosen."
    words = Words(weighed.options)
    figure = first = ""
    number = weighed.best
    if number is not None:
        row = weighed.rows[number]
        figure = (
            f"Row {number + 1} costs least, {figure_text(weighed, row, WeighColumn.COST)}: top of "
            f"wall {words.length(row.candidate.top)}, {place_text(weighed, row)}."
        )
    else:
        least = dict(weighed.least).get(WeighColumn.WALL_AREA)
        if least is not None:
            number = least[0]
            row = weighed.rows[number]
            figure = (
                f"Row {number + 1} has the least wall, "
                f"{figure_text(weighed, row, WeighColumn.WALL_AREA)}: top of wall "
                f"{words.length(row.candidate.top)}, {place_text(weighed, row)}."
            )
    if number is not None:
        first = (
            f"To set a row's top and place in the job file: staking weigh {safe(str(job))} --take "
            f"{number + 1}"
        )
    return Ending(verdict=verdict, first=first, figure=figure, files=files_sentence(paths))
