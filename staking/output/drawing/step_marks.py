"""Steps of the footing on the plan: riser faces, how far the low level is dug, and their words."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from operator import itemgetter
from typing import TYPE_CHECKING

from staking.frozen import frozen
from staking.output.drawing import layers
from staking.output.drawing.drawn_words import Segment, Text, Variant, upright
from staking.output.drawing.plan_labels import Labels
from staking.plan import Point

if TYPE_CHECKING:
    from staking.grade.graded import GradedWall
    from staking.grade.stepping.built_steps import BuiltStep
    from staking.laid_out.layout_value import Layout
    from staking.output.drawing.pen import Pen

_ROW = 1.6
"""Between the rows of a label, text heights."""
_PLACES = sorted(
    (
        (round(gap / 2) + 2 * outer + abs(shift) + 2 * crosswise, 2 * outer + crosswise, gap, shift)
        for gap in (1.0, 3.0, 6.0, 10.0, 15.0, 21.0)
        for outer in (0, 1)
        for shift in (0, 2, -2, 4, -4, 7, -7, 10, -10)
        for crosswise in (0, 1)
    ),
    key=itemgetter(0),
)
"""Places of a label: how much worse, which way it is written (off the inner end of the face away
from the wall and crosswise, then off the outer end), text heights off the face, and along it."""


def draw_steps(pen: Pen, layout: Layout) -> None:
    """Draw every step: its riser face across the footing, and dashed where its dig ends.

    Parameters
    ----------
    pen
        Draws on the building grid.
    layout
        The layout; without levels there is nothing to draw.
    """
    for wall, built in _steps(layout):
        pen.line(*built.face, layers.STEPS)
        pen.line(*_dig_end(wall, built), layers.STEPS, "STK_DASHED")


def has_steps(layout: Layout) -> bool:
    """Whether the footing steps anywhere.

    Returns
    -------
    bool
        True where there is a step to draw.
    """
    return next(_steps(layout), None) is not None


def step_lines(layout: Layout) -> tuple[Segment, ...]:
    """List the lines of the steps, for words to keep off.

    Returns
    -------
    tuple of Segment
        Riser faces and ends of the dig, m.
    """
    return tuple(
        line for wall, built in _steps(layout) for line in (built.face, _dig_end(wall, built))
    )


def step_labels(
    layout: Layout, length: Callable[[float], str], height: float, clean: Callable[[str], str]
) -> Labels:
    """Say at each step how high it is, where its face stands and how far it is dug.

    Parameters
    ----------
    layout
        The layout.
    length
        Writes a length, m, as text.
    height
        Text height on the ground, m.
    clean
        Makes a job's own words safe for the file.

    Returns
    -------
    list
        The variants of each label: in the face's own line inside the building, then outside it,
        then farther off with a leader.
    """
    labels: Labels = []
    starts = {line.name: line.start_on for line in layout.plan.interior}
    for wall, built in _steps(layout):
        name = wall.strand.name
        start = f" from {clean(starts.get(name, name.partition('-')[0]))}"
        step = built.step
        rows = (
            f"{length(step.station)}{start}",
            f"dig to {length(built.dig_to)}",
            f"rise {length(step.rise)}",
        )
        labels.append(_places(rows, wall, built, height))
    return labels


def _steps(layout: Layout) -> Iterator[tuple[GradedWall, BuiltStep]]:
    if layout.grade is not None:
        for wall in layout.grade.walls:
            for built in wall.built:
                yield wall, built


def _dig_end(wall: GradedWall, built: BuiltStep) -> Segment:
    outer, inner = wall.strand.local(built.face)
    return (
        wall.strand.place(built.dig_to, outer[1]),
        wall.strand.place(built.dig_to, inner[1]),
    )


@frozen
class _WrittenRows:
    """How rows are written off one end of a step's face.

    Parameters
    ----------
    foot
        Where the face ends, m.
    off
        The direction away from the wall there.
    turn
        The direction in which the rows read, rad.
    rises
        From the label's place to each row, text heights.
    align
        As in `Text`.
    """

    foot: Point
    off: Point
    turn: float
    rises: tuple[Point, ...]
    align: int


def _places(
    rows: tuple[str, ...], wall: GradedWall, built: BuiltStep, height: float
) -> Iterator[Variant]:
    outer, inner = built.face
    out, along = wall.strand.out, _unit(wall)
    # Shifted rows go to the low side of the face first, where nothing else of the step is.
    low = 1.0 if built.step.down else -1.0
    ways = [
        _way(foot, off, along if crosswise else off, len(rows), crosswise=crosswise)
        for foot, off in ((inner, (-out[0], -out[1])), (outer, out))
        for crosswise in (False, True)
    ]
    for penalty, number, gap, shift in _PLACES:
        yield _variant(rows, ways[number], along, (gap, low * shift), height, penalty)


def _way(foot: Point, off: Point, reads: Point, count: int, *, crosswise: bool) -> _WrittenRows:
    turn = upright(math.atan2(reads[1], reads[0]))
    ahead, up = (math.cos(turn), math.sin(turn)), (-math.sin(turn), math.cos(turn))
    middle = (count - 1) / 2
    lift, align = 0.0, 0
    if crosswise:
        lift = (middle * _ROW + 0.5) * (1 if up[0] * off[0] + up[1] * off[1] > 0 else -1)
    else:
        align = -1 if ahead[0] * off[0] + ahead[1] * off[1] > 0 else 1
    lifts = [lift + (middle - i) * _ROW for i in range(count)]
    rises = tuple((up[0] * each, up[1] * each) for each in lifts)
    return _WrittenRows(foot=foot, off=off, turn=turn, rises=rises, align=align)


def _variant(
    rows: tuple[str, ...],
    way: _WrittenRows,
    along: Point,
    place: tuple[float, float],
    height: float,
    penalty: int,
) -> Variant:
    # With a leader where the rows are off.
    (x0, y0), (dx, dy), (gap, shift) = way.foot, way.off, place
    x = x0 + (dx * gap + along[0] * shift) * height
    y = y0 + (dy * gap + along[1] * shift) * height
    texts = tuple([
        Text(
            text=row,
            x=x + right * height,
            y=y + up * height,
            height=height,
            turn=way.turn,
            align=way.align,
        )
        for row, (right, up) in zip(rows, way.rises, strict=True)
    ])
    if gap == 1.0 and not shift:
        return Variant(texts=texts, penalty=penalty)
    near = 0.4 * height
    leader = ((x0 + dx * near, y0 + dy * near), (x - dx * near, y - dy * near))
    return Variant(texts=texts, lines=(leader,), penalty=penalty)


def _unit(wall: GradedWall) -> Point:
    start, end, length = wall.strand.start, wall.strand.end, wall.strand.length
    return ((end[0] - start[0]) / length, (end[1] - start[1]) / length)
