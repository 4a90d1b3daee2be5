"""The conductor of `staking check`: readings onto the plan, adjusted, judged, and what to move."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from staking.errors import InputError, Problem
from staking.notices import Notice, Severity, notice
from staking.plan import Options, Plan, Show
from staking.units import FOOT

if TYPE_CHECKING:
    from staking.adjust.blunders import Sifted
    from staking.adjust.moves import Hold, Move
    from staking.adjust.nail_slides import Slide
    from staking.adjust.verdict import Verdict
    from staking.job.tape_book import Readings
    from staking.layout.layout_parts import Check
    from staking.network.fitted import Measurement
    from staking.network.geometry import Floats
    from staking.project.layout import Layout
    from staking.project.resolve import Resolved
    from staking.project.stakes import StakesRead
    from staking.project.standing import Staked

NETWORK_KINDS = frozenset({"side", "diagonal", "tie"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """How one stake stands: x and y with the hold, m; 95 % radius, m; angle, rad, or None."""

    corner: str
    x: float
    y: float
    radius95: float
    angle: float | None
    planned_angle: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class After:
    """What a check reads once the advice is followed, and on the plan, m."""

    from_name: str
    to_name: str
    distance: float
    planned: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Checked:
    """Everything that a check of the stakes comes to, complete at birth."""

    plan: Plan
    options: Options
    hold: Hold | None
    sifted: Sifted
    corners: tuple[Standing, ...]
    moves: tuple[Move, ...]
    slides: tuple[Slide, ...]
    after: tuple[After, ...]
    verdict: Verdict
    notices: tuple[Notice, ...]
    staked: Staked | None = None
    to_place: bool = False

    @property
    def good(self) -> bool:
        """Whether it is square, keeps its setbacks, and stands in its place where that is asked."""
        if any(each.severity is Severity.BROKEN for each in self.notices):
            return False
        away = self.to_place and self.staked is not None and not self.staked.in_place
        return self.verdict.square and not away


def check_job(
    resolved: Resolved,
    readings: Readings,
    hold: str | None = None,
    stakes: StakesRead | None = None,
) -> Checked:
    """Check taped distances and surveyed stakes against a job.

    Parameters
    ----------
    resolved
        The resolved job: its boards, strings and tapes are those of its layout.
    readings
        What was taped.
    hold
        ``C,C-D``, ``C``, ``best``, or None for the first corner and its first wall; with stakes
        of a placed job ``place``, the planned place on the lot.
    stakes
        What was surveyed of stakes and nails; None for tapes alone.

    Returns
    -------
    Checked
        The adjusted stakes, the verdict and the advice.

    Raises
    ------
    InputError
        When nothing was taped, or the hold names no corner or wall of the job.
    """
    from staking.adjust.blunders import sift
    from staking.adjust.check_notices import (
        height_notices,
        reading_notices,
        reduced_notices,
        standing_notices,
        swapped_stakes,
        verdict_notices,
    )
    from staking.adjust.moves import advise, moved, placed
    from staking.adjust.verdict import judge
    from staking.layout.checks import all_pairs
    from staking.project.readings import measurements_of, refuse_wrong_unit
    from staking.project.standing import place_notices, stakes_shape, tell_stakes, to_the_place

    plan, options, layout = resolved.plan, resolved.options, resolved.layout
    if not readings.readings and stakes is None:
        raise InputError(Problem(message="no distance is given", remedy="write A-C=43-3-3/8"))
    points = {c.name: c.point for building in plan.buildings for c in building.corners}
    measurements = measurements_of(options, readings)
    refuse_wrong_unit(measurements, points)
    named = {name for m in measurements for name in (m.from_name, m.to_name)}
    # two stakes have no shape: what to tape next is then said for the whole building
    names = tuple(name for name in points if name in named or len(named) < 3)
    said, shape = (*resolved.job.notices, *readings.notices), None
    if stakes is not None:
        shape = stakes_shape(stakes, points, measurements)
        names, said = shape.sifted.solution.names, (*said, *stakes.notices)
    in_place = hold is not None and hold.strip().lower() == "place"
    if in_place and stakes is None:
        raise InputError(
            Problem(
                message="tapes alone do not say where on the lot the stakes stand",
                remedy="give --stakes, or write --hold C,C-D or --hold best",
                field="--hold",
            )
        )
    held = None if in_place else parse_hold(plan, names, hold)
    if shape is not None:
        sifted = shape.sifted
    else:
        usable = [(c.from_name, c.to_name) for c in all_pairs(plan, options) if c.in_network]
        sifted = sift(names, _array(names, points), measurements, usable=usable)
    checks = _with_readings(layout.checks, measurements, plan, options)
    verdict = judge(sifted.solution, checks, unclear=sifted.unclear)
    here = placed(sifted.solution, points, held)
    step = move_step(options)
    staked = None if stakes is None else tell_stakes(stakes, shape, options)
    # with a wrong reading that cannot be named, a move would be made by it
    stay = verdict.square or sifted.unclear
    if in_place and shape is not None and staked is not None:
        here = to_the_place(staked, shape.places)
        stay = sifted.unclear or bool(staked.in_place and verdict.square)
    moves = advise(names, here, plan, step, leave=stay)
    return Checked(
        plan=plan,
        options=options,
        hold=held,
        sifted=sifted,
        corners=_standing(plan, sifted, here),
        moves=moves,
        # where nails were surveyed each is told by itself
        slides=() if stay or (staked and staked.nails) else _slides(layout, names, here, step),
        after=_after(names, moved(here, moves), checks, points),
        verdict=verdict,
        notices=(
            *said,
            *reading_notices(measurements, points, names, shot=shape is not None),
            *height_notices(measurements, readings.heights),
            *reduced_notices(measurements, [each.distance for each in readings.readings]),
            *(() if shape is None else swapped_stakes(sifted.solution, points)),
            *sifted.notices,
            *verdict_notices(verdict, sifted, shot=shape is not None),
            *(() if staked is None else place_notices(staked)),
            *standing_notices(plan, moves),
            *_setbacks(layout, names, staked),
        ),
        staked=staked,
        to_place=in_place,
    )


def move_step(options: Options) -> float:
    """Give what moves are rounded to: `nearest`, a hundredth of a foot or a millimetre, m."""
    if options.show is Show.FEET_INCHES:
        return options.nearest
    return FOOT / 100 if options.show is Show.DECIMAL_FEET else 0.001


def parse_hold(plan: Plan, names: Sequence[str], text: str | None) -> Hold | None:
    """Read which corner and wall are held.

    Parameters
    ----------
    plan
        The plan.
    names
        The corners that were taped.
    text
        ``C,C-D``, ``C``, ``best`` or None.

    Returns
    -------
    Hold or None
        None for the best fit.

    Raises
    ------
    InputError
        When it names no corner or wall that was taped.
    """
    from staking.adjust.moves import Hold

    if text is not None and text.strip().lower() == "best":
        return None
    walls = [(w.start, w.end) for b in plan.buildings for w in b.walls]
    taped = [wall for wall in walls if set(wall) <= set(names)]
    if text is None:
        corner = next((name for name in names if any(name in wall for wall in taped)), names[0])
        wall_text = ""
    else:
        corner, _, wall_text = (part.strip() for part in text.partition(","))
    if corner not in names:
        raise InputError(
            _hold_fault(f"{corner} is no corner that was taped; there are {', '.join(names)}")
        )
    if wall_text:
        ends = tuple(part.strip() for part in wall_text.split("-"))
        if ends not in taped and ends[::-1] not in taped:
            raise InputError(_hold_fault(f"{wall_text} is no wall with both its corners taped"))
        return Hold(corner=corner, wall=(ends[0], ends[1]))
    own = [wall for wall in taped if corner in wall]
    # the wall that starts at the corner comes before the one that ends there
    own.sort(key=lambda wall: wall[0] != corner)
    if not own and text is None:
        other = next(name for name in names if name != corner)
        return Hold(corner=corner, wall=(corner, other))
    if not own:
        raise InputError(_hold_fault(f"no wall at {corner} has both its corners taped"))
    return Hold(corner=corner, wall=own[0])


def _hold_fault(message: str) -> Problem:
    return Problem(message=message, remedy="write --hold C,C-D or --hold best", field="--hold")


def _setbacks(layout: Layout, names: Sequence[str], staked: Staked | None) -> tuple[Notice, ...]:
    """Say what a building that stands off its place does to the setbacks."""
    from dataclasses import replace

    from staking.site.lot import Built, clearances_on
    from staking.site.site_results import Placement

    if staked is None or staked.displacement is None or staked.in_place:
        return ()
    site = layout.site
    if site is None or site.placement is None or not site.boundary:
        return ()
    points = {c.name: c.point for building in layout.plan.buildings for c in building.corners}
    x, y = _array(names, points).mean(axis=0).tolist()
    off = staked.displacement
    north, east = site.placement.to_site(_array([""], {"": (x + off.x, y + off.y)}))[0].tolist()
    here = Placement(
        turn=site.placement.turn + off.turn, x0=x, y0=y, easting0=east, northing0=north
    )
    built = Built(plan=layout.plan, footing=layout.footing, dig_bands=(), boards=(), hubs=())
    found, told = clearances_on(site.asked, site.boundary, here, built)
    if told:
        lead = "as the stakes stand, "
        return tuple(replace(each, text=lead + each.text) for each in told)
    if all(each.setback is None for each in found):
        return ()
    return (notice("setbacks-kept", "as the stakes stand, the setbacks are kept", Severity.NOTE),)


def _array(names: Sequence[str], points: Mapping[str, tuple[float, float]]) -> Floats:
    import numpy as np

    return np.array([points[name] for name in names], dtype=float)


def _with_readings(
    checks: tuple[Check, ...], measurements: Sequence[Measurement], plan: Plan, options: Options
) -> tuple[Check, ...]:
    # what was taped beyond the chosen checks is judged too
    from staking.layout.checks import all_pairs

    there = {frozenset((c.from_name, c.to_name)) for c in checks if c.at is None}
    asked = {frozenset((m.from_name, m.to_name)) for m in measurements} - there
    if not asked:
        return checks
    more = (c for c in all_pairs(plan, options) if frozenset((c.from_name, c.to_name)) in asked)
    return (*checks, *more)


def _standing(plan: Plan, sifted: Sifted, here: Floats) -> tuple[Standing, ...]:
    import numpy as np

    from staking.adjust.moves import neighbours
    from staking.adjust.verdict import corner_angle, radii95

    names = sifted.solution.names
    at = {name: place for place, name in enumerate(names)}
    points = {c.name: c.point for building in plan.buildings for c in building.corners}
    beside = neighbours(plan)
    radii = radii95(sifted.solution)
    found = []
    for place, name in enumerate(names):
        ends = (beside[name].before, beside[name].after)
        angle = None
        if all(end in at for end in ends):
            angle = corner_angle(here, at[ends[0]], place, at[ends[1]])
        drawn = np.array([points[ends[0]], points[name], points[ends[1]]])
        found.append(
            Standing(
                corner=name,
                x=float(here[place, 0]),
                y=float(here[place, 1]),
                radius95=float(radii[place]),
                angle=angle,
                planned_angle=corner_angle(drawn, 0, 1, 2),
            )
        )
    return tuple(found)


def _slides(layout: Layout, names: Sequence[str], here: Floats, step: float) -> tuple[Slide, ...]:
    from staking.adjust.nail_slides import slides

    return slides(names, here, layout.plan, layout.strings, layout.boards, step)


def _after(
    names: Sequence[str],
    there: Floats,
    checks: Sequence[Check],
    points: Mapping[str, tuple[float, float]],
) -> tuple[After, ...]:
    import math

    at = {name: place for place, name in enumerate(names)}
    return tuple(
        After(
            from_name=check.from_name,
            to_name=check.to_name,
            distance=math.dist(there[at[check.from_name]], there[at[check.to_name]]),
            planned=math.dist(points[check.from_name], points[check.to_name]),
        )
        for check in checks
        if check.kind in NETWORK_KINDS and {check.from_name, check.to_name} <= at.keys()
    )


def tapes_of(layout: Layout) -> tuple[Check, ...]:
    """Give what the layout has to be taped from corner to corner, in order."""
    return tuple(check for check in layout.checks if check.kind in NETWORK_KINDS)
