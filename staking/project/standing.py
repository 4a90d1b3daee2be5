"""What surveyed stakes and nails say beside the shape: where each stands off its place."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from staking.errors import InputError, Problem
from staking.notices import Length, Notice, notice
from staking.units import FOOT

if TYPE_CHECKING:
    from staking.adjust.nails import NailSlide
    from staking.adjust.surveyed_stakes import Displacement, StakedShape
    from staking.network.fitted import Measurement
    from staking.network.geometry import Floats
    from staking.plan import Options, Point
    from staking.project.stakes import StakesRead
    from staking.site.site_results import Placement

FAR_OFF = FOOT
"""A building this far off its place, m, is no error of measuring (common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Off:
    """How far a point stands off its planned place, m: on the building grid, north and east.

    `across` is how far a hub stands off its line, which is all that counts for it; else None.
    """

    name: str
    what: str
    x: float
    y: float
    north: float | None
    east: float | None
    allowed: float
    across: float | None = None

    @property
    def distance(self) -> float:
        """How far it is off, m."""
        return math.hypot(self.x, self.y)

    @property
    def good(self) -> bool:
        """Whether that is within what is allowed."""
        off = self.distance if self.across is None else abs(self.across)
        return off <= self.allowed


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
        Whether every stake is within what is allowed of its planned place; None likewise.
    stakes, others
        How far each is off its place; `stakes` is empty where the job is not placed.
    nails
        How far each slides.
    unknown
        Names that the job does not have.
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


def tell_stakes(read: StakesRead, shape: StakedShape | None, options: Options) -> Staked:
    """Say how the stakes and nails stand against their planned places.

    Parameters
    ----------
    read
        The stakes.
    shape
        The adjusted corners; None where there are too few.
    options
        The job's options: tolerances and rounding.

    Returns
    -------
    Staked
        The building as a whole apart from each stake.
    """
    from staking.adjust.nails import slide_of
    from staking.layout.allowed import allowed_difference
    from staking.project.check import move_step

    def allowed(point: Point) -> float:
        far = max(math.dist(point, c.point) for b in read.plan.buildings for c in b.corners)
        return allowed_difference(options.tolerances, "point", far)

    def off(name: str, what: str, here: Point, planned: Point, across: Point | None = None) -> Off:
        x, y = here[0] - planned[0], here[1] - planned[1]
        north, east = _on_site(read.placement, x, y)
        line = None if across is None else x * across[0] + y * across[1]
        return Off(
            name=name,
            what=what,
            x=x,
            y=y,
            north=north,
            east=east,
            allowed=allowed(planned),
            across=line,
        )

    planned = {c.name: c.point for b in read.plan.buildings for c in b.corners}
    stakes: tuple[Off, ...] = ()
    shift = None
    if shape is not None and read.placement is not None:
        shift = shape.displacement
        stakes = tuple(
            off(name, "corner", (here[0], here[1]), planned[name])
            for name, here in zip(shape.sifted.solution.names, shape.places.tolist(), strict=True)
        )
    north, east = (None, None) if shift is None else _on_site(read.placement, shift.x, shift.y)
    step = move_step(options)
    return Staked(
        error=read.error,
        crossed=read.crossed,
        displacement=shift,
        north=north,
        east=east,
        in_place=all(each.good for each in stakes) if stakes else None,
        stakes=stakes,
        others=tuple(
            off(each.point.name, each.point.description, (each.x, each.y),
                (each.point.x, each.point.y), each.across)
            for each in read.others
        ),
        nails=tuple(
            slide_of(nail, here, allowed((nail.x, nail.y)), step) for nail, here in read.nails
        ),
        unknown=read.unknown,
    )  # fmt: skip


def _on_site(placement: Placement | None, x: float, y: float) -> tuple[float | None, float | None]:
    if placement is None:
        return None, None
    c, s = math.cos(placement.turn), math.sin(placement.turn)
    return x * s + y * c, x * c - y * s


def place_notices(staked: Staked) -> tuple[Notice, ...]:
    """Warn where the building as a whole, or nails, stand off their planned places."""
    told = []
    shift = staked.displacement
    if shift is not None and not staked.in_place:
        far = math.hypot(shift.x, shift.y)
        text = (
            "the building as a whole does not stand in its planned place: {far} off in the middle; "
            "its shape is judged apart from that, and --hold place says what to move"
        )
        if far > FAR_OFF:
            text += "; so far off is no error of measuring: another grid, unit or set-up?"
        told.append(notice("not-in-place", text, far=Length(far)))
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


def stakes_shape(
    read: StakesRead, points: Mapping[str, Point], measurements: Sequence[Measurement]
) -> StakedShape:
    """Adjust the surveyed corners, with the tapes between them.

    Parameters
    ----------
    read
        The stakes.
    points
        The corners on the plan, m.
    measurements
        The taped distances.

    Returns
    -------
    StakedShape
        The corners that were shot or taped.

    Raises
    ------
    InputError
        When fewer than two corners are there: they have no shape.
    """
    import numpy as np

    from staking.adjust.surveyed_stakes import adjust_stakes

    shot = {each.name for each in read.shots}
    taped = {name for each in measurements for name in (each.from_name, each.to_name)}
    names = tuple(name for name in points if name in shot or name in taped)
    if len(shot) < 2:
        seen = f"only {', '.join(shot)} is" if shot else "no corner is"
        raise InputError(
            Problem(
                message=f"{seen} among the stakes, and a shape needs two at least",
                remedy="shoot every corner, or both outside-face nails of each string",
            )
        )
    plan = np.array([points[name] for name in names], dtype=float)
    return adjust_stakes(names, plan, read.shots, measurements)


def to_the_place(staked: Staked, places: Floats) -> Floats:
    """Give where the stakes are to be moved from, so that they come to their planned place.

    Parameters
    ----------
    staked
        What the stakes say.
    places
        Where they stand on the building grid, m, shape ``(n, 2)``.

    Returns
    -------
    array
        The same places.

    Raises
    ------
    InputError
        When the job is not placed: there is no place to move to.
    """
    if staked.displacement is None:
        raise InputError(
            Problem(
                message="the job is not placed on a survey, so there is no place to move to",
                remedy="write --hold C,C-D or --hold best",
                field="--hold",
            )
        )
    return places
