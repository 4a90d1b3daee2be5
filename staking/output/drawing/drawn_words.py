"""What a drawing's words are made of: texts, the ground they cover, papers and plotted scales.

Nothing here knows a file format.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from functools import lru_cache

from staking.frozen import frozen
from staking.plan import Point, Show

Segment = tuple[Point, Point]
"""A straight line between two points, m."""

PAPERS = {
    "letter": (279.4, 215.9),
    "tabloid": (431.8, 279.4),
    "A4": (297.0, 210.0),
    "A3": (420.0, 297.0),
}
"""Sheets lying on their side, width and height, mm (ISO 216; 11" x 8 1/2", 17" x 11")."""

FEET_SCALES = (
    (24, '1/2" = 1\'-0"'),
    (32, '3/8" = 1\'-0"'),
    (48, '1/4" = 1\'-0"'),
    (64, '3/16" = 1\'-0"'),
    (96, '1/8" = 1\'-0"'),
    (128, '3/32" = 1\'-0"'),
    (192, '1/16" = 1\'-0"'),
    (240, "1\" = 20'"),
    (360, "1\" = 30'"),
    (480, "1\" = 40'"),
    (600, "1\" = 50'"),
    (720, "1\" = 60'"),
    (1200, "1\" = 100'"),
    (2400, "1\" = 200'"),
)
"""Architect's and, where those are too large, engineer's scales: ratio and name."""

METRIC_SCALES = tuple(
    (ratio, f"1:{ratio}")
    for ratio in (20, 25, 50, 75, 100, 125, 150, 200, 250, 500, 1000, 2000, 5000)
)
"""Metric scales: ratio and name; those of ISO 5455 and those between that scale rulers have."""

AIR_BESIDE, LINE_HEIGHT = 0.5, 1.45
"""How much wider than its letters a line of text stands clear, and how high, in text heights."""

_NARROW = frozenset("iljtf.,:;|!'()[] /\u2032")
_WIDE = frozenset("mwMW%@")
_LIGHT = frozenset("acksvxyz")


@frozen
class Box:
    """A rectangle turned by `turn`, rad anticlockwise, about its centre; all lengths in m."""

    x: float
    y: float
    width: float
    height: float
    turn: float = 0.0

    @classmethod
    def around(cls, low: Point, high: Point) -> Box:
        """Make the upright box between two opposite corners, m.

        Returns
        -------
        Box
            The box.
        """
        return cls(
            x=(low[0] + high[0]) / 2,
            y=(low[1] + high[1]) / 2,
            width=high[0] - low[0],
            height=high[1] - low[1],
        )

    @property
    def corners(self) -> tuple[Point, Point, Point, Point]:
        """The four corners, anticlockwise, m."""
        cos, sin = math.cos(self.turn), math.sin(self.turn)
        along = (cos * self.width / 2, sin * self.width / 2)
        up = (-sin * self.height / 2, cos * self.height / 2)
        return (
            (self.x - along[0] - up[0], self.y - along[1] - up[1]),
            (self.x + along[0] - up[0], self.y + along[1] - up[1]),
            (self.x + along[0] + up[0], self.y + along[1] + up[1]),
            (self.x - along[0] + up[0], self.y - along[1] + up[1]),
        )

    def local(self, point: Point) -> Point:
        """Give the point as seen from the box's centre along its own axes, m.

        Returns
        -------
        Point
            Its place along and across the box, m.
        """
        cos, sin = math.cos(self.turn), math.sin(self.turn)
        dx, dy = point[0] - self.x, point[1] - self.y
        return (dx * cos + dy * sin, dy * cos - dx * sin)

    def covers(self, other: Box) -> bool:
        """Whether the two share ground (separating axes).

        Returns
        -------
        bool
            True where they do.
        """
        spread = other.turn - self.turn
        cos, sin = abs(math.cos(spread)), abs(math.sin(spread))
        x, y = self.local((other.x, other.y))
        if 2 * abs(x) >= self.width + other.width * cos + other.height * sin:
            return False
        if 2 * abs(y) >= self.height + other.width * sin + other.height * cos:
            return False
        if sin < 1e-12:
            return True
        x, y = other.local((self.x, self.y))
        return (
            2 * abs(x) < other.width + self.width * cos + self.height * sin
            and 2 * abs(y) < other.height + self.width * sin + self.height * cos
        )

    def meets(self, line: Segment) -> bool:
        """Whether the line enters the box (clipped against its sides).

        Returns
        -------
        bool
            True where it does.
        """
        # As `local` does for both ends, without turning the box twice: this is asked very often.
        cos, sin = math.cos(self.turn), math.sin(self.turn)
        (dx1, dy1), (dx2, dy2) = ((x - self.x, y - self.y) for x, y in line)
        x1, y1 = dx1 * cos + dy1 * sin, dy1 * cos - dx1 * sin
        x2, y2 = dx2 * cos + dy2 * sin, dy2 * cos - dx2 * sin
        low, high = 0.0, 1.0
        for start, run, half in (
            (x1, x2 - x1, self.width / 2),
            (y1, y2 - y1, self.height / 2),
        ):
            if abs(run) < 1e-12:
                if abs(start) > half:
                    return False
                continue
            first, second = sorted(((-half - start) / run, (half - start) / run))
            low, high = max(low, first), min(high, second)
            if low > high:
                return False
        return True


@frozen
class Text:
    """One line of text, m and rad.

    `x`, `y` is the middle of its left end, its centre or its right end as `align` is -1, 0 or 1;
    `turn` is the reading direction anticlockwise from the grid's x; `height` that of a capital.
    """

    text: str
    x: float
    y: float
    height: float
    turn: float = 0.0
    align: int = 0

    @property
    def box(self) -> Box:
        """The ground the text covers, with a little air."""
        width = text_width(self.text, self.height)
        shift = -self.align * width / 2
        return Box(
            x=self.x + shift * math.cos(self.turn),
            y=self.y + shift * math.sin(self.turn),
            width=width + AIR_BESIDE * self.height,
            height=LINE_HEIGHT * self.height,
            turn=self.turn,
        )


@frozen
class Dimension:
    """A linear dimension: from `start` to `end` along `turn`, its line through `base`, m.

    `text` stands centred at its own place; the two are drawn as one object.
    """

    start: Point
    end: Point
    base: Point
    turn: float
    text: Text


@frozen
class Variant:
    """One way to put a label: its texts, leader or dimension lines, and its dimension if any.

    `penalty` says how much worse it is than the best way; crossing a line of the plan costs 3,
    of another label 10.
    """

    texts: tuple[Text, ...] = ()
    lines: tuple[Segment, ...] = ()
    dimension: Dimension | None = None
    penalty: int = 0

    @property
    def boxes(self) -> tuple[Box, ...]:
        """Every text box of the variant."""
        return tuple(each.box for each in self.words)

    @property
    def words(self) -> tuple[Text, ...]:
        """Every text of the variant, its dimension's last."""
        return self.texts if self.dimension is None else (*self.texts, self.dimension.text)


def text_width(text: str, height: float) -> float:
    """Estimate how wide a line of text is.

    Parameters
    ----------
    text
        The line.
    height
        Height of a capital, m.

    Returns
    -------
    float
        A width a plain sans-serif face does not exceed by much, m; from memory of such a face.

    Examples
    --------
    >>> round(text_width("1' 0", 0.1), 3)
    0.24
    """
    return _width(text) * height


@lru_cache(maxsize=4096)
def _width(text: str) -> float:
    # Of a capital one high; the same words are tried in many places.
    width = 0.0
    for char in text:
        if char in _NARROW:
            width += 0.42
        elif char in _LIGHT:
            width += 0.72
        elif char == "r":
            width += 0.52
        elif char in _WIDE or ord(char) > 0x2E80:
            width += 1.3
        else:
            width += 0.95 if char.isupper() else 0.78
    return width


def upright(turn: float) -> float:
    """Turn a direction so that text along it reads from below or from the right.

    Parameters
    ----------
    turn
        Any direction, rad.

    Returns
    -------
    float
        The same line's direction in (-90, 93] degrees, rad; a wall a hair past square still
        reads like its square neighbours.
    """
    turn = math.remainder(turn, math.tau)
    limit = math.radians(93)
    if turn > limit:
        return turn - math.pi
    return turn + math.pi if turn <= limit - math.pi else turn


def extent(points: Iterable[Point]) -> tuple[Point, Point]:
    """Find the least and the greatest x and y of some points.

    Returns
    -------
    tuple of Point
        Lower left and upper right, m.

    Examples
    --------
    >>> extent([(0.0, 2.0), (3.0, -1.0)])
    ((0.0, -1.0), (3.0, 2.0))
    """
    xs, ys = zip(*points, strict=True)
    return (min(xs), min(ys)), (max(xs), max(ys))


def scales(show: Show) -> tuple[tuple[int, str], ...]:
    """List the scales to try, largest first: ratio and name.

    Parameters
    ----------
    show
        How the job's lengths are written.

    Returns
    -------
    tuple
        Feet scales for feet, metric scales for metres and millimetres.
    """
    metric = show in {Show.METRES, Show.MILLIMETRES}
    return METRIC_SCALES if metric else FEET_SCALES
