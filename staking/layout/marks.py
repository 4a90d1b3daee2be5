"""What is nailed on the boards: one mark for each face and edge a string stands for.

Every mark of a string is given by its place across the string, so that the boards at both ends
carry the same marks and each mark lies on its face's or edge's line run on.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

from staking.frozen import frozen
from staking.plan import Dig, Footing, InteriorLine, Pad, Point, Wall
from staking.tolerances import ON_LINE, SAME_POINT

BOARD_PAST_MARKS = 6 * 0.0254
"""How far a board reaches past its outermost marks, m (common practice, no source)."""


@frozen
class LineMark:
    """A mark by its place across a string.

    Parameters
    ----------
    mark
        What it is for: ``outside face``, ``centre`` ….
    wall
        The wall, interior line or pad it belongs to.
    offset
        From the ``outside face`` or ``centre``, m; positive away from the wall's building, or to
        the right of from-to.
    lateral
        The same place, m, positive to the left of the string's own direction.
    """

    mark: str
    wall: str
    offset: float
    lateral: float


def dig_growth(footing: Footing, dig: Dig) -> float:
    """How far the dig reaches past a footing edge at the ground, m.

    Parameters
    ----------
    footing
        The footing; its width is compared with the bucket's.
    dig
        How the trench is dug; the bank adds its run per unit depth times the depth.

    Returns
    -------
    float
        The growth on each side, m, never negative.

    Examples
    --------
    >>> dig_growth(Footing(width=0.4, thickness=0.2, outside=0.1), Dig(bucket=0.6))
    0.09999999999999998
    """
    return max(dig.overdig, (dig.bucket - footing.width) / 2, 0.0) + dig.bank * dig.depth


def wall_marks(wall: Wall, dig: Dig, away: float) -> tuple[LineMark, ...]:
    """Make the marks of one wall.

    Parameters
    ----------
    wall
        The wall; its outside face is the string.
    dig
        How the trench is dug.
    away
        1 where the left of the string leads away from the wall's building, else -1.

    Returns
    -------
    tuple of LineMark
        The faces, the footing edges, and where the dig is wider its two lines.
    """
    footing = wall.footing
    outer, inner = footing.outside, -footing.inside
    places = [
        ("outside face", 0.0),
        ("inside face", -wall.thickness),
        ("outer footing edge", outer),
        ("inner footing edge", inner),
    ]
    growth = dig_growth(footing, dig)
    if growth > ON_LINE:
        places += [("dig line", outer + growth), ("dig line", inner - growth)]
    return tuple(
        LineMark(mark=mark, wall=wall.name, offset=offset, lateral=away * offset)
        for mark, offset in places
    )


def interior_marks(line: InteriorLine, dig: Dig) -> tuple[LineMark, ...]:
    """Make the marks of an interior line, whose string runs on its centre from start to end.

    Parameters
    ----------
    line
        The interior line; its footing lies centred under it.
    dig
        How the trench is dug.

    Returns
    -------
    tuple of LineMark
        Centre, faces, footing edges, and where the dig is wider its two lines; offsets positive
        to the right.
    """
    face, edge = line.thickness / 2, line.footing.width / 2
    places = [
        ("centre", 0.0),
        ("left face", -face),
        ("right face", face),
        ("left footing edge", -edge),
        ("right footing edge", edge),
    ]
    growth = dig_growth(line.footing, dig)
    if growth > ON_LINE:
        places += [("dig line", -edge - growth), ("dig line", edge + growth)]
    return tuple(_to_the_right(mark, line.name, offset) for mark, offset in places)


def pad_marks(pads: Iterable[Pad], direction: Point) -> tuple[LineMark, ...]:
    """Make the marks of a string over pads.

    Parameters
    ----------
    pads
        The pads in the string's order.
    direction
        The string's unit direction.

    Returns
    -------
    tuple of LineMark
        The centre, under the first pad's name, and the two faces for each distinct width across
        the string; a pad that stands askew to the string has no face along it.
    """
    marks: list[LineMark] = []
    for pad in pads:
        marks.append(_to_the_right("centre", pad.name, 0.0))
        across = _width_across(pad, direction)
        if across is not None:
            marks.append(_to_the_right("left face", pad.name, -across / 2))
            marks.append(_to_the_right("right face", pad.name, across / 2))
    return without_repeats(marks)


def reach_along(pad: Pad, direction: Point) -> float:
    """How far a pad reaches from its centre along a direction.

    Parameters
    ----------
    pad
        A square or round pad.
    direction
        A unit direction on the building grid.

    Returns
    -------
    float
        Half its extent along the direction, m.
    """
    if pad.size is None:
        return (pad.diameter or 0.0) / 2
    along, across = _turned(pad, direction)
    return (abs(along) * pad.size[0] + abs(across) * pad.size[1]) / 2


def without_repeats(marks: Iterable[LineMark]) -> tuple[LineMark, ...]:
    """Drop a mark where an earlier one has its name, place and building side.

    Parameters
    ----------
    marks
        Marks of one string, in order.

    Returns
    -------
    tuple of LineMark
        The first of each kind, in order.
    """
    kept: list[LineMark] = []
    by_name: dict[tuple[str, float], list[float]] = {}
    for mark in marks:
        # Nought carries its sign: two buildings back to back have two outside faces.
        side = math.copysign(1.0, mark.offset) * math.copysign(1.0, mark.lateral)
        offsets = by_name.setdefault((mark.mark, side), [])
        if all(abs(mark.offset - offset) > ON_LINE for offset in offsets):
            offsets.append(mark.offset)
            kept.append(mark)
    return tuple(kept)


def board_reach(marks: Iterable[LineMark]) -> tuple[float, float]:
    """How far a board reaches across its string.

    Parameters
    ----------
    marks
        The marks it carries, at least one.

    Returns
    -------
    tuple of float
        The lateral places of its two ends, m, the lesser first.
    """
    places = [mark.lateral for mark in marks]
    return min(places) - BOARD_PAST_MARKS, max(places) + BOARD_PAST_MARKS


def _to_the_right(mark: str, name: str, offset: float) -> LineMark:
    return LineMark(mark=mark, wall=name, offset=offset, lateral=-offset)


def _turned(pad: Pad, direction: Point) -> Point:
    # Components of the direction along the pad's width and depth.
    cosine, sine = math.cos(pad.turn), math.sin(pad.turn)
    return (
        direction[0] * cosine + direction[1] * sine,
        direction[1] * cosine - direction[0] * sine,
    )


def _width_across(pad: Pad, direction: Point) -> float | None:
    if pad.size is None:
        return pad.diameter
    along, across = _turned(pad, direction)
    width, depth = pad.size
    if abs(across) * width <= SAME_POINT:
        return depth
    if abs(along) * depth <= SAME_POINT:
        return width
    return None
