"""The conductor's part for the lot: surveys in, the building placed, what it does to the lot."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from staking.errors import InputError, Problem
from staking.notices import Notice, notice
from staking.project.lot_ground import lot_ground, lot_ground_notices, one_system, scaled_alike
from staking.site.given_shapes import refuse_crossed_shapes, setback_notices
from staking.site.ground_plane import survey_onto
from staking.site.lot import (
    Built,
    KnownPoint,
    NamedLine,
    Site,
    boundary_lines,
    clearances_on,
    coordinates,
    digging_by_hand,
    known_onto,
    stay_clear_shapes,
)
from staking.site.names import names_asked
from staking.site.pairs import seen
from staking.site.stake_names import points_by_any_name, points_in_files, refuse_taken_names
from staking.site.stakeout import (
    Delta,
    Shot,
    Tie,
    deltas,
    hidden_notices,
    shots,
    tie_notices,
    ties,
)
from staking.site.whereabouts import told_of, whereabouts
from staking.units import Unit

if TYPE_CHECKING:
    from staking.footing.bands_and_outlines import Band, Outline
    from staking.laid_out.layout_value import Layout
    from staking.layout.layout_parts import Board, Hub
    from staking.layout.named_points import NamedPoint
    from staking.plan import Options, Plan
    from staking.points import SurveyPoints
    from staking.site.ground_plane import GroundPlane
    from staking.site.site_request import SiteAsked
    from staking.site.site_results import Placement

_MOST_CONTROL = 60
"""Known points taken by their description alone, at most: a survey may be all nails."""


def load_site(
    asked: SiteAsked, plan: Plan, options: Options, known: Sequence[str] = ()
) -> tuple[Site, Plan]:
    """Read the surveys of a job and place the building on them.

    Parameters
    ----------
    asked
        The site section.
    plan, options
        The rest of the job.
    known
        Names of survey points that are wanted beside those the job names.

    Returns
    -------
    tuple
        The site, without what depends on boards; the plan with the shapes to keep off that run
        through surveyed points.

    Notes
    -----
    `staking.errors.InputError` comes from the readers, for names that are not in the survey or
    mean two places, and from the placement.
    """
    read = scaled_alike(_read(asked), asked)
    system = one_system(read)
    crs = system or asked.crs
    fields = dict.fromkeys(known, "known point") | dict(names_asked(asked))
    given = _find(read, fields)
    unit = asked.unit or read[0].unit
    ground = lot_ground(asked, read, given, crs)
    surveys = tuple(survey_onto(each, ground.plane) for each in read)
    points = {name: known_onto(each, ground.plane) for name, each in given.items()}
    boundary = tuple(points[name] for name in asked.boundary)
    lines, said = boundary_lines(boundary, asked)
    notices = [*told_of(surveys), *said]
    shapes = tuple(
        NamedLine(name=each.name, points=tuple(points[name] for name in each.through))
        for each in asked.stay_clear
    )
    refuse_crossed_shapes({
        each.name: ([point.name for point in each.points], coordinates(each.points))
        for each in shapes
    })
    notices += setback_notices(asked.boundary, coordinates(boundary), asked)
    placement = _place(asked, plan, options, points, Unit(unit), ground.plane)
    if placement is not None:
        notices += [*placement.notices, *whereabouts(plan, placement, read, ground.plane)]
        inside = stay_clear_shapes(shapes, placement)
        plan = replace(plan, stay_clear=(*plan.stay_clear, *inside))
    elif shapes or asked.buried or boundary:
        notices.append(
            notice(
                "not-placed",
                "the survey is read, but place: does not say where the building stands on it, so "
                "nothing is known of its clearances, and strings do not keep off what is there",
            )
        )
    control = _control(asked, surveys, points, known)
    site = Site(
        asked=asked,
        surveys=tuple(survey.name for survey in surveys),
        files=surveys,
        unit=unit,
        columns=asked.columns or surveys[0].columns,
        crs=crs,
        plane=ground.plane,
        scaled=ground.scaled,
        grid=ground.figures,
        placement=placement,
        control=control,
        boundary=boundary,
        lines=lines,
        stay_clear=shapes,
        buried=tuple(
            NamedLine(
                name=each.name,
                points=tuple(points[name] for name in each.through),
                hand_dig=each.hand_dig,
            )
            for each in asked.buried
        ),
        notices=tuple(notices),
    )
    said = lot_ground_notices(site, plan, ground)
    return replace(site, notices=(*site.notices, *said)), plan


def _read(asked: SiteAsked) -> tuple[SurveyPoints, ...]:
    from staking.points import SurveySettings
    from staking.survey.read import read_survey

    settings = SurveySettings(
        unit=asked.unit,
        job_unit=asked.job_unit,
        columns=asked.columns,
        crs=asked.crs,
        no_elevation=asked.no_elevation,
    )
    problems: list[Problem] = []
    found = []
    for name in asked.survey:
        try:
            found.append(read_survey(Path(name), settings))
        except InputError as error:
            problems += error.problems
    if problems:
        raise InputError(*problems)
    return tuple(found)


def _find(surveys: Sequence[SurveyPoints], fields: dict[str, str]) -> dict[str, KnownPoint]:
    from staking.survey.merge import find_points

    return find_points(surveys, fields)


def _place(
    asked: SiteAsked,
    plan: Plan,
    options: Options,
    points: dict[str, KnownPoint],
    unit: Unit,
    plane: GroundPlane,
) -> Placement | None:
    if asked.place is None:
        return None
    from staking.site.place_building import place

    places = {name: (each.northing, each.easting) for name, each in points.items()}
    return place(plan, asked.place, places, tape=options.tape, unit=unit, plane=plane)


def _control(
    asked: SiteAsked,
    surveys: Sequence[SurveyPoints],
    points: dict[str, KnownPoint],
    known: Sequence[str],
) -> tuple[KnownPoint, ...]:
    """Choose the points to tape from: marks that can be found again, no shots on bare ground."""
    from staking.survey.merge import described_as_control

    buried = {name for each in asked.buried for name in each.through}
    kept = {each for line in (asked.boundary, known) for each in line}
    kept |= {name for each in asked.stay_clear for name in each.through}
    named = [name for name in points if name in kept or name not in buried]
    told = [name for name in described_as_control(surveys)[:_MOST_CONTROL] if name not in points]
    more = _find(surveys, dict.fromkeys(told, "known point"))
    return (*(points[name] for name in named), *more.values())


def on_the_lot(
    site: Site,
    plan: Plan,
    footing: Outline,
    dig_bands: tuple[Band, ...],
    boards: tuple[Board, ...],
    hubs: tuple[Hub, ...],
) -> Site:
    """Work out what the finished layout does to the lot.

    Parameters
    ----------
    site
        The lot with the building placed.
    plan, footing, dig_bands, boards, hubs
        The layout.

    Returns
    -------
    Site
        With clearances, hand digging and their notices.
    """
    if site.placement is None:
        return site
    built = Built(plan=plan, footing=footing, dig_bands=dig_bands, boards=boards, hubs=hubs)
    clear, of_boundary = clearances_on(site.asked, site.boundary, site.placement, built)
    by_hand, of_lines = digging_by_hand(site.buried, site.placement, built)
    return replace(
        site,
        clearances=clear,
        hand_dig=by_hand,
        notices=(*site.notices, *of_boundary, *of_lines),
    )


def stakes_in_files(layout: Layout) -> dict[str, NamedPoint]:
    """Give what each stake, nail and centre is called in files and on instruments.

    Parameters
    ----------
    layout
        The layout.

    Returns
    -------
    dict
        By the plan's own name, in the order of the points file.
    """
    from staking.layout.named_points import named_points

    points = named_points(layout.plan, layout.hubs, layout.boards)
    asked = None if layout.site is None else layout.site.asked
    renamed = points_in_files(points, asked)
    return {each.name: other for each, other in zip(points, renamed, strict=True)}


def known_stakes(layout: Layout, points: Sequence[NamedPoint]) -> dict[str, NamedPoint]:
    """Give a layout's points by every name that a surveyed stake may have.

    Parameters
    ----------
    layout
        The layout.
    points
        All its points, as `named_points` gives them.

    Returns
    -------
    dict
        With and without the prefix of the job, and by their numbers.
    """
    site = layout.site
    if site is None:
        return points_by_any_name(points, None)
    return points_by_any_name(points, site.asked, [each.names for each in site.files])


def refuse_names_of_the_survey(layout: Layout) -> None:
    """Refuse a layout some of whose stakes are called as points of its survey.

    Parameters
    ----------
    layout
        The layout.

    Notes
    -----
    `staking.errors.InputError` names them, unless `place: fit` ties each to its point.
    """
    from staking.layout.named_points import named_points

    if layout.site is not None:
        refuse_taken_names(
            named_points(layout.plan, layout.hubs, layout.boards),
            layout.site.asked,
            [each.names for each in layout.site.files],
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class StakeOut:
    """How to stake a layout out.

    Tapes and the instrument's distances are on the ground, m; coordinates and their differences
    are the survey's own, m.

    Parameters
    ----------
    points
        What is staked, in order, under the plan's own names.
    in_files
        What each is called in files and on instruments, by the plan's own name.
    places
        Northing and easting of each, m.
    ties, without
        Two tapes to each, and the names of those that no two known points reach.
    setup, backsight
        Names of the instrument's points; None without an instrument.
    shots
        Angle right and distance of each; empty without an instrument.
    deltas
        How far each is from the set-up, or from its nearest known point.
    notices
        What is to be told of all this.
    """

    points: tuple[NamedPoint, ...]
    in_files: Mapping[str, NamedPoint]
    places: tuple[tuple[float, float], ...]
    ties: tuple[Tie, ...]
    without: tuple[str, ...]
    setup: str | None
    backsight: str | None
    shots: tuple[Shot, ...]
    deltas: tuple[Delta, ...]
    notices: tuple[Notice, ...]


def stake_out(layout: Layout, setup: str | None = None, backsight: str | None = None) -> StakeOut:
    """Work out ties, angles and deltas to every corner, pad, hub and board mark.

    Parameters
    ----------
    layout
        A layout whose job names its survey and places the building; `setup` and `backsight` must
        have been among the known points it was made with.
    setup, backsight
        Names of the instrument's point and of the one it is set to nothing on.

    Returns
    -------
    StakeOut
        Everything, in the order of the layout's points.

    Raises
    ------
    InputError
        When the building is not placed, or the two points are one place.
    """
    from staking.layout.named_points import named_points

    site = layout.site
    if site is None or site.placement is None:
        raise InputError(
            Problem(
                message="staking out needs the building on a survey, and the job does not place it",
                remedy="add survey: and place: under site:",
            )
        )
    points = named_points(layout.plan, layout.hubs, layout.boards, board_ends=False)
    stakes = np.array([(each.x, each.y) for each in points])
    places = site.placement.to_site(stakes)
    names = [each.name for each in points]
    known, reach = site.control, layout.options.tape.length
    own = site.plane.back(places)
    sight = seen(layout.plan, site.placement, stakes, coordinates(known))
    tied, without = ties(
        names,
        places,
        [each.name for each in known],
        coordinates(known),
        reach,
        sight,
    )
    told = list(tie_notices(tied, without, reach))
    shot: tuple[Shot, ...] = ()
    if setup is not None and backsight is not None:
        by_name = {each.name: (each.northing, each.easting) for each in known}
        here, back = by_name[setup], by_name[backsight]
        if math.dist(here, back) < 1.0:
            # A foot or two turns a whole layout by what the pole leans.
            told.append(_short_backsight(setup, backsight, here, back))
        shot = shots(names, places, here, back)
        at = [each.name for each in known].index(setup)
        hidden = [name for name, seen in zip(names, sight[:, at], strict=True) if not seen]
        told += hidden_notices(hidden, setup)
        known = tuple(each for each in known if each.name == setup)
    return StakeOut(
        points=points,
        in_files=stakes_in_files(layout),
        places=tuple((float(n), float(e)) for n, e in own),
        ties=tied,
        without=without,
        setup=setup,
        backsight=backsight,
        shots=shot,
        deltas=deltas(
            names, own, [each.name for each in known], site.plane.back(coordinates(known))
        ),
        notices=tuple(told),
    )


def _short_backsight(
    setup: str, backsight: str, here: tuple[float, float], back: tuple[float, float]
) -> Notice:
    from staking.notices import Length

    far = math.dist(here, back)
    if far < 0.01:
        raise InputError(
            Problem(
                message=f"set-up {setup} and backsight {backsight} are in the same place",
                remedy="choose a backsight farther off",
            )
        )
    return notice(
        "short-backsight",
        "backsight {backsight} is only {far} from {setup}: choose one farther off than any stake",
        backsight=backsight,
        far=Length(far),
        setup=setup,
    )
