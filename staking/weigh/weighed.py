"""The rows side by side: the least of each column, and which row is best where it is priced."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.frozen import frozen
from staking.notices import Notice, Severity, notice
from staking.weigh.weighed_row import WeighColumn, WeighRow

if TYPE_CHECKING:
    from collections.abc import Sequence

    from staking.grade.graded import StepChoice
    from staking.plan import Options
    from staking.weigh.candidates import Candidate
    from staking.weigh.weigh_request import WeighAsked

SAME = 1e-9
"""Figures that differ by less are the same."""


@frozen
class FewerSteps:
    """What fewer steps take at one row.

    Parameters
    ----------
    row
        The row, from 0: the best, else the job as written; None where that is no row.
    top
        Its top of wall, m.
    choices
        From the fewest steps to the row's own.
    """

    row: int | None
    top: float
    choices: tuple[StepChoice, ...]


@frozen
class Weighed:
    """Everything that was weighed.

    Parameters
    ----------
    job
        What the job is called.
    options
        How the job's lengths are shown.
    own
        The top and place as the job has them.
    rows
        In the order they were worked out; they count from 1.
    least
        By column the rows, from 0, that have its least figure among those that break nothing.
    best
        The row, from 0, that costs least of those that break nothing; None without prices.
    notices
        What is to be known of the whole.
    fewer
        What fewer steps take at the best row, else at the job as written; None where neither can
        be built, or has a smaller number.
    """

    job: str
    options: Options
    own: Candidate
    rows: tuple[WeighRow, ...]
    least: tuple[tuple[WeighColumn, tuple[int, ...]], ...]
    best: int | None
    notices: tuple[Notice, ...] = ()
    fewer: FewerSteps | None = None

    def is_least(self, row: int, column: WeighColumn) -> bool:
        """Whether a row, from 0, has a column's least figure."""
        return row in dict(self.least).get(column, ())


def least_rows(rows: Sequence[WeighRow]) -> tuple[tuple[WeighColumn, tuple[int, ...]], ...]:
    """Find the rows with the least of each column.

    Parameters
    ----------
    rows
        The rows.

    Returns
    -------
    tuple
        Column and rows from 0; a column all of whose figures are the same has no least.
    """
    found = []
    standing = [i for i, row in enumerate(rows) if row.stands]
    for column in WeighColumn:
        known = [(i, rows[i].value(column)) for i in standing]
        values = [(i, value) for i, value in known if value is not None]
        if not values:
            continue
        least = min(value for _, value in values)
        if max(value for _, value in values) - least > SAME:
            found.append((column, tuple(i for i, value in values if value - least <= SAME)))
    return tuple(found)


def best_row(rows: Sequence[WeighRow]) -> int | None:
    """Find the row that costs least and breaks nothing.

    Returns
    -------
    int or None
        From 0, the first of several; None where no row is priced or none stands.
    """
    cheapest = cheapest_rows(rows, 1)
    return cheapest[0] if cheapest else None


def cheapest_rows(rows: Sequence[WeighRow], count: int) -> tuple[int, ...]:
    """Find the rows that cost least of those that break nothing.

    Parameters
    ----------
    rows
        The rows.
    count
        How many at most.

    Returns
    -------
    tuple of int
        From 0, the cheapest first, of several alike the first; none where no row is priced or none
        stands.
    """
    priced = [
        (row.value(WeighColumn.COST) or 0.0, i)
        for i, row in enumerate(rows)
        if row.stands and row.value(WeighColumn.COST) is not None
    ]
    return tuple(i for _, i in sorted(priced)[:count])


def weigh_notices(rows: Sequence[WeighRow], asked: WeighAsked) -> tuple[Notice, ...]:
    """Say what the comparison counts and what it does not.

    Returns
    -------
    tuple of Notice
        ``weigh-priced``, ``weigh-unpriced``, ``weigh-none-stands``, ``weigh-search``,
        ``weigh-gutter-run``.
    """
    found = []
    if not any(row.stands for row in rows):
        found.append(
            notice("weigh-none-stands", "no row stands: each breaks something, or cannot be built")
        )
    if any(row.value(WeighColumn.COST) is not None for row in rows):
        found.append(
            notice(
                "weigh-priced",
                "the cost is what the price list prices: the drive, retaining walls, the sewer, "
                "stairs and an engineer's work are not in it",
                Severity.NOTE,
            )
        )
    else:
        found.append(
            notice(
                "weigh-unpriced",
                "without order: prices: no row is called best; the least of each column is marked",
                Severity.NOTE,
            )
        )
    if any(row.refined for row in rows):
        found.append(
            notice(
                "weigh-search",
                "among places this is a search: a grid, then finer about its best",
                Severity.NOTE,
            )
        )
    limits = asked.limits
    if limits.gutter is not None and limits.gutter_run is None:
        found.append(
            notice(
                "weigh-gutter-run",
                "2 percent of the way to the street's gutter are due besides (IRC R403.1.7.3) and "
                "not counted: give gutter_run: under limits:",
            )
        )
    return tuple(found)
