"""What a page needs to judge tapes without the program."""

from __future__ import annotations

from staking.adjust.holds import holds_of
from staking.adjust.moves import Hold, Neighbours, neighbours
from staking.adjust.nail_slides import SlidingString, sliding_strings
from staking.adjust.racked_rectangles import rectangular_outlines
from staking.adjust.reduce import corrected
from staking.adjust.targets import Target, targets_of
from staking.checked.stakes_checked import tapes_of
from staking.frozen import frozen
from staking.kinds import CheckKind
from staking.laid_out.layout_value import Layout
from staking.laid_out.order_of_work import base_line
from staking.layout.layout_parts import Check

MOST_NUMBERS = 9000
"""Corners' coordinates times tapes of the largest network that a page adjusts at every key."""


@frozen
class PageTapes:
    """What is taped, and what the page judges it by.

    Parameters
    ----------
    tapes
        What is taped, in order; a side longer than the tape is not among it.
    judged
        What the stakes are judged by: the tapes and the tapes across legs.
    solvable
        Whether the network is small enough for the page.
    rectangles
        The outlines that the rule of the two diagonals serves.
    beside
        Each corner's neighbours.
    targets
        Pads and ends of interior lines.
    holds
        What may be held, that which is held where nobody says first; None for the best fit.
    strings
        What the nails slide by.
    stretch
        What a reading is multiplied by for the temperature and the pull of the tape.
    step
        What moves are rounded to, m.
    """

    tapes: tuple[Check, ...]
    judged: tuple[Check, ...]
    solvable: bool
    rectangles: tuple[tuple[str, str, str, str], ...]
    beside: dict[str, Neighbours]
    targets: tuple[Target, ...]
    holds: tuple[Hold | None, ...]
    strings: tuple[SlidingString, ...]
    stretch: float
    step: float


def page_tapes(layout: Layout) -> PageTapes:
    """Gather what the page judges readings by.

    Parameters
    ----------
    layout
        The layout.

    Returns
    -------
    PageTapes
        Everything a page needs.
    """
    plan, options = layout.plan, layout.options
    tapes = tuple(
        each for each in tapes_of(layout) if each.in_network or each.kind is CheckKind.POINT
    )
    corners = sum(len(building.corners) for building in plan.buildings)
    return PageTapes(
        tapes=tapes,
        judged=layout.checks,
        solvable=2 * corners * len(tapes) <= MOST_NUMBERS,
        rectangles=rectangular_outlines(plan),
        beside=neighbours(plan),
        targets=targets_of(plan),
        holds=holds_of(plan, base_line(layout)),
        strings=sliding_strings(plan, layout.strings, layout.boards),
        stretch=corrected(options.tape, 1.0),
        step=options.step,
    )
