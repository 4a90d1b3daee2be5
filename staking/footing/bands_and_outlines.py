"""What the footing package hands on: convex bands, and the closed rings of their union."""

from __future__ import annotations

from staking.frozen import frozen
from staking.kinds import FootingKind
from staking.plan import Point

Ring = tuple[Point, ...]
"""A closed ring without the repeated last point, m."""


@frozen
class Band:
    """The convex strip of ground one wall, interior line or pad covers.

    `name` is the wall's, line's or pad's; `hull` is anticlockwise, m.
    """

    name: str
    kind: FootingKind
    hull: Ring


@frozen
class Outline:
    """Merged bands: outer rings anticlockwise, holes clockwise, area in m2.

    Each ring starts at its lowest, then leftmost, point and has no collinear points.
    """

    outlines: tuple[Ring, ...]
    holes: tuple[Ring, ...]
    area: float
