"""What surveyed stakes and nails say beside the shape: where each stands off its place."""

from __future__ import annotations

import math

from staking.adjust.check_limits import Limit, limit_of, plane_z_of, z_of
from staking.adjust.nails import NailSlide, slide_of
from staking.adjust.stakes_check import StakesJudged
from staking.adjust.surveyed_stakes import Displacement, StakedShape
from staking.checked.stakes_on_plan import Spot, StakesRead
from staking.frozen import frozen
from staking.kinds import CheckKind, PointKind
from staking.layout.allowed import allowed_difference
from staking.notices import Angle, Length, Notice, notice
from staking.plan import Options, Point, ToleranceRules
from staking.site.site_results import Placement
from staking.units import FOOT

FAR_OFF = FOOT
"""A building this far off its place, m, is no error of measuring (common practice, no source)."""

NOT_TURNED = math.radians(0.5 / 3600)
"""A turn by less than this, rad, counts as no turn: it would print as no second."""


@frozen
class Off:
    """How far a point stands off its planned place, m: on the building grid, north and east.

    `what` is what it is in words. `across` is how far a hub stands off its line, which is all
    that counts for it; else None. `limit` is what it is judged by.
    """

    name: str
    kind: PointKind
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


@frozen
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
    def out(self) -> tuple[Off, ...]:
        """The corners, pads and ends of interior lines that are past their limits."""
        points = tuple(each for each in self.others if each.kind.is_inside)
        return tuple(each for each in (*self.stakes, *points) if not each.good)

    @property
    def farthest(self) -> Off | None:
        """The corner that stands farthest off its place."""
        return max(self.stakes, key=lambda each: each.distance, default=None)


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
    step, count = options.step, judged.verdict.count
    held = _Held(read=read, rules=options.tolerances, step=step, z=plane_z_of(count))
    planned = read.plan.corner_points
    stakes: tuple[Off, ...] = ()
    shift, north, east = None, None, None
    if read.placement is not None:
        shift = shape.displacement
        north, east = _on_site(read.placement, shift.x, shift.y)
        stakes = tuple(
            held.off(name, (PointKind.CORNER, "corner"), (here[0], here[1]), planned[name], error)
            for name, here, error in zip(
                shape.sifted.solution.names,
                shape.places.tolist(),
                shape.errors.tolist(),
                strict=True,
            )
        )
    others = tuple(held.off_spot(each) for each in read.others)
    counted = [
        *stakes,
        *(each for each in others if each.kind.is_inside),
    ]
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
            slide_of(nail, here, held.allowed((nail.x, nail.y)), step) for nail, here in read.nails
        ),
        unknown=read.unknown,
        limits=tuple(each.limit for each in counted) if stakes else (),
        setback_limit=limit_of("setback", 0.0, worst, step, z_of(count)).limit,
    )


@frozen
class _Held:
    """What stakes are held against: the job's tolerances, the step of lengths, and the normal z."""

    read: StakesRead
    rules: ToleranceRules
    step: float
    z: float

    def allowed(self, point: Point) -> float:
        """Give what the tolerances allow a point, m: by its distance from the farthest corner."""
        far = max(math.dist(point, c.point) for b in self.read.plan.buildings for c in b.corners)
        return allowed_difference(self.rules, CheckKind.POINT, far, self.step)

    def off(
        self,
        name: str,
        what: tuple[PointKind, str],
        here: Point,
        planned: Point,
        error: float,
        across: Point | None = None,
    ) -> Off:
        """Say how far a point, of some kind and described by some words, stands off its place."""
        x, y = here[0] - planned[0], here[1] - planned[1]
        north, east = _on_site(self.read.placement, x, y)
        line = None if across is None else x * across[0] + y * across[1]
        limit = limit_of(name, self.allowed(planned), error, self.step, self.z)
        return Off(
            name=name,
            kind=what[0],
            what=what[1],
            x=x,
            y=y,
            north=north,
            east=east,
            limit=limit,
            across=line,
        )

    def off_spot(self, spot: Spot) -> Off:
        """Say how far a pad, an end of an interior line or a hub stands off its planned place."""
        point = spot.point
        here, planned = (spot.x, spot.y), (point.x, point.y)
        what = (point.kind, point.description)
        return self.off(point.name, what, here, planned, self.read.error, spot.across)


def _on_site(placement: Placement | None, x: float, y: float) -> tuple[float | None, float | None]:
    if placement is None:
        return None, None
    c, s = math.cos(placement.turn), math.sin(placement.turn)
    return x * s + y * c, x * c - y * s


def place_notices(staked: Staked) -> tuple[Notice, ...]:
    """Warn where the building as a whole, or nails, stand off their planned places."""
    told = []
    shift, far = staked.displacement, staked.farthest
    if shift is not None and staked.out and all(each.good for each in staked.stakes):
        told += [
            notice(
                "point-not-in-place",
                "{point}, the {what}, is {far} off its planned place on the lot",
                point=each.name,
                what=each.what,
                far=Length(each.distance),
            )
            for each in staked.out
        ]
    elif shift is not None and far is not None and not staked.in_place:
        text = (
            "the building does not stand in its planned place: {corner} is {far} off it, the "
            "middle of all {middle}, and the whole is "
            + ("turned {turn}" if abs(shift.turn) >= NOT_TURNED else "not turned")
            + "; its shape is judged apart from that"
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
