"""Concrete in truck loads, and the order in which a stepped footing fills."""

from __future__ import annotations

import math
from collections.abc import Sequence

from staking.footing.bands_and_outlines import Band
from staking.measure.rounding import whole_steps
from staking.notices import Notice, Severity, notice
from staking.order.concrete import dug_width
from staking.order.footing_in_ground import FootingInGround
from staking.order.order_request import OrderAsked
from staking.order.order_results import Pour, PourLevel
from staking.order.shape_areas import stretch_ring
from staking.order.wall_levels import Levels
from staking.tolerances import ON_LINE

SHORT = 0.5
"""A truck less than this part full is a short load (common practice, no source)."""

_NEARLY = 1e-6
"""A load short or over by less than this, m3, is the same load: a cubic centimetre."""


def pour_of(what: str, volume: float, asked: OrderAsked) -> Pour:
    """Divide a casting into loads.

    Parameters
    ----------
    what
        What is cast.
    volume
        With waste, m3.
    asked
        The truck, m3, and the minutes each takes.

    Returns
    -------
    Pour
        All loads full but the last.
    """
    count = max(1, math.ceil((volume - _NEARLY) / asked.truck))
    return Pour(
        what=what,
        volume=volume,
        truck=asked.truck,
        count=count,
        last=volume - (count - 1) * asked.truck,
        minutes=count * asked.minutes_per_load,
    )


def load_notices(pours: Sequence[Pour], asked: OrderAsked) -> tuple[Notice, ...]:
    """Hold the loads against the time the concrete has.

    Parameters
    ----------
    pours
        What is cast.
    asked
        Minutes per load and the stated limit.

    Returns
    -------
    tuple of Notice
        ``short-load`` for a last truck less than `SHORT` full. ``discharge-limit``: how many
        trucks may be sent at a time, or that not even one can be emptied within the limit.
        ``no-limit``: nobody stated one (ASTM C94/C94M-21 has no default).
    """
    return (*_short_loads(pours), *_time_notices(pours, asked)) if pours else ()


def _short_loads(pours: Sequence[Pour]) -> tuple[Notice, ...]:
    return tuple(
        notice(
            "short-load",
            "{what}: the last truck comes {percent} % full, a short load, for which most producers "
            "charge extra; ask, or pour two things of one mix on one day",
            Severity.NOTE,
            what=pour.what,
            percent=whole_steps(pour.last / pour.truck, 0.01),
        )
        for pour in pours
        if pour.last < SHORT * pour.truck - _NEARLY
    )


def _time_notices(pours: Sequence[Pour], asked: OrderAsked) -> tuple[Notice, ...]:
    limit, each = asked.discharge_limit, asked.minutes_per_load
    if limit is None:
        return (
            notice(
                "no-limit",
                "nothing says how many minutes after batching a load must be out: ask the "
                "producer, and write it as discharge_limit: under order; the buyer states it, "
                "else the producer, and it stands on the delivery ticket (ASTM C94/C94M-21)",
                Severity.NOTE,
            ),
        )
    if each > limit:
        return (
            notice(
                "discharge-limit",
                "a load takes {each} minutes and must be out within {limit}: bring a bigger crew, "
                "or order smaller loads",
                each=float(each),
                limit=float(limit),
            ),
        )
    fit = math.floor(limit / each + 1e-9)
    longest = max(pours, key=lambda pour: pour.count)
    if longest.count <= fit:
        return ()
    return (
        notice(
            "discharge-limit",
            "{what}: {count} loads take {each} minutes each and must be out within {limit} "
            "minutes: have at most {fit} batched together, fewer where the drive is long, and each "
            "further one {each} minutes after the one before",
            Severity.NOTE,
            what=longest.what,
            count=longest.count,
            each=float(each),
            limit=float(limit),
            fit="1 truck" if fit == 1 else f"{fit} trucks",
        ),
    )


def pour_levels(footing: FootingInGround, asked: OrderAsked) -> tuple[PourLevel, ...]:
    """Put the footing's levels in the order they are poured: from the lowest.

    Parameters
    ----------
    footing
        The footing with the strips that are cast.
    asked
        Waste and truck.

    Returns
    -------
    tuple of PourLevel
        The lowest first; ground that two strips share belongs to the thicker, then the lower.
    """
    levels = footing.levels
    volumes, walls = _by_level(levels, footing.cast)
    for step in levels.steps:
        # The overlap is cast with the lower of the two runs that meet there.
        low = min(
            round(run.bottom, 6)
            for run in levels.stretches
            if run.strand.name == step.wall
            and min(abs(run.start - step.station), abs(run.end - step.station)) < ON_LINE
        )
        volumes[low] += step.overlap * dug_width(step.width, footing.dig) * step.rise
    found = []
    total = 0.0
    for level in sorted(volumes):
        volume = volumes[level] * (1 + asked.waste)
        total += volume
        found.append(
            PourLevel(
                level=level,
                walls=tuple(dict.fromkeys(walls[level])),
                volume=volume,
                total=total,
                load=max(1, math.ceil((total - _NEARLY) / asked.truck)),
            )
        )
    return tuple(found)


def _by_level(
    levels: Levels, bands: Sequence[Band]
) -> tuple[dict[float, float], dict[float, list[str]]]:
    # Concrete by the footing's bottom, m3, and the walls and pads that stand there.
    from shapely.geometry import Polygon
    from shapely.geometry.base import BaseGeometry

    hulls = {band.name: band.hull for band in bands}
    pieces = []
    for stretch in levels.stretches:
        strand = stretch.strand
        ring = stretch_ring(strand, hulls[strand.name], stretch.start, stretch.end)
        if ring:
            thick = strand.footing.thickness
            pieces.append((thick, stretch.bottom, strand.name, Polygon(ring)))
    for at in levels.pads:
        pieces.append((at.pad.thickness, at.bottom, at.pad.name, Polygon(hulls[at.pad.name])))
    pieces.sort(key=lambda piece: (-round(piece[0], 9), piece[1], piece[2]))
    volumes: dict[float, float] = {}
    walls: dict[float, list[str]] = {}
    taken: BaseGeometry = Polygon()
    for thick, bottom, name, shape in pieces:
        level = round(bottom, 6)
        volumes[level] = volumes.get(level, 0.0) + shape.difference(taken).area * thick
        taken = taken.union(shape)
        walls.setdefault(level, []).append(name)
    return volumes, walls
