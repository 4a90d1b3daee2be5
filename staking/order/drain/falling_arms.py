"""How a drain falls: its high and low points, and the fall that its footing leaves room for."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from staking.frozen import frozen
from staking.order.drain.beside_footings import DrainLine, DrainPiece, sorted_name
from staking.plan import Point
from staking.tolerances import ON_LINE

Floats = npt.NDArray[np.float64]

_EVEN = 1e-12
"""Falls that differ by less are one."""

_HALVINGS = 60
"""So often a piece of line is halved to find a high point: to well under any pencil line."""


@frozen
class DrainRoom:
    """What a drain's levels are kept within.

    Parameters
    ----------
    size
        The pipe's nominal size, m; its wall is left out of account.
    under
        Stone under the pipe, m.
    beside
        How far the near edge of its trench stands from the footing's edge, m: the trench may go
        as far below the footing's bottom, and no farther (45 degrees).
    """

    size: float
    under: float
    beside: float

    def lowest(self, piece: DrainPiece) -> float:
        """Give the lowest that the pipe's invert may lie beside a piece of footing, m."""
        return piece.bottom + self.under - self.beside

    def highest(self, piece: DrainPiece) -> float:
        """Give the highest that it is laid, m: its crown level with the footing's top.

        Beside a footing too thin for pipe and stone it lies higher, and never under the footing.

        Returns
        -------
        float
            Elevation of the invert.
        """
        return self.over(piece.bottom, piece.top)

    def over(self, bottom: float, top: float) -> float:
        """Give the highest invert beside a footing from `bottom` to `top`, elevations, m.

        Returns
        -------
        float
            m.
        """
        return max(top - self.size, bottom + self.under - self.beside)


@frozen
class FallingPiece:
    """A piece of an arm as the water runs: where its invert starts and ends, m.

    `drop` is how far it lies lower than the piece before it ended, m: at a step of the footing.
    """

    piece: DrainPiece
    start: Point
    end: Point
    from_invert: float
    to_invert: float
    drop: float

    @property
    def length(self) -> float:
        """How long it is on the plan, m."""
        return math.dist(self.start, self.end)


@frozen
class DrainArm:
    """A drain from a high point to a low point.

    Parameters
    ----------
    pieces
        In the order in which the water runs.
    fall
        How much it falls by the length; steps come on top of it.
    asked
        The fall that was asked for.
    lacking
        How much farther from the footing its trench would have to stand for the fall that was
        asked, m; 0 where that fall fits.
    """

    pieces: tuple[FallingPiece, ...]
    fall: float
    asked: float
    lacking: float

    @property
    def length(self) -> float:
        """How long it is on the plan, m."""
        return math.fsum(each.length for each in self.pieces)

    @property
    def high(self) -> FallingPiece:
        """The piece that it starts with."""
        return self.pieces[0]

    @property
    def low(self) -> FallingPiece:
        """The piece that it ends with."""
        return self.pieces[-1]


def fall_of(
    line: DrainLine, room: DrainRoom, asked: float, outlet: Point | None
) -> tuple[DrainArm, ...]:
    """Let a line of drain fall from its high points to its low points.

    Parameters
    ----------
    line
        Where it runs.
    room
        What its levels are kept within.
    asked
        The most that it is to fall by the length.
    outlet
        Where it is led to, m; None where nobody says.

    Returns
    -------
    tuple of DrainArm
        Low points lie where the footing is lower than on both sides, each as near to the outlet
        as it can be; high points where it is higher, as near to the middle between two low
        points as the fall allows. So no arm ever runs up.
    """
    path = _Path(line, room)
    lows = sorted(_low_points(path, outlet))
    arms = []
    if path.closed:
        ends = [*lows, lows[0] + path.total]
        between = list(itertools.pairwise(ends))
    else:
        between = list(itertools.pairwise(lows))
        if lows[0] > ON_LINE:
            arms.append(_arm(path, 0.0, lows[0], asked))
        if lows[-1] < path.total - ON_LINE:
            arms.append(_arm(path, path.total, lows[-1], asked))
    for before, after in between:
        high = _high_point(path, before, after, asked)
        ways = [
            _arm(path, high, low, asked) for low in (before, after) if abs(high - low) > ON_LINE
        ]
        arms += ways
    return tuple(arms)


class _Path:
    """A line unrolled: where its pieces start, and the highest and lowest inverts beside them."""

    def __init__(self, line: DrainLine, room: DrainRoom) -> None:
        self.closed = line.closed
        self.pieces = _from_a_step(line, room)
        self.starts = np.cumsum([0.0, *(piece.length for piece in self.pieces)])
        self.total = float(self.starts[-1])
        self.highest = np.array([room.highest(piece) for piece in self.pieces])
        self.lowest = np.array([room.lowest(piece) for piece in self.pieces])

    def between(self, start: float, end: float) -> list[tuple[int, float, float]]:
        """Give the pieces from one distance to another, and where on them; either way round."""
        if start > end:
            return [(i, b, a) for i, a, b in reversed(self.between(end, start))]
        found = []
        for turn in (0, 1) if self.closed else (0,):
            for i in range(len(self.pieces)):
                low = max(start, float(self.starts[i]) + turn * self.total)
                high = min(end, float(self.starts[i + 1]) + turn * self.total)
                if high - low > ON_LINE:
                    found.append((i, low - turn * self.total, high - turn * self.total))
        return found

    def place(self, i: int, distance: float) -> Point:
        """Give the place on a piece at a distance along the line, m."""
        piece, at = self.pieces[i], distance - float(self.starts[i])
        if at <= 0.0:
            return piece.start
        share = at / piece.length
        (x0, y0), (x1, y1) = piece.start, piece.end
        return piece.end if share >= 1.0 else (x0 + share * (x1 - x0), y0 + share * (y1 - y0))

    def plateaus(self) -> list[tuple[int, int]]:
        """Give the first piece of each level stretch, and the one after its last."""
        cuts = [0]
        for i in range(1, len(self.pieces)):
            if abs(self.highest[i] - self.highest[i - 1]) > ON_LINE:
                cuts.append(i)
        return list(zip(cuts, [*cuts[1:], len(self.pieces)], strict=True))


def _from_a_step(line: DrainLine, room: DrainRoom) -> tuple[DrainPiece, ...]:
    """Start a closed line where its level changes, so that no level stretch is cut in two."""
    if line.closed:
        for i, piece in enumerate(line.pieces):
            if abs(room.highest(piece) - room.highest(line.pieces[i - 1])) > ON_LINE:
                return (*line.pieces[i:], *line.pieces[:i])
    return line.pieces


def _low_points(path: _Path, outlet: Point | None) -> list[float]:
    plateaus = path.plateaus()
    heights = [float(path.highest[first]) for first, _ in plateaus]
    lows = []
    for i, own in enumerate(heights):
        ring = path.closed and len(heights) > 1
        before = heights[i - 1] if ring or i > 0 else math.inf
        after = heights[(i + 1) % len(heights)] if ring or i < len(heights) - 1 else math.inf
        if own < min(before, after):
            lows.append(_nearest(path, plateaus[i], outlet))
    return lows


def _nearest(path: _Path, plateau: tuple[int, int], outlet: Point | None) -> float:
    """Give the distance along the line of a level stretch's place nearest to the outlet.

    Returns
    -------
    float
        m; without an outlet of the end of a piece whose wall comes first by name.
    """
    found: list[tuple[float, str, float]] = []
    for i in range(*plateau):
        piece = path.pieces[i]
        name = sorted_name(piece.strand.name)
        (x0, y0), (x1, y1) = piece.start, piece.end
        shares: tuple[float, ...] = (0.0, 1.0)
        if outlet is not None:
            along = (outlet[0] - x0) * (x1 - x0) + (outlet[1] - y0) * (y1 - y0)
            shares = (min(max(along / piece.length**2, 0.0), 1.0),)
        for share in shares:
            at = (x0 + share * (x1 - x0), y0 + share * (y1 - y0))
            off = 0.0 if outlet is None else math.dist(at, outlet)
            first = _from_first_corner(piece, share)
            where = float(path.starts[i]) + share * piece.length
            found.append((off, f"{name} {first:020.6f}", where))
    least = min(off for off, _, _ in found)
    near = [each for each in found if each[0] <= least + ON_LINE]
    return min(near, key=lambda each: each[1])[2]


def _from_first_corner(piece: DrainPiece, share: float) -> float:
    """Give a station from the wall's corner that comes first by name, m, never negative."""
    station = piece.from_station + share * (piece.to_station - piece.from_station)
    strand = piece.strand
    if sorted_name(strand.name) != strand.name:
        station = strand.length - station
    return max(station, 0.0)


def _steepest(path: _Path, start: float, end: float) -> float:
    """Give the steepest even fall from one place to another; infinite where they are one."""
    way = path.between(start, end)
    if not way:
        return math.inf
    falls, _ = _falls(path, way)
    return float(falls.min())


def _falls(path: _Path, way: Sequence[tuple[int, float, float]]) -> tuple[Floats, Floats]:
    """Give how far an arm may fall from the start of each piece to the end of each later one.

    Returns
    -------
    tuple of ndarray
        The falls by the length, and the lengths; pairs in which the end does not come after the
        start are infinite and 0.
    """
    own = [i for i, _, _ in way]
    lengths = np.array([abs(b - a) for _, a, b in way])
    ends = np.cumsum(lengths)
    runs = ends[None, :] - (ends - lengths)[:, None]
    spare = path.highest[own][:, None] - path.lowest[own][None, :]
    later = np.triu(np.ones_like(runs, dtype=bool))
    falls = np.where(later, np.maximum(spare, 0.0) / np.where(later, runs, 1.0), np.inf)
    return falls, np.where(later, runs, 0.0)


def _high_point(path: _Path, before: float, after: float, asked: float) -> float:
    """Find where between two low points the water parts."""
    way = path.between(before, after)
    crown = max(float(path.highest[i]) for i, _, _ in way)
    reach, spans = before, []
    for i, a, b in way:
        if path.highest[i] >= crown - ON_LINE:
            spans.append((reach, reach + b - a))
        reach += b - a
    low, high = spans[0][0], spans[-1][1]

    def least(at: float) -> float:
        return min(asked, _steepest(path, at, before), _steepest(path, at, after))

    middle = (low + high) / 2
    if least(middle) >= asked - _EVEN:
        return middle
    # The nearer to a low point, the steeper the arm to it and the flatter the other may be.
    a, b = low, high
    for _ in range(_HALVINGS):
        at = (a + b) / 2
        a, b = (a, at) if _steepest(path, at, after) > _steepest(path, at, before) else (at, b)
    best, target = (a + b) / 2, least((a + b) / 2)
    if least(middle) >= target - _EVEN:
        return middle
    kept, lost = best, middle
    for _ in range(_HALVINGS):
        at = (kept + lost) / 2
        kept, lost = (at, lost) if least(at) >= target - _EVEN else (kept, at)
    return kept


def _arm(path: _Path, high: float, low: float, asked: float) -> DrainArm:
    way = path.between(high, low)
    falls, runs = _falls(path, way)
    fall = min(asked, float(falls.min()))
    later = runs > 0.0
    spare = np.where(later, falls, 0.0) * runs
    lacking = float(np.where(later, asked * runs - spare, 0.0).max())
    pieces = []
    invert = float(path.highest[way[0][0]])
    for i, a, b in way:
        start = min(invert, float(path.highest[i]))
        end = start - fall * abs(b - a)
        pieces.append(
            FallingPiece(
                piece=path.pieces[i],
                start=path.place(i, a),
                end=path.place(i, b),
                from_invert=start,
                to_invert=end,
                drop=invert - start if invert - start > ON_LINE else 0.0,
            )
        )
        invert = end
    short = lacking if fall < asked - _EVEN else 0.0
    return DrainArm(pieces=tuple(pieces), fall=fall, asked=asked, lacking=short)
