"""The conductor's part for the ground: taken from the survey, a surface in it, or readings."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from staking.errors import InputError
from staking.kinds import GroundSource
from staking.laid_out.ground_made import (
    dug_pads,
    from_points,
    from_readings,
    from_surface,
    odd_readings,
    refuse_two_benchmarks,
)

if TYPE_CHECKING:
    from staking.footing.bands_and_outlines import Band, Ring
    from staking.grade.grade_request import BenchmarkAsked, GradeAsked, SectionPlace
    from staking.grade.stepping.cells import Ground
    from staking.grade.stepping.wall_network import Network
    from staking.laid_out.footing_levels import GroundRead
    from staking.notices import Notice
    from staking.plan import Options, Plan
    from staking.points import Surface as SurveySurface
    from staking.points import SurveyPoints
    from staking.site.building_on_lot import BuildingOnLot


def read_ground(
    asked: GradeAsked,
    network: Network,
    plan: Plan,
    options: Options,
    bands: Sequence[Band],
    lot: BuildingOnLot | None,
) -> GroundRead:
    """Give the ground of a job and its benchmark.

    Parameters
    ----------
    asked
        The grade section.
    network
        The walls.
    plan, options, bands
        The building, the rest of the job, and the footings.
    lot
        The surveys, and where the building stands on them.

    Returns
    -------
    GroundRead
        Existing and finished ground, and the benchmark's level.

    Notes
    -----
    `staking.errors.InputError` comes from the survey and the benchmark.
    """
    from staking.laid_out.footing_levels import GroundRead

    if asked.benchmark is not None and lot is not None:
        refuse_two_benchmarks(asked.benchmark, lot.files, options, asked.written)
    pads = dug_pads(plan, options.dig)
    existing, told = existing_ground(asked, network, plan, bands, lot, pads)
    finished = None
    said: tuple[Notice, ...] = ()
    if asked.finished.points is not None:
        points, nearest = asked.finished.points, asked.nearest_beyond
        finished, said = from_readings(points, network, pads, nearest=nearest)
    return GroundRead(
        existing=existing,
        finished=finished,
        benchmark=benchmark_level(asked.benchmark, lot, asked.written),
        lot_notices=() if lot is None else lot.notices,
        notices=(*told, *said),
    )


def existing_ground(
    asked: GradeAsked,
    network: Network,
    plan: Plan,
    bands: Sequence[Band],
    lot: BuildingOnLot | None,
    pads: Mapping[str, Ring],
) -> tuple[Ground, tuple[Notice, ...]]:
    """Make the ground as it is.

    Parameters
    ----------
    asked
        What the job says of its levels.
    network, plan, bands
        The walls, the building, and the footings under them.
    lot
        The surveys, and where the building stands on them.
    pads
        Points round each pad as it is dug, m.

    Returns
    -------
    tuple
        The ground, and the notices about it.

    Raises
    ------
    InputError
        Where the survey is needed and does not give it.
    """
    if asked.ground.source is GroundSource.LEVEL_BOOK:
        from staking.grade.terrain.levelled_book import levelled_ground
        from staking.project.levels_read import read_levels

        levelled, told = levelled_ground(asked, read_levels(asked), network, pads)
        ground, said = from_readings(levelled, network, pads, nearest=asked.nearest_beyond)
        return ground, (*told, *said, *odd_readings(levelled, network, pads))
    if asked.ground.source not in {GroundSource.SURVEY, GroundSource.CLOUD}:
        ground, told = from_readings(asked.ground, network, pads, nearest=asked.nearest_beyond)
        return ground, (*told, *odd_readings(asked.ground, network, pads))
    if lot is None or lot.placement is None:
        raise InputError(
            asked.written.problem(
                "ground",
                "the ground is taken from the survey, and the building is not placed on it",
                "add place: under site:, or give elevations",
            )
        )
    rings = [band.hull for band in bands]
    scans = _scans(asked, plan, lot)
    if scans and asked.ground.surface is None:
        from staking.laid_out.ground_of_scan import from_scans

        return from_scans(scans, lot.files, lot.placement, rings, asked)
    chosen = _surface(lot.files, asked)
    if chosen is not None:
        return from_surface(*chosen, lot.placement, rings, asked)
    return from_points(lot.files, lot.placement, rings, asked)


def _scans(asked: GradeAsked, plan: Plan, lot: BuildingOnLot) -> tuple[SurveyPoints, ...]:
    """Give the scanned ground: what the section names, else what stands among the surveys."""
    if asked.ground.source is not GroundSource.CLOUD:
        return lot.scans
    from pathlib import Path

    from staking.points import SurveySettings
    from staking.project.scans import scans_of_ground

    said = asked.ground.scan
    settings = SurveySettings(
        unit=said.unit, crs=said.crs, heights=said.heights_unit, is_listing=False
    )
    return scans_of_ground([Path(each) for each in said.files], settings, plan, lot)


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


def benchmark_level(
    asked: BenchmarkAsked | None, lot: BuildingOnLot | None, written: SectionPlace
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
