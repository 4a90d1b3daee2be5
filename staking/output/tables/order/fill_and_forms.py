"""Fill under a slab, the walls that hold it outward, and form boards by length, in tables."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.order.forms.formwork import STAKES_APART
from staking.output.blocks import Column, Table
from staking.output.wording import Words, safe
from staking.tolerances import ON_LINE

if TYPE_CHECKING:
    from staking.kinds import FormPart
    from staking.order.forms.formwork import FormRun
    from staking.order.order_results import Ordered
    from staking.output.tables.order.order_words import OrderWords


def fill_table(ordered: Ordered, words: Words, sums: OrderWords) -> Table:
    """Set out the fill under the slab, and by wall how high it is held outward."""
    fill = ordered.fill
    rows: list[tuple[str, str]] = []
    if fill is not None and fill.slab is not None and fill.slab.deepest > ON_LINE:
        slab = fill.slab
        rows = [
            ("floor between the walls", words.area(slab.floor)),
            ("mean depth, topsoil off", words.length(slab.mean)),
            ("deepest", words.length(slab.deepest)),
            ("deeper than 24 in (610 mm)", words.area(slab.over_granular)),
            ("compacted", sums.bulk(slab.volume)),
        ]
        rows += [
            (f"{safe(each.wall)} at {words.length(each.station)} holds", words.length(each.height))
            for each in fill.held
        ]
    return Table(
        title="Fill under the slab",
        columns=(Column(heading="what"), Column(heading="how much", right=True)),
        rows=tuple(rows),
        note="A wall holds from the grade outside it up to the slab's underside, where most."
        if any(fill.held if fill is not None else ())
        else "",
    )


def forms_table(ordered: Ordered, words: Words) -> Table:
    """Set out the runs of form: boards by length."""
    rows = []
    for alike in _alike(ordered):
        run = alike[0]
        count = sum(each.count for each in alike)
        rows.append((
            run.part.value,
            ", ".join(dict.fromkeys(safe(each.where) for each in alike)),
            run.board,
            words.length(run.length),
            str(run.rows),
            str(count),
        ))
    return Table(
        title="Form boards by length",
        columns=(
            Column(heading="form"),
            Column(heading="where"),
            Column(heading="board"),
            Column(heading="length", right=True),
            Column(heading="boards high", right=True),
            Column(heading="runs", right=True),
        ),
        rows=tuple(rows),
        note="At outside corners a board runs past by its thickness. Stakes at both ends and at "
        f"most {words.length(STAKES_APART)} apart, a kicker behind every second.",
    )


def _alike(ordered: Ordered) -> list[list[FormRun]]:
    # Runs of one length, wherever they stand.
    found: dict[tuple[FormPart, str, float, int], list[FormRun]] = {}
    for run in () if ordered.forms is None else ordered.forms.runs:
        found.setdefault((run.part, run.board, run.length, run.rows), []).append(run)
    return list(found.values())
