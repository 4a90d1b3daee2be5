"""The lot around a placed building: control points, boundary, buried lines, and their words."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

from staking.frozen import frozen
from staking.measure.lengths import format_bearing
from staking.output.drawing import layers
from staking.output.drawing.drawn_words import Box, Segment, Variant
from staking.output.drawing.pen import SURVEYED, Pen, drawn_level
from staking.output.drawing.places.label_places import place
from staking.output.drawing.plan_labels import Labels, around, beside, is_shown, shown_whole
from staking.output.drawing.point_attributes import name_surveyed
from staking.output.points.stake_points import fixed
from staking.output.wording import Words
from staking.plan import Point
from staking.points import KnownPoint
from staking.site.building_on_lot import coordinates
from staking.site.buried import hand_dig_strips
from staking.site.deed.deed_lot import boundary_ring
from staking.units import Unit

if TYPE_CHECKING:
    from staking.laid_out.layout_value import Layout
    from staking.site.building_on_lot import BuildingOnLot
    from staking.site.site_results import Placement

_DECIMALS = {Unit.FT: 2, Unit.US_FT: 2, Unit.IN: 1, Unit.M: 3, Unit.MM: 0}
"""Decimals of an elevation on the drawing."""
_RISES = (1.0, 2.5, 4.0, 6.0, 8.5, 11.0)
"""How far beside a buried line its words may stand, text heights."""
_MARKER = 2.4
"""Size of a surveyed point's marker, mm on paper."""


@frozen
class SiteView:
    """What is drawn of a site, on the building grid.

    Parameters
    ----------
    site
        The lot, with the building placed.
    mm
        What a millimetre on paper is on the ground, m.
    window
        What the sheet's window shows, m.
    layout
        The layout; its options say how lengths are written.
    flat
        Whether nothing in the drawing has an elevation.
    """

    site: BuildingOnLot
    mm: float
    window: Box
    layout: Layout
    flat: bool = True

    @property
    def words(self) -> Words:
        """Writes lengths."""
        return Words(self.layout.options)

    @property
    def placement(self) -> Placement:
        """Where the building is."""
        return _placed(self.site)

    def at(self, points: Sequence[KnownPoint]) -> tuple[Point, ...]:
        """Bring surveyed points onto the building grid, m.

        Returns
        -------
        tuple of Point
            x and y of each.
        """
        return on_plan(self.site, points)

    @property
    def marked(self) -> tuple[KnownPoint, ...]:
        """Every point that gets a marker: control, boundary and buried lines' points, once each."""
        return marked_points(self.site)


def lot_lines(site: BuildingOnLot) -> list[Segment]:
    """List the lines of a lot that words should keep off: boundary, buried lines, hand digging.

    Parameters
    ----------
    site
        The lot, with the building placed.

    Returns
    -------
    list of Segment
        The lines on the building grid, m.
    """
    edges = _ring(site)
    lines = [*zip(edges, (*edges[1:], *edges[:1]), strict=True)]
    for kept in site.keep:
        lines.extend(pairwise(on_plan(site, kept.points)))
        for strip in _around(on_plan(site, kept.points), _least(site, kept.name)):
            lines.extend(zip(strip, (*strip[1:], strip[0]), strict=True))
    for line in site.buried:
        points = on_plan(site, line.points)
        lines.extend(pairwise(points))
        for strip in hand_dig_strips(points, line.hand_dig):
            lines.extend(zip(strip, (*strip[1:], strip[0]), strict=True))
    return lines


def buried_on_plan(
    site: BuildingOnLot,
) -> tuple[tuple[str, tuple[Point, ...], tuple[tuple[Point, ...], ...]], ...]:
    """List the buried lines with the ground that is dug by hand beside them.

    Parameters
    ----------
    site
        The lot, with the building placed.

    Returns
    -------
    tuple of tuple
        Each line's name, its points and the rings of its strip, on the building grid, m.
    """
    return tuple(
        (line.name, points, hand_dig_strips(points, line.hand_dig))
        for line in site.buried
        for points in (on_plan(site, line.points),)
    )


def lot_boxes(site: BuildingOnLot, mm: float) -> list[Box]:
    """Give what words must not cover: the surveyed points' markers.

    Parameters
    ----------
    site
        The lot, with the building placed.
    mm
        What a millimetre on paper is on the ground, m.

    Returns
    -------
    list of Box
        One for each.
    """
    return [_solid(spot, mm) for spot in on_plan(site, marked_points(site))]


def marked_points(site: BuildingOnLot) -> tuple[KnownPoint, ...]:
    """List every point that gets a marker: control, boundary, buried lines' points, once each.

    Parameters
    ----------
    site
        The lot.

    Returns
    -------
    tuple of KnownPoint
        In that order.
    """
    buried = [point for line in (*site.buried, *site.keep) for point in line.points]
    points = [*site.control, *site.boundary, *buried]
    return tuple({point.name: point for point in reversed(points)}.values())[::-1]


def draw_site(
    pen: Pen, view: SiteView, lines: Iterable[Segment], boxes: Iterable[Box]
) -> tuple[Box, ...]:
    """Draw the lot on the layers of control, property lines and buried lines.

    Parameters
    ----------
    pen
        Draws metres of the building grid.
    view
        What is drawn.
    lines, boxes
        What is on the drawing already, to keep words off.

    Returns
    -------
    tuple of Box
        What words must keep off now: what was given, the markers and the words of the lot.
    """
    site, marked = view.site, view.marked
    spots = view.at(marked)
    for point, spot in zip(marked, spots, strict=True):
        level = drawn_level(point.elevation, flat=view.flat)
        pen.marker(spot, SURVEYED, _MARKER * view.mm, elevation=level)
    name_surveyed(pen, marked, spots, Unit(site.unit))
    edges = view.at(site.boundary)
    if edges:
        pen.ring(_ring(site), layers.PROPERTY)
    for kept in site.keep:
        points = view.at(kept.points)
        if len(points) > 1:
            pen.chain(points, layers.PROPERTY)
        for strip in _around(points, _least(site, kept.name)):
            pen.ring(strip, layers.PROPERTY, "STK_STAY")
    for line in site.buried:
        points = view.at(line.points)
        pen.chain(points, layers.UTILITY)
        for strip in hand_dig_strips(points, line.hand_dig):
            pen.ring(strip, layers.UTILITY, "STK_STAY")
    drawn, lot = list(lines), lot_lines(site)
    taken = [*boxes, *lot_boxes(site, view.mm)]
    for layer, labels in _labels(view, marked, spots, edges):
        for variant in place(labels, drawn, taken, lot):
            pen.variant(variant, layer)
            taken.extend(variant.boxes)
    return tuple(taken)


def _labels(
    view: SiteView, marked: Sequence[KnownPoint], spots: Sequence[Point], edges: Sequence[Point]
) -> Iterator[tuple[str, Labels]]:
    # The words of each layer with the places they may take; away from the window the first does.
    small, unit = layers.SMALL_HEIGHT * view.mm, Unit(view.site.unit)
    labels: Labels = []
    for point, spot in zip(marked, spots, strict=True):
        name = layers.clean_text(point.name)
        if not math.isnan(point.elevation):
            name = f"{name}  {fixed(point.elevation / unit.metres, _DECIMALS[unit])}"
        variants = around(name, spot, _MARKER * view.mm / 2, small, math.pi / 4)
        labels.append(variants if is_shown(spot, view.window) else [next(variants)])
    yield layers.CONTROL, labels
    yield (
        layers.PROPERTY,
        [
            _along(
                view,
                f"{format_bearing(line.azimuth)}  {view.words.length(line.length)}",
                (start, end),
            )
            for line, start, end in zip(
                view.site.lines, edges, (*edges[1:], *edges[:1]), strict=True
            )
        ]
        + [_beside_kept(view, kept.name, view.at(kept.points)) for kept in view.site.keep],
    )
    buried: Labels = []
    for line in view.site.buried:
        words = layers.clean_text(line.name)
        if line.hand_dig:
            words = f"{words}: hand-dig {view.words.length(line.hand_dig)} each side"
        points = view.at(line.points)
        parts = sorted(pairwise(points), key=lambda part: -math.dist(*_shown(view, part)))
        if parts:
            # Its longest stretch on the sheet first, the others where that one is crowded.
            buried.append(_along_buried(view, words, parts, line.hand_dig or 0.0))
    yield layers.UTILITY, buried


def _along(view: SiteView, words: str, line: Segment) -> Iterable[Variant]:
    return beside(words, *_shown(view, line), 0.0, layers.SMALL_HEIGHT * view.mm)


def _beside_kept(view: SiteView, name: str, spots: Sequence[Point]) -> Iterable[Variant]:
    words = f"{layers.clean_text(name)}: keep {view.words.length(_least(view.site, name))} off"
    height = layers.SMALL_HEIGHT * view.mm
    variants = around(words, spots[0], _MARKER * view.mm / 2, height, math.pi / 4)
    return variants if is_shown(spots[0], view.window) else [next(variants)]


def _along_buried(
    view: SiteView, words: str, parts: Iterable[Segment], reach: float
) -> Iterator[Variant]:
    # Beside each stretch in turn, whole on the sheet where that can be.
    height = layers.SMALL_HEIGHT * view.mm
    places = (
        place
        for part in parts
        for place in beside(words, *_shown(view, part), reach, height, _RISES)
    )
    return shown_whole(places, view.window)


def _shown(view: SiteView, line: Segment) -> Segment:
    # The part of a line that the window shows, to a fortieth; all of it where it shows none.
    (x1, y1), (x2, y2) = line
    places = [(x1 + (x2 - x1) * i / 40, y1 + (y2 - y1) * i / 40) for i in range(41)]
    seen = [spot for spot in places if is_shown(spot, view.window)]
    return (seen[0], seen[-1]) if len(seen) > 1 else line


def _placed(site: BuildingOnLot) -> Placement:
    if site.placement is None:
        raise ValueError("only a placed building is drawn on its site")
    return site.placement


def on_plan(site: BuildingOnLot, points: Sequence[KnownPoint]) -> tuple[Point, ...]:
    """Bring surveyed points onto the building grid.

    Parameters
    ----------
    site
        The lot, with the building placed.
    points
        The points.

    Returns
    -------
    tuple of Point
        x and y of each, m.
    """
    if not points:
        return ()
    found = _placed(site).to_building(coordinates(points))
    return tuple((float(x), float(y)) for x, y in found)


def _ring(site: BuildingOnLot) -> tuple[Point, ...]:
    # The boundary on the building grid, with the places along its curves.
    if not site.boundary:
        return ()
    ring, _ = boundary_ring(site.lines, coordinates(site.boundary))
    return tuple((float(x), float(y)) for x, y in _placed(site).to_building(ring))


def _least(site: BuildingOnLot, name: str) -> float:
    return next(each.least for each in site.asked.keep if each.name == name)


def _around(points: Sequence[Point], least: float) -> Iterator[tuple[Point, ...]]:
    # The ground within the distance that is kept off.
    from shapely import LineString
    from shapely import Point as Spot

    shape = Spot(points[0]) if len(points) == 1 else LineString(points)
    grown = shape.buffer(least, quad_segs=8)
    for ring in (grown.exterior, *grown.interiors):
        yield tuple((float(x), float(y)) for x, y in ring.coords[:-1])


def _solid(spot: Point, mm: float) -> Box:
    return Box(x=spot[0], y=spot[1], width=_MARKER * mm, height=_MARKER * mm)
