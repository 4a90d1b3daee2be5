"""A drawing to one scale in millimetres on paper, and the scale at which it fits."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable, Sequence

import numpy as np

from staking.output.drawing import layers
from staking.output.drawing.drawn_words import Box, Segment, Text, Variant, extent
from staking.output.drawing.pen import Grid, Pen
from staking.output.drawing.places.ground_columns import box_columns, cover, touching
from staking.output.pictures.picture import Picture, model_picture
from staking.output.sheet_drawings.match_lines import PlanPart, cut_parts
from staking.plan import Plan, Point, Show
from staking.units import FOOT

TAPED = 2.8
"""Height of a capital of what is taped or read on site, mm: 11 point."""
SAID = 2.1
"""Height of a capital of all other words, mm: 8 point."""
_BAR_HIGH = 1.4
"""Height of the scale bar, mm."""
_MANY = 12
"""Where so many pairs of words lie on one another no smaller scale is tried: it has less room."""
_NAME = re.compile(r"\w+")
"""A name: letters, digits and underscores."""
_LONGEST_NAME = 6
"""A name of more letters stands in a table, and its number on the plan."""


class PaperDrawing:
    """A drawing whose unit is a millimetre on paper.

    Parameters
    ----------
    ratio
        Ground over paper.
    """

    def __init__(self, ratio: float) -> None:
        self.ratio = ratio
        self.mm = ratio / 1000
        self.pen = Pen(Grid(scale=1 / self.mm))

    def within(self, part: PlanPart) -> PaperDrawing:
        """Take what lies in one part of the plan.

        Returns
        -------
        PaperDrawing
            To the same scale.
        """
        drawn = PaperDrawing(self.ratio)
        drawn.pen.take(cut_parts(self.pen.parts, part, self.mm))
        return drawn

    def picture(self, low: Point, high: Point) -> Picture:
        """Take what lies between two corners, m, to scale and in black.

        Returns
        -------
        Picture
            Its lower left corner at `low`.
        """
        corners = [(x / self.mm, y / self.mm) for x, y in (low, high)]
        return model_picture(self.pen.parts, layers.LAYERS, 1.0, (corners[0], corners[1])).black

    def scale_bar(self, at: Point, show: Show, most: float = 50.0) -> None:
        """Draw a bar of four parts from `at`, m, no longer than `most` mm, with its figures."""
        metric = show in {Show.METRES, Show.MILLIMETRES}
        unit, sign = (1.0, " m") if metric else (FOOT, "'")
        part = unit / self.mm
        count = next((each for each in (200, 100, 40, 20, 10, 4, 2) if each * part <= most), 1)
        run, high = count * unit / 4, _BAR_HIGH * self.mm
        x, y = at
        pen = self.pen
        for place in range(4):
            left, right = x + place * run, x + (place + 1) * run
            pen.ring([(left, y), (right, y), (right, y + high), (left, y + high)], layers.TITLE)
            if place % 2 == 0:
                for level in (0.25, 0.5, 0.75):
                    pen.line((left, y + level * high), (right, y + level * high), layers.TITLE)
        for place in (0, 2, 4):
            words = f"{count * place / 4:g}{sign}"
            self.pen.text(
                Text(text=words, x=x + place * run, y=y + high + 0.9 * SAID * self.mm,
                     height=SAID * self.mm)
            )  # fmt: skip


def largest_scale(
    scales: Iterable[tuple[int, str]],
    room: tuple[float, float],
    drawn: Callable[[float], tuple[tuple[Variant, ...], Iterable[Point]]],
    ground: Sequence[Point] = (),
) -> tuple[int, str, tuple[Variant, ...], tuple[Point, Point]]:
    """Find the largest scale at which everything finds room and no word lies on another.

    Parameters
    ----------
    scales
        Ratio and name of each, the largest first.
    room
        Width and height, mm.
    drawn
        Places the words where a millimetre on paper is so many metres: the words, and the
        points that must lie on the paper beside them, m.
    ground
        Those points at every scale, so that no words are placed where they alone are too large.

    Returns
    -------
    tuple
        Ratio, name, the words as placed, and the lower left and upper right corner of it all, m.
        Where words lie on one another at every scale, the scale with the fewest that do.

    Raises
    ------
    ValueError
        Where no scale is given.
    """
    best = None
    least = math.inf
    fitting = 0
    last = None
    (left, foot), (right, head) = extent(ground) if ground else ((0.0, 0.0), (0.0, 0.0))
    every = tuple(scales)
    for ratio, name in every:
        mm = ratio / 1000
        too_large = right - left > room[0] * mm or head - foot > room[1] * mm
        if too_large and ratio != every[-1][0]:
            continue
        words, points = drawn(mm)
        low, high = _reach(words, points)
        last = (ratio, name, words, (low, high))
        if high[0] - low[0] > room[0] * mm or high[1] - low[1] > room[1] * mm:
            continue
        fitting += 1
        spoilt = overlaps(words)
        if spoilt < least:
            best, least = last, spoilt
        if not spoilt or spoilt > _MANY or fitting == 3:
            break
    found = best or last
    if found is None:
        raise ValueError("no scale was given")
    return found


def overlaps(words: Iterable[Variant]) -> int:
    """Count the words that lie on one another.

    Returns
    -------
    int
        Pairs of them.
    """
    boxes = box_columns(boxes_of(words))
    first, second = touching(boxes, boxes)
    apart = first < second
    first, second = first[apart], second[apart]
    return int(np.count_nonzero(cover(boxes[:, first], boxes[:, second])))


def _reach(words: Iterable[Variant], points: Iterable[Point]) -> tuple[Point, Point]:
    every = [*points]
    for variant in words:
        every += [corner for box in variant.boxes for corner in box.corners]
        every += [point for line in variant.lines for point in line]
    return extent(every)


def boxes_of(variants: Iterable[Variant]) -> list[Box]:
    """List the ground of every word."""
    return [box for variant in variants for box in variant.boxes]


def lines_of(variants: Iterable[Variant]) -> list[Segment]:
    """List every line of placed words: leaders and dimension lines."""
    return [line for variant in variants for line in variant.lines]


class NumberedNames:
    """How names stand on the sheets' plans: short ones whole, long ones as a number.

    Parameters
    ----------
    plan
        The plan, whose corners, interior lines and pads are numbered in their order.
    """

    def __init__(self, plan: Plan) -> None:
        names = [corner.name for building in plan.buildings for corner in building.corners]
        names += [line.name for line in plan.interior]
        names += [pad.name for pad in plan.pads]
        long = [name for name in dict.fromkeys(names) if len(name) > _LONGEST_NAME]
        self._numbers = {name: f"#{at}" for at, name in enumerate(long, start=1)}

    def within(self, text: str) -> str:
        """Write names that stand among other words, such as an end of an interior line.

        Returns
        -------
        str
            The text with a number in the place of every long name.
        """
        return layers.clean_text(
            _NAME.sub(lambda found: self._numbers.get(found[0], found[0]), text)
        )

    @property
    def numbered(self) -> tuple[tuple[str, str], ...]:
        """Every number with its name, in order."""
        return tuple((number, name) for name, number in self._numbers.items())

    def __call__(self, name: str) -> str:
        """Write a name, or a wall's two corners with a dash between them.

        Returns
        -------
        str
            As it stands on the plan.
        """
        if name in self._numbers:
            return self._numbers[name]
        return layers.clean_text(
            "-".join(self._numbers.get(part, part) for part in name.split("-"))
        )
