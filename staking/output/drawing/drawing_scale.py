"""Chooses the scale of the sheet and puts every word of the plan in its place."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.frozen import frozen
from staking.output.drawing import layers
from staking.output.drawing.dimensions import dimension_labels
from staking.output.drawing.drawing_sheet import view_size
from staking.output.drawing.drawn_words import Box, Segment, Variant, extent, scales
from staking.output.drawing.lot_shapes import lot_boxes, lot_lines
from staking.output.drawing.places.label_places import place
from staking.output.drawing.plan_labels import (
    board_labels,
    corner_labels,
    hub_labels,
    name_labels,
    shape_labels,
)
from staking.output.drawing.plan_shapes import obstacles, reach, solids
from staking.output.drawing.short_names import ShownNames
from staking.output.drawing.step_marks import step_labels, step_lines
from staking.output.drawing.wall_openings import opening_labels, opening_lines
from staking.output.wording import Words
from staking.plan import Point

if TYPE_CHECKING:
    from staking.laid_out.layout_value import Layout

_TOUCHING_AIR = 2.0
"""Air between the outermost text and the window's edge, mm on paper, both sides together."""
STAKE_SIZE = 1.8
"""Size of a stake's marker, mm on paper."""


@frozen
class ScaledPlan:
    """The plan with its words placed for one scale; m on the ground.

    `ratio` is ground over paper, `scale` its name, `low` and `high` the extent of what the sheet
    shows; `loose` are words that never make the plan smaller: names of hubs, and of shapes to stay
    clear of, which may reach past that.
    """

    ratio: int
    scale: str
    variants: tuple[Variant, ...]
    loose: tuple[Variant, ...]
    low: Point
    high: Point

    @property
    def centre(self) -> Point:
        """The middle of everything, m."""
        return ((self.low[0] + self.high[0]) / 2, (self.low[1] + self.high[1]) / 2)

    @property
    def boxes(self) -> tuple[Box, ...]:
        """The ground of every text, m."""
        return tuple(box for variant in (*self.variants, *self.loose) for box in variant.boxes)

    def window(self, paper: str) -> Box:
        """Give what the sheet's window shows.

        Returns
        -------
        Box
            Upright on the building grid, m.
        """
        width, height = view_size(paper)
        mm = self.ratio / 1000
        return Box(x=self.centre[0], y=self.centre[1], width=width * mm, height=height * mm)


def frame_plan(layout: Layout) -> ScaledPlan:
    """Place every word at the largest standard scale at which the plan fits its paper.

    Shapes to stay clear of are shown as far as the paper goes; they never make the plan smaller.

    Parameters
    ----------
    layout
        The layout.

    Returns
    -------
    ScaledPlan
        The plan at that scale; at the smallest one where none fits.
    """
    room = view_size(layout.options.paper)
    bare = reach(layout)
    chosen = None
    for step in scales(layout.options.show):
        ratio, scale = step
        mm = ratio / 1000
        chosen = None
        if not _fits(*bare, room, mm):
            continue
        variants = _place_words(layout, mm)
        chosen = variants, _extent(bare, variants)
        if _fits(*chosen[1], room, mm):
            break
    variants, (low, high) = chosen or (placed := _place_words(layout, mm), _extent(bare, placed))
    corners = [corner for shape in layout.plan.stay_clear for corner in shape.corners]
    if corners:
        low, high = _stretch(low, high, corners, room, mm)
    view = Box(
        x=(low[0] + high[0]) / 2,
        y=(low[1] + high[1]) / 2,
        width=(room[0] - _TOUCHING_AIR) * mm,
        height=(room[1] - _TOUCHING_AIR) * mm,
    )
    loose = _place_loose(layout, variants, view, mm)
    return ScaledPlan(ratio=ratio, scale=scale, variants=variants, loose=loose, low=low, high=high)


def _extent(bare: tuple[Point, Point], variants: tuple[Variant, ...]) -> tuple[Point, Point]:
    points = list(bare)
    for variant in variants:
        points.extend(corner for box in variant.boxes for corner in box.corners)
        points.extend(point for line in variant.lines for point in line)
    return extent(points)


def _stretch(
    low: Point, high: Point, points: list[Point], room: tuple[float, float], mm: float
) -> tuple[Point, Point]:
    # Toward the points as far as the window has room beyond what must be seen.
    near, far = extent(points)
    lows, highs = [], []
    for i in (0, 1):
        spare = max((room[i] - _TOUCHING_AIR) * mm - (high[i] - low[i]), 0.0)
        before = min(max(low[i] - near[i], 0.0), spare)
        after = min(max(far[i] - high[i], 0.0), spare - before)
        lows.append(low[i] - before)
        highs.append(high[i] + after)
    return (lows[0], lows[1]), (highs[0], highs[1])


def _fits(low: Point, high: Point, room: tuple[float, float], mm: float) -> bool:
    return all(high[i] - low[i] <= (room[i] - _TOUCHING_AIR) * mm for i in (0, 1))


def _place_words(layout: Layout, mm: float) -> tuple[Variant, ...]:
    # Every label in its place; `mm` is what a millimetre on paper is on the ground, m.
    length = Words(layout.options).length
    small, main = layers.SMALL_HEIGHT * mm, layers.MAIN_HEIGHT * mm
    names = ShownNames(layout.plan)

    def clean(text: str) -> str:
        return layers.clean_text(names(text))

    labels = [
        *corner_labels(layout, main, clean),
        *dimension_labels(layout, length, main),
        *board_labels(layout, small, names),
        *name_labels(layout, main, clean),
        *opening_labels(layout, length, small),
        *step_labels(layout, length, small, clean),
    ]
    lines = [*obstacles(layout), *opening_lines(layout.plan), *step_lines(layout)]
    boxes = solids(layout, 1.2 * STAKE_SIZE * mm)
    # A word that a string runs through cannot be read: rather it stands farther off.
    last: list[Segment] = [(string.start, string.end) for string in layout.strings]
    if layout.site is not None and layout.placed:
        last += lot_lines(layout.site)
        boxes += lot_boxes(layout.site, mm)
    return place(labels, lines, boxes, last)


def _place_loose(
    layout: Layout, variants: tuple[Variant, ...], view: Box, mm: float
) -> tuple[Variant, ...]:
    small, main = layers.SMALL_HEIGHT * mm, layers.MAIN_HEIGHT * mm
    names = ShownNames(layout.plan)

    def clean(text: str) -> str:
        return layers.clean_text(names(text))

    lines = [*obstacles(layout), *(line for variant in variants for line in variant.lines)]
    boxes = solids(layout, 1.2 * STAKE_SIZE * mm)
    boxes += [box for variant in variants for box in variant.boxes]
    last: list[Segment] = [(string.start, string.end) for string in layout.strings]
    if layout.site is not None and layout.placed:
        last += lot_lines(layout.site)
        boxes += lot_boxes(layout.site, mm)
    labels = [
        *shape_labels(layout, main, layers.clean_text, view),
        *hub_labels(layout, small, clean, view),
    ]
    return place(labels, lines, boxes, last)
