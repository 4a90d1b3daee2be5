"""One row of what is weighed: a whole job at one top of wall and one place, in figures."""

from __future__ import annotations

from dataclasses import replace
from enum import StrEnum
from typing import TYPE_CHECKING

from staking.frozen import frozen
from staking.kinds import FootingKind, ItemRole
from staking.notices import Notice, NoticeKind, Severity
from staking.weigh.candidates import Candidate
from staking.weigh.floor_limits import limit_notices

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from staking.grade.graded import Graded
    from staking.laid_out.layout_value import Layout
    from staking.order.order_results import Item, Ordered
    from staking.weigh.weigh_request import FloorLimits

_TOPS = frozenset({NoticeKind.GRADE_OVER_TOP, NoticeKind.GRADE_NEAR_TOP})
"""What is only a warning where a top is set, and no top that is looked for may have."""

_TOLD = frozenset({NoticeKind.HAND_DIG})
"""What breaks nothing and yet tells one place from another."""

_BLOCK = frozenset({"block", "corner block", "half block"})
"""Names in a price list of what is block."""


class WeighColumn(StrEnum):
    """The figures of a row, of each of which the least is marked."""

    STEPS = "steps"
    WALL_AREA = "wall_area"
    BLOCKS = "blocks"
    CONCRETE = "concrete"
    DUG = "dug"
    FILL = "fill"
    HAULED = "hauled"
    DEEPEST = "deepest"
    EXPOSED = "exposed"
    HIGH_BOARDS = "high_boards"
    COST = "cost"


@frozen
class WeighFigures:
    """What a job comes to.

    Parameters
    ----------
    steps
        How many steps the footings make.
    wall_area
        m2.
    blocks
        Block of every kind that is bought.
    concrete
        As it is ordered, all pours, m3.
    dug, fill, hauled
        All that is dug, in place: the trench, topsoil off the floor and what is cut under it; fill
        under the slab, compacted; spoil carted away, loose; m3.
    deepest
        The deepest dig under the ground, m.
    exposed
        The most that a wall's top stands over finished grade outside, m.
    high_boards
        How many boards stand over the job's greatest height and take a lower one.
    cost
        Of all that is priced, in the price list's own money; None without prices.
    """

    steps: int
    wall_area: float
    blocks: float
    concrete: float
    dug: float
    fill: float
    hauled: float
    deepest: float
    exposed: float
    high_boards: int
    cost: float | None

    def value(self, column: WeighColumn) -> float | None:
        """Give one figure by its column."""
        value: float | None = getattr(self, column.value)
        return value


@frozen
class WeighRow:
    """A job at one top of wall and one place.

    Parameters
    ----------
    candidate
        Top and place.
    figures
        What it comes to; None where no footing keeps the rules there or it cannot stand there.
    broken
        What it breaks, heaviest rules of the job and its limits; empty where it may be built.
    refined
        Whether it lies between the places of the grid.
    noted
        What breaks nothing and is to be known of it: buried lines beside which one digs by hand.
    """

    candidate: Candidate
    figures: WeighFigures | None
    broken: tuple[Notice, ...] = ()
    noted: tuple[Notice, ...] = ()
    refined: bool = False

    @property
    def stands(self) -> bool:
        """Whether it may be chosen: it can be built and breaks nothing."""
        return self.figures is not None and not self.broken

    def value(self, column: WeighColumn) -> float | None:
        """Give one figure by its column; None where it has none."""
        return None if self.figures is None else self.figures.value(column)


def unpriced(items: Sequence[Item], prices: Mapping[str, float]) -> tuple[str, ...]:
    """Name what every row takes and a price list does not price: concrete, dig and block.

    Parameters
    ----------
    items
        What is ordered.
    prices
        By price name.

    Returns
    -------
    tuple of str
        Price names, in the order of the items.
    """
    needed = {"concrete", "dig", *_BLOCK}
    names = dict.fromkeys(each.price for each in items if each.price in needed)
    return tuple(name for name in names if name not in prices)


def row_of(
    candidate: Candidate,
    layout: Layout,
    ordered: Ordered,
    limits: FloorLimits,
    *,
    refined: bool = False,
) -> WeighRow:
    """Read a row off a job that was laid out and ordered.

    Parameters
    ----------
    candidate
        Its top and place.
    layout, ordered
        The job with that top at that place, whole.
    limits
        What the top must keep.
    refined
        Whether it lies between the places of the grid.

    Returns
    -------
    WeighRow
        Every figure is the layout's or the order's own.

    Raises
    ------
    ValueError
        Where the layout has no levels.
    """
    graded = layout.grade
    if graded is None:
        raise ValueError("only a job with levels is weighed")
    notices = (*layout.notices, *ordered.notices)
    broken = [
        replace(each, severity=Severity.BROKEN)
        for each in notices
        if each.severity is Severity.BROKEN or each.kind in _TOPS
    ]
    broken += limit_notices(limits, graded)
    return WeighRow(
        candidate=candidate,
        figures=_figures(graded, ordered),
        broken=tuple(dict.fromkeys(broken)),
        noted=tuple(dict.fromkeys(each for each in notices if each.kind in _TOLD)),
        refined=refined,
    )


def _figures(graded: Graded, ordered: Ordered) -> WeighFigures:
    items = ordered.items
    outside = [wall for wall in graded.walls if wall.strand.kind is FootingKind.WALL]
    return WeighFigures(
        steps=len(graded.stepped.steps),
        wall_area=graded.stepped.wall_area(graded.request.rules.step_cost),
        blocks=sum(each.quantity for each in items if each.price in _BLOCK),
        concrete=sum(each.volume for each in ordered.pours),
        dug=sum(each.quantity for each in items if each.price == "dig"),
        fill=sum(each.quantity for each in items if each.role is ItemRole.FILL),
        hauled=sum(each.quantity for each in items if each.role is ItemRole.SPOIL),
        deepest=graded.greatest_depth,
        exposed=max(
            wall.profile.bounds.top - float(wall.ground.finished.min()) for wall in outside
        ),
        high_boards=sum(1 for board in graded.boards if board.tier is not None),
        cost=sum(cost for _, cost in ordered.costs) if ordered.costs else None,
    )
