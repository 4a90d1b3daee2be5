"""The sheet: a paper-space layout with the plan at a stated scale, title, key and cautions."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

from staking.frozen import frozen
from staking.output.cautions import LAYOUT_CAUTIONS
from staking.output.drawing import layers
from staking.output.drawing.drawn_words import PAPERS, Text, text_width
from staking.output.drawing.grid_ticks import Tick
from staking.output.drawing.pen import HUB, STAKE, SURVEYED, Grid, Pen
from staking.output.drawn.drawn_parts import Look
from staking.plan import Point, Show
from staking.units import FOOT

if TYPE_CHECKING:
    from ezdxf.document import Drawing

    from staking.output.drawn.drawn_parts import DrawnPart

MARGIN = 6.0
"""Border from the paper's edge, mm."""
SHEET_NAME = "Foundation layout"
"""Name of the paper-space layout."""
STRIP = 50.0
"""Width of the title strip on the right, mm."""
_NEAR = 2.5
"""Air inside the strip, mm."""

_UNITS = {
    "ft": "1 foot (0.3048 m)",
    "us-ft": "1 U.S. survey foot (1200/3937 m)",
    "in": "1 inch (0.0254 m)",
    "m": "1 metre",
    "mm": "1 millimetre",
}
_SHOWN = {
    Show.FEET_INCHES: "feet and inches",
    Show.DECIMAL_FEET: "decimal feet",
    Show.METRES: "metres",
    Show.MILLIMETRES: "millimetres",
}
_KEY = (
    (layers.STRINGS, "string"),
    (layers.BOARDS, "batter board and marks"),
    (layers.STAY_CLEAR, "stay clear"),
)
_DRAIN_KEY = ((layers.DRAIN, "drain"),)
_LOT_KEY = ((layers.PROPERTY, "property line"), (layers.UTILITY, "buried line"))
_ARROW = 16.0
"""Length of the north arrow, mm."""
_BAR_AT = 8.0
"""The scale bar over the border, mm; under it is room for the page's number."""
_BAR_MOST = 36.0
"""Its greatest length, mm."""
_BAR_HIGH = 1.4
"""Its height, mm."""


@frozen
class PlanSheet:
    """What the sheet shows.

    Parameters
    ----------
    paper
        ``letter``, ``tabloid``, ``A4`` or ``A3``.
    job
        The job's name.
    unit, show
        The drawing's unit and how lengths are written.
    scale, ratio
        The scale's name, and ground over paper.
    per_mm
        Drawing units on the ground for 1 mm on paper.
    centre
        What the viewport looks at, drawing units.
    digs_wider
        Whether the dig line is another than the footing edge.
    steps
        Whether the footing steps.
    drained
        Whether a drain is drawn beside it.
    turn
        From the easting axis to the building grid's x, rad anticlockwise; the window turns model
        space back so that the plan reads upright. None where the building is not placed.
    crs
        The coordinate system of a placed building, or None.
    ticks
        Of the site grid.
    """

    paper: str
    job: str
    unit: str
    show: Show
    scale: str
    ratio: int
    per_mm: float
    centre: Point
    digs_wider: bool = True
    steps: bool = False
    drained: bool = False
    turn: float | None = None
    crs: str | None = None
    ticks: tuple[Tick, ...] = ()


def view_size(paper: str) -> tuple[float, float]:
    """Give the size of the plan's window on a paper.

    Returns
    -------
    tuple of float
        Width and height, mm.
    """
    width, height = PAPERS[paper]
    return (width - 2 * MARGIN - STRIP, height - 2 * MARGIN)


def sheet_mm(paper: str) -> float:
    """Give a millimetre in the unit of a paper's layout: inches for papers made in inches.

    Returns
    -------
    float
        Paper units.
    """
    return 1 / 25.4 if paper in {"letter", "tabloid"} else 1.0


def sheet_parts(sheet: PlanSheet) -> tuple[DrawnPart, ...]:
    """Draw what stands on the sheet beside the plan: border, title strip, key and ticks.

    Parameters
    ----------
    sheet
        What it shows.

    Returns
    -------
    tuple of DrawnPart
        In the unit of the paper's layout, from its lower left corner.
    """
    mm = sheet_mm(sheet.paper)
    width, height = PAPERS[sheet.paper]
    pen = Pen(Grid(scale=mm))
    left, right = width - MARGIN - STRIP, width - MARGIN
    for ring in (
        ((MARGIN, MARGIN), (right, MARGIN), (right, height - MARGIN), (MARGIN, height - MARGIN)),
        ((left, MARGIN), (right, MARGIN), (right, height - MARGIN), (left, height - MARGIN)),
    ):
        pen.ring(ring, layers.TITLE)
    strip = _Strip(pen, left + _NEAR, height - MARGIN - _NEAR, mm / sheet.per_mm)
    strip.fill(sheet)
    strip.scale_bar((left + right) / 2, MARGIN + _BAR_AT, sheet)
    if sheet.turn is not None:
        for tick in sheet.ticks:
            strip.tick(tick)
        strip.north((left + right) / 2, MARGIN + _BAR_AT + 21.0, sheet.turn)
    return pen.parts


def add_sheet(doc: Drawing, sheet: PlanSheet, parts: tuple[DrawnPart, ...]) -> None:
    """Add the paper-space layout to a drawing file that holds the plan.

    Parameters
    ----------
    doc
        The drawing file; its first paper-space layout becomes the sheet.
    sheet
        What it shows.
    parts
        What `sheet_parts` gives.
    """
    from staking.output.drawn.dxf_parts import add_parts

    doc.layouts.rename("Layout1", SHEET_NAME)
    space = doc.paperspace(SHEET_NAME)
    mm = sheet_mm(sheet.paper)
    width, height = PAPERS[sheet.paper]
    space.page_setup(
        size=(width * mm, height * mm),
        margins=(0, 0, 0, 0),
        units="mm" if mm == 1.0 else "inch",
        scale=(1, 1),
        name=sheet.paper,
    )
    view = view_size(sheet.paper)
    viewport = space.add_viewport(
        center=((MARGIN + view[0] / 2) * mm, height / 2 * mm),
        size=(view[0] * mm, view[1] * mm),
        view_center_point=sheet.centre,
        view_height=view[1] * sheet.per_mm,
        dxfattribs={"layer": layers.NO_PLOT},
    )
    if sheet.turn is not None:
        # A turned view is seen about its target: the centre then counts from there.
        viewport.dxf.view_target_point = (*sheet.centre, 0)
        viewport.dxf.view_center_point = (0, 0)
        viewport.dxf.view_twist_angle = math.degrees(-sheet.turn)
    viewport.dxf.flags |= 0x4000  # locked: zooming in the window must not change the scale
    add_parts(space, parts, layers.LAYERS)


class _Strip:
    """Writes the title strip from the top down."""

    def __init__(self, pen: Pen, x: float, y: float, pattern: float) -> None:
        self._pen = pen
        self._x = x
        self._y = y
        self._pattern = pattern

    def fill(self, sheet: PlanSheet) -> None:
        self._lines(layers.clean_text(sheet.job), 3.5, most=4)
        self._lines("Foundation layout", layers.MAIN_HEIGHT)
        self._gap()
        self._lines(f"Scale {sheet.scale}", layers.MAIN_HEIGHT)
        paper = f"{sheet.paper} paper"
        self._lines(f"Plot at full size on {paper}, not fitted to the page.")
        self._lines(f"Model space: 1 drawing unit is {_UNITS[sheet.unit]}.")
        if sheet.turn is not None:
            named = f" in {sheet.crs}" if sheet.crs else ""
            self._lines(f"x is easting and y northing{named}.")
        self._lines(
            f"Dimensions in {_SHOWN[sheet.show]}, to the outside face of the foundation wall, "
            "to centre lines inside and to the centres of pads."
        )
        self._gap()
        self._lines("Key", layers.MAIN_HEIGHT)
        self._key(layers.WALL, "foundation wall")
        edge = "footing edge" if sheet.digs_wider else "footing edge and dig line"
        self._key(layers.FOOTING, edge)
        if sheet.digs_wider:
            self._key(layers.DIG, "dig line")
        if sheet.steps:
            self._key(layers.STEPS, "step; dashed: dig to")
        for layer, name in (
            *_KEY,
            *(_DRAIN_KEY if sheet.drained else ()),
            *(_LOT_KEY if sheet.turn is not None else ()),
        ):
            self._key(layer, name)
        self._marker_key(STAKE, "corner stake")
        self._marker_key(HUB, "hub")
        if sheet.turn is not None:
            self._marker_key(SURVEYED, "surveyed point")
        self._gap()
        self._lines("Before digging", layers.MAIN_HEIGHT)
        for caution in LAYOUT_CAUTIONS:
            self._lines(caution)
            self._y -= 0.5

    def _key(self, layer: str, name: str) -> None:
        middle = self._y - layers.SMALL_HEIGHT / 2
        # Drawn like the layer but not on it: readers that know no paper space would take the
        # sample for a footing edge.
        look = Look(layer=layers.TITLE, like=layer, pattern=self._pattern)
        self._pen.sample((self._x, middle), (self._x + 12, middle), look)
        self._text(name, self._x + 15, layers.SMALL_HEIGHT)
        self._y -= 1.9 * layers.SMALL_HEIGHT

    def _marker_key(self, shape: str, name: str) -> None:
        self._pen.marker((self._x + 6, self._y - layers.SMALL_HEIGHT / 2), shape, 2.0, layers.TITLE)
        self._text(name, self._x + 15, layers.SMALL_HEIGHT)
        self._y -= 1.9 * layers.SMALL_HEIGHT

    def tick(self, tick: Tick) -> None:
        """Draw a tick of the site grid inside the window."""
        pen = self._pen
        start, end = (_on_paper(point) for point in (tick.start, tick.end))
        pen.line(start, end, layers.TITLE)
        if tick.text is not None:
            x, y = _on_paper((tick.text.x, tick.text.y))
            pen.text(replace(tick.text, x=x, y=y), layers.TITLE)

    def scale_bar(self, x: float, y: float, sheet: PlanSheet) -> None:
        """Draw a bar of four parts, two of them dark, centred over `x`."""
        metric = sheet.show in {Show.METRES, Show.MILLIMETRES}
        unit, sign = (1.0, " m") if metric else (FOOT, "'")
        part = unit * 1000 / sheet.ratio
        count = next((each for each in (100, 40, 20, 10, 4, 2) if each * part <= _BAR_MOST), 1)
        length = count * part
        pen = self._pen
        start, quarter = x - length / 2, length / 4
        pen.ring(
            [(start, y), (start + length, y), (start + length, y + _BAR_HIGH),
             (start, y + _BAR_HIGH)],
            layers.TITLE,
        )  # fmt: skip
        for at in range(1, 4):
            pen.line((start + at * quarter, y), (start + at * quarter, y + _BAR_HIGH), layers.TITLE)
        for at in (0, 2):
            low, high = start + at * quarter, start + (at + 1) * quarter
            for level in (0.25, 0.5, 0.75):
                pen.line((low, y + level * _BAR_HIGH), (high, y + level * _BAR_HIGH), layers.TITLE)
        for at in (0, 2, 4):
            words = f"{count * at / 4:g}{sign}"
            spot = start + at * quarter
            pen.text(
                Text(text=words, x=spot, y=y + _BAR_HIGH + 2.0, height=layers.SMALL_HEIGHT),
                layers.TITLE,
            )

    def north(self, x: float, y: float, turn: float) -> None:
        """Draw the north arrow, grid north being `turn` rad clockwise from straight up."""
        pen = self._pen
        ahead, aside = (math.sin(turn), math.cos(turn)), (math.cos(turn), -math.sin(turn))

        def at(forward: float, right: float) -> Point:
            return (
                x + ahead[0] * forward + aside[0] * right,
                y + ahead[1] * forward + aside[1] * right,
            )

        half = _ARROW / 2
        pen.line(at(-half, 0), at(half - 4, 0), layers.TITLE)
        pen.ring(
            [at(half, 0), at(half - 5, 1.8), at(half - 4, 0), at(half - 5, -1.8)], layers.TITLE
        )
        for words, forward in (("N", half + 2.5), ("grid", -half - 3.5)):
            spot = at(forward, 0)
            pen.text(
                Text(text=words, x=spot[0], y=spot[1], height=layers.MAIN_HEIGHT), layers.TITLE
            )

    def _lines(self, text: str, height: float = layers.SMALL_HEIGHT, most: int = 99) -> None:
        rows = wrap(text, height, STRIP - 2 * _NEAR)
        for row in rows[:most]:
            self._text(row, self._x, height)
            self._y -= 1.6 * height

    def _text(self, text: str, x: float, height: float) -> None:
        self._pen.on_baseline(text, (x, self._y - height), height, layers.TITLE)

    def _gap(self) -> None:
        self._y -= 2.5


def _on_paper(point: Point) -> Point:
    return (point[0] + MARGIN, point[1] + MARGIN)


def wrap(text: str, height: float, width: float) -> list[str]:
    """Break text into lines that fit.

    Parameters
    ----------
    text
        The text.
    height
        Height of a capital, mm.
    width
        The room, mm.

    Returns
    -------
    list of str
        Its lines; a word longer than a line is broken.
    """
    rows: list[str] = []
    row = ""
    for word in text.split():
        piece = word
        if text_width(f"{row} {piece}".strip(), height) <= width:
            row = f"{row} {piece}".strip()
            continue
        if row:
            rows.append(row)
        while text_width(piece, height) > width:
            fit = max(
                1,
                next(
                    (i for i in range(1, len(piece)) if text_width(piece[: i + 1], height) > width),
                    len(piece),
                ),
            )
            rows.append(piece[:fit])
            piece = piece[fit:]
        row = piece
    return [*rows, row] if row else rows
