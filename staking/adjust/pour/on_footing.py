"""A surveyed point that says which footing edge or top it was taken on."""

from __future__ import annotations

from enum import StrEnum

from staking.frozen import frozen
from staking.kinds import FootingEdge


class PointLevel(StrEnum):
    """Which level of a footing a point was taken at."""

    TOP = "top"
    BOTTOM = "bottom"


@frozen
class OnFooting:
    """A surveyed point on a footing.

    Parameters
    ----------
    wheres
        The walls, interior lines and pads it names; a corner of the footing names two walls.
    side
        Which edge of a wall or line; None for a pad's edge or a top.
    level
        Where its elevation counts, on the top or under the bottom; None else.
    easting, northing, elevation
        m; the elevation not-a-number where there is none.
    name
        The point's own name.
    line
        Of the file.
    on_pad_edge
        Whether it is on an edge of a pad, which need not be named.
    """

    wheres: tuple[str, ...]
    side: FootingEdge | None
    level: PointLevel | None
    easting: float
    northing: float
    elevation: float
    name: str
    line: int
    on_pad_edge: bool = False

    @property
    def is_on_edge(self) -> bool:
        """Whether it was taken on an edge."""
        return self.side is not None or self.on_pad_edge
