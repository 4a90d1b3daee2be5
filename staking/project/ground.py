"""The conductor's part for the ground: from the survey, a surface in it, or readings."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from staking.errors import ComputationError, InputError, Problem
from staking.notices import Length, Notice, Severity, notice
from staking.tolerances import SAME_POINT

if TYPE_CHECKING:
    from staking.footing.bands_and_outlines import Band, Ring
    from staking.grade.grade_request import BenchmarkAsked, GradeAsked, GroundAsked, Written
    from staking.grade.stepping.cells import Ground
    from staking.grade.stepping.cheapest import GradeRequest
    from staking.grade.stepping.wall_network import Network
    from staking.plan import Dig, Options, Plan
    from staking.points import Array, SurveyPoints
    from staking.points import Surface as SurveySurface
    from staking.site.lot import Site as Lot
    from staking.site.site_results import Placement


_HIGHEST = 12.0
"""No foundation wall stands this high over the ground, m: two zeros are mixed (common practice,
no source)."""


def existing_ground(
    asked: GradeAsked,
    network: Network,
    bands: Sequence[Band],
    lot: Lot | None,
    pads: Mapping[str, Ring],
) -> tuple[Ground, tuple[Notice, ...]]:
    """Make the ground as it is.

    Parameters
    ----------
    asked
        What the job says of its levels.
    network, bands
        The walls and the footings under them.
    lot
        The surveys, and where the building stands on them.
    pads
        Points round each pad as it is dug, m.

    Returns
    -------
    tuple
        The ground, and what is to be told of it.

    Raises
    ------
    InputError
        Where the survey is needed and does not give it.
    """
    if asked.ground.source == "level_book":
        from staking.project.level_book import levelled_ground

        levelled, told = levelled_ground(asked, network, pads)
        ground, said = from_readings(levelled, network, pads, nearest=asked.nearest_beyond)
        return ground, (*told, *said)
    if asked.ground.source != "survey":
        return from_readings(asked.ground, network, pads, nearest=asked.nearest_beyond)
    if lot is None or lot.placement is None:
        raise InputError(
            asked.written.problem(
                "ground",
                "the ground is taken from the survey, and the building is not placed on it",
                "add place: under site:, or give elevations",
            )
        )
    rings = [band.hull for band in bands]
    chosen = _surface(lot.files, asked)
    if chosen is not None:
        return _from_surface(*chosen, lot.placement, rings, asked)
    return _from_points(lot.files, lot.placement, rings, asked)


def dug_pads(plan: Plan, dig: Dig) -> dict[str, Ring]:
    """Give the ground round each pad that is dug, banks left out.

    Returns
    -------
    dict
        Pad and points round it, m.
    """
    from staking.footing.bands import dig_bands

    bands, _ = dig_bands(plan, replace(dig, bank=0.0))
    return {band.name: band.hull for band in bands if band.kind == "pad"}


def from_readings(
    asked: GroundAsked, network: Network, pads: Mapping[str, Ring], *, nearest: bool = False
) -> tuple[Ground, tuple[Notice, ...]]:
    """Make a ground from elevations or rod readings at corners, along walls and at pads.

    Parameters
    ----------
    asked
        The readings.
    network
        The walls.
    pads
        Points round each pad as it is dug, m.
    nearest
        Whether ground beyond the readings is taken from the nearest.

    Returns
    -------
    tuple
        The ground and its notices.
    """
    from staking.grade.terrain.ground_readings import ground_from_readings

    def level(value: float) -> float:
        return value if asked.instrument is None else asked.instrument - value

    ground, told = ground_from_readings(
        network,
        {corner: level(value) for corner, value in asked.corners},
        [(wall, station, level(value)) for wall, station, value in asked.along],
        pads=[(pads[pad], level(value)) for pad, value in asked.pads],
        nearest=nearest,
    )
    return ground, _apart_once(told)


def _apart_once(told: Sequence[Notice]) -> tuple[Notice, ...]:
    """Tell of readings that stand far apart in one sentence for all walls."""
    apart = [each for each in told if each.kind == "readings-apart"]
    if len(apart) < 2:
        return tuple(told)
    values = [dict(each.values) for each in apart]
    lengths = [each["apart"] for each in values if isinstance(each["apart"], Length)]
    together = notice(
        "readings-apart",
        "readings stand up to {apart} apart, on {walls}; a hollow between them would be missed",
        walls=", ".join(str(each["wall"]) for each in values),
        apart=max(lengths, key=lambda each: each.metres),
    )
    return (together, *(each for each in told if each not in apart))


def _from_points(
    files: Sequence[SurveyPoints],
    placement: Placement,
    rings: Sequence[Ring],
    asked: GradeAsked,
) -> tuple[Ground, tuple[Notice, ...]]:
    from staking.grade.terrain.break_lines import BreakLine
    from staking.grade.terrain.surveyed_ground import surveyed_ground

    elevations = np.concatenate([file.elevation for file in files])
    known = ~np.isnan(elevations)
    if not known.any():
        raise InputError(
            asked.written.problem(
                "ground",
                f"{' and '.join(file.name for file in files)} has no elevations",
                "give the survey's elevations, or the ground at the corners",
            )
        )
    places = np.concatenate([np.stack((file.northing, file.easting), axis=1) for file in files])
    names = [str(name) for file in files for name in file.names]
    kept = np.flatnonzero(known).tolist()
    points = placement.to_building(places[known])
    lines = tuple(
        BreakLine(
            name=line.name,
            vertices=np.column_stack((
                placement.to_building(line.vertices[:, :2]),
                line.vertices[:, 2],
            )),
        )
        for file in files
        for line in file.lines
        if line.is_break_line
    )
    called = [names[i] or f"{i + 1} of the file" for i in kept]
    try:
        made = surveyed_ground(
            points, elevations[known], rings, called, lines, nearest=asked.nearest_beyond
        )
    except ComputationError as error:
        named = _named(str(error), files, points, elevations[known], called)
        raise ComputationError(str(asked.written.problem("ground", named, ""))) from error
    return made, made.notices


def _named(
    text: str,
    files: Sequence[SurveyPoints],
    points: Array,
    elevations: Array,
    names: Sequence[str],
) -> str:
    """Name the points that a fault of the ground comes from, and where they were read."""
    order = np.lexsort((points[:, 1], points[:, 0]))
    step = np.abs(np.diff(points[order], axis=0)).max(axis=1, initial=0.0)
    twice = np.flatnonzero((step <= SAME_POINT) & (np.abs(np.diff(elevations[order])) > SAME_POINT))
    for first in twice.tolist():
        pair = [int(order[first]), int(order[first + 1])]
        x, y = points[pair[1]]
        if f"two elevations at one place (x {x:.3f} m, y {y:.3f} m " not in text:
            continue
        known = [~np.isnan(file.elevation) for file in files]
        lines = np.concatenate([
            file.source_line[has] for file, has in zip(files, known, strict=True)
        ])
        homes = np.repeat(np.arange(len(files)), [int(has.sum()) for has in known])
        said = [
            f"{files[homes[i]].name}" + (f", line {lines[i]}" if lines[i] else "") for i in pair
        ]
        both = (f"point {names[i]} ({at})" for i, at in zip(pair, said, strict=True))
        return f"{' and '.join(both)}: {text}"
    if "in one line" in text:
        some = ", ".join(names[:4]) + (", …" if len(names) > 4 else "")
        return f"{' and '.join(file.name for file in files)}, points {some}: {text}"
    if "break line" in text:
        lined = [file.name for file in files if any(line.is_break_line for line in file.lines)]
        return f"{' and '.join(lined)}: {text}"
    return text


def _surface(
    files: Sequence[SurveyPoints], asked: GradeAsked
) -> tuple[SurveyPoints, SurveySurface] | None:
    """Find the surface that is the ground, if the surveys have any."""
    from staking.survey.merge import find_surface

    try:
        return find_surface(files, asked.ground.surface)
    except InputError as error:
        raise InputError(
            *(asked.written.problem("ground", each.message, each.remedy) for each in error.problems)
        ) from error


def _from_surface(
    file: SurveyPoints,
    given: SurveySurface,
    placement: Placement,
    rings: Sequence[Ring],
    asked: GradeAsked,
) -> tuple[Ground, tuple[Notice, ...]]:
    from staking.grade.terrain.given_surface import ground_of_faces

    vertices = np.column_stack((placement.to_building(given.vertices[:, :2]), given.vertices[:, 2]))
    try:
        ground = ground_of_faces(vertices, given.faces, rings, nearest=asked.nearest_beyond)
    except ComputationError as error:
        text = f"surface {given.name} of {file.name}: {error}"
        raise ComputationError(str(asked.written.problem("ground", text, ""))) from error
    told = notice(
        "ground-surface",
        "the ground is the surface {surface} of {file}",
        severity=Severity.NOTE,
        surface=given.name,
        file=file.name,
    )
    return ground, (told, *ground.notices)


def benchmark_level(
    asked: BenchmarkAsked | None, lot: Lot | None, written: Written
) -> float | None:
    """Find the benchmark's elevation.

    Parameters
    ----------
    asked
        What the job says of it.
    lot
        The surveys.
    written
        Where the job says it.

    Returns
    -------
    float or None
        m; None without a benchmark.

    Raises
    ------
    InputError
        Where it is not in the survey, or has no elevation there.
    """
    if asked is None or asked.elevation is not None:
        return None if asked is None else asked.elevation
    from staking.survey.merge import find_points

    files = () if lot is None else lot.files
    try:
        point = find_points(files, {asked.name: ""})[asked.name]
    except InputError as error:
        raise InputError(
            *(
                written.problem("benchmark", each.message, each.remedy, "point")
                for each in error.problems
            )
        ) from error
    if math.isnan(point.elevation):
        raise InputError(
            written.problem(
                "benchmark",
                f"point {asked.name} has no elevation in the survey",
                "name another point, or give its name and elevation",
                "point",
            )
        )
    return point.elevation


def check_top(
    request: GradeRequest, network: Network, options: Options, lot: Lot | None, written: Written
) -> None:
    """Refuse a top of wall on another zero than the ground's.

    Parameters
    ----------
    request, network
        What is asked of the footing, with its ground.
    options
        How lengths are shown.
    lot
        The surveys, whose unit may be the fault.
    written
        Where the job says it.

    Raises
    ------
    InputError
        Where it stands below all of the ground, or farther over it than any wall is high.
    """
    from staking.grade.stepping.cells import Patch
    from staking.measure.lengths import format_length

    patches = [
        Patch(wall=strand.name, start=station, end=station, ring=(strand.place(station, 0.0),))
        for strand in network.strands
        for station in (0.0, strand.length)
    ]
    lowest = float(request.site.existing.lowest(patches).min())
    top = request.top_of_wall
    if lowest <= top <= lowest + _HIGHEST:
        return
    how = "below all of the ground, whose lowest" if top < lowest else "far above the ground"
    shown = [format_length(each, options.show, options.nearest) for each in (top, lowest)]
    ground = f"{how} is {shown[1]}" if top < lowest else f"{how} at {shown[1]}"
    # A survey read in the wrong unit shows in its grid as well, and that is the better clue.
    clues = [
        Problem(message=each.text.format(**dict(each.values)), field="site")
        for each in (() if lot is None else lot.notices)
        if each.kind == "crs-area"
    ]
    raise InputError(
        *clues,
        written.problem(
            "top_of_wall",
            f"the top of the wall at {shown[0]} stands {ground}",
            "give both from one zero, and check their units",
        ),
    )
