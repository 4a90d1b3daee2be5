"""The cheapest stepped footing under a network of walls, exactly."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from staking.errors import ComputationError
from staking.frozen import frozen
from staking.grade.notices.step_limits import height_notices, overlap_notices
from staking.grade.stepped_footing import Alternative, CellBounds, SteppedFooting, WallSteps
from staking.grade.stepping.cells import SiteGround, cell_bounds, cell_edges, courses_needed
from staking.grade.stepping.counted_steps import counted_levels
from staking.grade.stepping.course_levels import pad_levels, wall_profile
from staking.grade.stepping.eliminate import least_totals
from staking.grade.stepping.joined_stretches import Part, settle, solve_parts, wall_parts
from staking.grade.stepping.step_places import WallRun, check_fixed, wall_runs
from staking.grade.stepping.step_rules import GradeRules, check_rise
from staking.grade.stepping.stretch import NANO, NEVER, SCALE
from staking.grade.stepping.wall_network import Network
from staking.plan import Plan
from staking.tolerances import ON_LINE
from staking.units import FOOT

Costs = npt.NDArray[np.int64]

_SAME_AREA = 1e-9
"""Objectives that differ by less, m2, are the same."""


@frozen
class GradeRequest:
    """What to step: the building, its footing, the ground, the rules and the top of the wall, m."""

    plan: Plan
    network: Network
    site: SiteGround
    rules: GradeRules
    top_of_wall: float
    walls: tuple[WallSteps, ...] = ()


@frozen
class SteppedSolution:
    """Courses by wall and cell, the objective, m2, and the number of steps."""

    courses: tuple[tuple[int, ...], ...]
    objective: float
    steps: int
    next_count: Alternative | None


def step_footings(request: GradeRequest, *, count_next: bool = True) -> SteppedFooting:
    """Find the cheapest stepped footing.

    Parameters
    ----------
    request
        Building, ground and rules.
    count_next
        Whether to look for the cheapest with another number of steps.

    Returns
    -------
    SteppedFooting
        Levels and steps for every wall, pads with their own levels.

    Raises
    ------
    ComputationError
        Where nothing keeps the rules; it says which wall, where, and what would have to give.

    Notes
    -----
    ``objective = sum of (cell length x courses x course) + step_cost x steps``. Ties: fewest
    steps, then the greater number of courses at the first differing cell, walls by name.
    """
    network = request.network
    bounds = network_bounds(request)
    runs = wall_runs(network, request.rules, request.walls)
    for strand in network.strands:
        rise = request.rules.max_step * request.rules.course
        check_rise(request.rules.rule, rise, strand.footing.thickness, strand.name)
    return _built(
        request, bounds, solve(network, bounds, request.rules, runs, count_next=count_next)
    )


def fewer_steps(request: GradeRequest, count: int) -> tuple[SteppedFooting, ...]:
    """Find the cheapest stepped footing with each smaller number of steps.

    Parameters
    ----------
    request
        As it stands.
    count
        How many steps the cheapest has.

    Returns
    -------
    tuple of SteppedFooting
        From no steps on; numbers that no footing has are left out, and those that take no less wall
        than a smaller number. Ties as for the cheapest.
    """
    network, rules = request.network, request.rules
    bounds = network_bounds(request)
    runs = wall_runs(network, rules, request.walls)
    posed = _posed(network, bounds, rules, runs)
    found: list[SteppedFooting] = []
    for solution in _counted(network, bounds, rules, posed, count):
        area = solution.objective - solution.steps * rules.step_cost
        if not found or area < found[-1].wall_area(rules.step_cost) - ON_LINE:
            found.append(_built(request, bounds, solution))
    return tuple(found)


def _counted(
    network: Network,
    bounds: Sequence[CellBounds],
    rules: GradeRules,
    posed: _Posed,
    count: int,
) -> Iterator[SteppedSolution]:
    # The cheapest with none, one, two … steps, each where it can be, under so many.
    if count < 1 or rules.max_step < 1:
        return
    tables, factors = solve_parts(posed.parts, posed.levels, posed.steps, rules.run, count + 1)
    names = [strand.name for strand in network.strands]
    for places in counted_levels(names, posed.parts, tables, factors, posed.steps, count):
        if places is not None:
            courses = posed.courses(places)
            objective, steps = objective_of(bounds, courses, rules)
            yield SteppedSolution(
                courses=courses, objective=objective, steps=steps, next_count=None
            )


def _built(
    request: GradeRequest, bounds: Sequence[CellBounds], found: SteppedSolution
) -> SteppedFooting:
    network = request.network
    profiles = tuple(
        wall_profile(strand, bound, courses, request.rules)
        for strand, bound, courses in zip(network.strands, bounds, found.courses, strict=True)
    )
    return SteppedFooting(
        walls=profiles,
        pads=pad_levels(request.plan, network, request.site, request.rules, request.top_of_wall),
        objective=found.objective,
        next_count=found.next_count,
        notices=tuple(
            told
            for profile in profiles
            for told in (
                *height_notices(profile, request.rules),
                *overlap_notices(profile, request.rules),
            )
        ),
    )


def network_bounds(request: GradeRequest) -> tuple[CellBounds, ...]:
    """Cut every wall into cells and find what each needs.

    Parameters
    ----------
    request
        Walls, ground and rules.

    Returns
    -------
    tuple of CellBounds
        In the network's order.
    """
    network = request.network
    own = {network.strand(told.wall).name: told for told in request.walls}
    bounds = []
    for strand in network.strands:
        told = own.get(strand.name)
        fixed = told.stations(strand.name, strand.length) or () if told else ()
        top = told.top if told and told.top is not None else request.top_of_wall
        edges = cell_edges(strand, request.rules.module, fixed)
        bounds.append(cell_bounds(strand, edges, request.site, request.rules, top))
    return tuple(bounds)


def top_of_wall_gains(
    request: GradeRequest, shifts: Sequence[float] | None = None
) -> tuple[Alternative, ...]:
    """Tell what moving the whole top of wall would cost or save.

    Parameters
    ----------
    request
        As it stands.
    shifts
        How far the top is moved, m, positive upward. With None it is moved by eighths of a
        course, up to one course either way.

    Returns
    -------
    tuple of Alternative
        One for each shift; its `change` is the shift, m, as text.
    """
    rules = request.rules
    if shifts is None:
        shifts = [i * rules.course / 8 for i in range(-8, 9) if i]
    network = request.network
    bounds = network_bounds(request)
    runs = wall_runs(network, rules, request.walls)
    found = []
    for shift in shifts:
        moved = [_moved(bound, shift, rules) for bound in bounds]
        best = solve(network, moved, rules, runs, count_next=False)
        found.append(Alternative(change=repr(shift), steps=best.steps, objective=best.objective))
    return tuple(found)


def _moved(bound: CellBounds, shift: float, rules: GradeRules) -> CellBounds:
    # The same ground under a wall whose top stands so much higher.
    allowed = np.minimum(bound.frost, bound.bearing)
    required = courses_needed(bound.top + shift - bound.thickness, allowed, rules)
    return replace(bound, top=bound.top + shift, required=tuple(required.tolist()))


def larger_steps(request: GradeRequest) -> Alternative:
    """Tell what steps of one course more would cost or save.

    Parameters
    ----------
    request
        As it stands.

    Returns
    -------
    Alternative
        The same with `max_step` one greater.
    """
    rules = replace(request.rules, max_step=request.rules.max_step + 1)
    network = request.network
    bounds = network_bounds(request)
    runs = wall_runs(network, rules, request.walls)
    found = solve(network, bounds, rules, runs, count_next=False)
    return Alternative(
        change=f"max_step {rules.max_step}", steps=found.steps, objective=found.objective
    )


def next_step_count(request: GradeRequest) -> Alternative | None:
    """Tell what the cheapest with another number of steps would cost.

    Parameters
    ----------
    request
        As it stands.

    Returns
    -------
    Alternative or None
        None where there is no other.
    """
    network = request.network
    bounds = network_bounds(request)
    runs = wall_runs(network, request.rules, request.walls)
    return solve(network, bounds, request.rules, runs).next_count


def solve(
    network: Network,
    bounds: Sequence[CellBounds],
    rules: GradeRules,
    runs: Sequence[WallRun],
    *,
    count_next: bool = True,
) -> SteppedSolution:
    """Choose the courses in every cell.

    Parameters
    ----------
    network, bounds
        Walls and what their cells need.
    rules
        Courses, runs and the worth of a step.
    runs
        Where steps may stand on each wall.
    count_next
        Whether to look for the cheapest with another number of steps.

    Returns
    -------
    SteppedSolution
        The cheapest.

    Raises
    ------
    ComputationError
        Where nothing keeps the rules.
    """
    check_fixed(network, rules, runs)
    posed = _posed(network, bounds, rules, runs)
    tables, factors = solve_parts(posed.parts, posed.levels, posed.steps, rules.run)
    found = settle(network, posed.parts, tables, factors, posed.steps)
    if found is None:
        raise ComputationError(_infeasible(network, bounds, rules, runs))
    courses = posed.courses(found)
    objective, count = objective_of(bounds, courses, rules)
    if rules.most_steps is not None and count > rules.most_steps:
        few = min(
            _counted(network, bounds, rules, posed, rules.most_steps + 1),
            key=lambda each: (round(each.objective / _SAME_AREA), each.steps),
            default=None,
        )
        if few is None:
            raise ComputationError(_too_many(rules.most_steps, runs))
        courses, objective, count = few.courses, few.objective, few.steps
    following = None
    if count_next and rules.max_step > 0:
        following = _next_count(posed, rules, (count, objective))
    return SteppedSolution(
        courses=courses,
        objective=objective,
        steps=count,
        next_count=following,
    )


@frozen(eq=False)
class _Posed:
    """The problem in whole numbers: parts, levels, and what a step costs and may rise.

    Level 0 is `low` courses under the common top, and each wall's top is `shift` courses under it.
    """

    parts: list[Part]
    levels: Costs
    steps: tuple[int, int]
    low: int
    shift: tuple[int, ...]

    def courses(self, places: Sequence[Sequence[int]]) -> tuple[tuple[int, ...], ...]:
        """Turn the places of each part's levels into courses by wall and cell."""
        found: list[list[int]] = [[] for _ in self.shift]
        for part, own in zip(self.parts, places, strict=True):
            strand = part.stretch.strand
            found[strand] += [self.low + place - self.shift[strand] for place in own]
        return tuple(map(tuple, found))


def _posed(
    network: Network, bounds: Sequence[CellBounds], rules: GradeRules, runs: Sequence[WallRun]
) -> _Posed:
    shift = _shifts(network, bounds, rules)
    fixed = sum(len(run.fixed or ()) for run in runs)
    low = min(min(bound.required) + s for bound, s in zip(bounds, shift, strict=True))
    high = max(max(bound.required) + s for bound, s in zip(bounds, shift, strict=True))
    return _Posed(
        parts=wall_parts(network, bounds, [s - low for s in shift], runs, rules.run),
        levels=np.arange(high - low + 1 + fixed * rules.max_step, dtype=np.int64),
        steps=(round(rules.step_cost / rules.course * NANO) * SCALE + 1, rules.max_step),
        low=low,
        shift=tuple(shift),
    )


def _too_many(most: int, runs: Sequence[WallRun]) -> str:
    fixed = sum(len(run.fixed or ()) for run in runs)
    return (
        f"no footing keeps the rules with {most} step{'' if most == 1 else 's'} or fewer"
        + (f", and {fixed} are fixed under steps:" if fixed else "")
        + "; take most_steps: out, or give a greater number"
    )


def objective_of(
    bounds: Sequence[CellBounds], courses: Sequence[Sequence[int]], rules: GradeRules
) -> tuple[float, int]:
    """Work out the objective of given courses.

    Parameters
    ----------
    bounds
        The cells.
    courses
        Courses by wall and cell.
    rules
        Course and worth of a step.

    Returns
    -------
    tuple
        The objective, m2, and the number of steps.
    """
    area, count = 0.0, 0
    for bound, line in zip(bounds, courses, strict=True):
        numbers = np.asarray(line)
        area += float(np.diff(bound.edges) @ numbers) * rules.course
        count += int(np.count_nonzero(np.diff(numbers)))
    return area + rules.step_cost * count, count


def _shifts(network: Network, bounds: Sequence[CellBounds], rules: GradeRules) -> list[int]:
    # By how many courses each wall's top is below a common one, over each joined part.
    by_node: dict[int, list[int]] = {}
    for i, strand in enumerate(network.strands):
        for node, _ in strand.nodes:
            by_node.setdefault(node, []).append(i)
    shift: dict[int, int] = {}
    for first in range(len(network.strands)):
        if first in shift:
            continue
        shift[first] = 0
        waiting = [first]
        while waiting:
            i = waiting.pop()
            for node, _ in network.strands[i].nodes:
                for k in by_node[node]:
                    if k in shift:
                        continue
                    exact = (bounds[first].top - bounds[k].top) / rules.course
                    if abs(exact - round(exact)) * rules.course > ON_LINE:
                        raise ComputationError(
                            f"the tops of {network.strands[first].name} and "
                            f"{network.strands[k].name} differ by no whole number of courses; "
                            "make them differ by whole courses"
                        )
                    shift[k] = round(exact)
                    waiting.append(k)
    return [shift[i] for i in range(len(network.strands))]


def _next_count(posed: _Posed, rules: GradeRules, found: tuple[int, float]) -> Alternative | None:
    # The cheapest with fewer or more steps than the best.
    count, objective = found
    _, factors = solve_parts(posed.parts, posed.levels, posed.steps, rules.run, count + 2)
    totals = least_totals(factors, {}, counts=count + 2)
    best = int(totals[count])
    totals[count] = NEVER
    other = int(totals.min())
    if other >= NEVER:
        return None
    number = other % SCALE
    dearer = (other - number - (best - count)) // SCALE
    return Alternative(
        change=f"{number} steps",
        steps=number,
        objective=objective + dearer / NANO * rules.course,
    )


def _infeasible(
    network: Network,
    bounds: Sequence[CellBounds],
    rules: GradeRules,
    runs: Sequence[WallRun],
) -> str:
    # Free one wall at a time and name the first that makes it work.
    for i, run in enumerate(runs):
        if run.fixed is None:
            continue
        free = [*runs[:i], replace(run, fixed=None), *runs[i + 1 :]]
        try:
            solve(network, bounds, rules, free, count_next=False)
        except ComputationError:
            continue
        name = network.strands[i].name
        places = ", ".join(f"{x / FOOT:.2f} ft ({x:.3f} m)" for x in run.fixed)
        where = f"stepped only at {places}" if places else "kept level"
        return (
            f"{name}: no footing keeps the rules with this wall {where}; free the steps of {name} "
            "or of another fixed wall"
        )
    names = ", ".join(
        network.strands[i].name for i, run in enumerate(runs) if run.fixed is not None
    )
    return (
        f"no footing keeps the rules with the steps fixed on {names}; "
        "free the steps of more than one of these walls or allow a greater max_step"
    )
