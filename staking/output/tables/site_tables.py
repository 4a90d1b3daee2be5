"""The lot in tables: where the corners come, how clear the building stands, what is dug by hand."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from staking.kinds import LotPart
from staking.measure.lengths import format_bearing
from staking.output.blocks import Block, BlockTopic, Column, Table
from staking.output.tables.deed_tables import (
    deed_blocks,
    lines_from_paper,
    record_beside_measured,
)
from staking.output.wording import Words, safe
from staking.tolerances import ON_LINE
from staking.units import Unit

if TYPE_CHECKING:
    from staking.laid_out.layout_value import Layout
    from staking.site.building_on_lot import BuildingOnLot
    from staking.site.site_results import Clearance

DECIMALS = {Unit.FT: 3, Unit.US_FT: 3, Unit.IN: 2, Unit.M: 4, Unit.MM: 1}
"""Decimals of a coordinate on the screen, in each unit."""


def site_blocks(layout: Layout, words: Words) -> tuple[Block, ...]:
    """Set out what is known of the lot.

    Parameters
    ----------
    layout
        The layout.
    words
        The job's words.

    Returns
    -------
    tuple of Table
        Nothing for a job without a lot; parts with nothing in them have no rows.
    """
    if layout.site is None:
        return ()
    deed = layout.site.deed
    return (
        _corners(layout, layout.site),
        _residuals(layout.site, words),
        _clearances(layout.site, words),
        _kept_off(layout.site, words),
        _hand_dig(layout, layout.site, words),
        _boundary(layout.site, words),
        *(() if deed is None else deed_blocks(deed, words)),
    )


def coordinate(metres: float, unit: Unit) -> str:
    """Write a northing, an easting or an elevation.

    Parameters
    ----------
    metres
        The coordinate, m.
    unit
        The survey's own unit, in which it is written: a job's feet and inches are no use here.

    Returns
    -------
    str
        Decimal, without the unit.
    """
    return f"{metres / unit.metres:.{DECIMALS[unit]}f}"


def _corners(layout: Layout, site: BuildingOnLot) -> Table:
    unit = Unit(site.unit)
    rows: list[tuple[str, ...]] = []
    if site.placement is not None:
        corners = [corner for each in layout.plan.buildings for corner in each.corners]
        places = site.to_survey(np.array([corner.point for corner in corners]))
        rows = [
            (corner.name, coordinate(northing, unit), coordinate(easting, unit))
            for corner, (northing, easting) in zip(corners, places, strict=True)
        ]
    grid = "the survey's grid"
    if site.from_paper:
        grid = f"the deed's bearings, from its corner {safe(site.boundary[0].name)}"
    return Table(
        title=f"Corners on {grid}, {unit.value}",
        topic=BlockTopic.CORNERS_ON_GRID,
        note=_stretched(site),
        columns=(
            Column(heading="corner"),
            Column(heading="northing", right=True),
            Column(heading="easting", right=True),
        ),
        rows=tuple(rows),
    )


def _stretched(site: BuildingOnLot) -> str:
    if site.grid is None:
        return ""
    factor = f"{site.plane.factor:.8f}"
    return f"Between these coordinates lengths are {factor} times those on the ground."


def _residuals(site: BuildingOnLot, words: Words) -> Table:
    def way(metres: float, sides: tuple[str, str]) -> str:
        return f"{words.length(abs(metres))} {sides[metres < 0]}"

    residuals = () if site.placement is None else site.placement.residuals
    return Table(
        title="How far each corner comes from its stake",
        topic=BlockTopic.RESIDUALS,
        columns=(
            Column(heading="corner"),
            Column(heading="stake"),
            Column(heading="north or south", right=True),
            Column(heading="east or west", right=True),
            Column(heading="apart", right=True),
        ),
        rows=tuple(
            (
                each.corner,
                safe(each.point),
                way(each.northing, ("north", "south")),
                way(each.easting, ("east", "west")),
                words.length(each.distance),
            )
            for each in residuals
        ),
    )


def _clearances(site: BuildingOnLot, words: Words) -> Table:
    def apart(metres: float) -> str:
        return f"{words.length(-metres)} over" if metres < -ON_LINE else words.length(metres)

    shown = [
        each for each in site.clearances if each.what is not LotPart.EAVE or site.asked.overhang > 0
    ]
    return Table(
        title="Clear of the boundary",
        topic=BlockTopic.CLEARANCES,
        columns=(
            Column(heading="line"),
            Column(heading="what"),
            Column(heading="clear", right=True),
            Column(heading="setback", right=True),
            Column(heading="kept"),
        ),
        rows=tuple(
            (
                safe(each.line),
                each.what,
                apart(each.distance),
                "" if each.setback is None else words.length(each.setback),
                _kept(each),
            )
            for each in shown
        ),
    )


def _kept(found: Clearance) -> str:
    if found.is_broken:
        return "no"
    if not found.ok:
        return "not sure"
    return "" if found.setback is None else "yes"


def _kept_off(site: BuildingOnLot, words: Words) -> Table:
    return Table(
        title="Clear of what is kept off",
        topic=BlockTopic.KEPT_OFF,
        columns=(
            Column(heading="what is kept off"),
            Column(heading="from"),
            Column(heading="clear", right=True),
            Column(heading="at least", right=True),
            Column(heading="kept"),
        ),
        rows=tuple(
            (
                safe(each.name),
                each.what,
                words.length(each.distance),
                words.length(each.least),
                "no" if each.is_broken else "yes" if each.ok else "not sure",
            )
            for each in site.kept_off
        ),
    )


def _hand_dig(layout: Layout, site: BuildingOnLot, words: Words) -> Table:
    # A pad has no first corner to measure from, and is small: it is dug by hand as a whole.
    pads = {pad.name for pad in layout.plan.pads}

    def station(metres: float, start: str) -> str:
        if metres < -ON_LINE:
            return f"{words.length(-metres)} before {start}"
        return words.length(max(metres, 0.0))

    return Table(
        title="Dig these by hand, from the wall's first corner",
        topic=BlockTopic.HAND_DIG,
        columns=(
            Column(heading="line"),
            Column(heading="along"),
            Column(heading="from", right=True),
            Column(heading="to", right=True),
        ),
        rows=tuple(
            (
                safe(each.name),
                each.wall,
                *(
                    ("all of it", "")
                    if each.wall in pads
                    else tuple(
                        station(end, each.wall.split("-", maxsplit=1)[0])
                        for end in (each.start, each.end)
                    )
                ),
            )
            for each in site.hand_dig
        ),
    )


def _boundary(site: BuildingOnLot, words: Words) -> Table:
    if site.deed is not None:
        if site.deed.from_paper:
            return lines_from_paper(site.deed, words)
        return record_beside_measured(site.deed)
    given = any(each.given is not None for each in site.lines)
    return Table(
        title="Boundary, from the survey",
        note="Lengths are on the ground, bearings on the survey's grid." if site.grid else "",
        columns=(
            Column(heading="line"),
            Column(heading="length", right=True),
            Column(heading="bearing on the survey's grid"),
            *((Column(heading="bearing given"),) if given else ()),
        ),
        rows=tuple(
            (
                safe(f"{each.start}-{each.end}"),
                words.length(each.length),
                format_bearing(each.azimuth),
                *(("" if each.given is None else format_bearing(each.given),) if given else ()),
            )
            for each in site.lines
        ),
    )
