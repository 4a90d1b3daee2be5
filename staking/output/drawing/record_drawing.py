"""The record of a poured footing as a drawing: measured over planned, deviations labelled."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, TextIO

from staking.kinds import PouredFigure
from staking.output.drawing import layers
from staking.output.drawing.dimension_style import measured_style
from staking.output.drawing.drawn_words import Text, Variant, extent, text_width, upright
from staking.output.drawing.geodata import INSUNITS, add_geodata
from staking.output.drawing.pen import Pen, grid_of
from staking.output.drawing.places.label_places import place
from staking.output.drawing.plan_shapes import interior_quad, ring_lines, wall_quads
from staking.output.tables.differences import signed
from staking.output.tables.record_tables import record_verdict
from staking.units import Unit

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable, Iterator, Sequence

    from ezdxf.document import Drawing

    from staking.adjust.pour.poured import Deviation
    from staking.checked.poured_record import Record
    from staking.plan import Point

MEASURED = "S-FNDN-MEAS"
TIMES = "S-FNDN-DEVN"
WITHIN = "S-ANNO-DEVN"
OUT = "S-ANNO-DOUT"

_LAYERS: dict[str, layers.LayerLook] = {
    MEASURED: (3, 40, "Continuous", "Edges as measured, to scale"),
    TIMES: (8, 18, "Continuous", "Deviations drawn larger"),
    WITHIN: (7, 13, "Continuous", "Deviations within tolerance"),
    OUT: (1, 35, "Continuous", "Deviations out of tolerance"),
}
"""Layers beside those of the plan: colour index, lineweight, linetype, what is on it."""

RECORD_LAYERS = {**layers.LAYERS, **_LAYERS}
"""Every layer of the record's drawing."""

LARGER = 20.0
"""Deviations are drawn this many times as large as they are (our choice)."""

_TEXT_PART = 110.0
"""A label is this part of the building's greatest extent high."""

_LETTERS = {
    PouredFigure.TOP: ("T", 0),
    PouredFigure.LEVEL: ("L", 1),
    PouredFigure.WIDTH: ("W", 2),
    PouredFigure.THICKNESS: ("H", 3),
}
"""What stands before a figure that is not an edge's, and its row behind the edge."""

_LONGEST = 6.0
"""No deviation is drawn longer than this many text heights."""


def write_record_dxf(record: Record, stream: TextIO, day: dt.date | None = None) -> None:
    """Write the record as a DXF drawing (R2010).

    Parameters
    ----------
    record
        The record. Model space is as in the plan's drawing: the job's unit on the building grid
        or, where the building is placed, the survey's unit with x as easting and y as northing.
    stream
        Where to, open for text in UTF-8.
    day
        The day that the drawing bears; None for one that has none.
    """
    from staking.output.drawing.write_drawing import write_drawing

    write_drawing(record_drawing(record), stream, day)


def record_drawing(record: Record) -> Drawing:
    """Draw the planned footing, the measured edges over it, and every deviation with its label.

    Parameters
    ----------
    record
        The record.

    Returns
    -------
    Drawing
        With model space only.
    """
    from ezdxf.filemanagement import new

    from staking.output.drawn.dxf_parts import add_parts

    layout = record.layout
    site = layout.site if layout.placed else None
    unit = Unit(site.unit if site is not None else layout.options.unit)
    low, high = _extent(record)
    mm = pattern_of(_part_of(record))
    pen = record_parts(record)
    grid = pen.grid
    doc = new("R2010", setup=False)
    doc.header["$INSUNITS"] = INSUNITS[unit]
    doc.header["$MEASUREMENT"] = int(unit in {Unit.M, Unit.MM})
    layers.add_tables(doc, mm / unit.metres, measured_style(layout.options, 1 / grid.size))
    doc.header["$LTSCALE"] = mm / unit.metres
    for name, (colour, weight, linetype, note) in _LAYERS.items():
        doc.layers.add(name, color=colour, lineweight=weight, linetype=linetype).description = note
    add_parts(doc.modelspace(), pen.parts, RECORD_LAYERS)
    if site is not None and site.crs is not None and site.is_on_the_grid:
        middle = grid.at(((low[0] + high[0]) / 2, (low[1] + high[1]) / 2))
        east, north = (each * unit.metres for each in middle)
        add_geodata(doc.modelspace(), site.crs, unit, (east, north))
    box = [grid.at(each) for each in (low, high, (low[0], high[1]), (high[0], low[1]))]
    least, most = extent(box)
    doc.modelspace().reset_extents((*least, 0), (*most, 0))
    doc.set_modelspace_vport(
        height=1.3 * math.dist(low, high) / unit.metres,
        center=((least[0] + most[0]) / 2, (least[1] + most[1]) / 2),
    )
    return doc


def record_parts(record: Record, height: float | None = None) -> Pen:
    """Draw the record.

    Parameters
    ----------
    record
        The record.
    height
        Of a capital, m, for a drawing that goes onto paper: on the building grid and without the
        legend, which the paper has. By default a part of the building.

    Returns
    -------
    Pen
        With the drawing's parts.
    """
    layout, on_paper = record.layout, height is not None
    site = layout.site if layout.placed and not on_paper else None
    pen = Pen(grid_of(site, Unit(site.unit if site is not None else layout.options.unit)))
    high = _part_of(record) if height is None else height
    _draw_planned(pen, record)
    _draw_measured(pen, record.poured.deviations)
    _draw_labels(pen, record, high)
    if not on_paper:
        _draw_legend(pen, record, _extent(record)[0], high)
    return pen


def pattern_of(height: float) -> float:
    """Give what 1 mm of a linetype's pattern is long where a capital is `height` m high, m."""
    return height / layers.MAIN_HEIGHT


def _part_of(record: Record) -> float:
    low, high = _extent(record)
    return max(high[0] - low[0], high[1] - low[1]) / _TEXT_PART


def _extent(record: Record) -> tuple[Point, Point]:
    rings = record.layout.footing.outlines
    points = [point for ring in rings for point in ring]
    return extent(points)


def _draw_planned(pen: Pen, record: Record) -> None:
    plan, footing = record.layout.plan, record.layout.footing
    for building in plan.buildings:
        for quad, is_existing in wall_quads(building):
            if not is_existing:
                pen.ring(quad, layers.WALL)
    for line in plan.interior:
        pen.ring(interior_quad(plan, line), layers.WALL)
    for ring in (*footing.outlines, *footing.holes):
        pen.ring(ring, layers.FOOTING)


def _name_texts(pen: Pen, record: Record, height: float) -> list[Text]:
    # Each corner's name outside it.
    names = []
    for building in record.layout.plan.buildings:
        sides = building.sides
        for at, corner in enumerate(building.corners):
            side, before = sides[at], sides[at - 1]
            out = (side.outward[0] + before.outward[0], side.outward[1] + before.outward[1])
            size = math.hypot(*out) or 1.0
            past = max(side.wall.footing.outside, before.wall.footing.outside, 0.0)
            name = layers.clean_text(corner.name)
            off = 1.5 * past + 2.0 * height
            names.append(
                Text(
                    text=name,
                    x=corner.x + out[0] / size * (off + text_width(name, height) / 2),
                    y=corner.y + out[1] / size * off,
                    height=1.2 * height,
                    turn=-pen.grid.turn,
                )
            )
    return names


def _off_edge(each: Deviation, times: float, most: float = math.inf) -> Point:
    out = each.out or (0.0, 0.0)
    size = max(-most, min(most, each.off * times))
    return (each.x + out[0] * size, each.y + out[1] * size)


def _draw_measured(pen: Pen, deviations: Iterable[Deviation]) -> None:
    chains: dict[tuple[str, str], list[Deviation]] = {}
    for each in deviations:
        if each.what.is_edge and each.station is not None:
            chains.setdefault((each.where, each.what), []).append(each)
    for chain in chains.values():
        ordered = sorted(chain, key=lambda each: each.station or 0.0)
        if len(ordered) > 1:
            pen.chain([_off_edge(each, 1.0) for each in ordered], MEASURED)


def _draw_labels(pen: Pen, record: Record, height: float) -> None:
    """Draw each edge's deviation as a bar with its figure, and tops behind the outer edge."""
    options = record.layout.options
    reach = _LONGEST * height
    low, high = _extent(record)
    middle = ((low[0] + high[0]) / 2, (low[1] + high[1]) / 2)
    sides = {
        (each.where, each.what): each.out
        for each in record.poured.deviations
        if each.what.is_edge and each.out is not None
    }
    wanted: list[tuple[str, Iterator[Variant]]] = []
    for each in record.poured.deviations:
        layer = WITHIN if each.good else OUT
        if each.what.is_edge and each.out is not None:
            tip = _off_edge(each, LARGER, reach)
            pen.line((each.x, each.y), tip, TIMES if each.good else OUT)
            pen.circle(_off_edge(each, 1.0), 0.3 * height, layer)
            beyond = min(max(each.off * LARGER, 0.0), reach)
            text = signed(each.off, options)
            # toward the middle of the wall, where the next wall's labels do not stand
            aside = _toward(each, middle, 2.0 * height)
            wanted.append((layer, _labels(pen, each, each.out, beyond, text, height, aside)))
        elif each.what is PouredFigure.TOP or (each.what in _LETTERS and not each.good):
            out = next((way for (where, _), way in sides.items() if where == each.where), None)
            letter, row = _LETTERS[each.what]
            text = f"{letter} {signed(each.off, options)}"
            far = (2.6 + 1.6 * row) * height
            label = _labels(pen, each, out or (0.0, -1.0), far, text, height, (0.0, 0.0))
            wanted.append((layer, label))
    drawn = [line for ring in _planned_rings(record) for line in ring_lines(tuple(ring))]
    names = _name_texts(pen, record, height)
    chosen = place([variants for _, variants in wanted], drawn, [each.box for each in names])
    for (layer, _), variant in zip(wanted, chosen, strict=True):
        for text_at in variant.texts:
            pen.text(text_at, layer)
    for name in names:
        pen.text(name, layers.TEXT)


def _toward(each: Deviation, middle: Point, aside: float) -> Point:
    """Give a step along the edge toward the middle of the building."""
    out = each.out or (0.0, -1.0)
    along = (-out[1], out[0])
    way = (middle[0] - each.x) * along[0] + (middle[1] - each.y) * along[1]
    size = math.copysign(min(aside, abs(way)), way)
    return (along[0] * size, along[1] * size)


def _labels(
    pen: Pen,
    each: Deviation,
    out: Point,
    past: float,
    text: str,
    height: float,
    aside: Point,
) -> Iterator[Variant]:
    # Off the edge along it, then farther off, and farther along either way.
    turn = upright(math.atan2(out[0], -out[1]) + pen.grid.turn) - pen.grid.turn
    along = (-out[1], out[0])
    for worse, more in enumerate((0.0, 1.6, 3.2, 4.8, 6.4, 8.0)):
        for shift in (0.0, 3.0, -3.0, 6.0, -6.0):
            far, run = past + (1.2 + more) * height, shift * height
            label = Text(
                text=text,
                x=each.x + out[0] * far + aside[0] + along[0] * run,
                y=each.y + out[1] * far + aside[1] + along[1] * run,
                height=height,
                turn=turn,
            )
            yield Variant(texts=(label,), penalty=2 * worse + round(abs(shift) / 3))


def _planned_rings(record: Record) -> list[tuple[Point, ...]]:
    plan, footing = record.layout.plan, record.layout.footing
    rings = [*footing.outlines, *footing.holes]
    rings += [building.ring for building in plan.buildings]
    return [tuple(ring) for ring in rings]


def _draw_legend(pen: Pen, record: Record, low: Point, height: float) -> None:
    lines: Sequence[str] = (
        f"{record.layout.plan.job}: the poured footing over the plan",
        record_verdict(record),
        f"Planned footing with its walls; edges as measured, to scale; ticks {LARGER:g} times as "
        "large as the deviation (very long ones cut).",
        "+ beyond the planned edge, - short of it; T: the top, + high, - low. Bold and red: out of "
        "tolerance,",
        "there also L: fall of a level run; W: width; H: thickness.",
    )
    top = low[1] - (_LONGEST + 8) * height
    for i, line in enumerate(lines):
        clean = layers.clean_text(line)
        pen.text(
            Text(
                text=clean,
                x=low[0] + text_width("", height),
                y=top - 2 * i * height,
                height=height,
                turn=0.0,
                align=-1,
            ),
            layers.TITLE,
        )
