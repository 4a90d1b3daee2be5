"""Staking out as tables and as a document."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from staking.measure.lengths import format_angle
from staking.output.blocks import Block, Column, Table
from staking.output.documents.deed_document import degrees
from staking.output.documents.site_document import SiteGrid
from staking.output.tables.site_tables import coordinate
from staking.output.wording import Words, safe
from staking.units import Unit

if TYPE_CHECKING:
    from staking.laid_out.layout_value import Layout
    from staking.laid_out.staked_out import StakeOut

SCHEMA = "staking/stakeout/2"

Record = dict[str, Any]


def stakeout_document(layout: Layout, found: StakeOut) -> Record:
    """Build the document of a stake-out.

    Parameters
    ----------
    layout
        The layout, placed on a survey.
    found
        How to stake it out.

    Returns
    -------
    dict
        Coordinates and their differences are the survey's own, distances are on the ground; both
        in the survey's unit, angles in degrees. A distance between coordinates is the one on the
        ground times ``combined_factor``.
    """
    grid, words = SiteGrid(layout.site), Words(layout.options)
    length = grid.length
    notices = [*layout.notices, *found.notices]
    return {
        "schema": SCHEMA,
        "job": safe(layout.plan.job),
        "unit": layout.options.unit,
        "site_unit": None if layout.site is None else layout.site.unit,
        "combined_factor": 1.0 if layout.site is None else layout.site.plane.factor,
        "setup": found.setup,
        "backsight": found.backsight,
        "points": [
            {
                "name": safe(found.in_files[each.name].name),
                "description": safe(found.in_files[each.name].description),
                "northing": length(north),
                "easting": length(east),
            }
            for each, (north, east) in zip(found.points, found.places, strict=True)
        ],
        "ties": [
            {
                "name": safe(found.in_files[each.name].name),
                "from": [safe(each.first), safe(each.second)],
                "distances": [length(each.first_distance), length(each.second_distance)],
                "swing": degrees(each.swing),
                "side": each.side,
            }
            for each in found.ties
        ],
        "without_tie": [safe(found.in_files[name].name) for name in found.without],
        "shots": [
            {
                "name": safe(found.in_files[each.name].name),
                "angle_right": degrees(each.angle_right),
                "bearing": degrees(each.azimuth),
                "distance": length(each.distance),
            }
            for each in found.shots
        ],
        "deltas": [
            {
                "name": safe(found.in_files[each.name].name),
                "from": safe(each.control),
                "north": length(each.north),
                "east": length(each.east),
            }
            for each in found.deltas
        ],
        "warnings": list(dict.fromkeys(words.notice(each) for each in notices)),
    }


def stakeout_blocks(layout: Layout, found: StakeOut) -> tuple[Block, ...]:
    """Set a stake-out in tables.

    Parameters
    ----------
    layout
        The layout, placed on a survey.
    found
        How to stake it out.

    Returns
    -------
    tuple of Table
        Two tapes to each point, the instrument's angles, the deltas; without those that are
        empty. What a tape reads is given on the ground.
    """
    words = Words(layout.options)
    factor = 1.0 if layout.site is None else layout.site.plane.factor
    note = "" if factor == 1.0 else "Lengths are on the ground, north and east the grid's."
    blocks = (
        _ties(found, words, note),
        _shots(found, words, note),
        _deltas(layout, found),
    )
    return tuple(block for block in blocks if block.rows)


def _ties(found: StakeOut, words: Words, note: str) -> Table:
    return Table(
        title="Two tapes to each stake",
        columns=(
            Column(heading="stake"),
            Column(heading="from"),
            Column(heading="tape", right=True),
            Column(heading="and from"),
            Column(heading="tape", right=True),
            Column(heading="swing", right=True),
            Column(heading="side"),
        ),
        rows=tuple(
            (
                _called(found, each.name),
                safe(each.first),
                words.length(each.first_distance),
                safe(each.second),
                words.length(each.second_distance),
                f"{degrees(each.swing):.0f}\N{DEGREE SIGN}",
                each.side,
            )
            for each in found.ties
        ),
        note=f"Side as seen from the first point facing the second. {note}".strip(),
    )


def _shots(found: StakeOut, words: Words, note: str) -> Table:
    return Table(
        title=f"Set up on {safe(found.setup or '')}, nothing on {safe(found.backsight or '')}",
        columns=(
            Column(heading="stake"),
            Column(heading="angle right", right=True),
            Column(heading="distance", right=True),
        ),
        rows=tuple(
            (_called(found, each.name), format_angle(each.angle_right), words.length(each.distance))
            for each in found.shots
        ),
        note=note,
    )


def _deltas(layout: Layout, found: StakeOut) -> Table:
    unit = Unit("m" if layout.site is None else layout.site.unit)
    what = {each.name: each.description for each in found.points}
    return Table(
        title=f"North and east from a known point, {unit.value} on the survey's grid",
        columns=(
            Column(heading="stake"),
            Column(heading="from"),
            Column(heading="north", right=True),
            Column(heading="east", right=True),
            Column(heading="what"),
        ),
        rows=tuple(
            (
                _called(found, each.name),
                safe(each.control),
                coordinate(each.north, unit),
                coordinate(each.east, unit),
                safe(what[each.name]),
            )
            for each in found.deltas
        ),
    )


def _called(found: StakeOut, name: str) -> str:
    # What the instrument calls it; beside a number, what the plan does.
    in_files = found.in_files[name].name
    return safe(in_files if in_files.endswith(name) else f"{in_files} {name}")
