"""The last lines of ``staking order``: what to call the plant for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.output.endings.six_lines import Ending, files_sentence
from staking.output.first_words import broken_texts, verdict_text
from staking.output.tables.order.order_words import OrderWords
from staking.output.wording import Words, safe

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from staking.laid_out.first_things import FirstThings
    from staking.order.order_results import Ordered
    from staking.plan import Options

MEASURE_FIRST = "Measure the trench as dug before the trucks are called, and order from that."
"""What comes before any truck."""


def order_ending(
    first: FirstThings, ordered: Ordered, options: Options, paths: Sequence[Path]
) -> Ending:
    """Say what is ordered first, and where the order is written.

    Parameters
    ----------
    first
        What comes first on the job: only what is broken is said.
    ordered
        The order.
    options
        How quantities are shown.
    paths
        The files that were written.

    Returns
    -------
    Ending
        The figure is the concrete of every pour with its loads.
    """
    sums = OrderWords(options)
    pours = "; ".join(
        f"{safe(each.what)} {sums.bulk(each.volume)} in {each.count} "
        f"load{'' if each.count == 1 else 's'}"
        for each in ordered.pours
    )
    return Ending(
        verdict=verdict_text(broken_texts(first.broken, Words(options))),
        first=MEASURE_FIRST,
        figure=f"Concrete: {pours}." if pours else "",
        files=files_sentence(paths),
        cautions=True,
    )
