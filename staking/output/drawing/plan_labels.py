"""What a plan drawing says in words, with every place each word may stand.

Heights are given in metres on the ground, so that the same code serves every plotted scale.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

from staking.output.drawing.drawn_words import Box, Text, Variant, text_width, upright
from staking.plan import Point, Side

if TYPE_CHECKING:
    from staking.laid_out.layout_value import Layout
    from staking.layout.layout_parts import Board, String

Labels = list[Iterable[Variant]]
_MOST_NAILS = 90
"""More nails than this are not named on a plan."""
MARK_TICK = 0.4
"""How far a mark's tick reaches either side of its board, in text heights."""
_STACKS = sorted(
    (
        (gap, part, round(worse + 2 * abs(part)))
        for worse, gap in enumerate((2.0, 4.5, 8.0, 12.0, 16.0, -2.0, -4.5))
        for part in (0.0, 1.0, -1.0, 1.5, -1.5, 2.0, -2.0, 3.0, -3.0)
    ),
    key=lambda place: place[2],
)
"""Places of a board's names: text heights past the board, stacks along it, how much worse."""
_TURNS = sorted((i * math.pi / 8 for i in range(-7, 9)), key=lambda t: (abs(t), t))


def board_labels(layout: Layout, height: float, shown: Callable[[str], str]) -> Labels:
    """Stack the names beside each board in nail order, with a leader to each mark.

    Parameters
    ----------
    layout
        The layout.
    height
        Text height on the ground, m.
    shown
        Writes a name of the plan.

    Returns
    -------
    list
        The variants of each board's stack: just past the board, beside the hub, farther out. Where
        there are too many nails to name, a board bears its number alone.
    """
    strings = {string.name: string for string in layout.strings}
    bare = has_bare_boards(layout)
    labels: Labels = []
    for board in layout.boards:
        away = outward(board, strings[board.string])
        labels.append(_stacks(board, away, height, shown, bare=bare))
    return labels


def has_bare_boards(layout: Layout) -> bool:
    """Tell whether boards bear their numbers alone, as there are too many nails to name.

    Returns
    -------
    bool
        A heap of nails' names makes a plan so small that nothing on it can be read; the sheets
        and the tables have every nail.
    """
    return sum(len(mark_names(board)) for board in layout.boards) > _MOST_NAILS


def outward(board: Board, string: String) -> Point:
    """Find the unit direction in which a string leaves the building at a board.

    Returns
    -------
    Point
        The direction.
    """
    at_end = string.boards[1] == board.name
    inner, outer = (string.start, string.end) if at_end else (string.end, string.start)
    return _unit(inner, outer)


def mark_names(board: Board, shown: Callable[[str], str] = str) -> list[tuple[float, Point, str]]:
    """List the marks of a board in nail order.

    Marks nailed at one place share a name; the wall is named where the board serves several.

    Parameters
    ----------
    board
        The board.
    shown
        Writes a name of the plan.

    Returns
    -------
    list of tuple
        Place along the board from its first end, m, the point, the name.
    """
    first, last = board.ends
    along = _unit(first, last)
    several = len({mark.wall for mark in board.marks}) > 1
    rows: list[tuple[float, Point, str]] = []
    placed = sorted(
        (
            ((mark.x - first[0]) * along[0] + (mark.y - first[1]) * along[1], mark)
            for mark in board.marks
        ),
        key=lambda row: (row[0], row[1].wall, row[1].mark),
    )
    for station, mark in placed:
        wall = shown(mark.wall)
        name = f"{mark.mark} {wall}" if several else mark.mark
        if rows and station - rows[-1][0] < 0.0254 / 32:
            before = rows.pop()
            joined = f"{before[2]}, {wall if before[2].startswith(mark.mark) else name}"
            rows.append((before[0], before[1], joined))
        else:
            rows.append((station, (mark.x, mark.y), name))
    return rows


def _stacks(
    board: Board, away: Point, height: float, shown: Callable[[str], str], *, bare: bool
) -> Iterator[Variant]:
    rows = [] if bare else mark_names(board, shown)
    title = f"board {board.name}" if bare else f"board {board.name}, {shown(board.string)}"
    first, last = board.ends
    along = _unit(first, last)
    turn = upright(math.atan2(away[1], away[0]))
    reads_out = math.cos(turn) * away[0] + math.sin(turn) * away[1] > 0
    up = (-math.sin(turn), math.cos(turn))
    on_top = 1 if along[0] * up[0] + along[1] * up[1] > 0 else -1
    pitch = 1.6 * height
    middle = sum(row[0] for row in rows) / len(rows) if rows else math.dist(first, last) / 2
    half = pitch * len(rows) / 2
    for gap, part, penalty in _STACKS:
        shift = part * (half + pitch)
        spots = [middle + shift + pitch * (j - (len(rows) - 1) / 2) for j in range(len(rows))]
        if shift == 0 and all(b[0] - a[0] >= pitch for a, b in pairwise(rows)):
            spots = [row[0] for row in rows]
        ends = spots or [middle + shift - on_top * pitch]
        top = (max if on_top > 0 else min)(ends) + on_top * pitch
        texts = [
            Text(
                text=name,
                x=first[0] + along[0] * spot + away[0] * gap * height,
                y=first[1] + along[1] * spot + away[1] * gap * height,
                height=height,
                turn=turn,
                align=-1 if reads_out == (gap > 0) else 1,
            )
            for spot, name in [
                *zip(spots, (row[2] for row in rows), strict=True),
                (top, title),
            ]
        ]
        reach = (gap - math.copysign(0.4, gap)) * height
        tick = math.copysign(MARK_TICK, gap) * height
        leaders = tuple(
            (
                (x + away[0] * tick, y + away[1] * tick),
                (
                    first[0] + along[0] * spot + away[0] * reach,
                    first[1] + along[1] * spot + away[1] * reach,
                ),
            )
            for (_, (x, y), _), spot in zip(rows, spots, strict=True)
        )
        yield Variant(texts=tuple(texts), lines=leaders, penalty=penalty)


def corner_labels(layout: Layout, height: float, clean: Callable[[str], str]) -> Labels:
    """Names of corners, out of the building where that is free, and of pads.

    Parameters
    ----------
    layout
        The layout.
    height
        Text height on the ground, m.
    clean
        Makes a job's own words safe for the file.

    Returns
    -------
    list
        The variants of each name, nearest first.
    """
    plan = layout.plan
    labels: Labels = []
    for building in plan.buildings:
        reach = max(wall.footing.outside for wall in building.walls)
        count, turn = len(building.corners), building.is_anticlockwise
        for i, corner in enumerate(building.corners):
            before, after = building.corners[i - 1], building.corners[(i + 1) % count]
            away = _bisector(before.point, corner.point, after.point, turn)
            labels.append(around(clean(corner.name), corner.point, reach, height, away))
    for pad in plan.pads:
        half = max(pad.size) * 0.71 if pad.size else (pad.diameter or 0.0) / 2
        labels.append(around(clean(pad.name), pad.point, half, height, math.pi / 4))
    return labels


def name_labels(layout: Layout, height: float, clean: Callable[[str], str]) -> Labels:
    """Names of interior lines and existing sides.

    Parameters
    ----------
    layout
        The layout.
    height
        Text height on the ground, m.
    clean
        Makes a job's own words safe for the file.

    Returns
    -------
    list
        The variants of each name, nearest first.
    """
    plan = layout.plan
    labels: Labels = []
    for building in plan.buildings:
        for side in building.sides:
            if side.wall.existing is not None:
                labels.append(_existing(side, height))
    for line in plan.interior:
        labels.append(
            beside(clean(line.name), line.start, line.end, line.footing.width / 2, height)
        )
    return labels


def _existing(side: Side, height: float) -> Iterator[Variant]:
    # Along the side; where that is shorter than the words, beside it, first away from our walls.
    words = "existing building"
    if side.length >= text_width(words, height):
        return beside(words, side.start, side.end, 0.0, height)
    (x1, y1), (x2, y2) = side.start, side.end
    away = math.atan2(side.outward[1], side.outward[0])
    return around(words, ((x1 + x2) / 2, (y1 + y2) / 2), side.length / 2, height, away)


def shape_labels(layout: Layout, height: float, clean: Callable[[str], str], view: Box) -> Labels:
    """Names of shapes to stay clear of, in the middle of what the sheet shows of them.

    Parameters
    ----------
    layout
        The layout.
    height
        Text height on the ground, m.
    clean
        Makes a job's own words safe for the file.
    view
        What the sheet shows, upright, m.

    Returns
    -------
    list
        The variants of each name.
    """
    left, right = view.x - view.width / 2, view.x + view.width / 2
    low, high = view.y - view.height / 2, view.y + view.height / 2
    labels: Labels = []
    for shape in layout.plan.stay_clear:
        corners = [(min(max(x, left), right), min(max(y, low), high)) for x, y in shape.corners]
        whole = len(set(corners)) < 3 or _flat(corners)
        labels.append(
            _inside(f"stay clear: {clean(shape.name)}", shape.corners if whole else corners, height)
        )
    return labels


def hub_labels(layout: Layout, height: float, shown: Callable[[str], str], view: Box) -> Labels:
    """Names of hubs, inside what the sheet shows.

    Parameters
    ----------
    layout
        The layout.
    height
        Text height on the ground, m.
    shown
        Writes a name of the plan, safe for the file.
    view
        What the sheet shows, upright, m.

    Returns
    -------
    list
        The variants of the name of each stake, nearest first: every corner that it is a hub of. On
        which wall's line it stands is plain from the string that ends there.
    """
    named: dict[Point, list[str]] = {}
    for hub in layout.hubs:
        names = named.setdefault((hub.x, hub.y), [])
        if shown(hub.corner) not in names:
            names.append(shown(hub.corner))
    bare = has_bare_boards(layout)
    labels: Labels = []
    for point, names in named.items():
        away = 0.0 if point[0] >= view.x else math.pi
        text = "hub" if bare else f"hub {', '.join(names)}"
        variants = around(text, point, height / 2, height, away)
        labels.append(shown_whole(variants, view, most=1))
    return labels


def shown_whole(
    variants: Iterable[Variant], view: Box, most: int | None = None
) -> Iterator[Variant]:
    """Leave out variants that a window cuts off, looked at only as they are asked for.

    Parameters
    ----------
    variants
        By rising penalty.
    view
        What the window shows, upright, m.
    most
        How many are left where all are cut off, the first ones; None for all.

    Yields
    ------
    Variant
        Those that are shown whole; where there are none, those that are cut off.
    """
    cut_off: list[Variant] = []
    found = False
    for variant in variants:
        corners = [corner for box in variant.boxes for corner in box.corners]
        if all(is_shown(corner, view) for corner in corners):
            found = True
            yield variant
        elif not found:
            cut_off.append(variant)
    if not found:
        yield from cut_off[:most]


def is_shown(spot: Point, view: Box) -> bool:
    """Whether a place lies within an upright window.

    Returns
    -------
    bool
        True on its edge too.
    """
    x, y = spot
    return abs(x - view.x) <= view.width / 2 and abs(y - view.y) <= view.height / 2


def _flat(corners: Sequence[Point]) -> bool:
    # Whether a shape clamped to the window lies along its edge: nothing of it is seen.
    return len({x for x, _ in corners}) == 1 or len({y for _, y in corners}) == 1


def around(name: str, point: Point, reach: float, height: float, away: float) -> Iterator[Variant]:
    """Put a name near a point, `reach` m or more off it, first in the direction `away`, rad.

    Yields
    ------
    Variant
        Nearest first.
    """
    half = text_width(name, height) / 2
    for ring, extra in enumerate((0.6, 1.4, 2.4, 4.0, 6.0)):
        for turn in _TURNS:
            cos, sin = math.cos(away + turn), math.sin(away + turn)
            off = reach + extra * height
            yield (
                Variant(
                    texts=(
                        Text(
                            text=name,
                            x=point[0] + cos * (off + half),
                            y=point[1] + sin * (off + height / 2),
                            height=height,
                        ),
                    ),
                    penalty=ring,
                )
            )


def beside(
    name: str,
    start: Point,
    end: Point,
    reach: float,
    height: float,
    rises: tuple[float, ...] = (1.0, 2.5, 4.0),
) -> Iterator[Variant]:
    """Put a name along a line, `reach` m and one of `rises`, in text heights, beside it.

    Yields
    ------
    Variant
        The middle of the line first.
    """
    along = _unit(start, end)
    turn = upright(math.atan2(along[1], along[0]))
    up = (-math.sin(turn), math.cos(turn))
    for off in (side * (reach + rise * height) for rise in rises for side in (1, -1)):
        for part in (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8):
            yield (
                Variant(
                    texts=(
                        Text(
                            text=name,
                            x=start[0] + (end[0] - start[0]) * part + up[0] * off,
                            y=start[1] + (end[1] - start[1]) * part + up[1] * off,
                            height=height,
                            turn=turn,
                        ),
                    )
                )
            )


def _inside(name: str, corners: Sequence[Point], height: float) -> Iterator[Variant]:
    # Along the shape's middle, upright or on its side, then a little off it.
    xs, ys = [x for x, _ in corners], [y for _, y in corners]
    x, y = (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2
    tall = max(ys) - min(ys) > text_width(name, height) > max(xs) - min(xs)
    for step in range(5):
        for off in (step * 2 * height, -step * 2 * height):
            for upended in (tall, not tall):
                yield Variant(
                    texts=(
                        Text(
                            text=name,
                            x=x + (off if upended else 0.0),
                            y=y + (0.0 if upended else off),
                            height=height,
                            turn=math.pi / 2 if upended else 0.0,
                        ),
                    ),
                    penalty=step,
                )


def _bisector(before: Point, here: Point, after: Point, anticlockwise: bool) -> float:
    # The direction out of the building halfway between the two walls, rad.
    first, second = _unit(before, here), _unit(here, after)
    sign = 1 if anticlockwise else -1
    normal = (sign * (first[1] + second[1]), -sign * (first[0] + second[0]))
    return math.atan2(normal[1], normal[0])


def _unit(start: Point, end: Point) -> Point:
    run = math.hypot(end[0] - start[0], end[1] - start[1])
    return ((end[0] - start[0]) / run, (end[1] - start[1]) / run) if run else (1.0, 0.0)
