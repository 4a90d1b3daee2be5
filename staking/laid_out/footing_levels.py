"""The levels of a building: the stepped footing on its ground, and what it asks for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from staking.errors import ComputationError, InputError, Problem
from staking.frozen import frozen
from staking.kinds import FootingKind
from staking.notices import Length, Notice, NoticeKind, Severity, notice

if TYPE_CHECKING:
    from staking.footing.bands_and_outlines import Band
    from staking.grade.beyond_walls import SlopeSetback, WaterAtWall
    from staking.grade.grade_request import GradeAsked, SectionPlace, TopAsked
    from staking.grade.graded import BoardLevel, Graded, GradedWall, LowerString
    from staking.grade.run_digs import RunDig
    from staking.grade.setting_out.level_marks import LevelReferences
    from staking.grade.stepped_footing import Alternative, PadLevel, SteppedFooting, WallProfile
    from staking.grade.stepping.cells import Ground, SiteGround
    from staking.grade.stepping.cheapest import GradeRequest
    from staking.grade.stepping.wall_network import Network
    from staking.laid_out.levels_compared import LevelsGiven
    from staking.layout.layout_parts import Board, Hub, String
    from staking.plan import Dig, Options, Plan


@frozen(eq=False)
class GroundRead:
    """What is known of the ground, elevations in m.

    Parameters
    ----------
    existing
        The ground as it is.
    finished
        The finished ground where the job has points of it; None where it follows the existing.
    benchmark
        The benchmark's level, m; None without one.
    lot_notices
        What was said of the lot: a unit that is in doubt there is the better clue to a wrong zero.
    notices
        The notices about the ground.
    """

    existing: Ground
    finished: Ground | None
    benchmark: float | None
    lot_notices: tuple[Notice, ...] = ()
    notices: tuple[Notice, ...] = ()


def footing_levels(
    asked: GradeAsked, plan: Plan, options: Options, network: Network, ground: GroundRead
) -> Graded:
    """Work out the levels of a building, all but what depends on boards and hubs.

    Parameters
    ----------
    asked
        The grade section.
    plan, options
        The building, and the rest of the job.
    network
        Its walls, as `staking.grade.stepping.wall_network.join_walls` gives them.
    ground
        What is known of the ground.

    Returns
    -------
    Graded
        Without stakes and boards.

    Notes
    -----
    `staking.errors.InputError` comes where the top of the wall cannot be, `ComputationError` where
    no stepped footing keeps the rules.
    """
    from staking.grade.graded import Graded
    from staking.grade.neighbours import undercuts
    from staking.grade.run_digs import beside
    from staking.grade.setting_out.level_marks import level_marks
    from staking.laid_out.ground_made import check_top
    from staking.laid_out.levels_compared import LevelsGiven

    request = _request(asked, plan, network, ground)
    check_top(request, network, options, ground.lot_notices, asked.written)
    setting = _setting(asked, options, ground.benchmark)
    stepped = _stepped(request, asked.written)
    base = options.dig.base
    walls = _walls(request, network, stepped.walls, base)
    digs = _digs(request, walls, stepped.pads, base)
    marks = level_marks(stepped, plan.slab, base, setting)
    deepest = max(each.depth for each in digs)
    found, broken = undercuts(*beside(plan, options.dig, network, digs, stepped), asked.fall)
    given = LevelsGiven(
        asked=asked,
        plan=plan,
        options=options,
        setting=setting,
        existing=ground.existing,
        walls=walls,
        marks=marks,
        deepest=deepest,
    )
    water, slopes, beyond = _beyond_walls(request, walls, veneer=asked.veneer)
    notices = (
        *ground.notices,
        *stepped.notices,
        *broken,
        *beyond,
        *_said_of_levels(request, given, has_benchmark=asked.benchmark is not None),
    )
    return Graded(
        request=request,
        stepped=stepped,
        walls=walls,
        pads=stepped.pads,
        string=setting.string,
        benchmark=None if asked.benchmark is None else asked.benchmark.name,
        benchmark_level=setting.benchmark,
        instrument=setting.instrument,
        rod=asked.rod,
        rod_length=asked.rod_length,
        levels=marks,
        digs=digs,
        stakes=(),
        boards=(),
        gains=(),
        larger_steps=None,
        undercuts=found,
        greatest_depth=deepest,
        notices=tuple(dict.fromkeys(notices)),
        stake_tops=asked.stake_tops,
        water=water,
        slopes=slopes,
    )


def _beyond_walls(
    request: GradeRequest, walls: Sequence[GradedWall], *, veneer: bool
) -> tuple[tuple[WaterAtWall, ...], tuple[SlopeSetback, ...], tuple[Notice, ...]]:
    """Hold the walls against the ground beyond them: water that stands there, slopes too near."""
    from staking.grade.notices.cover import TOP_CLEAR, VENEER_CLEAR
    from staking.grade.notices.slope_notices import slope_notices, water_notices
    from staking.grade.slope_setback import REACH, slope_setbacks
    from staking.grade.terrain.ground_around import ground_around
    from staking.grade.uphill_water import water_at_walls

    plan, site = request.plan, request.site
    region = [point for building in plan.buildings for point in building.ring]
    around = ground_around(site.existing, region, REACH)
    clear = VENEER_CLEAR if veneer else TOP_CLEAR
    water = water_at_walls(plan, walls, site, clear)
    slopes = slope_setbacks(plan, walls, around)
    return water, slopes, (*slope_notices(slopes), *water_notices(water))


def _request(asked: GradeAsked, plan: Plan, network: Network, ground: GroundRead) -> GradeRequest:
    from staking.grade.stepping.cells import SiteGround
    from staking.grade.stepping.cheapest import GradeRequest

    site = SiteGround(
        existing=ground.existing,
        finished=ground.finished,
        fill=asked.finished.above,
        inside=asked.inside,
    )
    return GradeRequest(
        plan=plan,
        network=network,
        site=site,
        rules=asked.rules,
        top_of_wall=_top(asked.top_of_wall, network, site, asked.rules.module),
        walls=asked.walls,
    )


def _said_of_levels(
    request: GradeRequest, given: LevelsGiven, *, has_benchmark: bool
) -> tuple[Notice, ...]:
    """Say what the levels ask for, and where what the job says of them does not fit."""
    from staking.grade.notices.level_notices import setting_notices, unknown_footings, wall_notices
    from staking.grade.notices.trench_notices import trench_notices
    from staking.laid_out.levels_compared import compare_levels

    walls = given.walls
    return (
        *setting_notices(given.setting, has_benchmark),
        *wall_notices(request, walls, veneer=given.asked.veneer),
        *trench_notices([each for wall in walls for each in wall.deep]),
        *unknown_footings(given.plan),
        *compare_levels(given),
    )


def _stepped(request: GradeRequest, written: SectionPlace) -> SteppedFooting:
    """Step the footing; where that cannot be, say in which job.

    Returns
    -------
    SteppedFooting
        The cheapest.

    Raises
    ------
    ComputationError
        With the wall, the place and the rule that would have to give.
    """
    from staking.grade.stepping.cheapest import step_footings

    try:
        return step_footings(request, count_next=False)
    except ComputationError as error:
        raise ComputationError(written.problem("", str(error), "")) from error


def _top(asked: TopAsked, network: Network, site: SiteGround, module: float) -> float:
    """Give the top of the wall, m: as it is said, or over the highest finished grade outside."""
    if asked.elevation is not None:
        return asked.elevation
    from staking.grade.stepping.cells import cell_edges, cell_patches, outside_part

    patches = [
        outside_part(strand, patch)
        for strand in network.strands
        if strand.kind is FootingKind.WALL
        for patch in cell_patches(strand, cell_edges(strand, module))
    ]
    return float(site.finished_highest(patches).max()) + (asked.above_highest or 0.0)


def _setting(asked: GradeAsked, options: Options, benchmark: float | None) -> LevelReferences:
    from staking.grade.setting_out.level_marks import LevelReferences
    from staking.grade.setting_out.rods import instrument_height

    instrument = asked.instrument
    if asked.reading_on_benchmark is not None:
        if benchmark is None:
            raise InputError(
                Problem(
                    message="there is no benchmark to take a reading on",
                    remedy="add benchmark: under grade:",
                    field="reading on the benchmark",
                )
            )
        instrument = instrument_height(benchmark, asked.reading_on_benchmark)
    return LevelReferences(
        benchmark=benchmark,
        instrument=instrument,
        rod_length=asked.rod_length,
        string=options.boards.at,
    )


def _walls(
    request: GradeRequest, network: Network, profiles: Sequence[WallProfile], base: float
) -> tuple[GradedWall, ...]:
    from staking.grade.graded import GradedWall
    from staking.grade.setting_out.level_marks import ground_line
    from staking.grade.stepping.built_steps import as_built
    from staking.grade.trench_depth import deep_stretches, trench_depths

    strip = request.rules.strip
    walls = []
    for strand, profile in zip(network.strands, profiles, strict=True):
        built = as_built(profile, strand, request.rules, base)
        walls.append(
            GradedWall(
                profile=profile,
                strand=strand,
                built=built,
                ground=ground_line(strand, request.site, strip, profile.bounds.edges),
                deep=deep_stretches(profile, strand, request.site, base, built),
                depths=trench_depths(profile, strand, request.site, base, built),
            )
        )
    return tuple(walls)


def _digs(
    request: GradeRequest, walls: Sequence[GradedWall], pads: Sequence[PadLevel], base: float
) -> tuple[RunDig, ...]:
    from staking.grade.run_digs import pad_digs, run_digs

    runs = [
        each
        for wall in walls
        for each in run_digs(wall.strand, wall.profile, wall.built, request.site, base)
    ]
    return (*runs, *pad_digs(request.network, pads, request.site, base))


def stepped_dig(graded: Graded, plan: Plan, dig: Dig) -> tuple[Band, ...]:
    """Give the strips that are dug, each stretch's bank by its own depth.

    Parameters
    ----------
    graded
        The levels.
    plan, dig
        The building, and how it is dug.

    Returns
    -------
    tuple of Band
        As `grade.run_digs.stepped_dig_bands` gives them.
    """
    from staking.grade.run_digs import stepped_dig_bands

    return stepped_dig_bands(plan, dig, graded.network, graded.digs)


def grade_stakes(
    graded: Graded,
    plan: Plan,
    options: Options,
    strings: Sequence[String],
    boards: Sequence[Board],
    hubs: Sequence[Hub],
) -> Graded:
    """Add what depends on boards and hubs.

    Parameters
    ----------
    graded
        The levels.
    plan, options, strings, boards, hubs
        The layout.

    Returns
    -------
    Graded
        With the levels of corner stakes and hubs and, where the strings have a level, of boards.
    """
    from staking.grade.setting_out.board_heights import board_levels, strings_on_ground
    from staking.grade.setting_out.cut_and_fill import beyond_notices, dig_at_nodes, stake_levels
    from staking.grade.setting_out.level_marks import LevelReferences, with_lower_strings
    from staking.grade.setting_out.lower_strings import lower_strings

    ground = graded.request.site.existing
    corners = plan.corner_points
    dig = dig_at_nodes(graded.network, graded.stepped, options.dig.base)
    stakes = stake_levels(corners, hubs, dig, ground.at)
    levels: tuple[BoardLevel, ...] = ()
    lower: tuple[LowerString, ...] = ()
    told: list[Notice] = beyond_notices(ground, boards, hubs)
    if graded.string is not None:
        levels, said = board_levels(
            boards,
            ground.at,
            graded.string,
            options.boards.max_height,
            graded.request.rules.course,
        )
        told += _tiers_once(said, levels, options)
        lower, levels = lower_strings(strings, levels, ground.at)
        level = graded.string
        told += strings_on_ground(strings, ground.at, {each.name: level for each in strings})
    return replace(
        graded,
        levels=with_lower_strings(
            graded.levels,
            levels,
            LevelReferences(
                benchmark=graded.benchmark_level,
                instrument=graded.instrument,
                rod_length=graded.rod_length,
                string=graded.string,
            ),
        ),
        stakes=stakes,
        boards=levels,
        lower=lower,
        notices=tuple(dict.fromkeys((*graded.notices, *told))),
    )


def _tiers_once(
    told: Sequence[Notice], levels: Sequence[BoardLevel], options: Options
) -> list[Notice]:
    """Tell of boards that would stand too high in one sentence; their strings are in the table."""
    high = [each for each in levels if each.tier is not None and each.height is not None]
    if len(high) < 2:
        return list(told)
    together = notice(
        NoticeKind.BOARD_TIER,
        "boards {boards} would stand over {limit} above the ground, {height} at the most: set a "
        "lower pair of boards there for a lower string, whole courses below, and plumb down from "
        "the string above; `staking grade` gives the levels",
        severity=Severity.NOTE,
        boards=", ".join(each.board for each in high),
        limit=Length(options.boards.max_height),
        height=Length(max(each.height or 0.0 for each in high)),
    )
    return [together, *(each for each in told if each.kind != NoticeKind.BOARD_TIER)]


def other_ways(graded: Graded) -> Graded:
    """Add what another top of wall, and steps of a course more, would give.

    Parameters
    ----------
    graded
        The levels.

    Returns
    -------
    Graded
        With `gains`, `larger_steps` and the next-cheapest number of steps; ways that break a rule
        are left out.
    """
    from staking.grade.stepping.cheapest import (
        larger_steps,
        next_step_count,
        top_of_wall_gains,
    )

    request = graded.request
    try:
        gains = top_of_wall_gains(request)
    except ComputationError:
        gains = _gains_singly(request)
    try:
        larger = larger_steps(request)
    except ComputationError:
        larger = None
    stepped = replace(graded.stepped, next_count=next_step_count(request))
    return replace(graded, stepped=stepped, gains=gains, larger_steps=larger)


def _gains_singly(request: GradeRequest) -> tuple[Alternative, ...]:
    """Give the other tops that keep the rules, where not all do."""
    from staking.grade.stepping.cheapest import top_of_wall_gains

    found: list[Alternative] = []
    for eighths in (each for each in range(-8, 9) if each):
        try:
            found += top_of_wall_gains(request, [eighths * request.rules.course / 8])
        except ComputationError:
            continue
    return tuple(found)
