"""Ticks of the site grid round the sheet's window, with their coordinates."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from staking.frozen import frozen
from staking.output.drawing.drawn_words import Box, Segment, Text, text_width, upright
from staking.output.drawing.layers import SMALL_HEIGHT
from staking.output.drawing.places.ground_columns import word_columns
from staking.output.drawing.places.lasting_ground import LastingGround
from staking.plan import Point

if TYPE_CHECKING:
    from staking.output.drawing.pen import Grid

_TICK = 4.0
"""Length of a tick, mm."""
_APART = 40.0
"""Ticks are at least this far apart, mm."""
_SLANT = math.sqrt(0.5) - 1e-9
"""An edge shows the lines it crosses at 45 degrees or more."""


@frozen
class Tick:
    """A grid line's end at the window: mm from its lower left corner; `text` None where no room."""

    start: Point
    end: Point
    text: Text | None


def grid_ticks(
    window: Box,
    mm: float,
    grid: Grid,
    unit: float,
    words: Sequence[Box],
    lines: Sequence[Segment] = (),
) -> tuple[Tick, ...]:
    """Put ticks at round eastings and northings.

    Parameters
    ----------
    window
        What the sheet's window shows of the building grid, m.
    mm
        What a millimetre on paper is on the ground, m.
    grid
        Where the building grid lies on the site grid.
    unit
        The coordinates' unit, m.
    words
        What a tick's text must not cover, m on the building grid.
    lines
        What it must not cross, m on the building grid.

    Returns
    -------
    tuple of Tick
        Eastings, then northings.
    """
    corners = window.corners
    site = np.array([grid.at(corner) for corner in corners])
    cos, sin = math.cos(grid.turn), math.sin(grid.turn)
    step = _round_step(_APART * mm / unit)
    families = (("E", site[:, 0].tolist(), (sin, cos)), ("N", site[:, 1].tolist(), (cos, -sin)))
    ticks = [
        _tick(window, mm, place, along, f"{letter} {value:,.0f}")
        for letter, values, along in families
        for place, value in _crossings(corners, values, step, unit)
    ]
    ground = LastingGround([(line, 1) for line in lines], words)
    texts = [_on_ground(window, mm, tick.text) for tick in ticks if tick.text is not None]
    spoilt = iter(ground.under_words(word_columns(texts), 1.0).tolist())
    return tuple(
        replace(tick, text=None) if tick.text is not None and next(spoilt) else tick
        for tick in ticks
    )


def _round_step(least: float) -> float:
    # The least of 1, 2, 5, 10, 20 ... that is not under `least`.
    power = 10.0 ** max(math.floor(math.log10(least)), 0)
    return next((power * part for part in (1, 2, 5) if power * part >= least), power * 10)


def _crossings(
    corners: Sequence[Point], values: Sequence[float], step: float, unit: float
) -> Iterator[tuple[Point, float]]:
    for i, (x1, y1) in enumerate(corners):
        j = (i + 1) % len(corners)
        x2, y2 = corners[j]
        rise = values[j] - values[i]
        if abs(rise) * unit < _SLANT * math.hypot(x2 - x1, y2 - y1):
            continue
        low, high = sorted((values[i], values[j]))
        for count in range(math.ceil(low / step), math.floor(high / step) + 1):
            part = (count * step - values[i]) / rise
            yield (x1 + (x2 - x1) * part, y1 + (y2 - y1) * part), count * step


def _tick(window: Box, mm: float, place: Point, along: Point, words: str) -> Tick:
    # From the window's edge inward along the grid line.
    local = window.local(place)
    inward = -1.0 if local[0] * along[0] + local[1] * along[1] > 0 else 1.0
    x, y = local[0] / mm + window.width / mm / 2, local[1] / mm + window.height / mm / 2
    dx, dy = along[0] * inward, along[1] * inward
    middle = _TICK + 1.5 + text_width(words, SMALL_HEIGHT) / 2
    text = Text(
        text=words,
        x=x + dx * middle,
        y=y + dy * middle,
        height=SMALL_HEIGHT,
        turn=upright(math.atan2(dy, dx)),
    )
    inside = all(
        0 < px < window.width / mm and 0 < py < window.height / mm for px, py in text.box.corners
    )
    return Tick(start=(x, y), end=(x + dx * _TICK, y + dy * _TICK), text=text if inside else None)


def _on_ground(window: Box, mm: float, text: Text) -> Text:
    left, low = window.x - window.width / 2, window.y - window.height / 2
    return replace(text, x=left + text.x * mm, y=low + text.y * mm, height=text.height * mm)
