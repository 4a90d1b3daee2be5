"""The record's drawing to scale on paper, in black."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.output.drawing.drawn_words import extent, scales
from staking.output.drawing.record_drawing import RECORD_LAYERS, pattern_of, record_parts
from staking.output.pictures.picture import model_picture
from staking.units import Unit

if TYPE_CHECKING:
    from staking.checked.poured_record import Record
    from staking.output.pictures.picture import Picture

_LETTER = 2.1
"""Height of a capital, mm: 8 points."""
_ROUND = 24.0
"""Kept round the footing for the figures, mm."""


def record_picture(record: Record, width: float, height: float) -> tuple[Picture, str]:
    """Draw the record at the largest scale at which it goes onto the paper.

    Parameters
    ----------
    record
        The record.
    width, height
        The room, mm.

    Returns
    -------
    tuple
        The picture, its figures in 8 points, and the name of its scale.
    """
    rings = record.layout.footing.outlines
    low, high = extent([point for ring in rings for point in ring])
    room = (width - 2 * _ROUND, height - 2 * _ROUND)
    listed = scales(record.layout.options.show)
    ratio, name = next(
        (
            each
            for each in listed
            if all((high[i] - low[i]) * 1000 / each[0] <= room[i] for i in (0, 1))
        ),
        listed[-1],
    )
    mm, unit = ratio / 1000, Unit(record.layout.options.unit).metres
    pen = record_parts(record, _LETTER * mm)
    air = _ROUND * mm
    window = (
        ((low[0] - air) / unit, (low[1] - air) / unit),
        ((high[0] + air) / unit, (high[1] + air) / unit),
    )
    pattern = pattern_of(_LETTER * mm) / unit
    picture = model_picture(pen.parts, RECORD_LAYERS, mm / unit, window, pattern=pattern)
    return picture.black, name
