"""What surveyed stakes and nails say beside the shape: where each stands off its place."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from staking.errors import InputError, Problem
from staking.notices import Angle, Length, Notice, Severity, notice
from staking.units import FOOT

if TYPE_CHECKING:
    from staking.adjust.limits import Limit
    from staking.adjust.nails import NailSlide
    from staking.adjust.point_places import PointShot
    from staking.adjust.stakes_check import Asked, StakesJudged
    from staking.adjust.surveyed_stakes import Displacement, StakedShape
    from staking.laid_out.layout_value import Layout
    from staking.layout.named_points import NamedPoint
    from staking.network.fitted import Measurement
    from staking.plan import Options, Point
    from staking.project.stakes import StakesRead
    from staking.site.site_results import Placement

FAR_OFF = FOOT
"""A building this far off its place, m, is no error of measuring (common practice, no source)."""

POINTS = frozenset({"pad centre", "round pad centre"})
"""What pads are called among named points."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Off:
    """How far a point stands off its planned place, m: on the building grid, north and east.

    `across` is how far a hub stands off its line, which is all that counts for it; else None.
    `limit` is what it is judged by.
    """

    name: str
    what: str
    x: float
    y: float
    north: float | None
    east: float | None
    limit: Limit
    across: float | None = None

    @property
    def allowed(self) -> float:
        """What the tolerances allow, m."""
        return self.limit.allowed

    @property
    def distance(self) -> float:
        """How far it is off, m."""
        return math.hypot(self.x, self.y)

    @property
    def good(self) -> bool:
        """Whether that is within its limit."""
        off = self.distance if self.across is None else abs(self.across)
        return off <= self.limit.limit


@dataclass(frozen=True, slots=True, kw_only=True)
class Staked:
    """What surveyed stakes and nails say beside the shape.

    Parameters
    ----------
    error
        The standard error of a coordinate, m.
    crossed
        Whether the corners are where strings cross.
    displacement
        From the planned place to where the building stands; None where the job is not placed.
    north, east
        The same shift on the survey's grid, m.
    in_place
        Whether every stake, pad and end of an interior line is within its limit of its planned
        place; None likewise.
    stakes, others
        How far each is off its place; `stakes` is empty where the job is not placed.
    nails
        How far each slides.
    unknown
        Names that the job does not have.
    limits
        What stakes and setbacks are judged by.
    setback_limit
        By how much a setback may fall short before that is surely so, m.
    """

    error: float
    crossed: bool
    displacement: Displacement | None
    north: float | None
    east: float | None
    in_place: bool | None
    stakes: tuple[Off, ...]
    others: tuple[Off, ...]
    nails: tuple[NailSlide, ...]
    unknown: tuple[str, ...]
    limits: tuple[Limit, ...]
    setback_limit: float

    @property
    def farthest(self) -> Off | None:
        """The corner that stands farthest off its place."""
        return max(self.stakes, key=lambda each: each.distance, default=None)


def judged_beside(read: StakesRead, shape: StakedShape, layout: Layout) -> int:
    """Count what is judged beside the shape: every stake on the lot, and every setback.

    Parameters
    ----------
    read, shape
        The stakes, read and adjusted.
    layout
        The layout with its lot.

    Returns
    -------
    int
        Nothing where the job is not placed.
    """
    if read.placement is None:
        return 0
    return len(shape.places) + len(_setback_lines(layout))


def _setback_lines(layout: Layout) -> tuple[str, ...]:
    lot = layout.site
    found = () if lot is None else lot.clearances
    return tuple(dict.fromkeys(each.line for each in found if each.setback is not None))


def frame_shots(read: StakesRead, asked: Asked, shape: StakedShape) -> tuple[PointShot, ...]:
    """Bring surveyed pads and ends of interior lines into the frame of the adjusted corners.

    Parameters
    ----------
    read
        The stakes.
    asked
        The plan's points.
    shape
        The adjusted corners.

    Returns
    -------
    tuple of PointShot
        By the names that points have in checks.
    """
    from staking.adjust.point_places import PointShot
    from staking.adjust.surveyed_stakes import displacement
    from staking.adjust.targets import canonical_point

    onto = shape.sifted.solution.coordinates
    moved = displacement(shape.places, onto)
    c, s = math.cos(moved.turn), math.sin(moved.turn)
    middle = shape.places.mean(axis=0)
    found = []
    for spot in read.others:
        name = canonical_point(spot.point.name, asked.targets) if is_point(spot.point) else None
        if name is None:
            continue
        away = np.array([spot.x, spot.y]) - middle
        x, y = away @ np.array([[c, s], [-s, c]]) + onto.mean(axis=0)
        found.append(PointShot(name=name, x=float(x), y=float(y), error=read.error))
    return tuple(found)


def is_point(point: NamedPoint) -> bool:
    """Say whether a named point is a pad or an end of an interior line."""
    return point.description in POINTS or point.description.startswith("centre of ")


def tell_stakes(
    read: StakesRead, shape: StakedShape, judged: StakesJudged, options: Options
) -> Staked:
    """Say how the stakes and nails stand against their planned places.

    Parameters
    ----------
    read
        The stakes.
    shape, judged
        The adjusted corners, and what their readings say.
    options
        The job's options: tolerances and rounding.

    Returns
    -------
    Staked
        The building as a whole apart from each stake.
    """
    from staking.adjust.limits import limit_of, plane_z_of, z_of
    from staking.adjust.nails import slide_of
    from staking.layout.allowed import allowed_difference

    step, count = options.step, judged.verdict.count
    z = plane_z_of(count)

    def allowed(point: Point) -> float:
        far = max(math.dist(point, c.point) for b in read.plan.buildings for c in b.corners)
        return allowed_difference(options.tolerances, "point", far)

    def off(
        name: str,
        what: str,
        here: Point,
        planned: Point,
        error: float,
        across: Point | None = None,
    ) -> Off:
        x, y = here[0] - planned[0], here[1] - planned[1]
        north, east = _on_site(read.placement, x, y)
        line = None if across is None else x * across[0] + y * across[1]
        limit = limit_of(name, allowed(planned), error, step, z)
        return Off(name=name, what=what, x=x, y=y, north=north, east=east, limit=limit, across=line)

    planned = {c.name: c.point for b in read.plan.buildings for c in b.corners}
    stakes: tuple[Off, ...] = ()
    shift = None
    if read.placement is not None:
        shift = shape.displacement
        stakes = tuple(
            off(name, "corner", (here[0], here[1]), planned[name], error)
            for name, here, error in zip(
                shape.sifted.solution.names,
                shape.places.tolist(),
                shape.errors.tolist(),
                strict=True,
            )
        )
    others = tuple(
        off(
            each.point.name,
            each.point.description,
            (each.x, each.y),
            (each.point.x, each.point.y),
            read.error,
            each.across,
        )
        for each in read.others
    )
    counted = [
        *stakes,
        *(o for o, each in zip(others, read.others, strict=True) if is_point(each.point)),
    ]
    north, east = (None, None) if shift is None else _on_site(read.placement, shift.x, shift.y)
    worst = float(shape.errors.max()) if len(shape.errors) else read.error
    return Staked(
        error=read.error,
        crossed=read.crossed,
        displacement=shift,
        north=north,
        east=east,
        in_place=all(each.good for each in counted) if stakes else None,
        stakes=stakes,
        others=others,
        nails=tuple(
            slide_of(nail, here, allowed((nail.x, nail.y)), step) for nail, here in read.nails
        ),
        unknown=read.unknown,
        limits=tuple(each.limit for each in counted) if stakes else (),
        setback_limit=limit_of("setback", 0.0, worst, step, z_of(count)).limit,
    )


def _on_site(placement: Placement | None, x: float, y: float) -> tuple[float | None, float | None]:
    if placement is None:
        return None, None
    c, s = math.cos(placement.turn), math.sin(placement.turn)
    return x * s + y * c, x * c - y * s


def place_notices(staked: Staked) -> tuple[Notice, ...]:
    """Warn where the building as a whole, or nails, stand off their planned places."""
    told = []
    shift, far = staked.displacement, staked.farthest
    if shift is not None and far is not None and not staked.in_place:
        text = (
            "the building does not stand in its planned place: {corner} is {far} off it, the "
            "middle of all {middle}, and the whole is turned {turn}; its shape is judged apart "
            "from that"
        )
        if far.distance > FAR_OFF:
            text += "; so far off is no error of measuring: another grid, unit or set-up?"
        told.append(
            notice(
                "not-in-place",
                text,
                corner=far.name,
                far=Length(far.distance),
                middle=Length(math.hypot(shift.x, shift.y)),
                turn=Angle(abs(shift.turn)),
            )
        )
    off = [each for each in staked.nails if not each.good]
    if off:
        worst = max(off, key=lambda each: abs(each.distance))
        told.append(
            notice(
                "nails-off",
                "nails that stand off by more than is allowed: {count} of {all}; farthest off is "
                "the {mark} of {wall} on board {board}, by {far}",
                count=len(off),
                all=len(staked.nails),
                mark=worst.nail.mark,
                wall=worst.nail.wall,
                board=worst.nail.board,
                far=Length(abs(worst.distance)),
            )
        )
    return tuple(told)


def setback_notices(layout: Layout, staked: Staked) -> tuple[Notice, ...]:
    """Say what a building that stands off its place does to the setbacks.

    Parameters
    ----------
    layout
        The layout with its lot.
    staked
        What the stakes say.

    Returns
    -------
    tuple of Notice
        Setbacks that are surely broken as the stakes stand; or that they are kept.
    """
    from staking.site.built_on_lot import Built, clearances_on
    from staking.site.clearance import clearance_notices
    from staking.site.site_results import Placement

    site = layout.site
    if staked.displacement is None or staked.in_place or site is None:
        return ()
    if site.placement is None or not site.boundary:
        return ()
    corners = [c.point for building in layout.plan.buildings for c in building.corners]
    named = {each.name for each in staked.stakes}
    middle = [
        c.point for building in layout.plan.buildings for c in building.corners if c.name in named
    ]
    x, y = np.array(middle or corners).mean(axis=0).tolist()
    off = staked.displacement
    north, east = site.placement.to_site(np.array([[x + off.x, y + off.y]]))[0].tolist()
    here = Placement(
        turn=site.placement.turn + off.turn, x0=x, y0=y, easting0=east, northing0=north
    )
    built = Built(plan=layout.plan, footing=layout.footing, dig_bands=(), boards=(), hubs=())
    found, told = clearances_on(site.asked, site.boundary, here, built)
    broken = [
        each for each in found if each.distance < (each.setback or 0.0) - staked.setback_limit
    ]
    # what is short by no more than the stakes can show is not called broken
    said = {each.values for each in clearance_notices(broken)}
    sure = [n for n in told if n.severity is not Severity.BROKEN or n.values in said]
    if sure:
        lead = "as the stakes stand, "
        return tuple(replace(each, text=lead + each.text) for each in sure)
    if all(each.setback is None for each in found):
        return ()
    if any(not each.ok for each in found):
        worst = min(found, key=lambda each: each.distance - (each.setback or 0.0))
        return (
            notice(
                "setbacks-near",
                "as the stakes stand, the {what} lacks {short} of the setback from the boundary "
                "line {line}, less than the {limit} that these stakes can show",
                what=worst.what,
                short=Length((worst.setback or 0.0) - worst.distance),
                line=worst.line,
                limit=Length(staked.setback_limit),
            ),
        )
    return (notice("setbacks-kept", "as the stakes stand, the setbacks are kept", Severity.NOTE),)


def stakes_shape(
    read: StakesRead,
    asked: Asked,
    tapes: Sequence[Measurement],
    between: Sequence[Measurement],
) -> StakedShape:
    """Adjust the surveyed corners, with the tapes between them.

    Parameters
    ----------
    read
        The stakes.
    asked
        The plan's corners.
    tapes
        The taped distances, those to points included.
    between
        The ones from corner to corner.

    Returns
    -------
    StakedShape
        The corners that were shot or taped.

    Raises
    ------
    InputError
        When fewer than two corners are there: they have no shape.
    """
    from staking.adjust.surveyed_stakes import adjust_stakes

    shot = {each.name for each in read.shots}
    taped = {name for each in tapes for name in (each.from_name, each.to_name)}
    names = tuple(name for name in asked.corners if name in shot or name in taped)
    if len(shot) < 2:
        seen = f"only {', '.join(shot)} is" if shot else "no corner is"
        raise InputError(
            Problem(
                message=f"{seen} among the stakes, and a shape needs two at least",
                remedy="shoot every corner, or both outside-face nails of each string",
            )
        )
    return adjust_stakes(names, asked.plan_of(names), read.shots, between)
