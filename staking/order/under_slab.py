"""Fill that is missing under a slab: between the ground, its topsoil gone, and the slab's stone."""

from __future__ import annotations

from collections.abc import Sequence

from staking.frozen import frozen
from staking.grade.terrain.volume import Facet, prism
from staking.kinds import ItemRole, OrderGroup
from staking.lines import clip_ring
from staking.notices import Area, Length, Notice, Severity, notice
from staking.order.concrete import slab_shape
from staking.order.order_results import Item, Turned, working
from staking.order.ordered_by import Measured
from staking.order.trench import rings_of
from staking.plan import Plan, Point
from staking.tolerances import AREA, ON_LINE
from staking.units import INCH

GRANULAR = 24 * INCH
"""Sand or gravel under a slab deeper than this, m, takes an approval (IRC R506.2.1;
the figures as in a county's summary of the California Residential Code)."""

EARTH = 8 * INCH
"""The same of earth, m (IRC R506.2.1)."""


@frozen
class MissingFill:
    """What is missing under a slab, compacted.

    Parameters
    ----------
    floor
        Area between the walls, m2.
    known
        The part of it over which the ground is known, m2.
    volume
        m3.
    deepest
        m.
    over_granular
        Area where it is deeper than `GRANULAR`, m2.
    """

    floor: float
    known: float
    volume: float
    deepest: float
    over_granular: float

    @property
    def mean(self) -> float:
        """Volume over the whole floor, m."""
        return self.volume / self.floor


def missing_fill(plan: Plan, facets: Sequence[Facet], strip: float) -> MissingFill | None:
    """Work out the fill that a slab needs under its stone.

    Parameters
    ----------
    plan
        The building with its slab.
    facets
        The existing ground inside.
    strip
        Topsoil that is taken off, m.

    Returns
    -------
    MissingFill or None
        None without a slab whose top is known.
    """
    slab = plan.slab
    if slab is None or slab.top is None:
        return None
    shape = slab_shape(plan)
    rings = rings_of(shape)
    # The ground is filled from where the topsoil was up to the underside of the slab's stone.
    level = slab.top - slab.thickness - slab.base + strip
    volume = known = over = deepest = 0.0
    for facet in facets:
        a, b, c = facet.plane
        depth = (-a, -b, level - c)
        for ring in rings:
            part = list(ring)
            for side in facet.sides:
                part = clip_ring(part, *side)
            known += prism(part, (0.0, 0.0, 1.0))
            filled = clip_ring(part, *depth)
            volume += prism(filled, depth)
            deep = clip_ring(part, depth[0], depth[1], depth[2] - GRANULAR)
            over += prism(deep, (0.0, 0.0, 1.0))
            deepest = max([deepest, *(_at(depth, point) for point in filled)])
    return MissingFill(
        floor=float(shape.area), known=known, volume=volume, deepest=deepest, over_granular=over
    )


def _at(plane: tuple[float, float, float], point: Point) -> float:
    return plane[0] * point[0] + plane[1] * point[1] + plane[2]


def missing_items(fill: MissingFill | None) -> tuple[Item, ...]:
    """Show the volume and its arithmetic; it is bought by nobody here.

    Returns
    -------
    tuple of Item
        One, or none where nothing is missing.
    """
    if fill is None or fill.deepest <= ON_LINE:
        return ()
    return (
        Item(
            group=OrderGroup.DIG,
            what="fill missing under the slab, compacted, not ordered here",
            quantity=fill.volume,
            measured=Measured.BULK,
            arithmetic=working(
                "floor {area} x {mean} mean depth = {volume}",
                area=Area(fill.floor),
                mean=Length(fill.mean),
                volume=Turned(fill.volume),
            ),
            role=ItemRole.FILL,
        ),
    )


def missing_notices(fill: MissingFill | None) -> tuple[Notice, ...]:
    """Say how deep the fill is, and what a code asks of it.

    Returns
    -------
    tuple of Notice
        ``fill-missing``; ``fill-unknown`` where the ground is not known all over.
    """
    if fill is None or fill.deepest <= ON_LINE:
        return ()
    told = []
    approval = ""
    if fill.deepest > GRANULAR + ON_LINE:
        approval = (
            "; over {deep} of it is deeper than 24 in (610 mm), and more than that of sand or "
            "gravel, or 8 in (203 mm) of earth, is only laid where it is approved (IRC R506.2.1): "
            "ask the building department, some of which want a design professional's design"
        )
    elif fill.deepest > EARTH + ON_LINE:
        approval = (
            "; more than 8 in (203 mm) of earth, or 24 in (610 mm) of sand or gravel, is only laid "
            "where it is approved (IRC R506.2.1)"
        )
    told.append(
        notice(
            "fill-missing",
            "under the slab's stone fill is missing once the topsoil is off, up to {deepest} deep "
            "and {mean} on average over {floor}; it is not ordered here, and what is dug is carted "
            "away" + approval,
            Severity.WARNING if approval else Severity.NOTE,
            deepest=Length(fill.deepest),
            mean=Length(fill.mean),
            floor=Area(fill.floor),
            deep=Area(fill.over_granular),
        )
    )
    if fill.floor - fill.known > max(AREA, 1e-3):
        told.append(
            notice(
                "fill-unknown",
                "no ground is known over {area} of the floor: fill missing there is not counted",
                area=Area(fill.floor - fill.known),
            )
        )
    return tuple(told)
