"""The lot: boundary, setbacks, buried lines, known points, ties and the first two stakes' tapes."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

from staking.measure.lengths import format_bearing
from staking.output.drawing import layers
from staking.output.drawing.drawn_words import Box, Segment, Text, Variant, extent, scales
from staking.output.drawing.lot_shapes import lot_lines, marked_points
from staking.output.drawing.pen import SURVEYED, Pen
from staking.output.drawing.places.label_places import place
from staking.output.drawing.plan_labels import Labels, around, beside, corner_labels
from staking.output.drawing.plan_shapes import ring_lines
from staking.output.points.stake_points import fixed
from staking.output.sheet_drawings.dimension_plan import ScaledPicture
from staking.output.sheet_drawings.paper_drawing import (
    SAID,
    TAPED,
    NumberedNames,
    PaperDrawing,
    largest_scale,
)
from staking.output.wording import Words
from staking.site.building_on_lot import coordinates
from staking.site.buried import hand_dig_strips
from staking.units import Unit

if TYPE_CHECKING:
    from staking.laid_out.layout_value import Layout
    from staking.laid_out.lot_figures import LotFigures, TapeArc
    from staking.plan import Point
    from staking.points import KnownPoint
    from staking.site.building_on_lot import BuildingOnLot

_MARKER = 2.4
"""Size of a known point's marker, mm."""
_ARC = 7.0
"""How far a tape's arc is drawn either side of its stake, mm."""
_HATCH = 2.2
"""Between two strokes over ground that is dug by hand, mm."""
_ARROW = 14.0
"""Length of the north arrow, mm."""
_FOOT, _BAR_FOOT = 27.0, 9.0
"""Height kept under the plan for scale bar and north arrow, and for the bar alone, mm."""
_ARROW_WIDE = 18.0
"""Width kept for a north arrow beside the plan, mm."""
_DECIMALS = {Unit.FT: 2, Unit.US_FT: 2, Unit.IN: 1, Unit.M: 3, Unit.MM: 0}
"""Decimals of an elevation."""


def lot_picture(layout: Layout, figures: LotFigures, room: tuple[float, float]) -> ScaledPicture:
    """Draw the lot at the largest scale at which it and its words find room.

    Parameters
    ----------
    layout
        A placed layout.
    figures
        What was worked out for it.
    room
        Width and height of the paper for it, mm.

    Returns
    -------
    ScaledPicture
        The building lies on it as on every other sheet; an arrow shows north.

    Raises
    ------
    ValueError
        Where the building is not placed.
    """
    site = layout.site
    if site is None or site.placement is None:
        raise ValueError("only a placed building is drawn on its lot")
    shown = _Lot(layout, site, figures)
    # The arrow stands where it takes nothing from the scale: beside a lot that is high for the
    # room, under one that is wide for it.
    near, far = extent(shown.points)
    is_high = (far[1] - near[1]) * room[0] > (far[0] - near[0]) * room[1]
    aside, foot = (_ARROW_WIDE, _BAR_FOOT) if is_high else (0.0, _FOOT)
    ratio, scale, words, (low, high) = largest_scale(
        scales(layout.options.show), (room[0] - aside, room[1] - foot), shown.words, shown.points
    )
    paper = PaperDrawing(ratio)
    shown.draw(paper)
    for variant in words:
        for line in variant.lines:
            paper.pen.line(*line, layers.DIMENSIONS)
        for text in variant.texts:
            paper.pen.text(text)
    mm = paper.mm
    low = (low[0], low[1] - foot * mm)
    paper.scale_bar((low[0] + 2 * mm, low[1] + mm), layout.options.show)
    high = (max(high[0] + aside * mm, low[0] + 90 * mm), high[1])
    at = (high[0] - 9 * mm, high[1] - 13 * mm) if is_high else (low[0] + 76 * mm, low[1] + 15 * mm)
    _north(paper, at, site.placement.turn)
    picture = paper.picture((low[0] - mm, low[1] - 0.5 * mm), (high[0] + mm, high[1] + mm))
    return ScaledPicture(picture=picture, scale=scale, ratio=ratio)


def _north(paper: PaperDrawing, centre: Point, turn: float) -> None:
    # Grid north is `turn` rad clockwise from straight up.
    mm, pen = paper.mm, paper.pen
    ahead, aside = (math.sin(turn), math.cos(turn)), (math.cos(turn), -math.sin(turn))

    def at(forward: float, right: float) -> Point:
        return (
            centre[0] + (ahead[0] * forward + aside[0] * right) * mm,
            centre[1] + (ahead[1] * forward + aside[1] * right) * mm,
        )

    half = _ARROW / 2
    pen.line(at(-half, 0), at(half - 4, 0), layers.TITLE)
    pen.ring([at(half, 0), at(half - 5, 1.8), at(half - 4, 0), at(half - 5, -1.8)], layers.TITLE)
    for words, forward in (("N", half + 2.4), ("grid", -half - 2.6)):
        x, y = at(forward, 0)
        pen.text(Text(text=words, x=x, y=y, height=SAID * mm))


class _Lot:
    """What is drawn of the lot on the building grid, with its words at any scale."""

    def __init__(self, layout: Layout, site: BuildingOnLot, figures: LotFigures) -> None:
        self._layout = layout
        self._site = site
        self._figures = figures
        self._words = Words(layout.options)
        self._names = NumberedNames(layout.plan)
        self._known = marked_points(site)
        self._spots = self._on_plan(self._known)
        self._edges = self._on_plan(site.boundary)
        self._buried = [(line, self._on_plan(line.points)) for line in site.buried]
        self._lot_lines = lot_lines(site)
        self._walls = [
            side for building in layout.plan.buildings for side in ring_lines(building.ring)
        ]
        self._own = [*self._walls]
        self._own += [side for ring in layout.footing.outlines for side in ring_lines(tuple(ring))]

    def _on_plan(self, points: Sequence[KnownPoint]) -> list[Point]:
        placement = self._site.placement
        if placement is None or not points:
            return []
        return [(float(x), float(y)) for x, y in placement.to_building(coordinates(points))]

    def draw(self, paper: PaperDrawing) -> None:
        """Draw everything but the words."""
        pen, mm, figures = paper.pen, paper.mm, self._figures
        strips = [
            strip
            for line, points in self._buried
            for strip in hand_dig_strips(points, line.hand_dig)
        ]
        inside = {line for strip in strips for line in ring_lines(tuple(strip))}
        for start, end in self._lot_lines[: self._boundary_sides(inside)]:
            pen.line(start, end, layers.PROPERTY)
        for ring in figures.setbacks:
            pen.ring(ring, layers.DIMENSIONS, "STK_DASHED")
        for ring in figures.eaves:
            pen.ring(ring, layers.DIMENSIONS, "STK_STAY")
        for line, points in self._buried:
            pen.chain(points, layers.UTILITY)
            _hatch(pen, points, line.hand_dig or 0.0, mm)
        for strip in strips:
            pen.ring(strip, layers.DIMENSIONS)
        for shape in self._layout.plan.stay_clear:
            pen.ring(shape.corners, layers.STAY_CLEAR)
        for outline in self._layout.footing.outlines:
            pen.ring(outline, layers.DIMENSIONS)
        for building in self._layout.plan.buildings:
            pen.ring(building.ring, layers.WALL)
        for spot in self._spots:
            pen.marker(spot, SURVEYED, _MARKER * mm, layers.TITLE)
        for tie in figures.ties:
            pen.line(tie.at, tie.foot, layers.DIMENSIONS)
        for arc in figures.arcs:
            pen.line(arc.centre, arc.at, layers.DIMENSIONS)
            pen.chain(_arc(arc, mm), layers.FOOTING)
        self._draw_fall(paper)

    def _boundary_sides(self, inside: set[Segment]) -> int:
        # The boundary's sides come first of the lot's lines, then the buried lines.
        buried = sum(max(len(points) - 1, 0) for _, points in self._buried)
        return len(self._lot_lines) - buried - len(inside)

    def _draw_fall(self, paper: PaperDrawing) -> None:
        fall = self._figures.fall
        if fall is None:
            return
        mm, (x, y) = paper.mm, self._middle()
        cos, sin = math.cos(fall.turn), math.sin(fall.turn)

        def at(forward: float, left: float) -> Point:
            return (
                x + (cos * forward - sin * left) * mm,
                y + (sin * forward + cos * left) * mm,
            )

        paper.pen.line(at(-6, 0), at(6, 0), layers.FOOTING)
        paper.pen.chain([at(3, 1.5), at(6, 0), at(3, -1.5)], layers.FOOTING)

    def _fall_line(self, mm: float) -> list[Segment]:
        # The arrow's line, which words keep off.
        fall = self._figures.fall
        if fall is None:
            return []
        (x, y), reach = self._middle(), 6 * mm
        cos, sin = math.cos(fall.turn) * reach, math.sin(fall.turn) * reach
        return [((x - cos, y - sin), (x + cos, y + sin))]

    def _middle(self) -> Point:
        points = [point for b in self._layout.plan.buildings for point in b.ring]
        xs, ys = [x for x, _ in points], [y for _, y in points]
        return ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)

    def words(self, mm: float) -> tuple[tuple[Variant, ...], list[Point]]:
        """Place every word where a millimetre on paper is `mm` m."""
        length, figures = self._words.length, self._figures
        labels: Labels = [
            beside(length(arc.distance), arc.centre, arc.at, 0.0, TAPED * mm)
            for arc in figures.arcs
        ]
        labels += [
            beside(length(tie.distance), tie.at, tie.foot, 0.0, TAPED * mm) for tie in figures.ties
        ]
        labels += corner_labels(self._layout, TAPED * mm, self._names)[
            : sum(len(b.corners) for b in self._layout.plan.buildings)
        ]
        labels += list(self._points(mm))
        for line, start, end in zip(
            self._site.lines, self._edges, (*self._edges[1:], *self._edges[:1]), strict=True
        ):
            said = f"{format_bearing(line.azimuth)}  {length(line.length)}"
            labels.append(beside(said, start, end, 0.0, TAPED * mm))
        for named, points in self._buried:
            longest = max(pairwise(points), key=lambda part: math.dist(*part), default=None)
            if longest is not None:
                said = layers.clean_text(named.name)
                labels.append(beside(said, *longest, named.hand_dig or 0.0, SAID * mm))
        for shape in self._layout.plan.stay_clear:
            xs, ys = zip(*shape.corners, strict=True)
            labels.append(
                around(layers.clean_text(shape.name),
                       (sum(xs) / len(xs), sum(ys) / len(ys)), -3 * mm, SAID * mm, 0.0)
            )  # fmt: skip
        boxes = [Box(x=x, y=y, width=_MARKER * mm, height=_MARKER * mm) for x, y in self._spots]
        rays = [(arc.centre, arc.at) for arc in figures.arcs]
        rays += [(tie.at, tie.foot) for tie in figures.ties]
        # Words stand off the heavy walls before they stand off any other line.
        firm = [*self._lot_lines, *self._walls, *self._walls, *self._walls, *self._fall_line(mm)]
        placed = place(labels, [*self._own, *rays], boxes, firm)
        return placed, self.points

    @property
    def points(self) -> list[Point]:
        """What must lie on the paper, m."""
        points = [point for line in (*self._lot_lines, *self._own) for point in line]
        return [*points, *self._spots]

    def _points(self, mm: float) -> Iterator[Iterator[Variant]]:
        unit = Unit(self._site.unit)
        benchmark = None if self._layout.grade is None else self._layout.grade.benchmark
        control = {point.name for point in self._site.control}
        corners = {point.name for point in self._site.boundary}
        for point, spot in zip(self._known, self._spots, strict=True):
            if point.name not in control and point.name not in corners:
                continue
            name = layers.clean_text(point.name)
            if point.name == benchmark:
                name = f"benchmark {name}"
            if point.name in control and not math.isnan(point.elevation):
                name = f"{name}  {fixed(point.elevation / unit.metres, _DECIMALS[unit])}"
            yield around(name, spot, _MARKER * mm / 2, SAID * mm, math.pi / 4)


def _arc(arc: TapeArc, mm: float) -> list[Point]:
    radius = math.dist(arc.centre, arc.at)
    middle = math.atan2(arc.at[1] - arc.centre[1], arc.at[0] - arc.centre[0])
    half = min(_ARC * mm / radius, math.pi / 4) if radius else 0.0
    turns = [middle + half * step / 12 for step in range(-12, 13)]
    return [
        (arc.centre[0] + radius * math.cos(t), arc.centre[1] + radius * math.sin(t)) for t in turns
    ]


def _hatch(pen: Pen, points: Sequence[Point], reach: float, mm: float) -> None:
    # Slanted strokes across the strip that is dug by hand.
    if reach <= 0:
        return
    for start, end in pairwise(points):
        run = math.dist(start, end)
        if run <= 0:
            continue
        cos, sin = (end[0] - start[0]) / run, (end[1] - start[1]) / run
        for at in range(1, int(run / (_HATCH * mm))):
            station = at * _HATCH * mm
            x, y = start[0] + cos * station, start[1] + sin * station
            pen.line(
                (x - (cos - sin) * reach / 2, y - (sin + cos) * reach / 2),
                (x + (cos - sin) * reach / 2, y + (sin + cos) * reach / 2),
                layers.DIMENSIONS,
            )
