"""Small pictures of how the first stakes are set: tapes and the arcs they swing, to no scale."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from staking.frozen import frozen
from staking.kinds import SettingMethod, WorkKind
from staking.output.drawing.drawn_words import Box, Segment, Variant, extent
from staking.output.drawing.places.label_places import place
from staking.output.drawing.plan_labels import around, beside
from staking.output.pictures.sketch_pen import SketchPen
from staking.output.sheet_drawings.paper_drawing import SAID, TAPED, NumberedNames
from staking.output.wording import Words

if TYPE_CHECKING:
    from staking.laid_out.layout_value import Layout
    from staking.laid_out.lot_figures import TapeArc
    from staking.layout.steps.work import WorkPlan
    from staking.output.pictures.picture import Picture
    from staking.plan import Point

_ROOM = 8.0
"""Kept round what is drawn for its words, mm."""
_STAKE = 0.9
"""Half the side of a stake, mm."""
_SWING = 6.0
"""How far an arc is drawn either side of its stake, mm."""
_TAPE, _OUTLINE, _ARC = 0.3, 0.13, 0.45
_DASHES = (1.6, 1.0)


@frozen
class WorkPicture:
    """One of the first acts: which steps it shows, and how."""

    steps: str
    picture: Picture


@frozen
class _Act:
    numbers: tuple[int, ...]
    stands: tuple[tuple[str, Point], ...]
    sets: tuple[tuple[str, Point], ...]
    tapes: tuple[tuple[Point, Point, float], ...]
    swings: bool


def work_pictures(
    layout: Layout,
    work: WorkPlan,
    arcs: Sequence[TapeArc],
    sizes: Sequence[tuple[float, float]],
) -> tuple[WorkPicture, ...]:
    """Draw the first acts of the order of work.

    Parameters
    ----------
    layout, work
        The layout and its order of work.
    arcs
        The tapes from known points to the first two stakes; none where there are none.
    sizes
        Width and height of each picture, mm, as many as there may be.

    Returns
    -------
    tuple of WorkPicture
        The base line, the next stakes by two tapes each, and the squaring of the rectangle.
    """
    acts, most = list(_acts(layout, work, arcs)), len(sizes)
    if len(acts) > most:
        # The squaring is worth more than the last of many stakes.
        acts = [*acts[: most - 1], next((e for e in acts[most - 1 :] if not e.swings), acts[most])]
    return tuple(
        WorkPicture(steps=_numbered(each.numbers), picture=_drawn(layout, each, size))
        for each, size in zip(acts, sizes, strict=False)
    )


def _numbered(numbers: tuple[int, ...]) -> str:
    what = "step" if len(numbers) == 1 else "steps"
    return f"{what} {', '.join(map(str, numbers))}"


def _acts(layout: Layout, work: WorkPlan, arcs: Sequence[TapeArc]) -> Iterator[_Act]:
    places = {corner.name: corner.point for b in layout.plan.buildings for corner in b.corners}
    if work.fourth is not None:
        places[work.fourth.name] = work.fourth.point
    base = (work.base.first, work.base.second)
    numbers = {
        each.names[0]: at
        for at, each in enumerate(work.steps, start=1)
        if each.kind is WorkKind.STAKE
    }
    ends = tuple((name, places[name]) for name in base)
    if arcs:
        for name, here in ends:
            own = [arc for arc in arcs if arc.stake == name]
            yield _Act(
                numbers=(numbers[name],),
                stands=tuple(dict.fromkeys((arc.known, arc.centre) for arc in own)),
                sets=((name, here),),
                tapes=tuple((arc.centre, arc.at, arc.distance) for arc in own),
                swings=True,
            )
    else:
        along = ((places[base[0]], places[base[1]], work.base.length),)
        yield _Act(numbers=tuple(numbers[e] for e in base), stands=(), sets=ends,
                   tapes=along, swings=False)  # fmt: skip
    standing = dict(ends)
    for setting in work.settings[2:]:
        if setting.method is not SettingMethod.TWO_TAPES:
            continue
        here = places[setting.corner]
        yield _Act(
            numbers=(numbers[setting.corner],),
            stands=tuple(standing.items()),
            sets=((setting.corner, here),),
            tapes=tuple((places[name], here, far) for name, far in setting.tapes),
            swings=True,
        )
        standing[setting.corner] = here
    for at, step in enumerate(work.steps, start=1):
        if step.kind is WorkKind.SQUARE:
            yield _Act(
                numbers=(at,),
                stands=tuple((name, places[name]) for name in step.names),
                sets=(),
                tapes=tuple((places[a], places[b], far) for a, b, far in step.tapes),
                swings=False,
            )
            return


def _drawn(layout: Layout, act: _Act, size: tuple[float, float]) -> Picture:
    spots = [point for _, point in (*act.stands, *act.sets)]
    rings = [building.ring for building in layout.plan.buildings]
    low, high = extent([*spots, *(point for ring in rings for point in ring)])
    mm = max((high[i] - low[i]) / (size[i] - 2 * _ROOM) for i in (0, 1))
    view = Box(
        x=(low[0] + high[0]) / 2,
        y=(low[1] + high[1]) / 2,
        width=size[0] * mm,
        height=size[1] * mm,
    )
    pen = SketchPen("work", view, mm)
    for ring in rings:
        pen.ring(ring, _OUTLINE, _DASHES)
    for start, end, _ in act.tapes:
        pen.line(start, end, _TAPE)
        if act.swings:
            pen.chain(_arc(start, end, mm), _ARC)
    for spot in spots:
        half = _STAKE * mm
        (x, y) = spot
        square = [(x - half, y - half), (x + half, y - half), (x + half, y + half),
                  (x - half, y + half)]  # fmt: skip
        pen.fill(square, "#000000")
    _write(pen, layout, act)
    return pen.picture()


def _arc(centre: Point, at: Point, mm: float) -> list[Point]:
    radius = math.dist(centre, at)
    middle = math.atan2(at[1] - centre[1], at[0] - centre[0])
    half = min(_SWING * mm / radius, math.pi / 5) if radius else 0.0
    turns = [middle + half * step / 10 for step in range(-10, 11)]
    return [
        (centre[0] + radius * math.cos(each), centre[1] + radius * math.sin(each)) for each in turns
    ]


def _write(pen: SketchPen, layout: Layout, act: _Act) -> None:
    words, names, mm = Words(layout.options), NumberedNames(layout.plan), pen.mm
    labels: list[Iterator[Variant]] = [
        _kept(pen, beside(words.length(far), start, end, 0.0, TAPED * mm, (1.0, 2.2, 3.6, 5.0)))
        for start, end, far in act.tapes
    ]
    named = (*act.sets, *act.stands)
    middle = pen.view.x, pen.view.y
    labels += [
        _kept(
            pen,
            around(names(name), spot, 1.3 * mm, SAID * mm,
                   math.atan2(spot[1] - middle[1], spot[0] - middle[0])),
        )
        for name, spot in named
    ]  # fmt: skip
    boxes = [Box(x=x, y=y, width=2.4 * mm, height=2.4 * mm) for _, (x, y) in named]
    lines: list[Segment] = list(pen.lines)
    for variant in place(labels, lines, boxes):
        for text in variant.texts:
            pen.write(text)


def _kept(pen: SketchPen, variants: Iterator[Variant]) -> Iterator[Variant]:
    # Only places inside the picture; what finds none is left out.
    for variant in variants:
        if all(pen.holds(box, 0.3) for box in variant.boxes):
            yield variant
    yield Variant(penalty=90)
