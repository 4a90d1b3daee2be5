"""The outline's sides against the drawing's own dimensions, and its corners to the sixteenth."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from staking.frozen import frozen
from staking.units import INCH

if TYPE_CHECKING:
    from staking.outline.designers_drawing import DrawnDimension
    from staking.plan import Point

SIXTEENTH = INCH / 16
_AT_CORNER = INCH
"""A dimension's point this near to a corner, m, stands for it."""
NEAR_SIXTEENTH = INCH / 64
"""Corners all this near to sixteenths were drawn to sixteenths (common practice, no source)."""


@frozen
class HeldSide:
    """A side of the outline, and the drawing's own dimension of it; m.

    `dimension` is what the dimension's text says; None where no dimension runs from its one
    corner to the other.
    """

    start: str
    end: str
    length: float
    dimension: float | None

    @property
    def differs(self) -> bool:
        """Whether the text says another length than is drawn, by more than a sixteenth."""
        return self.dimension is not None and abs(self.dimension - self.length) > SIXTEENTH


def held_sides(
    names: Sequence[str],
    corners: Sequence[Point],
    dimensions: Sequence[DrawnDimension],
    metres: float,
    origin: Point,
) -> tuple[HeldSide, ...]:
    """Hold every side against the drawing's own dimensions.

    Parameters
    ----------
    names, corners
        The outline, m.
    dimensions
        The drawing's dimensions, in its unit.
    metres
        How long a unit of the drawing is, m.
    origin
        The point of the drawing that is 0, 0 of `corners`, in its unit.

    Returns
    -------
    tuple of HeldSide
        In the outline's order.
    """

    def placed(point: Point) -> Point:
        return ((point[0] - origin[0]) * metres, (point[1] - origin[1]) * metres)

    known = [
        (placed(each.start), placed(each.end), said)
        for each in dimensions
        if (said := _said(each, metres)) is not None
    ]
    sides = []
    following = (*range(1, len(corners)), 0)
    for i, j in enumerate(following):
        a, b = corners[i], corners[j]
        fits = [
            said
            for one, other, said in known
            if max(math.dist(a, one), math.dist(b, other)) < _AT_CORNER
            or max(math.dist(a, other), math.dist(b, one)) < _AT_CORNER
        ]
        sides.append(
            HeldSide(
                start=names[i],
                end=names[j],
                length=math.dist(a, b),
                dimension=fits[0] if fits else None,
            )
        )
    return tuple(sides)


def _said(dimension: DrawnDimension, metres: float) -> float | None:
    """Give the length that a dimension's text says, m.

    A bare number counts in the drawing's unit or, where it is about a thousand times what is
    measured, in millimetres.

    Returns
    -------
    float or None
        None where the text is not a length.
    """
    if dimension.length is not None:
        return dimension.length
    if dimension.bare is None:
        return None
    if dimension.bare > 100 * dimension.measured:
        return dimension.bare / 1000
    return dimension.bare * metres


def to_sixteenths(corners: Sequence[Point]) -> tuple[tuple[Point, ...], float]:
    """Move corners to the nearest sixteenth of an inch where all of them lie by one already.

    Parameters
    ----------
    corners
        x and y from the first corner, m.

    Returns
    -------
    tuple
        The corners, moved or as they were, and how far the farthest is from a sixteenth, m.
    """
    rounded = tuple(
        (round(x / SIXTEENTH) * SIXTEENTH, round(y / SIXTEENTH) * SIXTEENTH) for x, y in corners
    )
    off = max(
        abs(one - other)
        for place, near in zip(corners, rounded, strict=True)
        for one, other in zip(place, near, strict=True)
    )
    return (rounded if off <= NEAR_SIXTEENTH else tuple(corners)), off
