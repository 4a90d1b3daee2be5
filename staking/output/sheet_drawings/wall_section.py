"""A section through a wall and its footing, every size beside it."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from staking.output.drawing import layers
from staking.output.drawing.drawn_words import Text
from staking.output.sheet_drawings.dimension_plan import ScaledPicture
from staking.output.sheet_drawings.paper_drawing import SAID, TAPED, PaperDrawing
from staking.output.wording import Words
from staking.plan import Show

if TYPE_CHECKING:
    from staking.laid_out.footing_sections import FootingSection
    from staking.plan import Options, Point

_FEET = (
    (12, '1" = 1\'-0"'),
    (16, '3/4" = 1\'-0"'),
    (24, '1/2" = 1\'-0"'),
    (32, '3/8" = 1\'-0"'),
    (48, '1/4" = 1\'-0"'),
    (96, '1/8" = 1\'-0"'),
    (192, '1/16" = 1\'-0"'),
    (384, '1/32" = 1\'-0"'),
)
_METRIC = ((10, "1:10"), (20, "1:20"), (50, "1:50"), (100, "1:100"), (200, "1:200"), (500, "1:500"))
"""Scales of a section, largest first."""
_MOST = 100.0
"""Of a footing and its stone the section is no higher than this, mm."""
_STUB = 19.0
"""How much of the wall is shown over the footing, mm; a line breaks it off."""
_ROW = 6.0
"""Between two lines of dimensions, mm."""
_LEFT = 15.0
"""Kept at the left for the depth under the ground, mm."""
_RIGHT = 17.0
"""Kept at the right for the footing's thickness, mm."""
_SLASH = 1.0
"""Half the length of the slash where a dimension line ends, mm."""
_BAR = 0.9
"""Radius of a bar's spot, mm."""


def section_picture(section: FootingSection, options: Options, width: float) -> ScaledPicture:
    """Draw the section at the largest scale at which it fits.

    Parameters
    ----------
    section
        What it shows.
    options
        How lengths are written.
    width
        Of the paper for it, mm.

    Returns
    -------
    ScaledPicture
        The section; its wall is broken off, and the height of the ground is not to scale.
    """
    metric = options.show in {Show.METRES, Show.MILLIMETRES}
    room = width - _LEFT - _RIGHT
    choice = _METRIC if metric else _FEET
    ratio, scale = next(
        (
            each
            for each in choice
            if (section.width + _beside(section)) * 1000 / each[0] <= room
            and (section.thickness + section.stone) * 1000 / each[0] <= _MOST
        ),
        choice[-1],
    )
    drawn = _Section(section, Words(options), PaperDrawing(ratio))
    return ScaledPicture(
        picture=drawn.paper.picture(*drawn.window(width)), scale=scale, ratio=ratio
    )


def _beside(section: FootingSection) -> float:
    # How far the drain reaches past the footing's edge, m.
    drain = section.drain
    return 0.0 if drain is None else drain.beside + drain.width


class _Section:
    """The drawing in the making; x from the footing's left edge, y up from its bottom, m."""

    def __init__(self, section: FootingSection, words: Words, paper: PaperDrawing) -> None:
        self.paper = paper
        self._section = section
        self._length = words.length
        self._mm = paper.mm
        self._head = section.thickness + _STUB * self._mm
        self._left = section.outside
        self._right = section.outside + section.wall
        self._shapes()
        self._across()
        self._up()
        self._bars()
        self._drain()

    def window(self, width: float) -> tuple[Point, Point]:
        """Give the lower left and upper right corner of what is drawn, m."""
        mm, section = self._mm, self._section
        far = _beside(section)
        left = min((section.width - far - width * mm) / 2, -far - _LEFT * mm)
        return (
            (left, -section.stone - (2 * _ROW + 4.0) * mm),
            (left + width * mm, self._head + (_ROW + 4.0) * mm),
        )

    def _shapes(self) -> None:
        section, pen, mm = self._section, self.paper.pen, self._mm
        wide, thick = section.width, section.thickness
        pen.ring([(0, 0), (wide, 0), (wide, thick), (0, thick)], layers.WALL)
        for x in (self._left, self._right):
            pen.line((x, thick), (x, self._head), layers.WALL)
        middle = (self._left + self._right) / 2
        jog = 1.6 * mm
        pen.chain(
            [(self._left - 2 * mm, self._head), (middle - jog, self._head),
             (middle - jog / 2, self._head + jog), (middle + jog / 2, self._head - jog),
             (middle + jog, self._head), (self._right + 2 * mm, self._head)],
            layers.DIMENSIONS,
        )  # fmt: skip
        if section.stone > 0:
            pen.ring([(0, -section.stone), (wide, -section.stone), (wide, 0), (0, 0)],
                     layers.OPENINGS)  # fmt: skip

    def _across(self) -> None:
        # Under the footing what goes past the wall, then the whole; over it the wall.
        section, mm = self._section, self._mm
        first, second = (-section.stone - row * _ROW * mm for row in (1, 2))
        gap = 0.8 * mm
        rise = (0.5 * TAPED + 0.8) * mm
        for start, end, x, align in (
            (0.0, self._left, self._left - gap, 1),
            (self._right, section.width, self._right + gap, -1),
        ):
            if end - start > 0.5 * mm:
                self._dimension((start, first), (end, first))
                self._write(self._length(end - start), x, first + rise, align)
        self._dimension((0.0, second), (section.width, second))
        self._write(self._length(section.width), section.width / 2, second + rise)
        over = self._head + 3.0 * mm
        self._dimension((self._left, over), (self._right, over))
        self._write(self._length(section.wall), (self._left + self._right) / 2, over + rise)

    def _up(self) -> None:
        section, mm = self._section, self._mm
        x = section.width + 4.0 * mm
        self._dimension((x, 0.0), (x, section.thickness))
        self._write(self._length(section.thickness), x + 1.6 * mm, section.thickness / 2, -1)
        if section.stone > 0:
            self._dimension((x, -section.stone), (x, 0.0))
            self._write(f"{self._length(section.stone)}", x + 1.6 * mm, -section.stone / 2, -1)
        depth, said = section.frost_depth, "frost depth"
        if section.is_interior or depth is None:
            return
        ground = section.thickness + 0.8 * _STUB * mm
        pen = self.paper.pen
        far = -_beside(section) - _LEFT * mm
        pen.line((far, ground), (self._left, ground), layers.FOOTING)
        for at in range(5):
            start = far + at * 2.4 * mm
            pen.line((start + 1.2 * mm, ground), (start, ground - 1.2 * mm), layers.DIMENSIONS)
        line = -_beside(section) - 3.0 * mm
        self._dimension((line, 0.0), (line, ground))
        turned = (line - (0.5 * TAPED + 0.8) * mm, line - (1.5 * TAPED + 2.2) * mm)
        middle = ground / 2
        self._write(f"at least {self._length(depth)}", turned[0], middle, turned=True)
        self._write(said, turned[1], middle, turned=True, height=SAID)

    def _bars(self) -> None:
        section, mm = self._section, self._mm
        steel = section.steel
        if steel is None or steel.bars < 1:
            return
        radius = _BAR * mm
        first, last = steel.cover + radius, section.width - steel.cover - radius
        for at in range(steel.bars):
            part = at / (steel.bars - 1) if steel.bars > 1 else 0.5
            centre = (first + (last - first) * part, steel.cover + radius)
            for share in (1.0, 0.66, 0.33):
                self.paper.pen.circle(centre, share * radius, layers.STEPS)

    def _drain(self) -> None:
        # The pipe in its stone, whose edge is dashed: it is no form.
        drain, pen, mm = self._section.drain, self.paper.pen, self._mm
        if drain is None:
            return
        right = -drain.beside
        left = right - drain.width
        corners = [(left, drain.low), (right, drain.low), (right, drain.high), (left, drain.high)]
        for start, end in zip(corners, corners[1:] + corners[:1], strict=True):
            pen.line(start, end, layers.DRAIN)
        middle, name = (left + right) / 2, "drain"
        if drain.size is not None:
            centre = (middle, drain.invert + drain.size / 2)
            pen.circle(centre, drain.size / 2, layers.WALL)
            name = self._length(drain.size)
        low = drain.low if drain.size is None else drain.invert + drain.size
        self._write(name, middle, (low + drain.high) / 2, height=SAID)
        if drain.size is not None:
            self._write("drain", middle, drain.high + (0.5 * SAID + 0.8) * mm, height=SAID)

    def _dimension(self, start: Point, end: Point) -> None:
        pen, slash = self.paper.pen, _SLASH * self._mm
        pen.line(start, end, layers.DIMENSIONS)
        for x, y in (start, end):
            pen.line((x - slash, y - slash), (x + slash, y + slash), layers.DIMENSIONS)

    def _write(
        self,
        words: str,
        x: float,
        y: float,
        align: int = 0,
        *,
        turned: bool = False,
        height: float = TAPED,
    ) -> None:
        quarter = math.pi / 2 if turned else 0.0
        self.paper.pen.text(
            Text(text=words, x=x, y=y, height=height * self._mm, turn=quarter, align=align)
        )
