"""The plan as a drawing: one file a surveyor or CAD operator takes without a question."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from staking.frozen import frozen
from staking.kinds import PointKind
from staking.layout.named_points import NamedPoint
from staking.output.drawing import layers
from staking.output.drawing.dimension_style import measured_style, measured_words
from staking.output.drawing.drawing_scale import STAKE_SIZE, ScaledPlan, frame_plan
from staking.output.drawing.drawing_sheet import PlanSheet, add_sheet, sheet_parts
from staking.output.drawing.drawn_words import Box, extent
from staking.output.drawing.geodata import INSUNITS, add_geodata
from staking.output.drawing.lot_shapes import marked_points
from staking.output.drawing.pen import HUB, STAKE, Grid, Pen, drawn_level, grid_of
from staking.output.drawing.plan_labels import (
    MARK_TICK,
    mark_names,
    outward,
)
from staking.output.drawing.plan_shapes import (
    interior_quad,
    obstacles,
    pad_quad,
    solids,
    wall_quads,
)
from staking.output.drawing.point_attributes import define_block, name_stakes
from staking.output.drawing.step_marks import draw_steps, has_steps
from staking.output.drawing.wall_openings import opening_lines, sleeves
from staking.output.points.stake_points import stakes_with_levels
from staking.plan import Point, Show
from staking.units import Unit

if TYPE_CHECKING:
    from collections.abc import Iterable

    from ezdxf.document import Drawing

    from staking.laid_out.layout_value import Layout
    from staking.layout.layout_parts import Board, String
    from staking.order.drain.arms_on_plan import DrainOnPlan
    from staking.output.drawing.grid_ticks import Tick
    from staking.output.drawn.drawn_parts import DrawnPart
    from staking.site.building_on_lot import BuildingOnLot


_MARKERS = {PointKind.CORNER: STAKE, PointKind.HUB: HUB}

MARK = "layout"
"""The name of the drawing's own property that carries the layout's mark."""


@frozen(eq=False)
class DrawnPlan:
    """The plan as it is drawn: what the drawing file, the pictures and the sheets show.

    Parameters
    ----------
    layout
        The layout.
    grid
        Where the building grid lies in model space.
    frame
        Its scale, with its words placed.
    model
        What lies in model space: in the job's unit on the building grid or, where the building is
        placed, in the survey's unit with x as easting and y as northing.
    sheet, paper
        What the sheet says, and what lies on it beside the window onto model space, in the unit
        of the paper's layout.
    low, high
        The extent of what is in model space, drawing units.
    """

    layout: Layout
    grid: Grid
    frame: ScaledPlan
    model: tuple[DrawnPart, ...]
    sheet: PlanSheet
    paper: tuple[DrawnPart, ...]
    low: Point
    high: Point


def draw_plan(layout: Layout, drain: DrainOnPlan | None = None) -> DrawnPlan:
    """Draw the plan: the one drawing that the drawing file, the pictures and the sheets show.

    Parameters
    ----------
    layout
        The layout.
    drain
        The drain beside the footing; None where the job orders none.

    Returns
    -------
    DrawnPlan
        Model space and one sheet.
    """
    frame = frame_plan(layout)
    site = _placed_site(layout)
    unit = _unit(layout)
    mm = frame.ratio / 1000
    grid = grid_of(site, unit)
    pen = Pen(grid, measured_words(layout.options.show))
    stakes = stakes_with_levels(layout)
    levels = [level for _, level in stakes]
    levels += [] if site is None else [each.elevation for each in marked_points(site)]
    flat = all(math.isnan(level) for level in levels)
    _draw_outlines(pen, layout)
    if drain is not None:
        _draw_drain(pen, drain)
    _draw_setting_out(pen, layout, mm)
    _draw_stakes(pen, stakes, STAKE_SIZE * mm, flat=flat)
    draw_steps(pen, layout)
    name_stakes(pen, stakes, unit)
    for variant in (*frame.variants, *frame.loose):
        pen.variant(variant)
    corners: tuple[Point, ...] = Box.around(frame.low, frame.high).corners
    ticks: tuple[Tick, ...] = ()
    if site is not None:
        points, boxes = _draw_lot(pen, layout, site, frame, flat=flat)
        corners = (*corners, *points)
        ticks = _ticks(layout, frame, grid, unit, boxes)
    low, high = extent([grid.at(corner) for corner in corners])
    sheet = PlanSheet(
        paper=layout.options.paper,
        job=layout.plan.job,
        unit=unit.value,
        show=layout.options.show,
        scale=frame.scale,
        ratio=frame.ratio,
        per_mm=mm / unit.metres,
        centre=grid.at(frame.centre),
        digs_wider=layout.digs_wider,
        steps=has_steps(layout),
        drained=drain is not None and bool(drain.pipes),
        turn=grid.turn if site else None,
        crs=site.crs if site and site.is_on_the_grid else None,
        ticks=ticks,
    )
    return DrawnPlan(
        layout=layout,
        grid=grid,
        frame=frame,
        model=pen.parts,
        sheet=sheet,
        paper=sheet_parts(sheet),
        low=low,
        high=high,
    )


def plan_document(layout: Layout, mark: str | None = None) -> Drawing:
    """Draw the plan as a drawing file.

    Parameters
    ----------
    layout
        The layout.
    mark
        As in `document_of`.

    Returns
    -------
    Drawing
        Model space and one sheet in paper space.
    """
    return document_of(draw_plan(layout), mark)


def document_of(plan: DrawnPlan, mark: str | None = None) -> Drawing:
    """Make a drawing file of the plan.

    Parameters
    ----------
    plan
        The plan as it is drawn.
    mark
        The layout's mark and its day, a property of the drawing; None for a drawing without.

    Returns
    -------
    Drawing
        Model space and one sheet in paper space.
    """
    from ezdxf.filemanagement import new

    from staking.output.drawn.dxf_parts import add_parts

    layout, grid, frame = plan.layout, plan.grid, plan.frame
    unit, mm = _unit(layout), frame.ratio / 1000
    doc = new("R2010", setup=False)
    _set_header(doc, layout, unit, mm)
    layers.add_tables(doc, mm / unit.metres, measured_style(layout.options, 1 / grid.size))
    define_block(doc, layers.SMALL_HEIGHT * mm / unit.metres, shown=False)
    add_parts(doc.modelspace(), plan.model, layers.LAYERS)
    site = _placed_site(layout)
    if site is not None:
        _add_georeference(doc, site, grid, frame)
    doc.modelspace().reset_extents((*plan.low, 0), (*plan.high, 0))
    if mark is not None:
        doc.header.custom_vars.append(MARK, mark)
    add_sheet(doc, plan.sheet, plan.paper)
    height = frame.high[1] - frame.low[1]
    if grid.turn:
        height = math.dist(frame.low, frame.high)
    doc.set_modelspace_vport(height=1.05 * height / unit.metres, center=plan.sheet.centre)
    return doc


def _unit(layout: Layout) -> Unit:
    site = _placed_site(layout)
    return Unit(site.unit if site else layout.options.unit)


def _placed_site(layout: Layout) -> BuildingOnLot | None:
    return layout.site if layout.placed else None


def _draw_lot(
    pen: Pen, layout: Layout, site: BuildingOnLot, frame: ScaledPlan, *, flat: bool
) -> tuple[tuple[Point, ...], tuple[Box, ...]]:
    """Draw the lot; give the places of its points and what words keep off, m on the plan's grid."""
    from staking.output.drawing.lot_shapes import SiteView, draw_site

    mm = frame.ratio / 1000
    window = frame.window(layout.options.paper)
    view = SiteView(site=site, mm=mm, window=window, layout=layout, flat=flat)
    boxes = [*solids(layout, 1.2 * STAKE_SIZE * mm), *frame.boxes]
    lines = [line for variant in (*frame.variants, *frame.loose) for line in variant.lines]
    taken = draw_site(pen, view, [*obstacles(layout), *lines], boxes)
    return view.at(view.marked), taken


def _add_georeference(doc: Drawing, site: BuildingOnLot, grid: Grid, frame: ScaledPlan) -> None:
    if site.crs is None or not site.is_on_the_grid:
        return
    unit = Unit(site.unit)
    east, north = (each * unit.metres for each in grid.at(frame.centre))
    add_geodata(doc.modelspace(), site.crs, unit, (east, north))


def _ticks(
    layout: Layout, frame: ScaledPlan, grid: Grid, unit: Unit, boxes: tuple[Box, ...]
) -> tuple[Tick, ...]:
    from staking.output.drawing.grid_ticks import grid_ticks
    from staking.output.drawing.lot_shapes import lot_lines

    window = frame.window(layout.options.paper)
    assert layout.site is not None
    lines = lot_lines(layout.site)
    return grid_ticks(window, frame.ratio / 1000, grid, unit.metres, boxes, lines)


def _set_header(doc: Drawing, layout: Layout, unit: Unit, mm: float) -> None:
    metric = unit in {Unit.M, Unit.MM}
    # Architectural display (4) reads a drawing unit as an inch, so only inch drawings may ask
    # for it; a drawing in feet would list a 36' wall as 3'-0".
    architectural = unit is Unit.IN and layout.options.show is Show.FEET_INCHES
    doc.header["$INSUNITS"] = INSUNITS[unit]
    doc.header["$MEASUREMENT"] = int(metric)
    doc.header["$LUNITS"] = 4 if architectural else 2
    doc.header["$LUPREC"] = 4
    # Patterns are in mm on paper and scaled to the model, there and through the window alike.
    doc.header["$LTSCALE"] = mm / unit.metres
    doc.header["$PSLTSCALE"] = 0


def _draw_outlines(pen: Pen, layout: Layout) -> None:
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
    # The dig line first: where it is the footing edge, the footing edge hides it.
    for layer, outline in ((layers.DIG, layout.dig), (layers.FOOTING, layout.footing)):
        for ring in (*outline.outlines, *outline.holes):
            pen.ring(ring, layer)
    for pad in plan.pads:
        if pad.diameter is not None:
            pen.circle(pad.point, pad.diameter / 2, layers.PADS)
        else:
            pen.ring(pad_quad(pad), layers.PADS)
    for start, end in opening_lines(plan):
        pen.line(start, end, layers.OPENINGS)
    for _, quad in sleeves(plan):
        pen.ring(quad, layers.OPENINGS)
    for shape in plan.stay_clear:
        pen.ring(shape.corners, layers.STAY_CLEAR)


def _draw_drain(pen: Pen, drain: DrainOnPlan) -> None:
    """Draw the pipe beside the footing, and the closed pipe to its outlet."""
    for points in (*drain.pipes, *drain.closed):
        pen.chain(points, layers.DRAIN)


def _draw_setting_out(pen: Pen, layout: Layout, mm: float) -> None:
    """Strings, and boards with a tick at each mark."""
    strings = {string.name: string for string in layout.strings}
    for string in layout.strings:
        pen.line(string.start, string.end, layers.STRINGS)
    for board in layout.boards:
        pen.line(*board.ends, layers.BOARDS)
        _draw_marks(pen, board, strings[board.string], mm)


def _draw_stakes(
    pen: Pen, stakes: Iterable[tuple[NamedPoint, float]], size: float, *, flat: bool
) -> None:
    """Corner stakes and hubs, at their elevations."""
    for point, level in stakes:
        shape = _MARKERS.get(point.kind)
        if shape is not None:
            elevation = drawn_level(level, flat=flat)
            pen.marker((point.x, point.y), shape, size, elevation=elevation)


def _draw_marks(pen: Pen, board: Board, string: String, mm: float) -> None:
    away = outward(board, string)
    half = layers.SMALL_HEIGHT * mm * MARK_TICK
    for _, (x, y), _ in mark_names(board):
        pen.line(
            (x - away[0] * half, y - away[1] * half),
            (x + away[0] * half, y + away[1] * half),
            layers.BOARDS,
        )
