"""What a designer's drawing holds that an outline is made of: curves, dimensions, its unit."""

from __future__ import annotations

import re
from enum import StrEnum
from typing import TYPE_CHECKING

from staking.frozen import frozen
from staking.units import Unit

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from staking.plan import Point

    Floats = NDArray[np.float64]


class CurveKind(StrEnum):
    """Whether a curve's points are joined by straight lines or lie on one arc."""

    STRAIGHT = "straight"
    ARC = "arc"


@frozen(eq=False)
class DrawnCurve:
    """One curve of a drawing.

    Parameters
    ----------
    layer
        Its layer's name; what a block holds on the layer 0 lies on the layer of the block.
    kind
        Straight from point to point, or one arc through three points.
    points
        ``(n, 2)`` x and y in the drawing's unit; of an arc its start, a point on it, its end.
    """

    layer: str
    kind: CurveKind
    points: Floats


@frozen
class DrawnDimension:
    """A dimension of a drawing between two points.

    Parameters
    ----------
    start, end
        The two points that it measures between, in the drawing's unit.
    measured
        What it measures, in the drawing's unit.
    text
        What stands on it.
    length
        The length that the text gives, m; None where it names no unit.
    bare
        The number that the text is, where it is a number without a unit; else None.
    """

    start: Point
    end: Point
    measured: float
    text: str
    length: float | None
    bare: float | None


@frozen(eq=False)
class PlanDrawing:
    """A drawing as it is read, before anything is made of it.

    Parameters
    ----------
    name
        The file as the user named it.
    curves
        What is drawn in its model space, blocks taken apart.
    dimensions
        Its straight dimensions.
    header_unit
        The unit that its header names; None where it names none.
    """

    name: str
    curves: tuple[DrawnCurve, ...]
    dimensions: tuple[DrawnDimension, ...]
    header_unit: Unit | None


def plain_layer(name: str) -> str:
    """Give the part of a layer's name after the mark of an external reference.

    Returns
    -------
    str
        The name itself where it has no such mark.

    Examples
    --------
    >>> plain_layer("house|S-FNDN"), plain_layer("house$0$S-FNDN"), plain_layer("S-FNDN")
    ('S-FNDN', 'S-FNDN', 'S-FNDN')
    """
    return re.split(r"\||\$\d+\$", name)[-1]
