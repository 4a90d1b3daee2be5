"""Every stake, nail and centre of a layout under a name of its own."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from staking.layout.layout_parts import Board, Hub
from staking.plan import Plan, Point


@dataclass(frozen=True, slots=True, kw_only=True)
class NamedPoint:
    """A point to set out: its name, once in the layout, x and y in m, and what it is."""

    name: str
    x: float
    y: float
    description: str


def named_points(
    plan: Plan, hubs: Sequence[Hub], boards: Sequence[Board], *, board_ends: bool = True
) -> tuple[NamedPoint, ...]:
    """List the points of a layout.

    Parameters
    ----------
    plan
        The building.
    hubs, boards
        What is set up beside it.
    board_ends
        Whether the ends of the boards are listed with their marks.

    Returns
    -------
    tuple of NamedPoint
        Corners, pads, ends of interior lines, hubs, board ends, marks; every name once.
    """
    taken: set[str] = set()
    points = []
    for name, (x, y), description in _all(plan, hubs, boards, board_ends):
        unique, count = name, 1
        while unique in taken:
            count += 1
            unique = f"{name}_{count}"
        taken.add(unique)
        points.append(NamedPoint(name=unique, x=x, y=y, description=description))
    return tuple(points)


def _all(
    plan: Plan, hubs: Sequence[Hub], boards: Sequence[Board], board_ends: bool
) -> Iterator[tuple[str, Point, str]]:
    # What the job names comes first, so that it keeps its name whatever the rest is called.
    for building in plan.buildings:
        of = f" of {building.name}" if building.name else ""
        for corner in building.corners:
            yield corner.name, corner.point, f"corner{of}"
    for pad in plan.pads:
        shape = "round pad" if pad.size is None else "pad"
        yield pad.name, pad.point, f"{shape} centre"
    for line in plan.interior:
        yield f"{line.name}_from", line.start, f"centre of {line.name} on {line.start_on}"
        yield f"{line.name}_to", line.end, f"centre of {line.name} on {line.end_on}"
    for hub in hubs:
        yield f"hub_{hub.corner}_{hub.wall}", (hub.x, hub.y), f"hub of {hub.corner} on {hub.wall}"
    for board in boards:
        if board_ends:
            for at, end in enumerate(board.ends, start=1):
                yield f"board_{board.name}_end_{at}", end, f"board {board.name} end"
        for at, mark in enumerate(board.marks, start=1):
            yield (
                f"board_{board.name}_mark_{at}",
                (mark.x, mark.y),
                f"board {board.name} {mark.mark} {mark.wall}",
            )
