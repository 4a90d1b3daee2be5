"""The bars of the footings: lengths and counts, before they are cut."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence

from staking.errors import ComputationError
from staking.kinds import FootingKind, OrderGroup
from staking.notices import Length, Notice, Severity, notice
from staking.order.bars.bars_in_footing import dowel_length, dowel_size
from staking.order.bars.cutting import cut_list
from staking.order.bars.laps import IRC_60, bar_name, bar_price, mass_per_length
from staking.order.bars.straights import Straight, Straights, find_straights
from staking.order.order_request import SteelAsked
from staking.order.order_results import CutList, Item, Mass, Piece, UnitMass, working
from staking.order.ordered_by import Measured
from staking.order.wall_levels import Levels
from staking.plan import Plan
from staking.tolerances import ON_LINE


def steel_pieces(plan: Plan, levels: Levels, steel: SteelAsked) -> tuple[Piece, ...]:
    """List the bars of all footings.

    Parameters
    ----------
    plan, levels
        The building and its footings.
    steel
        What is laid.

    Returns
    -------
    tuple of Piece
        Bars along each footing, corner bars, step bars, dowels, pad bars, each of one length.

    Notes
    -----
    Bars cross at corners: each runs out to the cover at the footing's far side. A run longer than
    the stock is lapped. A corner bar laps each bar it meets; a step bar runs a lap along the
    lower footing, up the rise, and a lap along the upper one. Bends are not deducted, which errs
    to the long side.
    """
    found = find_straights(levels)
    pieces: list[Piece] = []
    for run in found.runs if steel.bars else ():
        for start, end in run.parts:
            for length, count in lapped(
                end - start - 2 * steel.cover, steel.lap, steel.stock, run.name
            ):
                pieces.append(_piece("along the footing", run.name, steel, length, count))
    bends = len(found.corners) * steel.bars
    if bends:
        pieces.append(_piece("corner bars", "at corners", steel, 2 * steel.lap, bends))
    ends = len(found.junctions) * steel.bars
    if ends:
        pieces.append(_piece("corner bars", "at junctions", steel, 2 * steel.lap, ends))
    for run in found.runs:
        for rise, count in Counter(round(rise, 6) for rise in run.rises).items():
            length = 2 * steel.lap + rise
            pieces.append(_piece("step bars", run.name, steel, length, count * steel.bars))
    if steel.dowels is not None:
        for (thickness, where), count in _dowels(found, steel.dowels).items():
            pieces.append(
                Piece(
                    what="dowels",
                    where=where,
                    size=dowel_size(steel),
                    length=dowel_length(steel, thickness),
                    count=count,
                )
            )
    pieces += _pad_pieces(plan, steel)
    return tuple(piece for piece in pieces if piece.count > 0)


def lapped(
    run: float, lap: float, stock: float, where: str = "a footing"
) -> list[tuple[float, int]]:
    """Divide a run of bar into lengths that lap.

    Parameters
    ----------
    run, lap, stock
        The run, the lap where two bars meet, and the bars as bought, m.
    where
        The name of the run, for the message where it cannot be done.

    Returns
    -------
    list of tuple
        Length, m, and how many: whole bars, and one that makes up the rest.

    Raises
    ------
    ComputationError
        Where the run is nothing, or the lap is as long as the stock.
    """
    if run <= 0:
        raise ComputationError(
            f"{where} is too short for a bar in its cover; make cover: smaller, or bars: 0"
        )
    if lap >= stock:
        raise ComputationError("the lap is as long as the bars; order longer bars")
    if run <= stock + ON_LINE:
        return [(min(run, stock), 1)]
    whole = math.ceil((run - lap) / (stock - lap) - ON_LINE) - 1
    return [(stock, whole), (run - whole * (stock - lap), 1)]


def _piece(what: str, where: str, steel: SteelAsked, length: float, count: int) -> Piece:
    each = steel.bars * count if what == "along the footing" else count
    return Piece(what=what, where=where, size=steel.size, length=length, count=each)


def dowel_count(length: float, spacing: float) -> int:
    """Count the spaces between dowels, no longer than the spacing.

    Returns
    -------
    int
        At least one.
    """
    return max(1, math.ceil(length / spacing - ON_LINE))


def _dowels(found: Straights, spacing: float) -> dict[tuple[float, str], int]:
    # One at each corner and no more than the spacing apart between them; on interior lines
    # between the walls they run to. A corner's dowel stands in the thicker of the footings that
    # meet there, the concrete being as thick as that; in one of two alike by the walls' names. A
    # wall's free end, beside a standing building, has one in its own footing.
    counts: Counter[tuple[float, str]] = Counter()
    at: dict[str, list[Straight]] = {}
    for run in found.runs:
        counts[round(run.thickness, 6), run.name] += dowel_count(run.length, spacing) - 1
        if run.kind is FootingKind.WALL:
            for corner in run.ends:
                at.setdefault(corner, []).append(run)
    for runs in at.values():
        owner = min(runs, key=lambda run: (-round(run.thickness, 6), sorted(run.name.split("-"))))
        counts[round(owner.thickness, 6), owner.name] += 1
    return counts


def _pad_pieces(plan: Plan, steel: SteelAsked) -> list[Piece]:
    pieces = []
    if steel.pad_bars:
        for pad in plan.pads:
            sides = pad.size if pad.size is not None else (pad.diameter or 0.0,) * 2
            for side in sides:
                pieces.append(
                    Piece(
                        what="pad bars",
                        where=pad.name,
                        size=steel.size,
                        length=max(side - 2 * steel.cover, 0.0),
                        count=steel.pad_bars,
                    )
                )
    return pieces


def cut_lists(pieces: Sequence[Piece], stock: float) -> tuple[CutList, ...]:
    """Cut all bars, size by size.

    Parameters
    ----------
    pieces
        All bars.
    stock
        Length of the bars as bought, m.

    Returns
    -------
    tuple of CutList
        The smallest size first.
    """
    return tuple(
        cut_list(size, stock, [(p.length, p.count) for p in pieces if p.size == size])
        for size in sorted({piece.size for piece in pieces})
    )


def steel_items(lists: Sequence[CutList]) -> tuple[Item, ...]:
    """Count the bars to buy and weigh them.

    Parameters
    ----------
    lists
        How they are cut.

    Returns
    -------
    tuple of Item
        Bars and their weight for each size.
    """
    items = []
    for each in lists:
        used = sum(stick.count * sum(stick.pieces) for stick in each.sticks)
        mass = each.bars * each.stock * mass_per_length(each.size)
        items += [
            Item(
                group=OrderGroup.STEEL,
                what=f"bars {bar_name(each.size)}",
                quantity=float(each.bars),
                measured=Measured.COUNT,
                counted="bars",
                arithmetic=working(
                    "{count} x {stock} = {bought} bought, {used} used",
                    count=each.bars,
                    stock=Length(each.stock),
                    bought=Length(each.bars * each.stock),
                    used=Length(used),
                ),
                price=bar_price(each.size),
                sizes=(("stock", Length(each.stock)),),
            ),
            Item(
                group=OrderGroup.STEEL,
                what=f"weight of the bars {bar_name(each.size)}",
                quantity=mass,
                measured=Measured.MASS,
                arithmetic=working(
                    "{count} x {stock} x {weight} = {mass}",
                    count=each.bars,
                    stock=Length(each.stock),
                    weight=UnitMass(mass_per_length(each.size)),
                    mass=Mass(mass),
                ),
                price="steel",
            ),
        ]
    return tuple(items)


def steel_notices(steel: SteelAsked, lists: Sequence[CutList]) -> tuple[Notice, ...]:
    """Hold laps against the published ones, and tell a cutting that is not proved.

    Parameters
    ----------
    steel, lists
        What is laid and how it is cut.

    Returns
    -------
    tuple of Notice
        ``short-lap`` and ``cut-gap``.
    """
    told = []
    published = IRC_60.lap(steel.size)
    if published is not None and steel.lap < published - ON_LINE:
        told.append(
            notice(
                "short-lap",
                "the lap of {lap} is shorter than the {published} that {source} gives for No. "
                "{size}; ask which lap and grade of bar the permit wants",
                lap=Length(steel.lap),
                published=Length(published),
                source=IRC_60.source,
                size=steel.size,
            )
        )
    for each in lists:
        if not each.proved:
            told.append(
                notice(
                    "cut-gap",
                    "{bars} bars of {size} are enough; fewer than {fewest} cannot be, and whether "
                    "{fewest} would be was not worked out to the end",
                    Severity.NOTE,
                    size=bar_name(each.size),
                    bars=each.bars,
                    fewest=each.fewest,
                )
            )
    return tuple(told)
