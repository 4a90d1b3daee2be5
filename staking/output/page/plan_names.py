"""What is written on the page's plan, and the stakes on it: names first that matter most.

The page's script keeps the words' size and thins them out; what stands first in the list stays.
"""

from __future__ import annotations

import math
from html import escape
from typing import TYPE_CHECKING

from staking.frozen import frozen
from staking.lines import direction
from staking.output.drawing.lot_shapes import buried_on_plan, marked_points, on_plan
from staking.output.page.page_plan import rounded
from staking.output.wording import Words, safe
from staking.tolerances import SAME_POINT

if TYPE_CHECKING:
    from collections.abc import Iterator

    from staking.laid_out.layout_value import Layout
    from staking.output.page.page_plan import PlanFrame
    from staking.plan import Point


@frozen
class PlanName:
    """A name on the plan.

    Parameters
    ----------
    kind
        corner, line, pad, wall, board or lot: the look, and a class of the page's style.
    text
        What is written.
    point
        Where, m on the building grid.
    away
        The way it gives room to what it names, a unit vector on the building grid; None to stand
        on it.
    """

    kind: str
    text: str
    point: Point
    away: Point | None = None


def plan_names(layout: Layout) -> tuple[PlanName, ...]:
    """List the names, what matters most first.

    Parameters
    ----------
    layout
        The layout.

    Returns
    -------
    tuple of PlanName
        Corners, interior lines, pads, walls with their lengths, boards, the lot.
    """
    return (
        *_corners(layout),
        *_lines(layout),
        *(
            PlanName(kind="pad", text=safe(pad.name), point=pad.point, away=(0.7, 0.7))
            for pad in layout.plan.pads
        ),
        *_walls(layout),
        *_boards(layout),
        *_lot(layout),
    )


def names_svg(names: tuple[PlanName, ...], frame: PlanFrame) -> str:
    """Write the names as SVG, with the way each gives room for the script.

    Parameters
    ----------
    names
        The names.
    frame
        Where the building grid lies in the picture.

    Returns
    -------
    str
        One text element a name.
    """
    found = []
    for each in names:
        x, y = frame.at(each.point)
        away = ""
        if each.away is not None:
            tip = frame.at((each.point[0] + each.away[0], each.point[1] + each.away[1]))
            way = direction((x, y), tip)
            away = f' data-away="{way[0]:.2f} {way[1]:.2f}"'
        found.append(
            f'<text class="{each.kind}" x="{rounded(x)}" y="{rounded(y)}"{away}>'
            f"{escape(each.text, quote=False)}</text>"
        )
    return "".join(found)


def dots_svg(layout: Layout, frame: PlanFrame) -> str:
    """Draw corner stakes, hubs and surveyed points as dots, which keep their size.

    Parameters
    ----------
    layout
        The layout.
    frame
        Where the building grid lies in the picture.

    Returns
    -------
    str
        One path for each sort.
    """
    sorts = {
        "known": _known(layout),
        "hub": [(hub.x, hub.y) for hub in layout.hubs],
        "stake": list(layout.plan.corner_points.values()),
    }
    return "".join(
        f'<path class="{sort}" d="{"".join(_dot(frame.at(point)) for point in points)}"/>'
        for sort, points in sorts.items()
        if points
    )


def _dot(spot: Point) -> str:
    return f"M{rounded(spot[0])} {rounded(spot[1])}h0"


def _known(layout: Layout) -> list[Point]:
    if layout.site is None or layout.site.placement is None:
        return []
    return list(on_plan(layout.site, marked_points(layout.site)))


def _corners(layout: Layout) -> Iterator[PlanName]:
    for building in layout.plan.buildings:
        corners = building.corners
        for i, corner in enumerate(corners):
            ways = [
                direction(corner.point, other.point)
                for other in (corners[i - 1], corners[(i + 1) % len(corners)])
            ]
            x, y = -sum(way[0] for way in ways), -sum(way[1] for way in ways)
            size = math.hypot(x, y)
            # Where a wall goes straight on at a corner its two directions cancel out.
            straight_on = size < SAME_POINT
            away = building.sides[i].outward if straight_on else (x / size, y / size)
            yield PlanName(kind="corner", text=safe(corner.name), point=corner.point, away=away)


def _lines(layout: Layout) -> Iterator[PlanName]:
    for line in layout.plan.interior:
        along = direction(line.start, line.end)
        yield PlanName(
            kind="line",
            text=safe(line.name),
            point=_middle(line.start, line.end),
            away=(along[1], -along[0]),
        )


def _walls(layout: Layout) -> Iterator[PlanName]:
    words = Words(layout.options)
    for building in layout.plan.buildings:
        for side in building.sides:
            start, end = side.start, side.end
            length = words.length(math.dist(start, end))
            yield PlanName(
                kind="wall",
                text=f"{safe(side.wall.name)}  {length}",
                point=_middle(start, end),
                away=side.outward,
            )


def _boards(layout: Layout) -> Iterator[PlanName]:
    strings = {string.name: string for string in layout.strings}
    for board in layout.boards:
        string = strings[board.string]
        at_start = string.boards[0] == board.name
        ends = (string.end, string.start) if at_start else (string.start, string.end)
        yield PlanName(
            kind="board",
            text=f"board {board.name}",
            point=(board.x, board.y),
            away=direction(*ends),
        )


def _lot(layout: Layout) -> Iterator[PlanName]:
    site = layout.site
    for shape in layout.plan.stay_clear:
        count = len(shape.corners)
        middle = tuple(sum(point[axis] for point in shape.corners) / count for axis in (0, 1))
        yield PlanName(kind="lot", text=safe(shape.name), point=(middle[0], middle[1]))
    if site is None or site.placement is None:
        return
    for name, points, _ in buried_on_plan(site):
        half = len(points) // 2
        yield PlanName(kind="lot", text=safe(name), point=_middle(points[half - 1], points[half]))
    known = marked_points(site)
    for each, point in zip(known, on_plan(site, known), strict=True):
        yield PlanName(kind="lot", text=safe(each.name), point=point, away=(0.7, 0.7))


def _middle(one: Point, other: Point) -> Point:
    return ((one[0] + other[0]) / 2, (one[1] + other[1]) / 2)
