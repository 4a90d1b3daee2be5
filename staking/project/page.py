"""The conductor's part for the page: what it needs to judge tapes without the program."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from staking.adjust.linear import TapeMap
    from staking.adjust.moves import Neighbours
    from staking.layout.layout_parts import Check
    from staking.project.layout import Layout

MOST_NUMBERS = 9000
"""Numbers of the largest matrix that a page carries: some 80 kB."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PageTapes:
    """What is taped from corner to corner, and how readings become moves.

    Parameters
    ----------
    tapes
        The checks from corner to corner, in order.
    judged
        What the stakes are judged by: the tapes and the tapes across legs.
    matrix
        From readings to stakes; None where the tapes do not fix the shape, or are too many.
    rectangles
        The outlines that the rule of the two diagonals serves.
    beside
        Each corner's neighbours.
    stretch
        What a reading is multiplied by for the temperature and the pull of the tape.
    step
        What moves are rounded to, m.
    """

    tapes: tuple[Check, ...]
    judged: tuple[Check, ...]
    matrix: TapeMap | None
    rectangles: tuple[tuple[str, str, str, str], ...]
    beside: dict[str, Neighbours]
    stretch: float
    step: float


def page_tapes(layout: Layout) -> PageTapes:
    """Work out beforehand what readings say of the stakes.

    Parameters
    ----------
    layout
        The layout.

    Returns
    -------
    PageTapes
        Everything a page needs.
    """
    import numpy as np

    from staking.adjust.linear import rectangles, tape_map
    from staking.adjust.moves import neighbours
    from staking.adjust.reduce import corrected
    from staking.adjust.stakes_check import PAIR_KINDS

    plan, options = layout.plan, layout.options
    tapes = tuple(check for check in layout.checks if check.kind in PAIR_KINDS)
    points = {c.name: c.point for building in plan.buildings for c in building.corners}
    matrix = None
    if 2 * len(points) * len(tapes) <= MOST_NUMBERS:
        # a side longer than the tape is told, and never read
        pairs = [(check.from_name, check.to_name) for check in tapes if check.in_network]
        walls = [(w.start, w.end) for b in plan.buildings for w in b.walls]
        walls += [(end, start) for start, end in walls]
        places = np.array(list(points.values()), dtype=float).reshape(-1, 2)
        matrix = tape_map(tuple(points), places, pairs, options.tape, walls)
    return PageTapes(
        tapes=tapes,
        judged=tuple(check for check in layout.checks if check.kind != "point"),
        matrix=matrix,
        rectangles=rectangles(plan),
        beside=neighbours(plan),
        stretch=corrected(options.tape, 1.0),
        step=options.step,
    )
