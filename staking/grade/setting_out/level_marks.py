"""Every level to set with the rod, and the ground along each wall for its profile."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from staking.frozen import frozen
from staking.grade.graded import BoardLevel, GroundLine, LevelMark
from staking.grade.setting_out.rods import add_to_benchmark, down_from_string, rod_reading
from staking.grade.stepped_footing import SteppedFooting
from staking.grade.stepping.cells import Floats, Ground, Patch, SiteGround
from staking.grade.stepping.wall_network import Strand
from staking.grade.terrain.surface import GroundSurface
from staking.kinds import FootingKind, LevelKind
from staking.plan import Slab
from staking.tolerances import ON_LINE


@frozen
class LevelReferences:
    """What levels are set from, m: the benchmark, the instrument and the strings, or None."""

    benchmark: float | None
    instrument: float | None
    rod_length: float
    string: float | None


def ground_line(
    strand: Strand, site: SiteGround, strip: float, edges: Sequence[float]
) -> GroundLine:
    """Give the ground along a wall.

    Parameters
    ----------
    strand
        The wall; its outside face, or an interior line's centre.
    site
        The ground.
    strip
        Topsoil taken off, m.
    edges
        Stations to give, m, from end to end.

    Returns
    -------
    GroundLine
        Existing, finished and undisturbed ground at each station.
    """
    stations = np.array(edges)
    existing = _heights(site.existing, strand, stations)
    if site.inside is not None and strand.kind is FootingKind.INTERIOR:
        finished = np.full(len(stations), site.inside.grade)
    elif site.finished is not None:
        finished = _heights(site.finished, strand, stations)
    else:
        finished = existing + site.fill
    return GroundLine(
        stations=stations,
        existing=existing,
        finished=finished,
        undisturbed=np.minimum(finished, existing - strip),
    )


def _heights(ground: Ground, strand: Strand, stations: Floats) -> Floats:
    places = [strand.place(float(station), 0.0) for station in stations]
    if isinstance(ground, GroundSurface):
        heights = ground.at(np.array(places))
        if not np.isnan(heights).any():
            return heights
    return ground.lowest([
        Patch(wall=strand.name, start=float(station), end=float(station), ring=(place,))
        for station, place in zip(stations, places, strict=True)
    ])


def level_marks(
    stepped: SteppedFooting, slab: Slab | None, base: float, setting: LevelReferences
) -> tuple[LevelMark, ...]:
    """List every level to set.

    Parameters
    ----------
    stepped
        Walls and pads with their levels.
    slab
        The floor slab, or None.
    base
        Stone under the footing, m.
    setting
        What levels are set from.

    Returns
    -------
    tuple of LevelMark
        Tops of wall and the string; wall by wall the footing's top and bottom and the dig; the
        slab; the pads.
    """
    marks = []

    def add(
        what: LevelKind, level: float, where: str = "", span: tuple[float, float] | None = None
    ) -> None:
        marks.append(_mark(what, where, span, level, setting))

    tops: dict[float, list[str]] = {}
    for wall in stepped.walls:
        top = next((t for t in tops if abs(t - wall.bounds.top) < ON_LINE), wall.bounds.top)
        tops.setdefault(top, []).append(wall.wall)
    for top, walls in tops.items():
        add(LevelKind.TOP_OF_WALL, top, "" if len(tops) == 1 else ", ".join(walls))
    if setting.string is not None:
        add(LevelKind.STRING, setting.string)
    for wall in stepped.walls:
        for level in wall.levels:
            span = (level.start, level.end)
            add(LevelKind.TOP_OF_FOOTING, level.top, wall.wall, span)
            add(LevelKind.BOTTOM_OF_FOOTING, level.bottom, wall.wall, span)
            add(LevelKind.DIG, level.bottom - base, wall.wall, span)
    if slab is not None and slab.top is not None:
        add(LevelKind.TOP_OF_SLAB, slab.top)
        add(LevelKind.UNDER_SLAB, slab.top - slab.thickness)
        if slab.base > 0:
            add(LevelKind.UNDER_SLAB_STONE, slab.top - slab.thickness - slab.base)
    for pad in stepped.pads:
        add(LevelKind.TOP_OF_PAD, pad.top, pad.pad)
        add(LevelKind.BOTTOM_OF_PAD, pad.bottom, pad.pad)
        add(LevelKind.DIG_UNDER_PAD, pad.bottom - base, pad.pad)
    return tuple(marks)


def with_lower_strings(
    marks: Sequence[LevelMark], boards: Sequence[BoardLevel], setting: LevelReferences
) -> tuple[LevelMark, ...]:
    """Add the lower strings of boards that would stand too high.

    Parameters
    ----------
    marks
        What is listed already.
    boards
        The levels of the boards.
    setting
        What levels are set from.

    Returns
    -------
    tuple of LevelMark
        The lower strings, from the top down, after the string.
    """
    tiers: dict[float, list[str]] = {}
    for board in boards:
        if board.tier is not None:
            level = next((t for t in tiers if abs(t - board.tier) < ON_LINE), board.tier)
            tiers.setdefault(level, []).append(board.board)
    lower = [
        _mark(
            LevelKind.LOWER_STRING,
            f"board{'s' if len(names) > 1 else ''} {', '.join(names)}",
            None,
            level,
            setting,
        )
        for level, names in sorted(tiers.items(), reverse=True)
    ]
    after = max((i + 1 for i, mark in enumerate(marks) if mark.what is LevelKind.STRING), default=0)
    return (*marks[:after], *lower, *marks[after:])


def _mark(
    what: LevelKind,
    where: str,
    span: tuple[float, float] | None,
    level: float,
    setting: LevelReferences,
) -> LevelMark:
    reading, turning = None, ""
    if setting.instrument is not None:
        read = rod_reading(setting.instrument, level, setting.rod_length)
        turning = read.turning_point
        reading = None if turning else max(read.value, 0.0)
    string = setting.string
    return LevelMark(
        what=what,
        where=where,
        start=None if span is None else span[0],
        end=None if span is None else span[1],
        level=level,
        add_to_benchmark=add_to_benchmark(setting.benchmark, level),
        reading=reading,
        turning_point=turning,
        down_from_string=None if string is None else down_from_string(string, level),
    )
