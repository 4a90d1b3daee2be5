"""Surveyed stakes on the plan: which is which, where each stands, and the notices about it."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence

import numpy as np

from staking.adjust.nails import Nail, crossings, fit_to_lines, planned_nails
from staking.adjust.surveyed_stakes import StakeShot, displacement
from staking.checked.shots_on_plan import lot_points, refuse_mirrored, refuse_wrong_size
from staking.errors import InputError, Problem
from staking.frozen import frozen
from staking.kinds import PointKind
from staking.laid_out.layout_value import Layout
from staking.laid_out.staked_out import known_stakes
from staking.layout.named_points import NamedPoint, named_points
from staking.network.geometry import Floats
from staking.notices import Notice, Severity, notice
from staking.plan import Plan, Point
from staking.points import SurveyPoints
from staking.site.site_results import Placement
from staking.units import Unit

REPEATED = 3.29 * math.sqrt(2)
"""Two shots of one stake further apart than this many standard errors are two places."""


@frozen
class Spot:
    """A named point that was found: as planned, and where, x and y on the building grid, m.

    `across` is the unit vector square to a hub's line: along it a hub may stand anywhere.
    """

    point: NamedPoint
    x: float
    y: float
    across: Point | None = None


@frozen
class StakesRead:
    """A survey of stakes brought onto the building grid.

    Parameters
    ----------
    plan
        The plan with every shape that is kept clear of.
    shots
        The corners' places; by the strings' crossings where `crossed`.
    error
        The standard error of a coordinate, m.
    nails
        Surveyed nails, as planned and where.
    others
        Pads, ends of interior lines, hubs and board ends.
    unknown
        Names that the job does not have, in the order of the file.
    placement
        How the building is placed; None where the stakes were fitted onto the plan.
    notices
        What was assumed.
    """

    plan: Plan
    shots: tuple[StakeShot, ...]
    crossed: bool
    error: float
    nails: tuple[tuple[Nail, Point], ...]
    others: tuple[Spot, ...]
    unknown: tuple[str, ...]
    placement: Placement | None
    notices: tuple[Notice, ...]


def stake_names(layout: Layout) -> dict[str, NamedPoint]:
    """List what a surveyed point may be called: names, and for nails what they are.

    Parameters
    ----------
    layout
        The layout.

    Returns
    -------
    dict
        The planned point by each name. A nail may be called by its board and mark, without its
        wall where the board has one nail of the kind, and every name may differ in case and in
        underscores for blanks where that leaves it one point's.
    """
    points = named_points(layout.plan, layout.hubs, layout.boards)
    known = known_stakes(layout, points)
    boards = [each for each in points if each.kind.is_on_board]
    short: dict[str, list[NamedPoint]] = {}
    for each in boards:
        known.setdefault(each.description, each)
        short.setdefault(each.description.rpartition(" ")[0], []).append(each)
    for name, alike in short.items():
        # without its wall, as on the schedule, where the board has one nail of the kind
        if len(alike) == 1:
            known.setdefault(name, alike[0])
    folded: dict[str, list[NamedPoint]] = {}
    for name, each in known.items():
        folded.setdefault(_plain(name), []).append(each)
    for name, alike in folded.items():
        if len(set(alike)) == 1:
            known.setdefault(name, alike[0])
    return known


def _plain(name: str) -> str:
    return " ".join(name.replace("_", " ").casefold().split())


def match_stakes(
    surveys: Sequence[SurveyPoints], known: Mapping[str, NamedPoint], error: float
) -> tuple[dict[str, list[Point]], tuple[str, ...]]:
    """Find the planned points that were surveyed.

    Parameters
    ----------
    surveys
        What was surveyed.
    known
        The planned points by every name they may have, as `stake_names` gives them.
    error
        The standard error of a coordinate, m.

    Returns
    -------
    dict
        Easting and northing of every shot by the plan's own name, m.
    tuple of str
        Names that the job does not have, in the order of the files.

    Raises
    ------
    InputError
        For every point that was shot in two places.
    """
    places: dict[str, list[Point]] = {}
    unknown: dict[str, None] = {}
    lines: dict[str, list[str]] = {}
    problems = []
    for survey in surveys:
        for i, (name, said) in enumerate(zip(survey.names, survey.descriptions, strict=True)):
            point = known.get(str(name)) or known.get(_plain(str(name)))
            if point is None and str(said).startswith("board "):
                point = known.get(_plain(str(said)))
            if point is None:
                unknown[str(name) or str(said)] = None
                continue
            here = (float(survey.easting[i]), float(survey.northing[i]))
            before = places.setdefault(point.name, [])
            line = int(survey.source_line[i])
            where = f"{survey.name} line {line}" if line else survey.name
            lines.setdefault(point.name, []).append(where)
            if before and math.dist(before[0], here) > REPEATED * error:
                unit = Unit(survey.unit)
                far = f"{math.dist(before[0], here) / unit.metres:.3f} {unit.value}"
                problems.append(
                    Problem(
                        message=f"{point.name} is there twice, {far} apart: "
                        f"{lines[point.name][0]} and {where}",
                        remedy="keep the right one, or give a larger --stake-error",
                    )
                )
            before.append(here)
    if problems:
        raise InputError(*problems)
    return places, tuple(unknown)


def stakes_on_plan(
    layout: Layout,
    surveys: Sequence[SurveyPoints],
    places: Mapping[str, list[Point]],
    unknown: Sequence[str],
    named: Mapping[str, NamedPoint],
    error: float,
    told: Sequence[Notice] = (),
) -> StakesRead:
    """Bring surveyed points onto the building grid and sort them by what they are.

    Parameters
    ----------
    layout
        The layout.
    surveys
        What was surveyed.
    places, unknown
        Where each planned point was shot, and names that are none, as `match_stakes` gives them.
    named
        The planned points by the plan's own names.
    error
        The standard error of a coordinate, m.
    told
        What was assumed in reading.

    Returns
    -------
    StakesRead
        Where the job is placed, on its place; else by the turn and shift that fit best.

    Notes
    -----
    `staking.errors.InputError` and `ComputationError` come for points of another size than the
    plan, or of its mirror image.
    """
    site = layout.surveyed_lot
    placement = site.placement if site is not None else None
    here = _onto_plan(layout, places, named, placement)
    left, of_lot = lot_points(layout, surveys, unknown, REPEATED * error)
    return _sorted(layout, here, named, left, error, placement, (*told, *of_lot))


def _onto_plan(
    layout: Layout,
    places: Mapping[str, list[Point]],
    named: Mapping[str, NamedPoint],
    placement: Placement | None,
) -> dict[str, list[Point]]:
    names = [name for name, listed in places.items() for _ in listed]
    raw = np.array([here for listed in places.values() for here in listed], dtype=float)
    plan = np.array([(named[name].x, named[name].y) for name in names])
    corners = {c.name for b in layout.plan.buildings for c in b.corners}
    at = np.array([name in corners for name in names])
    refuse_wrong_size(raw, plan)
    if placement is not None:
        moved = placement.to_building(raw[:, ::-1])
    else:
        turned = _fit(layout, names, raw, plan, at)
        moved = np.column_stack((raw, np.ones(len(raw)))) @ turned.T
    found: dict[str, list[Point]] = {}
    for name, (x, y) in zip(names, moved.tolist(), strict=True):
        found.setdefault(name, []).append((x, y))
    return found


def _fit(layout: Layout, names: Sequence[str], raw: Floats, plan: Floats, at: np.ndarray) -> Floats:
    nails = {each.name: each for each in _nails(layout)}
    if at.sum() >= 2 or not any(name in nails for name in names):
        if at.sum() >= 2:
            raw, plan = raw[at], plan[at]
        refuse_mirrored(raw, plan)
        lines = np.vstack((np.tile((1.0, 0.0), (len(raw), 1)), np.tile((0.0, 1.0), (len(raw), 1))))
        start = displacement(raw, plan).turn
        return fit_to_lines(np.vstack((raw, raw)), np.vstack((plan, plan)), lines, start)[0]
    picked = [i for i, name in enumerate(names) if name in nails]
    raw, plan = raw[picked], plan[picked]
    refuse_mirrored(raw, plan)
    ways = np.array([nails[names[i]].way for i in picked])
    start = displacement(raw, plan).turn
    return fit_to_lines(raw, plan, ways, start)[0]


def _nails(layout: Layout) -> tuple[Nail, ...]:
    points = named_points(layout.plan, layout.hubs, layout.boards, board_ends=False)
    many = sum(len(board.marks) for board in layout.boards)
    names = [each.name for each in points[len(points) - many :]]
    return planned_nails(names, layout.strings, layout.boards)


def _sorted(
    layout: Layout,
    here: Mapping[str, list[Point]],
    named: Mapping[str, NamedPoint],
    unknown: tuple[str, ...],
    error: float,
    placement: Placement | None,
    told: tuple[Notice, ...],
) -> StakesRead:
    nails = {each.name: each for each in _nails(layout)}
    order = [c.name for b in layout.plan.buildings for c in b.corners]
    middle = {name: tuple(np.mean(each, axis=0).tolist()) for name, each in here.items()}
    found = {name: (nails[name], middle[name]) for name in middle if name in nails}
    shots = [
        StakeShot(name=name, x=x, y=y, error=error) for name in order for x, y in here.get(name, ())
    ]
    crossed = {} if shots else crossings(layout.plan, layout.strings, found)
    shots += [
        StakeShot(name=name, x=crossed[name][0], y=crossed[name][1], error=error)
        for name in order
        if name in crossed
    ]
    ends = [each for each in middle if named[each].kind is PointKind.BOARD_END]
    across = _across(layout)
    others = tuple(
        Spot(
            point=named[name],
            x=middle[name][0],
            y=middle[name][1],
            across=across.get((named[name].x, named[name].y)),
        )
        for name in named
        if name in middle and name not in nails and name not in order and name not in ends
    )
    return StakesRead(
        plan=layout.plan,
        shots=tuple(shots),
        crossed=bool(crossed),
        error=error,
        nails=tuple(found.values()),
        others=others,
        unknown=unknown,
        placement=placement,
        notices=(*_placing(placement), *told, *_said(unknown, ends, crossed)),
    )


def _placing(placement: Placement | None) -> Iterable[Notice]:
    # what is odd about the placement itself weighs on what the stakes are held against
    said = placement.notices if placement is not None else ()
    return (each for each in said if each.severity is not Severity.NOTE)


def _across(layout: Layout) -> dict[Point, Point]:
    corners = layout.plan.corner_points
    found = {}
    for hub in layout.hubs:
        x, y = hub.x - corners[hub.corner][0], hub.y - corners[hub.corner][1]
        far = math.hypot(x, y)
        found[hub.x, hub.y] = (-y / far, x / far)
    return found


def _said(
    unknown: Sequence[str], ends: Sequence[str], crossed: Mapping[str, Point]
) -> list[Notice]:
    told = []
    if ends:
        told.append(
            notice(
                "board-ends",
                "{count} ends of boards are in the file and not checked: only the nails count",
                Severity.NOTE,
                count=len(ends),
            )
        )
    if unknown:
        listed = ", ".join(unknown[:12])
        more = f" and {len(unknown) - 12} more" if len(unknown) > 12 else ""
        told.append(
            notice(
                "stakes-unknown",
                "not named in the job, and not used: {names}",
                names=listed + more,
            )
        )
    if crossed:
        told.append(
            notice(
                "corners-by-strings",
                "no corner stake is in the file: the corners are taken where the strings between "
                "the surveyed nails cross",
                Severity.NOTE,
            )
        )
    return told
