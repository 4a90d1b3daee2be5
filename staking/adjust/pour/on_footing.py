"""A surveyed point that says which footing edge or top it was taken on."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class OnFooting:
    """A surveyed point on a footing.

    Parameters
    ----------
    wheres
        The walls, interior lines and pads it names; a corner of the footing names two walls.
    side
        ``outer``, ``inner``, ``left``, ``right``; empty for a pad's edge or a top.
    level
        ``top`` or ``bottom`` where its elevation counts, else empty.
    easting, northing, elevation
        m; the elevation not-a-number where there is none.
    name
        The point's own name.
    line
        Of the file.
    """

    wheres: tuple[str, ...]
    side: str
    level: str
    easting: float
    northing: float
    elevation: float
    name: str
    line: int
