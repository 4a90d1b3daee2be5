"""What was weighed, drawn: the cost or the dig against the top of wall, and over the lot."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, TextIO

from staking.output.pictures.lettering import line_width
from staking.output.pictures.picture import Picture
from staking.output.pictures.picture_parts import Fill, Lettering, Stroke
from staking.output.pictures.svg_and_png import svg_text
from staking.output.weighed.weigh_tables import figure_text
from staking.output.wording import Words, safe
from staking.tolerances import ON_LINE
from staking.weigh.weighed_row import WeighColumn

if TYPE_CHECKING:
    from collections.abc import Sequence

    from staking.plan import Point
    from staking.weigh.weighed import Weighed

_BLACK = "#000000"
_LETTER = 2.8
_PANEL = (160.0, 90.0)
_EDGE = 14.0
_HEAD = 10.0
_LEFT = 34.0
_DOT = 1.2
_LINE, _HEAVY = 0.25, 0.5
_PALEST, _DARKEST = 245, 110
_CIRCLE = 16


def write_weigh_picture(weighed: Weighed, stream: TextIO) -> None:
    """Write the picture as SVG.

    Parameters
    ----------
    weighed
        The rows.
    stream
        Where to write, open for text in UTF-8.
    """
    stream.write(svg_text(weigh_picture(weighed), "Tops of wall and places side by side"))


def weigh_picture(weighed: Weighed) -> Picture:
    """Draw the rows: against the top of wall at the place as written, and place by place.

    Parameters
    ----------
    weighed
        The rows.

    Returns
    -------
    Picture
        The lower panel only where the building was moved.
    """
    column = drawn_column(weighed)
    sheet = _WeighSheet(weighed, column)
    moved = [i for i, row in enumerate(weighed.rows) if not row.candidate.stays]
    lower = _PANEL[1] + _EDGE + _HEAD + _LETTER * 3 if moved else 0.0
    height = lower + _PANEL[1] + 2 * _EDGE + _HEAD
    sheet.draw_tops((_LEFT, lower + _EDGE + _LETTER * 2))
    if moved:
        sheet.draw_places((_LEFT, _EDGE))
    return Picture(
        width=_LEFT + _PANEL[0] + _EDGE,
        height=height,
        strokes=tuple(sheet.strokes),
        fills=tuple(sheet.fills),
        words=tuple(sheet.words),
    )


def drawn_column(weighed: Weighed) -> WeighColumn:
    """Give what is drawn: the cost where it is priced, else what is dug."""
    priced = any(row.value(WeighColumn.COST) is not None for row in weighed.rows)
    return WeighColumn.COST if priced else WeighColumn.DUG


class _WeighSheet:
    """Collects what is drawn, in mm."""

    def __init__(self, weighed: Weighed, column: WeighColumn) -> None:
        self.weighed, self.column = weighed, column
        self.name = "cost" if column is WeighColumn.COST else "dug"
        self.strokes: list[Stroke] = []
        self.fills: list[Fill] = []
        self.words: list[Lettering] = []

    def draw_tops(self, corner: Point) -> None:
        """Draw the figure against the top of wall, the place as written."""
        rows = self.weighed.rows
        known = [
            (i, rows[i].candidate.top, value)
            for i in range(len(rows))
            if rows[i].candidate.stays and (value := rows[i].value(self.column)) is not None
        ]
        said = Words(self.weighed.options)
        self._title(corner, f"{safe(self.weighed.job)}: {self.name} against the top of wall")
        if not known:
            self._say(corner, "no row can be built at the place as written")
            return
        across = _Span(min(e[1] for e in known), max(e[1] for e in known), corner[0], _PANEL[0])
        up = _Span(min(e[2] for e in known), max(e[2] for e in known), corner[1], _PANEL[1])
        self._line([corner, (corner[0] + _PANEL[0], corner[1])], _LINE)
        self._line([corner, (corner[0], corner[1] + _PANEL[1])], _LINE)
        for i, _, value in (min(known, key=lambda e: e[2]), max(known, key=lambda e: e[2])):
            text = figure_text(self.weighed, rows[i], self.column)
            self._write(text, (corner[0] - 2, up.at(value)), 1)
        ends = (known[0], known[-1]) if len(known) > 1 else (known[0],)
        for _, top, _ in ends:
            self._write(said.length(top), (across.at(top), corner[1] - 2 * _LETTER), 0)
        spots = [(across.at(top), up.at(value)) for _, top, value in known]
        self._line(spots, _LINE)
        for (i, _, _), spot in zip(known, spots, strict=True):
            self._mark(i, spot)

    def draw_places(self, corner: Point) -> None:
        """Draw the figure over the lot for one top of wall, and one turn."""
        chosen = self.weighed.best
        rows = self.weighed.rows
        base = rows[0 if chosen is None else chosen].candidate
        kept = [
            (row.candidate.east, row.candidate.north, i)
            for i, row in enumerate(rows)
            if not row.refined
            and abs(row.candidate.top - base.top) < ON_LINE
            and abs(row.candidate.turn - base.turn) < ON_LINE
        ] or [
            (row.candidate.east, row.candidate.north, i)
            for i, row in enumerate(rows)
            if not row.refined
            and abs(row.candidate.top - base.top) < ON_LINE
            and row.candidate.turn == 0.0
        ]
        words = Words(self.weighed.options)
        turned = rows[kept[0][2]].candidate.turn != 0.0
        self._title(
            corner,
            f"{self.name} over the lot, north up, top of wall {words.length(base.top)}"
            + (f", turned as row {kept[0][2] + 1}" if turned else "")
            + "; the darker the more",
        )
        cells = _Cells(kept, corner)
        self._write_reach(cells, corner)
        values = [v for *_, i in kept if (v := rows[i].value(self.column)) is not None]
        low, high = (min(values), max(values)) if values else (0.0, 0.0)
        for east, north, i in kept:
            value = rows[i].value(self.column)
            ring = cells.ring(east, north)
            if value is not None:
                share = (value - low) / (high - low) if high - low > ON_LINE else 0.0
                grey = round(_PALEST + (_DARKEST - _PALEST) * share)
                self.fills.append(
                    Fill(layer="rows", colour=f"#{grey:02x}{grey:02x}{grey:02x}", points=ring)
                )
            heavy = i == chosen
            self._line([*ring, ring[0]], _HEAVY if heavy else 0.1)
            middle = ((ring[0][0] + ring[2][0]) / 2, (ring[0][1] + ring[2][1]) / 2)
            if not rows[i].stands:
                self._cross(middle)
            elif cells.side > line_width(str(i + 1), _LETTER) + 1:
                self._write(str(i + 1), middle, 0)

    def _write_reach(self, cells: _Cells, corner: Point) -> None:
        """Write how far the outermost places lie from the place as written."""
        words = Words(self.weighed.options)
        for east in {cells.easts[0], cells.easts[-1]}:
            x = corner[0] + (cells.easts.index(east) + 0.5) * cells.side
            self._write(_way(words.length(abs(east)), east, "EW"), (x, corner[1] - _LETTER), 0)
        for north in {cells.norths[0], cells.norths[-1]}:
            y = corner[1] + (cells.norths.index(north) + 0.5) * cells.side
            self._write(_way(words.length(abs(north)), north, "NS"), (corner[0] - 2, y), 1)

    def _mark(self, i: int, spot: Point) -> None:
        row = self.weighed.rows[i]
        if not row.stands:
            self._cross(spot)
        else:
            circle = [
                (
                    spot[0] + _DOT * math.cos(2 * math.pi * k / _CIRCLE),
                    spot[1] + _DOT * math.sin(2 * math.pi * k / _CIRCLE),
                )
                for k in range(_CIRCLE)
            ]
            if i == self.weighed.best or self.weighed.is_least(i, self.column):
                self.fills.append(Fill(layer="rows", colour=_BLACK, points=tuple(circle)))
            self._line([*circle, circle[0]], _LINE)
        self._write(str(i + 1), (spot[0], spot[1] + _DOT + _LETTER), 0)

    def _cross(self, spot: Point) -> None:
        x, y = spot
        self._line([(x - _DOT, y - _DOT), (x + _DOT, y + _DOT)], _HEAVY)
        self._line([(x - _DOT, y + _DOT), (x + _DOT, y - _DOT)], _HEAVY)

    def _title(self, corner: Point, text: str) -> None:
        self._write(text, (corner[0], corner[1] + _PANEL[1] + _HEAD), -1)

    def _say(self, corner: Point, text: str) -> None:
        self._write(text, (corner[0], corner[1] + _PANEL[1] / 2), -1)

    def _line(self, points: Sequence[Point], width: float) -> None:
        self.strokes.append(
            Stroke(layer="rows", colour=_BLACK, width=width, dashes=(), points=tuple(points))
        )

    def _write(self, text: str, spot: Point, align: int) -> None:
        width = line_width(text, _LETTER)
        self.words.append(
            Lettering(
                layer="rows",
                colour=_BLACK,
                text=text,
                x=spot[0] - (align + 1) / 2 * width,
                y=spot[1] - _LETTER / 2,
                height=_LETTER,
                turn=0.0,
                width=width,
            )
        )


def _way(length: str, value: float, letters: str) -> str:
    return f"{letters[0] if value > 0 else letters[1]} {length}" if value else length


class _Span:
    """A run of figures along one side of a panel, a little air at both ends."""

    def __init__(self, low: float, high: float, start: float, length: float) -> None:
        self.low, self.run = low, high - low
        self.start, self.length = start + _LETTER, length - 3 * _LETTER

    def at(self, value: float) -> float:
        """Give where a figure lies, mm."""
        share = (value - self.low) / self.run if self.run > ON_LINE else 0.5
        return self.start + share * self.length


class _Cells:
    """The squares of the places in a panel."""

    def __init__(self, kept: Sequence[tuple[float, float, int]], corner: Point) -> None:
        self.easts = sorted({east for east, _, _ in kept})
        self.norths = sorted({north for _, north, _ in kept})
        self.corner = corner
        self.side = min(_PANEL[0] / len(self.easts), _PANEL[1] / len(self.norths))

    def ring(self, east: float, north: float) -> tuple[Point, ...]:
        """Give a place's square, mm."""
        x = self.corner[0] + self.easts.index(east) * self.side
        y = self.corner[1] + self.norths.index(north) * self.side
        return ((x, y), (x + self.side, y), (x + self.side, y + self.side), (x, y + self.side))
