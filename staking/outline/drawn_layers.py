"""A drawing's layers as chains to be shown, thinned to what can be seen."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from staking.frozen import frozen
from staking.outline.designers_drawing import CurveKind
from staking.outline.line_work import arc_points

if TYPE_CHECKING:
    from staking.outline.designers_drawing import DrawnCurve, Floats, PlanDrawing

SEEN = 1 / 2000
"""The smallest step that is shown, as a part of the drawing's larger side."""
MOST_CHAINS = 20_000
"""Chains shown at most; of more the longest are."""
_SHOWN_METRES = 10.0
"""How large the drawing is taken to be while arcs are flattened, m: finer than anyone sees."""


@frozen(eq=False)
class ShownLayer:
    """One layer as it is shown.

    Parameters
    ----------
    name
        The layer.
    chains
        Each ``(n, 2)`` x and y in the drawing's unit.
    """

    name: str
    chains: tuple[Floats, ...]


@frozen(eq=False)
class ShownDrawing:
    """A drawing as it is shown.

    Parameters
    ----------
    layers
        In the order of their names.
    low, high
        The least and the greatest x and y.
    """

    layers: tuple[ShownLayer, ...]
    low: tuple[float, float]
    high: tuple[float, float]


def shown_drawing(drawing: PlanDrawing) -> ShownDrawing:
    """Give a drawing's layers as they are shown.

    Parameters
    ----------
    drawing
        The drawing.

    Returns
    -------
    ShownDrawing
        Steps too small to be seen are left out, and of very many chains the shorter ones.
    """
    if not drawing.curves:
        return ShownDrawing(layers=(), low=(0.0, 0.0), high=(1.0, 1.0))
    points = np.concatenate([each.points for each in drawing.curves])
    low, high = points.min(axis=0), points.max(axis=0)
    size = max(float((high - low).max()), 1e-9)
    chains = [
        (curve.layer, chain)
        for curve in drawing.curves
        for chain in [_thinned(_chain(curve, size), size * SEEN)]
        if len(chain) > 1
    ]
    chains.sort(key=lambda each: -float(np.ptp(each[1], axis=0).max()))
    by_layer: dict[str, list[Floats]] = {each.layer: [] for each in drawing.curves}
    for layer, chain in chains[:MOST_CHAINS]:
        by_layer[layer].append(chain)
    (left, bottom), (right, top) = low.tolist(), high.tolist()
    return ShownDrawing(
        layers=tuple(
            ShownLayer(name=name, chains=tuple(by_layer[name])) for name in sorted(by_layer)
        ),
        low=(left, bottom),
        high=(right, top),
    )


def _chain(curve: DrawnCurve, size: float) -> Floats:
    if curve.kind is CurveKind.STRAIGHT:
        return curve.points
    scale = _SHOWN_METRES / size
    return arc_points(curve.points * scale) / scale


def _thinned(chain: Floats, step: float) -> Floats:
    """Leave out the points that lie on the one before them as far as one can see."""
    cells = np.round(chain / step)
    moves = np.any(cells[1:] != cells[:-1], axis=1)
    return chain[np.concatenate(([True], moves))]
