"""Stakes taken as they stand: whether they can be, and what the building becomes."""

from __future__ import annotations

from collections.abc import Sequence

from staking.adjust.targets import targets_of
from staking.adjust.verdict import points_out
from staking.checked.stakes_checked import Checked
from staking.errors import ComputationError
from staking.frozen import frozen
from staking.kinds import CheckKind
from staking.laid_out.layout_value import Layout
from staking.order.order_results import Ordered
from staking.plan import Point


@frozen
class Became:
    """A length that changes, m: a wall's, or how far past its last corner a board stands."""

    name: str
    before: float | None
    after: float | None


@frozen
class Become:
    """What becomes of a building whose stakes are taken as they stand.

    Parameters
    ----------
    walls, boards
        Lengths of walls, and stand-offs of boards, before and after; None where there is none.
    blocks
        Whole blocks of each wall, before and after; empty without an order section.
    out
        Pads and ends of interior lines that stand off where the new job has them.
    """

    walls: tuple[Became, ...]
    boards: tuple[Became, ...]
    blocks: tuple[tuple[str, int, int], ...]
    out: tuple[str, ...] = ()


def corners_as_they_stand(checked: Checked) -> tuple[tuple[tuple[str, Point], ...], ...]:
    """Give where the corners of each building stand.

    Parameters
    ----------
    checked
        The check of the stakes.

    Returns
    -------
    tuple of tuple
        Name and place of every corner, m, building by building in the plan's order.

    Raises
    ------
    ComputationError
        When the readings do not say where every corner stands.
    """
    _refuse(checked)
    stands = _stands(checked)
    return tuple(
        tuple((corner.name, stands[corner.name]) for corner in building.corners)
        for building in checked.plan.buildings
    )


def _refuse(checked: Checked) -> None:
    corners = {c.name for building in checked.plan.buildings for c in building.corners}
    missing = [name for name in checked.untaped if name in corners]
    if missing:
        raise ComputationError(
            f"the stakes cannot be taken as they stand: nothing was taped to {', '.join(missing)}"
        )
    if checked.judged.waits:
        raise ComputationError(
            "the stakes cannot be taken as they stand: the readings do not say where that is"
        )


def _stands(checked: Checked) -> dict[str, Point]:
    return {each.corner: (each.x, each.y) for each in checked.accepted}


def what_becomes(
    before: Layout,
    after: Layout,
    checked: Checked,
    orders: tuple[Ordered, Ordered] | None = None,
) -> Become:
    """Compare a layout with the one that takes the stakes as they stand.

    Parameters
    ----------
    before, after
        The two layouts.
    checked
        The check of the stakes.
    orders
        What is bought for each; None without an order section.

    Returns
    -------
    Become
        Walls, boards and whole blocks of both, and what stands off in the new one.
    """
    return Become(
        walls=_changed(_walls(before), _walls(after)),
        boards=_changed(_boards(before), _boards(after)),
        blocks=() if orders is None else _blocks(orders),
        out=points_out(checked.verdict, _stands(checked), targets_of(after.plan)),
    )


def _walls(layout: Layout) -> dict[str, float]:
    sides = (each for each in layout.checks if each.kind is CheckKind.SIDE)
    return {f"{each.from_name}-{each.to_name}": each.distance for each in sides}


def _boards(layout: Layout) -> dict[str, float]:
    return {
        f"{board.name}, {board.string} beyond {board.end}": board.stand_off
        for board in layout.boards
    }


def _changed(before: dict[str, float], after: dict[str, float]) -> tuple[Became, ...]:
    names = dict.fromkeys((*before, *after))
    return tuple(
        Became(name=name, before=before.get(name), after=after.get(name)) for name in names
    )


def _blocks(orders: Sequence[Ordered]) -> tuple[tuple[str, int, int], ...]:
    counts: list[dict[str, int]] = []
    for each in orders:
        found: dict[str, int] = {}
        for course in each.blocks:
            found[course.wall] = found.get(course.wall, 0) + course.blocks
        counts.append(found)
    return tuple(
        (wall, counts[0].get(wall, 0), counts[1].get(wall, 0))
        for wall in dict.fromkeys((*counts[0], *counts[1]))
    )
