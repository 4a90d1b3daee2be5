"""Every stake, nail and centre of a layout under a name of its own."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from staking.frozen import frozen
from staking.kinds import PointKind
from staking.layout.layout_parts import Board, Hub
from staking.plan import Plan, Point


@frozen
class NamedPoint:
    """A point to set out: its name, once in the layout, x and y in m, and what it is.

    `of` is the corner, pad, interior line or board that it belongs to, as the plan names it.
    """

    name: str
    x: float
    y: float
    description: str
    kind: PointKind
    of: str


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
    for each in _all(plan, hubs, boards, board_ends):
        unique, count = each.name, 1
        while unique in taken:
            count += 1
            unique = f"{each.name}_{count}"
        taken.add(unique)
        points.append(replace(each, name=unique))
    return tuple(points)


def _all(
    plan: Plan, hubs: Sequence[Hub], boards: Sequence[Board], board_ends: bool
) -> Iterator[NamedPoint]:
    # What the job names comes first, so that it keeps its name whatever the rest is called.
    def made(kind: PointKind, of: str, name: str, place: Point, description: str) -> NamedPoint:
        return NamedPoint(
            name=name, x=place[0], y=place[1], description=description, kind=kind, of=of
        )

    for building in plan.buildings:
        of = f" of {building.name}" if building.name else ""
        for corner in building.corners:
            yield made(PointKind.CORNER, corner.name, corner.name, corner.point, f"corner{of}")
    for pad in plan.pads:
        shape = "round pad" if pad.size is None else "pad"
        yield made(PointKind.PAD, pad.name, pad.name, pad.point, f"{shape} centre")
    for line in plan.interior:
        for end, place, on in (
            ("from", line.start, line.start_on),
            ("to", line.end, line.end_on),
        ):
            described = f"centre of {line.name} on {on}"
            yield made(PointKind.INTERIOR_END, line.name, f"{line.name}_{end}", place, described)
    for hub in hubs:
        named = f"hub_{hub.corner}_{hub.wall}"
        described = f"hub of {hub.corner} on {hub.wall}"
        yield made(PointKind.HUB, hub.corner, named, (hub.x, hub.y), described)
    for board in boards:
        of = board.name
        if board_ends:
            for at, place in enumerate(board.ends, start=1):
                named = f"board_{of}_end_{at}"
                yield made(PointKind.BOARD_END, of, named, place, f"board {of} end")
        for at, mark in enumerate(board.marks, start=1):
            described = f"board {of} {mark.mark} {mark.wall}"
            place = (mark.x, mark.y)
            yield made(PointKind.NAIL, of, f"board_{of}_mark_{at}", place, described)
