"""What a layout does to its lot: clearances, what stands over the line, digging by hand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from staking.footing.bands_and_outlines import Band, Outline
from staking.frozen import frozen
from staking.kinds import LotPart
from staking.layout.layout_parts import Board, Hub
from staking.notices import Length, Notice, NoticeKind, notice
from staking.plan import Plan, Point
from staking.points import KnownPoint
from staking.site.building_on_lot import BuildingOnLot, NamedLine, coordinates
from staking.site.buried import hand_dig, stakes_near
from staking.site.clearance import Lot, beyond, building_parts, clearance_notices, clearances
from staking.site.deed.deed_lot import boundary_ring
from staking.site.keep_off import keep_off_notices, kept_off
from staking.site.site_request import SiteAsked
from staking.site.site_results import (
    BoundaryLine,
    Clearance,
    HandDig,
    KeptOff,
    Placement,
)


@frozen
class Built:
    """What the layout puts on the lot."""

    plan: Plan
    footing: Outline
    dig_bands: tuple[Band, ...]
    boards: tuple[Board, ...]
    hubs: tuple[Hub, ...]


def clearances_on(
    asked: SiteAsked,
    boundary: Sequence[KnownPoint],
    placement: Placement,
    built: Built,
    lines: Sequence[BoundaryLine] = (),
) -> tuple[tuple[Clearance, ...], tuple[Notice, ...]]:
    """Return how the building keeps clear of the boundary, and what stands beyond it.

    Parameters
    ----------
    asked
        Setbacks and overhang.
    boundary
        The boundary's points in order.
    placement
        Where the building is.
    built
        What stands on the lot.
    lines
        The lines of the boundary, where some are curved or may be off; none where all run straight
        from point to point.

    Returns
    -------
    tuple of Clearance
        Line by line.
    tuple of Notice
        Setbacks not kept, parts over the line, and ``neighbour`` for boards and hubs.
    """
    if not boundary:
        return (), ()
    ring, line_of = boundary_ring(lines, coordinates(boundary))
    lot = Lot(
        names=tuple(each.name for each in boundary),
        points=placement.to_building(ring),
        line_of=line_of,
        doubts=tuple(line.doubt for line in lines),
    )
    found = clearances(
        lot,
        building_parts(built.plan, built.footing, asked.overhang),
        {(each.start, each.end): each.distance for each in asked.setbacks},
        asked.other_setback,
        placement,
    )
    # Without eaves their edge is the wall's, and one fault is told once.
    told = [each for each in found if asked.overhang > 0 or each.what is not LotPart.EAVE]
    stakes: dict[str, list[Point]] = {}
    for name, point in _stakes(built):
        stakes.setdefault(name, []).append(point)
    over: dict[str, list[tuple[str, float]]] = {}
    for name, far, line in beyond(lot, stakes):
        over.setdefault(line, []).append((name, far))
    neighbours = [
        notice(
            "neighbour",
            "{stakes} would stand on the neighbour's side of the boundary line {line}, up to {far} "
            "over it: ask first, or set a smaller stand_off",
            line=line,
            far=Length(max(far for _, far in group)),
            stakes=", ".join(name for name, _ in group),
        )
        for line, group in over.items()
    ]
    return found, (*clearance_notices(told), *neighbours)


def keeping_off(site: BuildingOnLot, placement: Placement, built: Built) -> tuple[KeptOff, ...]:
    """Return how far the building keeps off wells, tanks, fields and easements.

    Parameters
    ----------
    site
        The lot.
    placement
        Where the building is.
    built
        What stands on the lot.

    Returns
    -------
    tuple of KeptOff
        In the order of the job.
    """
    if not site.keep:
        return ()
    found = () if site.deed is None else site.deed.found
    drawn = {
        each.name: max(line.doubt for line in site.lines)
        for each in site.keep
        if site.deed is not None
        and any(point in site.deed.boundary and point.name not in found for point in each.points)
    }
    return kept_off(
        site.asked.keep,
        {each.name: placement.to_building(coordinates(each.points)) for each in site.keep},
        building_parts(built.plan, built.footing, site.asked.overhang),
        placement,
        drawn,
    )


def _stakes(built: Built) -> list[tuple[str, Point]]:
    return [
        *((f"board {board.name}", end) for board in built.boards for end in board.ends),
        *((f"the hub of {hub.corner} on {hub.wall}", (hub.x, hub.y)) for hub in built.hubs),
    ]


def digging_by_hand(
    buried: Sequence[NamedLine], placement: Placement, built: Built
) -> tuple[tuple[HandDig, ...], tuple[Notice, ...]]:
    """Return where the trench is dug by hand, and the stakes too near a buried line.

    Parameters
    ----------
    buried
        The buried lines.
    placement
        Where the building is.
    built
        What stands on the lot.

    Returns
    -------
    tuple of HandDig
        Line by line, wall by wall, by station.
    tuple of Notice
        ``hand-dig`` for each line that comes so near the dig, ``stake-over-line``.
    """
    found: list[HandDig] = []
    told: list[Notice] = []
    for each in buried:
        width = each.hand_dig or 0.0
        line = placement.to_building(coordinates(each.points))
        stretches = hand_dig(built.plan, built.dig_bands, each.name, line, width)
        found += stretches
        if stretches:
            told.append(
                notice(
                    NoticeKind.HAND_DIG,
                    "the dig along {walls} comes within {width} of {name}: dig there by hand",
                    name=each.name,
                    width=Length(width),
                    walls=", ".join(dict.fromkeys(stretch.wall for stretch in stretches)),
                )
            )
        near = stakes_near(line, width, _stakes(built))
        if near:
            told.append(
                notice(
                    "stake-over-line",
                    "{stakes} would stand within {width} of {name}: move what you can, and dig "
                    "the holes of the rest by hand",
                    width=Length(width),
                    name=each.name,
                    stakes=", ".join(stake for stake, _ in near),
                )
            )
    return tuple(found), tuple(told)


def on_the_lot(
    site: BuildingOnLot,
    plan: Plan,
    footing: Outline,
    dig_bands: tuple[Band, ...],
    boards: tuple[Board, ...],
    hubs: tuple[Hub, ...],
) -> BuildingOnLot:
    """Work out what the finished layout does to the lot.

    Parameters
    ----------
    site
        The lot with the building placed.
    plan, footing, dig_bands, boards, hubs
        The layout.

    Returns
    -------
    BuildingOnLot
        With clearances, hand digging and their notices.
    """
    if site.placement is None:
        return site
    built = Built(plan=plan, footing=footing, dig_bands=dig_bands, boards=boards, hubs=hubs)
    clear, of_boundary = clearances_on(site.asked, site.boundary, site.placement, built, site.lines)
    off = keeping_off(site, site.placement, built)
    by_hand, of_lines = digging_by_hand(site.buried, site.placement, built)
    return replace(
        site,
        clearances=clear,
        kept_off=off,
        hand_dig=by_hand,
        notices=(*site.notices, *of_boundary, *keep_off_notices(off), *of_lines),
    )
