"""Wall tops, sleeves, openings, slab and strings, held against the ground and one another."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from staking.errors import Problem
from staking.frozen import frozen
from staking.grade.graded import GradedWall
from staking.grade.notices.probable_level import probable_level, with_meant
from staking.grade.stepped_footing import Inside
from staking.kinds import FootingKind
from staking.notices import Length, Notice, notice
from staking.plan import Opening, Plan, Sleeve, reversed_name
from staking.tolerances import ON_LINE
from staking.units import FOOT, INCH, Unit

TOP_OUT = 6 * FOOT
"""A wall's top farther over the highest finished grade, m, is said (common practice, no source)."""

FINISHED_OFF = 5 * FOOT
"""Finished grade farther over or under the existing ground, m, is said (common practice, no
source)."""

SILL_UNDER = 2 * INCH
"""A sill this much under the grade before it, m, lets water in (common practice, no source)."""

OVER_TOP = FOOT
"""A slab farther over the wall's top, m, is said (common practice, no source)."""

STRINGS_OFF = 12 * FOOT
"""Strings farther over or under the wall's top, m, are on another zero (common practice, no
source)."""


@frozen
class WallParts:
    """What is held against one another; elevations in m.

    Parameters
    ----------
    plan
        The building, with its sleeves, openings and slab.
    walls
        Its walls and interior lines with their levels and ground.
    inside
        The ground inside, or None for the same as outside.
    string
        Elevation of the strings, or None.
    unit
        The job's.
    is_top_over_ground
        Whether the top of the wall is given as so much over the highest ground, no elevation.
    has_finished_points
        Whether finished grade has elevations of its own.
    """

    plan: Plan
    walls: Sequence[GradedWall]
    inside: Inside | None
    string: float | None
    unit: Unit
    is_top_over_ground: bool = False
    has_finished_points: bool = False

    @property
    def outside(self) -> list[GradedWall]:
        """The walls of the outline."""
        return [each for each in self.walls if each.strand.kind is FootingKind.WALL]

    @property
    def grade(self) -> tuple[float, float]:
        """The lowest and the highest finished grade along the outside faces, m."""
        heights = [each.ground.finished for each in self.outside]
        return (
            min(float(each.min()) for each in heights),
            max(float(each.max()) for each in heights),
        )

    @property
    def tops(self) -> tuple[float, float]:
        """The lowest and the highest top of wall, m."""
        tops = [each.profile.bounds.top for each in self.outside]
        return min(tops), max(tops)


def part_notices(parts: WallParts) -> tuple[Notice, ...]:
    """Say where wall tops, openings, slab and strings do not fit the ground or one another.

    Parameters
    ----------
    parts
        The building.

    Returns
    -------
    tuple of Notice
        ``top-over-ground``, ``finished-off``, ``sill-under-grade``, ``opening-under-slab``,
        ``inside-under-footing``, those of the slab, and ``strings-off``.
    """
    if not parts.outside:
        return ()
    tops = [] if parts.is_top_over_ground else _tops(parts)
    return (*tops, *_finished(parts), *_openings(parts), *_slab(parts), *_strings(parts))


def _tops(parts: WallParts) -> list[Notice]:
    highest = parts.grade[1]
    by_top: dict[float, list[str]] = {}
    for wall in parts.outside:
        top = wall.profile.bounds.top
        if top - highest > TOP_OUT + ON_LINE:
            by_top.setdefault(top, []).append(wall.profile.wall)
    said = []
    for top, walls in by_top.items():
        where = "the wall" if len(walls) == len(parts.outside) else ", ".join(walls)
        meant = probable_level(top, highest + 6 * INCH, highest + 4 * FOOT, parts.unit)
        said.append(
            with_meant(
                "top-over-ground",
                "the top of {where} at {top} stands {over} over the highest finished grade, "
                "{highest}: check top_of_wall against the elevations of the ground",
                meant,
                where=where,
                top=Length(top),
                over=Length(top - highest),
                highest=Length(highest),
            )
        )
    return said


def _finished(parts: WallParts) -> list[Notice]:
    if not parts.has_finished_points:
        return []
    said = []
    for wall in parts.outside:
        off = wall.ground.finished - wall.ground.existing
        worst = int(np.abs(off).argmax())
        if abs(float(off[worst])) > FINISHED_OFF + ON_LINE:
            said.append(
                notice(
                    "finished-off",
                    "finished grade at {station} on {wall} is {off} {way} the ground as it is: "
                    "check both elevations there",
                    station=Length(float(wall.ground.stations[worst])),
                    wall=wall.profile.wall,
                    off=Length(abs(float(off[worst]))),
                    way="over" if off[worst] > 0 else "under",
                )
            )
    return said


def _openings(parts: WallParts) -> list[Notice]:
    slab = parts.plan.slab
    said = []
    for wall in parts.outside:
        for start, end, drop in _on_wall(wall, parts.plan.openings):
            sill = wall.profile.bounds.top - drop
            stations = wall.ground.stations
            within = (stations > start) & (stations < end)
            heights = np.concatenate((
                np.interp([start, end], stations, wall.ground.finished),
                wall.ground.finished[within],
            ))
            highest = float(heights.max())
            if highest - sill > SILL_UNDER + ON_LINE:
                said.append(
                    notice(
                        "sill-under-grade",
                        "the opening from {start} to {end} on {wall} is dropped to {sill}, and "
                        "finished grade before it stands {over} higher: water runs in; drop the "
                        "wall less, or lower the grade there",
                        start=Length(start),
                        end=Length(end),
                        wall=wall.profile.wall,
                        sill=Length(sill),
                        over=Length(highest - sill),
                    )
                )
            if slab is None or slab.top is None or slab.top > parts.tops[1] + OVER_TOP + ON_LINE:
                continue
            under = slab.top - slab.thickness - sill
            if under > 6 * INCH + ON_LINE:
                said.append(
                    notice(
                        "opening-under-slab",
                        "the opening from {start} to {end} on {wall} is dropped to {sill}, "
                        "{under} below the underside of the slab, whose top is at {slab}: what is "
                        "under the slab runs out; check the drop and the slab's top",
                        start=Length(start),
                        end=Length(end),
                        wall=wall.profile.wall,
                        sill=Length(sill),
                        under=Length(under),
                        slab=Length(slab.top),
                    )
                )
    return said


def _slab(parts: WallParts) -> list[Notice]:
    slab, lowest = parts.plan.slab, _lowest_bottom(parts)
    if parts.inside is not None and parts.inside.grade < lowest - ON_LINE:
        return [
            notice(
                "inside-under-footing",
                "the ground inside at {inside} lies {under} under the lowest footing: check grade: "
                "under inside:",
                inside=Length(parts.inside.grade),
                under=Length(lowest - parts.inside.grade),
            )
        ]
    if slab is None or slab.top is None:
        return []
    lowest_grade, top = parts.grade[0], parts.tops[1]
    meant = probable_level(slab.top, top - 2 * FOOT, top + 6 * INCH, parts.unit)
    said = []
    inside = parts.inside
    if slab.top > top + OVER_TOP + ON_LINE:
        said.append(
            with_meant(
                "slab-over-wall",
                "the slab's top at {slab} stands {over} over the top of the wall at {top}: check "
                "both",
                meant,
                slab=Length(slab.top),
                over=Length(slab.top - top),
                top=Length(top),
            )
        )
    elif slab.top < lowest_grade - ON_LINE and (
        inside is None or inside.grade > slab.top + ON_LINE
    ):
        said.append(
            with_meant(
                "slab-under-ground",
                "the slab's top at {slab} lies under finished grade all round, {under} under its "
                "lowest: check it, or for a basement give inside: with the ground there",
                meant,
                slab=Length(slab.top),
                under=Length(lowest_grade - slab.top),
            )
        )
    if inside is not None and inside.grade > slab.top + ON_LINE:
        said.append(
            notice(
                "inside-over-slab",
                "the ground inside at {inside} stands {over} over the slab's top at {slab}: check "
                "both",
                inside=Length(inside.grade),
                over=Length(inside.grade - slab.top),
                slab=Length(slab.top),
            )
        )
    return said


def _lowest_bottom(parts: WallParts) -> float:
    return min(level.bottom for wall in parts.walls for level in wall.profile.levels)


def _strings(parts: WallParts) -> list[Notice]:
    if parts.string is None:
        return []
    low, high = parts.tops
    off = max(parts.string - high, low - parts.string)
    if off <= STRINGS_OFF + ON_LINE:
        return []
    return [
        with_meant(
            "strings-off",
            "the boards at {string} stand {off} {way} the top of the wall: check at: under boards: "
            "and top_of_wall",
            probable_level(parts.string, low - FOOT, high + 3 * FOOT, parts.unit),
            string=Length(parts.string),
            off=Length(off),
            way="over" if parts.string > high else "under",
        )
    ]


def sleeve_faults(parts: WallParts, length: Callable[[float], str]) -> tuple[Problem, ...]:
    """Refuse sleeves that are not within their wall.

    Parameters
    ----------
    parts
        The building.
    length
        How a length, m, is written.

    Returns
    -------
    tuple of Problem
        One for each sleeve that reaches over the wall's top, or over the sill of an opening, or
        lies under the footing.
    """
    found = []
    for wall in parts.walls:
        for sleeve in parts.plan.sleeves:
            if is_named(sleeve.wall, wall) and sleeve.invert is not None:
                fault = _sleeve_fault(wall, sleeve, sleeve.invert, parts, length)
                found += [fault] if fault is not None else []
    return tuple(found)


def _sleeve_fault(
    wall: GradedWall,
    sleeve: Sleeve,
    invert: float,
    parts: WallParts,
    length: Callable[[float], str],
) -> Problem | None:
    profile = wall.profile
    station = sleeve.station
    if sleeve.wall != profile.wall:
        station = profile.length - station
    beside = [
        level for level in profile.levels if level.start - ON_LINE <= station <= level.end + ON_LINE
    ]
    bottom = min(level.bottom for level in beside)
    drops = [
        drop
        for start, end, drop in _on_wall(wall, parts.plan.openings)
        if start < station + sleeve.size / 2 and station - sleeve.size / 2 < end
    ]
    top = profile.bounds.top - max(drops, default=0.0)
    crown = invert + sleeve.size
    if crown > top + ON_LINE:
        over = "the sill of the opening there" if drops else "the top of the wall"
        what = f"reaches {length(crown - top)} over {over} at {length(top)}"
    elif crown < bottom + ON_LINE:
        what = (
            f"lies {length(bottom - crown)} under the footing, whose bottom is at {length(bottom)}"
        )
    else:
        return None
    highest = max(level.top for level in beside)
    meant = probable_level(invert, highest, top - sleeve.size, parts.unit)
    return Problem(
        message=f"the sleeve's invert at {length(invert)} puts it outside its wall: it {what}",
        remedy="check its invert; a pipe that passes under the footing is not a sleeve"
        + ("" if meant is None else f"; {length(meant)} may be meant"),
        field=f"sleeves {sleeve.wall} at {length(sleeve.station)}",
    )


def is_named(name: str, wall: GradedWall) -> bool:
    """Say whether a name means a wall, from either of its ends."""
    return name in {wall.profile.wall, reversed_name(wall.profile.wall)}


def _on_wall(wall: GradedWall, openings: Sequence[Opening]) -> list[tuple[float, float, float]]:
    """Give start, end and drop of a wall's openings, m from its first corner."""
    found = []
    for each in openings:
        if is_named(each.wall, wall):
            start = each.start
            if each.wall != wall.profile.wall:
                start = wall.profile.length - each.start - each.width
            found.append((start, start + each.width, each.drop))
    return found
