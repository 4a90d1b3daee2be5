"""The closed lines of a layout in the coordinates that its points are written in."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

import numpy as np

from staking.frozen import frozen
from staking.output.wording import safe
from staking.site.building_on_lot import coordinates

if TYPE_CHECKING:
    from staking.footing.bands_and_outlines import Outline
    from staking.laid_out.layout_value import Layout
    from staking.plan import Point
    from staking.points import Array


@frozen(eq=False)
class NamedRing:
    """A closed line.

    Parameters
    ----------
    name, description
        Its name, once in the layout, and what it is.
    corners
        ``(n, 2)`` northing and easting, m; the last is joined to the first.
    sides
        The name of each side, from each corner to the next; empty texts where they have none.
    """

    name: str
    description: str
    corners: Array
    sides: tuple[str, ...]


def building_rings(layout: Layout) -> tuple[NamedRing, ...]:
    """List the outlines of the buildings, of their footings and of what is dug.

    Parameters
    ----------
    layout
        The layout.

    Returns
    -------
    tuple of NamedRing
        In the survey's coordinates where the building is placed; else y is northing and x easting.
        The dig outline only where it is another than the footing's.
    """
    rings = []
    for building in layout.plan.buildings:
        rings.append(
            NamedRing(
                name=safe(f"outline of {building.name}" if building.name else "outline"),
                description="outside face of the foundation wall",
                corners=_places(layout, building.ring),
                sides=tuple(safe(wall.name) for wall in building.walls),
            )
        )
    rings += _of_outline(layout, layout.footing, "footing")
    if layout.digs_wider:
        rings += _of_outline(layout, layout.dig, "dig")
    return tuple(rings)


def boundary_ring(layout: Layout) -> NamedRing | None:
    """Give the boundary of the lot on which a building is placed.

    Parameters
    ----------
    layout
        The layout.

    Returns
    -------
    NamedRing or None
        None where the building is not placed, or the job names no boundary.
    """
    site = layout.site
    if site is None or not layout.placed or not site.boundary:
        return None
    return NamedRing(
        name="lot",
        description="boundary as the survey has it",
        corners=site.plane.back(coordinates(site.boundary)),
        sides=tuple(safe(f"{line.start}-{line.end}") for line in site.lines),
    )


def _of_outline(layout: Layout, outline: Outline, what: str) -> Iterable[NamedRing]:
    for rings, kind in ((outline.outlines, "outline"), (outline.holes, "hole")):
        for number, ring in enumerate(rings, start=1):
            yield NamedRing(
                name=f"{what} {kind}" if len(rings) == 1 else f"{what} {kind} {number}",
                description=f"edge of the {what}" + (", inside" if kind == "hole" else ""),
                corners=_places(layout, ring),
                sides=("",) * len(ring),
            )


def _places(layout: Layout, points: Sequence[Point]) -> Array:
    places = np.array(points, dtype=float).reshape(-1, 2)
    if layout.site is not None and layout.placed:
        return layout.site.to_survey(places)
    return places[:, ::-1]
