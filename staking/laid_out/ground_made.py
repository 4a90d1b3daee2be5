"""The ground made: from surveyed points, from a surface, or from readings."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from staking.errors import ComputationError, InputError, Problem
from staking.kinds import FootingKind
from staking.notices import Length, Notice, NoticeKind, Severity, notice
from staking.tolerances import SAME_POINT
from staking.units import INCH

if TYPE_CHECKING:
    from staking.footing.bands_and_outlines import Ring
    from staking.grade.grade_request import BenchmarkAsked, GradeAsked, GroundAsked, SectionPlace
    from staking.grade.stepping.cells import Ground
    from staking.grade.stepping.cheapest import GradeRequest
    from staking.grade.stepping.wall_network import Network
    from staking.plan import Dig, Options, Plan, Point
    from staking.points import Array, SurveyPoints
    from staking.points import Surface as SurveySurface
    from staking.site.site_results import Placement


_HIGHEST = 12.0
"""No foundation wall stands this high over the ground, m: two zeros are mixed (common practice,
no source)."""


SAME_BENCHMARK = INCH / 4
"""Two elevations of one benchmark that differ by more, m, are two benchmarks: more than a survey's
hundredths round away (common practice, no source)."""


def dug_pads(plan: Plan, dig: Dig) -> dict[str, Ring]:
    """Give the ground round each pad that is dug, banks left out.

    Returns
    -------
    dict
        Pad and points round it, m.
    """
    from staking.footing.bands import dig_bands

    bands, _ = dig_bands(plan, replace(dig, bank=0.0))
    return {band.name: band.hull for band in bands if band.kind is FootingKind.PAD}


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


def odd_readings(
    asked: GroundAsked, network: Network, pads: Mapping[str, Ring]
) -> tuple[Notice, ...]:
    """Say which reading of the ground is probably misread.

    Parameters
    ----------
    asked
        The readings.
    network
        The walls.
    pads
        Points round each pad as it is dug, m.

    Returns
    -------
    tuple of Notice
        As `staking.grade.terrain.odd_readings.odd_reading_notices` gives them.
    """
    from staking.grade.terrain.odd_readings import GroundReading, odd_reading_notices
    from staking.units import Unit

    corners = {
        network.nodes[number]: strand.place(station, 0.0)
        for strand in network.strands
        for number, station in strand.nodes
    }
    found: list[tuple[str, float | None, Point, float]] = [
        (name, None, corners[name], z) for name, z in asked.corners if name in corners
    ]
    for wall, station, z in asked.along:
        strand = network.strand(wall)
        own = station if strand.name == wall else strand.length - station
        found.append((wall, station, strand.place(own, 0.0), z))
    for name, z in asked.pads:
        x, y = np.mean(np.array(pads[name]), axis=0).tolist()
        found.append((name, None, (x, y), z))
    rod = asked.instrument is not None
    return odd_reading_notices(
        [
            GroundReading(
                on=on,
                station=station,
                place=place,
                given=z,
                level=z if asked.instrument is None else asked.instrument - z,
            )
            for on, station, place, z in found
        ],
        metric=asked.unit in {Unit.M, Unit.MM},
        rod=rod,
    )


def refuse_two_benchmarks(
    benchmark: BenchmarkAsked,
    surveys: Sequence[SurveyPoints],
    options: Options,
    written: SectionPlace,
) -> None:
    """Refuse a benchmark whose elevation here is not that of the survey's point of its name.

    Parameters
    ----------
    benchmark
        As the job gives it.
    surveys
        What was surveyed.
    options
        How lengths are shown.
    written
        Where the job says it.

    Raises
    ------
    InputError
        Where a point of that name has another elevation.
    """
    from staking.measure.lengths import format_length

    if benchmark.elevation is None:
        return
    for survey in surveys:
        for i in np.flatnonzero(np.asarray(survey.names) == benchmark.name).tolist():
            there = float(survey.elevation[i])
            if np.isnan(there) or abs(there - benchmark.elevation) <= SAME_BENCHMARK:
                continue
            here, other = (
                format_length(each, options.show, options.nearest)
                for each in (benchmark.elevation, there)
            )
            raise InputError(
                written.problem(
                    "benchmark",
                    f"{benchmark.name} is at {here} here and at {other} in {survey.name}",
                    f"write {{point: {benchmark.name}}} to take it from the survey, or give the "
                    "mark another name",
                    "elevation",
                )
            )


def _apart_once(told: Sequence[Notice]) -> tuple[Notice, ...]:
    """Tell of readings that stand far apart in one sentence for all walls."""
    apart = [each for each in told if each.kind == NoticeKind.READINGS_APART]
    if len(apart) < 2:
        return tuple(told)
    values = [dict(each.values) for each in apart]
    lengths = [each["apart"] for each in values if isinstance(each["apart"], Length)]
    together = notice(
        NoticeKind.READINGS_APART,
        "ground readings stand up to {apart} apart on {walls}: read between them too, as a "
        "hollow there would be missed",
        walls=", ".join(str(each["wall"]) for each in values),
        apart=max(lengths, key=lambda each: each.metres),
    )
    return (together, *(each for each in told if each not in apart))


def from_points(
    files: Sequence[SurveyPoints],
    placement: Placement,
    rings: Sequence[Ring],
    asked: GradeAsked,
) -> tuple[Ground, tuple[Notice, ...]]:
    """Make a ground from the elevated points of surveys.

    Parameters
    ----------
    files
        The surveys, on the lot's ground plane.
    placement
        Where the building stands on it.
    rings
        The footings, whose ground must be known, m.
    asked
        The grade section.

    Returns
    -------
    tuple
        The ground and its notices.

    Raises
    ------
    InputError
        Where no point has an elevation.
    ComputationError
        Where the points make no surface under the footings, with the points by name.
    """
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
        raise ComputationError(asked.written.problem("ground", named, "")) from error
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


def from_surface(
    file: SurveyPoints,
    given: SurveySurface,
    placement: Placement,
    rings: Sequence[Ring],
    asked: GradeAsked,
) -> tuple[Ground, tuple[Notice, ...]]:
    """Make a ground from a surface that a survey holds.

    Parameters
    ----------
    file, given
        The survey, and its surface on the lot's ground plane.
    placement
        Where the building stands on it.
    rings
        The footings, whose ground must be known, m.
    asked
        The grade section.

    Returns
    -------
    tuple
        The ground and its notices, the surface's name among them.

    Raises
    ------
    ComputationError
        Where the surface does not reach under the footings.
    """
    from staking.grade.terrain.given_surface import ground_of_faces

    vertices = np.column_stack((placement.to_building(given.vertices[:, :2]), given.vertices[:, 2]))
    try:
        ground = ground_of_faces(vertices, given.faces, rings, nearest=asked.nearest_beyond)
    except ComputationError as error:
        text = f"surface {given.name} of {file.name}: {error}"
        raise ComputationError(asked.written.problem("ground", text, "")) from error
    told = notice(
        "ground-surface",
        "the ground is the surface {surface} of {file}",
        severity=Severity.NOTE,
        surface=given.name,
        file=file.name,
    )
    return ground, (told, *ground.notices)


def check_top(
    request: GradeRequest,
    network: Network,
    options: Options,
    lot_notices: Sequence[Notice],
    written: SectionPlace,
) -> None:
    """Refuse a top of wall on another zero than the ground's.

    Parameters
    ----------
    request, network
        What is asked of the footing, with its ground.
    options
        How lengths are shown.
    lot_notices
        What was said of the lot, whose unit may be the fault.
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
        for each in lot_notices
        if each.kind == NoticeKind.OUTSIDE_ITS_SYSTEM
    ]
    raise InputError(
        *clues,
        written.problem(
            "top_of_wall",
            f"the top of the wall at {shown[0]} stands {ground}",
            "give both from one zero, and check their units",
        ),
    )
