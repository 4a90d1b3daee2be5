"""The order of work for the page: what each step's picture shows and what it tapes."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from staking.kinds import WorkKind
from staking.output.wording import Words

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from staking.laid_out.layout_value import Layout
    from staking.layout.steps.work import WorkPlan
    from staking.output.page.page_plan import PlanFrame
    from staking.plan import Point

_ROUND = 3.0
"""What a picture shows round what it is about at least, m."""

_MOST_DRAWN = 40
"""More tapes than this at one step would cover its picture."""

_INTO_THE_GROUND = frozenset({WorkKind.BOARD, WorkKind.STAKE, WorkKind.PAINT})
"""Steps at which something is driven, or the dig is painted: the lines must be marked by then."""


def steps_data(layout: Layout, work: WorkPlan, frame: PlanFrame) -> list[list[Any]]:
    """Set out what the script shows beside each step's sentence.

    Parameters
    ----------
    layout, work
        The layout and its order of work.
    frame
        Where the building grid lies in the picture.

    Returns
    -------
    list of list
        In the order of the steps: the box of the picture, None for the whole plan; whether
        something is driven into the ground or the dig is painted; the tapes, each from, to, its
        length and where it is drawn.
    """
    words, places = Words(layout.options), _places(layout, work)
    found: list[list[Any]] = []
    for step in work.steps:
        names = [*step.names, *(end for tape in step.tapes for end in tape[:2])]
        points = [point for name in names for point in places.get(name, ())]
        shown = len(step.tapes) <= _MOST_DRAWN
        found.append([
            view_of(points, frame) if points else None,
            step.kind in _INTO_THE_GROUND,
            [
                [
                    start,
                    end,
                    words.length(length),
                    *(_line(places.get(start, ()), places.get(end, ()), frame) if shown else ()),
                ]
                for start, end, length in step.tapes
            ],
        ])
    return found


def view_of(points: Iterable[Point], frame: PlanFrame, air: float = _ROUND) -> list[float]:
    """Give the box of a picture that shows some points.

    Parameters
    ----------
    points
        On the building grid, m; one at least.
    frame
        Where the building grid lies in the picture.
    air
        What is seen round them at least, m.

    Returns
    -------
    list of float
        Left, top, width and height in the picture's units.
    """
    spots = [frame.at(point) for point in points]
    left, right = min(x for x, _ in spots), max(x for x, _ in spots)
    top, bottom = min(y for _, y in spots), max(y for _, y in spots)
    more = max(air * frame.grid.size * frame.scale, 0.12 * max(right - left, bottom - top))
    return [
        round(each, 1)
        for each in (left - more, top - more, right - left + 2 * more, bottom - top + 2 * more)
    ]


def _places(layout: Layout, work: WorkPlan) -> dict[str, tuple[Point, ...]]:
    # a corner's name goes before that of a string or a pad
    plan = layout.plan
    found: dict[str, tuple[Point, ...]] = {s.name: (s.start, s.end) for s in layout.strings}
    for line in plan.interior:
        found[line.name] = (line.start, line.end)
        found[f"{line.name} from"], found[f"{line.name} to"] = (line.start,), (line.end,)
    found |= {pad.name: (pad.point,) for pad in plan.pads}
    if work.fourth is not None:
        found[work.fourth.name] = (work.fourth.point,)
    return found | {name: (point,) for name, point in plan.corner_points.items()}


def _line(start: Sequence[Point], end: Sequence[Point], frame: PlanFrame) -> list[float]:
    if len(start) != 1 or len(end) != 1:
        return []
    return [round(each, 1) for point in (start[0], end[0]) for each in frame.at(point)]
