"""The drain in a table: where it changes, how deep its trench, and the room it leaves."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.kinds import RodMarks
from staking.order.drain.drain_stations import DrainPlace
from staking.output.blocks import Column, Table
from staking.output.wording import Words, safe

if TYPE_CHECKING:
    from staking.laid_out.layout_value import Layout
    from staking.order.drain.drain_stations import DrainStation
    from staking.order.order_results import Ordered


def drain_table(layout: Layout, ordered: Ordered, words: Words) -> Table:
    """Set out the drain station by station, arm by arm from its high point down.

    Parameters
    ----------
    layout, ordered
        The layout, and its order.
    words
        How lengths are written.

    Returns
    -------
    Table
        Without rows where there is no drain, or none with levels.
    """
    stations = ordered.drain.stations
    rod = RodMarks.INCHES if layout.grade is None else layout.grade.rod
    marked = any(each.add is not None for each in stations)
    return Table(
        title="Drain, from each high point down",
        columns=(
            Column(heading="at"),
            Column(heading="what"),
            Column(heading="invert", right=True),
            Column(heading="trench", right=True),
            *([Column(heading="add", right=True)] if marked else []),
            Column(heading="footing", right=True),
            Column(heading="room", right=True),
        ),
        rows=tuple(
            (
                _at(each, words),
                _SHORT.get(each.kind, each.kind),
                words.level(each.invert),
                words.level(each.trench),
                *([words.added(each.add or 0.0, rod)] if marked else []),
                words.level(each.bottom),
                words.length(each.room),
            )
            for each in stations
        ),
        note="below: below a step of the footing; low: the low point; invert: the inside bottom of "
        "the pipe; trench: its bottom, with 2 in (51 mm) of stone under the pipe"
        + ("; add: to the rod reading on the benchmark, for the trench" if marked else "")
        + "; footing: its bottom; room: from the trench's near edge to the line that falls 45 "
        "degrees from the footing's outside bottom edge (IRC 2018, P2604.4).",
    )


def drain_arms_table(ordered: Ordered, words: Words) -> Table:
    """Set out every arm of the drain: its ends, its length and fall, its inverts.

    Parameters
    ----------
    ordered
        The order.
    words
        How lengths are written.

    Returns
    -------
    Table
        Without rows where there is no drain, or none with levels.
    """
    return Table(
        title="Drain by arm",
        columns=(
            Column(heading="from"),
            Column(heading="to"),
            Column(heading="long", right=True),
            Column(heading="falls", right=True),
            Column(heading="high invert", right=True),
            Column(heading="low invert", right=True),
        ),
        rows=tuple(
            (
                _at(run.high, words),
                _at(run.low, words),
                words.length(run.length),
                words.length(run.fall * run.length),
                words.level(run.high.invert),
                words.level(run.low.invert),
            )
            for run in ordered.drain.runs
        ),
        note="falls: along its length; what it drops at steps of the footing comes on top.",
    )


def drain_to_dig_table(layout: Layout, ordered: Ordered, words: Words) -> Table:
    """Set out what the drain is dug and laid by, as on paper: a step in one row.

    Parameters
    ----------
    layout, ordered
        The layout, and its order.
    words
        How lengths are written.

    Returns
    -------
    Table
        As `drain_table`, without the footing and the room beside it.
    """
    rod = RodMarks.INCHES if layout.grade is None else layout.grade.rod
    stations = ordered.drain.stations
    marked = any(each.add is not None for each in stations)

    def figures(each: DrainStation) -> tuple[str, ...]:
        added = (words.added(each.add or 0.0, rod),) if marked else ()
        return (words.level(each.invert), *added)

    rows: list[tuple[str, ...]] = []
    for each in stations:
        if each.kind is DrainPlace.BELOW_STEP and rows:
            # The step before it stands at the same place.
            at, *above = rows.pop()
            rows.append((
                at,
                *(f"{high} to {low}" for high, low in zip(above, figures(each), strict=True)),
            ))
            continue
        named = {DrainPlace.HIGH: "high: ", DrainPlace.LOW: "low: "}.get(each.kind, "")
        rows.append((f"{named}{_at(each, words)}", *figures(each)))
    return Table(
        title="Drain, from each high point down",
        columns=(
            Column(heading="at"),
            Column(heading="invert", right=True),
            *([Column(heading="add for its trench", right=True)] if marked else []),
        ),
        rows=tuple(rows),
        note="Two figures: at a step of the footing, over it and under it. The trench lies 2 in "
        "(51 mm) under the invert; staking order lists it with the room beside the footing.",
    )


def _at(each: DrainStation, words: Words) -> str:
    if each.corner is not None:
        return f"corner {safe(each.corner)}"
    return f"{safe(each.wall)} {words.length(each.station)}"


_SHORT = {
    DrainPlace.HIGH: "high",
    DrainPlace.BELOW_STEP: "below",
    DrainPlace.LOW: "low",
}
"""Places as the table names them."""
