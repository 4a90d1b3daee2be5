"""Anchor bolts along the sill plates."""

from __future__ import annotations

import math

from staking.kinds import FootingKind, OrderGroup
from staking.notices import Length, Notice, Severity, notice
from staking.order.block import butted, wall_thicknesses
from staking.order.order_results import Bolts, Item, working
from staking.order.ordered_by import Measured
from staking.order.wall_levels import Levels
from staking.plan import Opening, Plan, reversed_name
from staking.tolerances import ON_LINE, SAME_POINT
from staking.units import FOOT, INCH

BOLT = 0.5 * INCH
"""Diameter of a bolt, m (IRC 2024, R403.1.6, read in a reprint)."""

FROM_END = 12 * INCH
"""The farthest a plate's end bolt stands from the plate's end, m (IRC R403.1.6)."""

NEAREST_END = 7 * BOLT
"""The nearest it may stand, m: seven diameters (IRC R403.1.6)."""

SPACING = 6 * FOOT
"""The farthest bolts stand apart, m (IRC R403.1.6)."""


def bolt_stations(length: float, spacing: float = SPACING) -> tuple[float, ...]:
    """Place the bolts of one plate.

    Parameters
    ----------
    length
        Of the plate, m.
    spacing
        The farthest apart, m.

    Returns
    -------
    tuple of float
        Stations from the plate's end, m: one 12 in from each end (a quarter of a short plate,
        and never nearer than seven diameters), the rest evenly between. None on a plate
        of 8 in or less, where the two would stand within two diameters of each other.

    References
    ----------
    International Residential Code 2024, R403.1.6.
    """
    if length <= 2 * NEAREST_END + 2 * BOLT + SAME_POINT:
        return ()
    end = min(FROM_END, max(NEAREST_END, length / 4))
    between = length - 2 * end
    spaces = max(1, math.ceil(between / spacing - ON_LINE))
    return tuple(end + between * i / spaces for i in range(spaces + 1))


def wall_bolts(plan: Plan, levels: Levels, spacing: float) -> tuple[Bolts, ...]:
    """Place the bolts of all walls, those inside too.

    Parameters
    ----------
    plan, levels
        The building; at an opening the plate stops.
    spacing
        The farthest apart, m.

    Returns
    -------
    tuple of Bolts
        One a plate, walls in the plan's order, then interior lines, whose plates lie between the
        walls they run to; stations from the wall's first corner or the line's start.
    """
    found = []
    thickness = wall_thicknesses(plan)
    for strand in levels.network.strands:
        whole = plates(strand.name, strand.length, plan.openings)
        if strand.kind is not FootingKind.WALL:
            whole = tuple(butted(whole, strand, plan, thickness))
        for start, end in whole:
            stations = bolt_stations(end - start, spacing)
            if stations:
                found.append(Bolts(wall=strand.name, stations=tuple(start + s for s in stations)))
    return tuple(found)


def plates(
    wall: str, length: float, openings: tuple[Opening, ...]
) -> tuple[tuple[float, float], ...]:
    """Give the plates of one wall, from its first corner.

    Returns
    -------
    tuple of tuple
        Start and end of each, m; openings cut them.
    """
    turned = reversed_name(wall)
    gaps = []
    for each in openings:
        if each.wall == wall:
            gaps.append((each.start, each.start + each.width))
        elif each.wall == turned:
            gaps.append((length - each.start - each.width, length - each.start))
    found = []
    at = 0.0
    for start, end in sorted(gaps):
        found.append((at, start))
        at = max(at, end)
    found.append((at, length))
    return tuple((a, b) for a, b in found if b - a > ON_LINE)


def bolt_item(bolts: tuple[Bolts, ...]) -> tuple[Item, ...]:
    """Count the bolts.

    Returns
    -------
    tuple of Item
        One, or none without bolts.
    """
    counts = [len(each.stations) for each in bolts]
    count = sum(counts)
    if not count:
        return ()
    return (
        Item(
            group=OrderGroup.BLOCK,
            what="anchor bolts 1/2 in (12.7 mm), at least 7 in (178 mm) into the wall, with nut "
            "and washer",
            quantity=float(count),
            measured=Measured.COUNT,
            counted="bolts",
            arithmetic=working(
                "{sum} = {count}",
                sum=" + ".join(str(n) for n in sorted(counts, reverse=True)),
                count=count,
            ),
            price="anchor bolt",
        ),
    )


def short_plates(plan: Plan, levels: Levels) -> tuple[Notice, ...]:
    """Say which plates are too short for two bolts.

    Returns
    -------
    tuple of Notice
        ``bolt-none``, one for all of them.
    """
    short = [
        (strand.name, end - start)
        for strand in levels.network.strands
        if strand.kind is FootingKind.WALL
        for start, end in plates(strand.name, strand.length, plan.openings)
        if not bolt_stations(end - start)
    ]
    if not short:
        return ()
    return (
        notice(
            "bolt-none",
            "along {walls} a plate of {length} is too short for two bolts and gets none: strap it "
            "to the plates beside it, as the building department wants it",
            Severity.NOTE,
            walls=", ".join(dict.fromkeys(name for name, _ in short)),
            length=Length(max(length for _, length in short)),
        ),
    )


def bolt_notices(bolts: tuple[Bolts, ...], spacing: float) -> tuple[Notice, ...]:
    """Say when the job spaces bolts wider than the model code.

    Returns
    -------
    tuple of Notice
        ``bolt-spacing``.
    """
    if not bolts or spacing <= SPACING + ON_LINE:
        return ()
    return (
        notice(
            "bolt-spacing",
            "anchor bolts {spacing} apart: IRC R403.1.6 allows no more than {limit}",
            spacing=Length(spacing),
            limit=Length(SPACING),
        ),
    )
