"""What the drain takes: pipe, fittings, stone and filter, with their arithmetic."""

from __future__ import annotations

import math
from collections.abc import Sequence

from staking.frozen import frozen
from staking.kinds import OrderGroup
from staking.notices import Area, Length
from staking.order.drain.beside_footings import DrainLine
from staking.order.drain.drain_stations import bends
from staking.order.drain.falling_arms import DrainArm
from staking.order.drain.outlets import DrainOutlet, Reach
from staking.order.order_results import Item, Turned, Volume, Working, working
from staking.order.ordered_by import Measured
from staking.units import INCH

UNDER_PIPE = 2 * INCH
"""Stone under the pipe, m (IRC 2015, R405.1)."""

OVER_PIPE = 6 * INCH
"""Stone over the pipe, and over the footing where stone alone drains, m (the same)."""

PAST_FOOTING = 12 * INCH
"""How far stone that drains alone reaches past the footing, m (the same). A trench with a pipe in
it is taken as wide (common practice, no source)."""

LAST_DROP = 4 * INCH
"""Arms that meet at a low point within this of each other, m, are let into one tee (common
practice, no source)."""

OUTSIDE_DIAMETERS = ((3 * INCH, 3.25 * INCH), (4 * INCH, 4.215 * INCH), (6 * INCH, 6.275 * INCH))
"""Nominal size and outside diameter of drain pipe, m (ASTM D3034 and D2729; 4 in as a maker prints
it, the others from memory); of any other size the nominal one is taken."""


@frozen
class StoneStrip:
    """The stone of a drain without a pipe.

    Parameters
    ----------
    past
        Stone past the footing's edge, m3.
    length
        Of the middle of that strip, m.
    over
        Area of the footings' projections, m2, over which it lies `OVER_PIPE` deep.
    """

    past: float
    length: float
    over: float

    @property
    def volume(self) -> float:
        """All of it, m3."""
        return self.past + self.over * OVER_PIPE


def outside_diameter(size: float) -> float:
    """Give a pipe's outside diameter.

    Parameters
    ----------
    size
        Its nominal size, m.

    Returns
    -------
    float
        m.
    """
    near = (outside for nominal, outside in OUTSIDE_DIAMETERS if abs(nominal - size) < INCH / 8)
    return next(near, size)


def pipe_items(
    arms: Sequence[DrainArm], outlets: Sequence[DrainOutlet], size: float
) -> tuple[Item, ...]:
    """List a drain with a pipe.

    Parameters
    ----------
    arms, outlets
        How it falls and where it is led.
    size
        The pipe's nominal size, m.

    Returns
    -------
    tuple of Item
        Perforated pipe, closed pipe, fittings, sumps, stone and filter; what there is none of is
        left out.
    """
    length = math.fsum(arm.length for arm in arms)
    drops = math.fsum(piece.drop for arm in arms for piece in arm.pieces)
    drops += math.fsum(_last_drops(arms, outlets))
    closed = math.fsum(each.length for each in outlets if each.reach is not Reach.SUMP)
    sizes = (("size", Length(size)),)
    items = [
        _item(
            "perforated drain pipe",
            length + drops,
            Measured.LENGTH,
            "drain pipe",
            working(
                "{length} along the footing + {drops} down steps = {pipe}",
                length=Length(length),
                drops=Length(drops),
                pipe=Length(length + drops),
            )
            if drops
            else working("{length} along the footing", length=Length(length)),
            sizes,
        ),
        _item(
            "closed pipe to the outlet",
            closed,
            Measured.LENGTH,
            "closed pipe",
            working("{length} straight from the drain to the outlet", length=Length(closed))
            if len(outlets) == 1
            else working(
                "{n} pipes straight from the drain to the outlet, together {length}",
                n=len(outlets),
                length=Length(closed),
            ),
            sizes,
        ),
        _fittings(arms, outlets, sizes),
        _item(
            "sump with a pump, at the drain's low point",
            float(sum(1 for each in outlets if each.reach is Reach.SUMP)),
            Measured.COUNT,
            "sump",
            working("one for each low point under its outlet"),
            counted="sumps",
        ),
        _stone(length, size),
        _filter(length),
    ]
    return tuple(item for item in items if item.quantity > 0)


def _last_drops(arms: Sequence[DrainArm], outlets: Sequence[DrainOutlet]) -> list[float]:
    """Give how far arms come down to a low point over what another arm comes to there, m."""
    drops = []
    for arm in arms:
        low = min(outlets, key=lambda each: math.dist(each.low.place, arm.low.end)).low
        if arm.low.to_invert - low.invert > LAST_DROP:
            drops.append(arm.low.to_invert - low.invert)
    return drops


def _fittings(
    arms: Sequence[DrainArm],
    outlets: Sequence[DrainOutlet],
    sizes: tuple[tuple[str, Length], ...],
) -> Item:
    corners, steps = bends(arms)
    steps += len(_last_drops(arms, outlets))
    tees = sum(1 for each in outlets if each.arms > 1)
    ends = len(outlets) - tees
    count = corners + 2 * steps + tees + ends
    parts = [
        text
        for number, text in (
            (corners, "{corners} at corners"),
            (steps, "2 x {steps} at steps"),
            (tees, "{tees} where two arms meet"),
            (ends, "{ends} at low points"),
        )
        if number
    ]
    return _item(
        "drain fittings",
        float(count),
        Measured.COUNT,
        "drain fitting",
        working(
            " + ".join(parts) + " = {count}",
            corners=corners,
            steps=steps,
            tees=tees,
            ends=ends,
            count=count,
        ),
        sizes,
        counted="fittings",
    )


def kept_by_pipe(arms: Sequence[DrainArm], size: float) -> float:
    """Give what stone and pipe keep of the drain's trench.

    Parameters
    ----------
    arms
        How it falls.
    size
        The pipe's nominal size, m.

    Returns
    -------
    float
        m3, where no earth goes back.
    """
    height = UNDER_PIPE + size + OVER_PIPE
    return math.fsum(arm.length for arm in arms) * PAST_FOOTING * height


def _stone(length: float, size: float) -> Item:
    height = UNDER_PIPE + size + OVER_PIPE
    pipe = math.pi / 4 * outside_diameter(size) ** 2
    volume = length * (PAST_FOOTING * height - pipe)
    return _item(
        "washed stone round the drain, loose",
        volume,
        Measured.BULK,
        "stone",
        working(
            "{length} x ({width} x {height} - {pipe} of pipe) = {volume}",
            length=Length(length),
            width=Length(PAST_FOOTING),
            height=Length(height),
            pipe=Area(pipe),
            volume=Turned(volume),
        ),
        up=True,
    )


def stone_items(strip: StoneStrip) -> tuple[Item, ...]:
    """List a drain of stone alone.

    Parameters
    ----------
    strip
        Its stone.

    Returns
    -------
    tuple of Item
        Stone and filter.
    """
    return (
        _item(
            "washed stone that drains alone, loose",
            strip.volume,
            Measured.BULK,
            "stone",
            working(
                "{past} beside {length} of footing + {area} of projection x {over} = {volume}",
                past=Volume(strip.past),
                length=Length(strip.length),
                area=Area(strip.over),
                over=Length(OVER_PIPE),
                volume=Turned(strip.volume),
            ),
            up=True,
        ),
        _filter(strip.length),
    )


def _filter(length: float) -> Item:
    return _item(
        "filter over the drain's stone, laps not counted",
        length * PAST_FOOTING,
        Measured.AREA,
        "filter",
        working(
            "{length} x {width} = {area}",
            length=Length(length),
            width=Length(PAST_FOOTING),
            area=Area(length * PAST_FOOTING),
        ),
    )


def strip_of(lines: Sequence[DrainLine], over: float) -> StoneStrip:
    """Measure the stone of a drain without a pipe.

    Parameters
    ----------
    lines
        The middle of the strip past the footing.
    over
        Area of the footings' projections, m2.

    Returns
    -------
    StoneStrip
        From the footing's bottom to `OVER_PIPE` over its top.
    """
    pieces = [piece for line in lines for piece in line.pieces]
    return StoneStrip(
        past=math.fsum(
            each.length * PAST_FOOTING * (each.top - each.bottom + OVER_PIPE) for each in pieces
        ),
        length=math.fsum(each.length for each in pieces),
        over=over,
    )


def _item(
    what: str,
    quantity: float,
    measured: Measured,
    price: str,
    arithmetic: Working,
    sizes: tuple[tuple[str, Length], ...] = (),
    *,
    counted: str = "",
    up: bool = False,
) -> Item:
    return Item(
        group=OrderGroup.DRAIN,
        what=what,
        quantity=quantity,
        measured=measured,
        arithmetic=arithmetic,
        counted=counted,
        price=price,
        up=up,
        sizes=sizes,
    )
