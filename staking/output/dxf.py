"""Writes the plan drawing: one file a surveyor or CAD operator takes without a question."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, TextIO

from staking.output import dxf_layers as layers
from staking.output.drawing import Text, Variant, extent, scales
from staking.output.dxf_dims import dimension_labels
from staking.output.dxf_labels import MARK_TICK, board_labels, mark_names, name_labels, outward
from staking.output.dxf_places import place
from staking.output.dxf_shapes import (
    interior_quad,
    obstacles,
    pad_quad,
    reach,
    solids,
    wall_quads,
)
from staking.output.dxf_sheet import Sheet, add_sheet, view_size
from staking.output.wording import Words
from staking.plan import Point, Show
from staking.units import Unit

if TYPE_CHECKING:
    from ezdxf.document import Drawing
    from ezdxf.layouts.layout import Modelspace

    from staking.layout.results import Board, String
    from staking.project import Layout

_INSUNITS = {Unit.IN: 1, Unit.FT: 2, Unit.MM: 4, Unit.M: 6, Unit.US_FT: 21}
"""$INSUNITS by the open DXF reference: 21 is the U.S. survey foot."""
_TOUCHING_AIR = 2.0
"""Air between the outermost text and the window's edge, mm on paper, both sides together."""
_MARKER = 1.8
"""Size of a stake's marker, mm on paper."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """The plan with its words placed for one scale; m on the ground.

    `ratio` is ground over paper, `scale` its name, `low` and `high` the extent of everything.
    """

    ratio: int
    scale: str
    variants: tuple[Variant, ...]
    low: Point
    high: Point


def write_dxf(layout: Layout, stream: TextIO) -> None:
    """Write the plan as a DXF drawing (R2010) with model space and one sheet.

    Parameters
    ----------
    layout
        The layout. Model space is in the job's unit, on the building grid.
    stream
        Where to write, open for text in UTF-8.
    """
    from ezdxf.filemanagement import new

    frame = frame_plan(layout)
    unit = Unit(layout.options.unit)
    doc = new("R2010", setup=False)
    per_mm = frame.ratio / 1000 / unit.metres
    _set_header(doc, layout, frame, per_mm)
    layers.add_tables(doc, per_mm, unit in {Unit.M, Unit.MM})
    pen = _Pen(doc.modelspace(), 1 / unit.metres)
    _draw_outlines(pen, layout)
    _draw_setting_out(pen, layout, frame.ratio / 1000)
    for variant in frame.variants:
        pen.variant(variant)
    centre = ((frame.low[0] + frame.high[0]) / 2, (frame.low[1] + frame.high[1]) / 2)
    sheet = Sheet(
        paper=layout.options.paper,
        job=layout.plan.job,
        unit=layout.options.unit,
        show=layout.options.show,
        scale=frame.scale,
        per_mm=per_mm,
        centre=pen.at(centre),
    )
    add_sheet(doc, sheet)
    doc.set_modelspace_vport(
        height=1.05 * (frame.high[1] - frame.low[1]) / unit.metres, center=pen.at(centre)
    )
    doc.write(stream)


def frame_plan(layout: Layout) -> Frame:
    """Place every word at the largest standard scale at which the plan fits its paper.

    Parameters
    ----------
    layout
        The layout.

    Returns
    -------
    Frame
        The plan at that scale; at the smallest one where none fits.
    """
    room = view_size(layout.options.paper)
    bare_low, bare_high = reach(layout)
    for ratio, scale in scales(layout.options.show):
        mm = ratio / 1000
        frame = None
        if _fits(bare_low, bare_high, room, mm):
            frame = _frame(layout, ratio, scale)
            if _fits(frame.low, frame.high, room, mm):
                return frame
    return frame or _frame(layout, ratio, scale)


def _frame(layout: Layout, ratio: int, scale: str) -> Frame:
    variants = _place_words(layout, ratio / 1000)
    points = list(reach(layout))
    for variant in variants:
        points.extend(corner for box in variant.boxes for corner in box.corners)
        points.extend(point for line in variant.lines for point in line)
    low, high = extent(points)
    return Frame(ratio=ratio, scale=scale, variants=variants, low=low, high=high)


def _fits(low: Point, high: Point, room: tuple[float, float], mm: float) -> bool:
    return all(high[i] - low[i] <= (room[i] - _TOUCHING_AIR) * mm for i in (0, 1))


def _place_words(layout: Layout, mm: float) -> tuple[Variant, ...]:
    # Every label in its place; `mm` is what a millimetre on paper is on the ground, m.
    small, main = layers.SMALL_HEIGHT * mm, layers.MAIN_HEIGHT * mm
    labels = [
        *dimension_labels(layout, Words(layout.options).length, main),
        *board_labels(layout, small),
        *name_labels(layout, main, layers.clean_text),
    ]
    return place(labels, obstacles(layout), solids(layout, 1.2 * _MARKER * mm), 4 * main)


def _set_header(doc: Drawing, layout: Layout, frame: Frame, per_mm: float) -> None:
    unit = Unit(layout.options.unit)
    metric = unit in {Unit.M, Unit.MM}
    # Architectural display (4) reads a drawing unit as an inch, so only inch drawings may ask
    # for it; a drawing in feet would list a 36' wall as 3'-0".
    architectural = unit is Unit.IN and layout.options.show is Show.FEET_INCHES
    doc.header["$INSUNITS"] = _INSUNITS[unit]
    doc.header["$MEASUREMENT"] = int(metric)
    doc.header["$LUNITS"] = 4 if architectural else 2
    doc.header["$LUPREC"] = 4
    doc.header["$LTSCALE"] = per_mm * (1 if metric else 25.4)
    doc.header["$PSLTSCALE"] = 0
    doc.header["$EXTMIN"] = (frame.low[0] / unit.metres, frame.low[1] / unit.metres, 0)
    doc.header["$EXTMAX"] = (frame.high[0] / unit.metres, frame.high[1] / unit.metres, 0)


class _Pen:
    """Draws metres into a model space of another unit; `scale` is units per metre."""

    def __init__(self, space: Modelspace, scale: float) -> None:
        self._space = space
        self._scale = scale

    def at(self, point: Point) -> Point:
        return (point[0] * self._scale, point[1] * self._scale)

    def ring(self, points: Sequence[Point], layer: str) -> None:
        self._space.add_lwpolyline(
            [self.at(point) for point in points], close=True, dxfattribs={"layer": layer}
        )

    def line(self, start: Point, end: Point, layer: str, linetype: str = "BYLAYER") -> None:
        self._space.add_line(
            self.at(start), self.at(end), dxfattribs={"layer": layer, "linetype": linetype}
        )

    def circle(self, centre: Point, radius: float, layer: str) -> None:
        self._space.add_circle(self.at(centre), radius * self._scale, dxfattribs={"layer": layer})

    def point(self, point: Point, layer: str) -> None:
        self._space.add_point(self.at(point), dxfattribs={"layer": layer})

    def text(self, text: Text) -> None:
        from ezdxf.enums import TextEntityAlignment

        align = {
            -1: TextEntityAlignment.MIDDLE_LEFT,
            0: TextEntityAlignment.MIDDLE_CENTER,
            1: TextEntityAlignment.MIDDLE_RIGHT,
        }[text.align]
        self._space.add_text(
            text.text,
            height=text.height * self._scale,
            rotation=math.degrees(text.turn),
            dxfattribs={"layer": layers.TEXT, "style": layers.TEXT_STYLE},
        ).set_placement(self.at((text.x, text.y)), align=align)

    def variant(self, variant: Variant) -> None:
        for text in variant.texts:
            self.text(text)
        dimension = variant.dimension
        if dimension is None:
            for start, end in variant.lines:
                self.line(start, end, layers.TEXT)
            return
        self._space.add_linear_dim(
            base=self.at(dimension.base),
            p1=self.at(dimension.start),
            p2=self.at(dimension.end),
            angle=math.degrees(dimension.turn),
            text=dimension.text.text,
            location=self.at((dimension.text.x, dimension.text.y)),
            dimstyle=layers.DIMENSION_STYLE,
            dxfattribs={"layer": layers.DIMENSIONS},
        ).render()


def _draw_outlines(pen: _Pen, layout: Layout) -> None:
    """Walls, footing, dig line, pads and shapes to stay clear of."""
    plan = layout.plan
    for building in plan.buildings:
        for quad, is_existing in wall_quads(building):
            if is_existing:
                pen.line(quad[0], quad[1], layers.WALL, "STK_DASHED")
            else:
                pen.ring(quad, layers.WALL)
    for line in plan.interior:
        pen.ring(interior_quad(plan, line), layers.WALL)
    for layer, outline in ((layers.FOOTING, layout.footing), (layers.DIG, layout.dig)):
        for ring in (*outline.outlines, *outline.holes):
            pen.ring(ring, layer)
    for pad in plan.pads:
        if pad.diameter is not None:
            pen.circle(pad.point, pad.diameter / 2, layers.PADS)
        else:
            pen.ring(pad_quad(pad), layers.PADS)
    for shape in plan.stay_clear:
        pen.ring(shape.corners, layers.STAY_CLEAR)


def _draw_setting_out(pen: _Pen, layout: Layout, mm: float) -> None:
    """Strings, boards with a tick at each mark, corner stakes and hubs."""
    strings = {string.name: string for string in layout.strings}
    for string in layout.strings:
        pen.line(string.start, string.end, layers.STRINGS)
    for board in layout.boards:
        pen.line(*board.ends, layers.BOARDS)
        _draw_marks(pen, board, strings[board.string], mm)
    for building in layout.plan.buildings:
        for corner in building.corners:
            pen.point(corner.point, layers.CONTROL)
            pen.circle(corner.point, _MARKER * mm / 3, layers.CONTROL)
    for hub in layout.hubs:
        pen.point((hub.x, hub.y), layers.CONTROL)
        pen.circle((hub.x, hub.y), _MARKER * mm / 2, layers.CONTROL)


def _draw_marks(pen: _Pen, board: Board, string: String, mm: float) -> None:
    away = outward(board, string)
    half = layers.SMALL_HEIGHT * mm * MARK_TICK
    for _, (x, y), _ in mark_names(board):
        pen.line(
            (x - away[0] * half, y - away[1] * half),
            (x + away[0] * half, y + away[1] * half),
            layers.BOARDS,
        )
