"""Placing by best fit: corners that stand at surveyed stakes."""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt

from staking.errors import ComputationError, InputError, Problem
from staking.frozen import frozen
from staking.lines import cross
from staking.network.tape_error import standard_error
from staking.notices import Length, Notice, NoticeKind, Severity, notice
from staking.plan import Tape
from staking.site.known import Known
from staking.site.site_request import PlaceByFit
from staking.site.site_results import Placement, Residual
from staking.tolerances import SAME_POINT
from staking.units import FOOT

Array = npt.NDArray[np.float64]

DOUBT = 1.96
"""Standard errors within which 95 in 100 readings lie (normal distribution)."""

FAR_OFF = FOOT
"""A corner this far from its stake, m, is no error of measuring (common practice, no source)."""

UNIT_SLIP = 0.01
"""A scale this near to a foot in metres, or its inverse, looks like a mistaken unit (common
practice, no source)."""


BETTER_BY_FAR = 0.25
"""A stake is named where the others' root mean square misfit without it is this share or less of
what it is with it (common practice, no source)."""

LEFT_BY_ONE = 3
"""So many stakes must be left for that: two would fit any shift and turn but for their distance."""


@frozen
class Fit:
    """A least-squares turn and shift.

    Parameters
    ----------
    turn
        Rad anticlockwise.
    centre, target
        The centroids, which fall on each other: x and y, easting and northing, m.
    scale
        What a similarity fit would have; it is not applied.
    residuals
        ``(n, 2)`` placed minus staked, easting and northing, m.
    mirrored
        By how much the squares of the residuals would fall if the plan were seen from below, m2.
    """

    turn: float
    centre: Array
    target: Array
    scale: float
    residuals: Array
    mirrored: float

    @property
    def worst(self) -> float:
        """The greatest distance between a placed corner and its stake, m."""
        return float(np.hypot(self.residuals[:, 0], self.residuals[:, 1]).max())

    @property
    def misfit(self) -> float:
        """The root mean square distance between placed corners and their stakes, m."""
        return float(np.sqrt((self.residuals**2).sum(axis=1).mean()))


def fit_turn_and_shift(plan: Array, site: Array) -> Fit:
    """Fit plan points onto site points by a turn and a shift.

    Parameters
    ----------
    plan
        ``(n, 2)`` x and y, m.
    site
        ``(n, 2)`` easting and northing of the same points, m.

    Returns
    -------
    Fit
        The turn that makes the sum of the squared distances least, without a mirror image.

    Raises
    ------
    ComputationError
        When there are fewer than two points, or all plan or all site points are one place.

    Notes
    -----
    Both sets are first shifted to their centroids. With ``p`` and ``q`` the shifted points the
    turn is the direction of ``(sum p.q, sum p x q)`` and the scale of a similarity its length
    over ``sum p.p``. In the plane this is the singular value solution with the determinant held
    at +1.

    References
    ----------
    S. Umeyama, "Least-squares estimation of transformation parameters between two point
    patterns", IEEE Trans. PAMI 13(4), 1991, pp. 376-380.
    """
    centre, target = plan.mean(axis=0), site.mean(axis=0)
    p, q = plan - centre, site - target
    spread = float((p * p).sum())
    if min(spread, float((q * q).sum())) <= SAME_POINT**2:
        raise ComputationError("all corners of the fit, or all its stakes, are in one place")
    along = float((p * q).sum())
    across = float(cross(p, q).sum())
    # The same two sums with y turned over.
    along_mirrored = float((p[:, 0] * q[:, 0] - p[:, 1] * q[:, 1]).sum())
    across_mirrored = float((p[:, 0] * q[:, 1] + p[:, 1] * q[:, 0]).sum())
    match = math.hypot(along, across)
    turn = math.atan2(across, along)
    c, s = math.cos(turn), math.sin(turn)
    turned = np.stack((p[:, 0] * c - p[:, 1] * s, p[:, 0] * s + p[:, 1] * c), axis=1)
    return Fit(
        turn=turn,
        centre=centre,
        target=target,
        scale=match / spread,
        residuals=turned - q,
        mirrored=2 * (math.hypot(along_mirrored, across_mirrored) - match),
    )


_MIRRORED = notice(
    "fit-mirrored",
    "the stakes fit the plan's mirror image better, which is not used: two stakes or the "
    "survey's northing and easting are swapped, or the corners run the other way round",
)
"""A mirror image that fits markedly better than any turn and shift."""


def place_by_fit(asked: PlaceByFit, known: Known, tape: Tape) -> Placement:
    """Place corners as near to their stakes as the building's size lets them.

    Parameters
    ----------
    asked
        Pairs of corner and point.
    known
        Plan and survey.
    tape
        What tells a stake that is off from the tape's own error.

    Returns
    -------
    Placement
        With a residual for each stake, and what is odd about them as warnings.

    Raises
    ------
    InputError
        When there is one pair only, a corner or point is named twice or does not exist.
    ComputationError
        When the corners or the stakes are all in one place.
    """
    _check_pairs(asked)
    plan = np.array([known.corner(corner) for corner, _ in asked.pairs])
    site = np.array([known.point(point)[::-1] for _, point in asked.pairs])
    fit = fit_turn_and_shift(plan, site)
    residuals = tuple(
        Residual(corner=corner, point=point, northing=north, easting=east)
        for (corner, point), (east, north) in zip(asked.pairs, fit.residuals.tolist(), strict=True)
    )
    length, ends = _longest(plan)
    doubt = DOUBT * standard_error(tape, length)
    told = [_check(residuals, doubt)]
    if fit.mirrored > len(plan) * doubt**2:
        told.append(_MIRRORED)
    else:
        ends_named = (residuals[ends[0]], residuals[ends[1]])
        scale = _scale(fit, length, ends_named, doubt)
        which = [] if _is_unit_slip(fit) else _which(fit, plan, site, residuals, doubt)
        # One stake that is off by itself makes the scale, which then says nothing.
        is_one = any(n.kind == NoticeKind.FIT_STAKE for n in which)
        told += which if is_one else scale + which
    return Placement(
        turn=fit.turn,
        x0=float(fit.centre[0]),
        y0=float(fit.centre[1]),
        easting0=float(fit.target[0]),
        northing0=float(fit.target[1]),
        scale=fit.scale,
        residuals=residuals,
        notices=tuple(told),
    )


def _check_pairs(asked: PlaceByFit) -> None:
    problems = []
    if len(asked.pairs) < 2:
        problems.append(
            Problem(
                message="one pair of corner and stake leaves the building free to turn",
                remedy="give a second pair, or place it by a bearing",
                field="site place fit",
            )
        )
    for kind, names in (
        ("corner", [corner for corner, _ in asked.pairs]),
        ("point", [point for _, point in asked.pairs]),
    ):
        problems += [
            Problem(
                message=f"{kind} {name} is in two pairs",
                remedy="give each corner its own stake",
                field="site place fit",
            )
            for name in dict.fromkeys(names)
            if names.count(name) > 1
        ]
    if problems:
        raise InputError(*problems)


def _longest(points: Array) -> tuple[float, tuple[int, int]]:
    # The greatest distance between two of the points, and which two they are.
    apart = np.hypot(*(points[:, None] - points[None]).transpose(2, 0, 1))
    first, second = np.unravel_index(int(apart.argmax()), apart.shape)
    return float(apart.max()), (int(first), int(second))


def _check(residuals: tuple[Residual, ...], doubt: float) -> Notice:
    worst = max(residuals, key=lambda r: r.distance)
    text = "no corner is farther from its stake than {corner} from {point}: {distance}"
    severity = Severity.WARNING if worst.distance > doubt else Severity.NOTE
    if worst.distance > FAR_OFF:
        text += "; the building cannot stand on these stakes"
        severity = Severity.BROKEN
    return notice(
        "fit-check",
        text,
        severity,
        distance=Length(worst.distance),
        corner=worst.corner,
        point=worst.point,
    )


def _is_unit_slip(fit: Fit) -> bool:
    return min(abs(fit.scale * FOOT - 1), abs(fit.scale / FOOT - 1)) < UNIT_SLIP


def _scale(fit: Fit, length: float, ends: tuple[Residual, Residual], doubt: float) -> list[Notice]:
    off = length * (fit.scale - 1)
    if abs(off) <= doubt:
        return []
    slip = ""
    if _is_unit_slip(fit):
        slip = "; that is the ratio of feet and metres, so one of the units is wrong"
    return [
        notice(
            "fit-scale",
            "the stakes would fit best at a scale of {scale}, {size} {more} over the {length} from "
            "{first} to {second}; the building keeps its size" + slip,
            size=Length(abs(off)),
            more="longer" if off > 0 else "shorter",
            length=Length(length),
            first=ends[0].corner,
            second=ends[1].corner,
            scale=f"{fit.scale:.6f}",
        )
    ]


def _which(
    fit: Fit, plan: Array, site: Array, residuals: tuple[Residual, ...], doubt: float
) -> list[Notice]:
    # The one stake without which all others fit, or fit better by far. Of two stakes neither can
    # be told.
    if fit.worst <= doubt:
        return []
    blamed, better = [], []
    for index in range(len(plan)):
        kept = np.arange(len(plan)) != index
        if kept.sum() < 2 or _longest(plan[kept])[0] <= SAME_POINT:
            continue
        if _longest(site[kept])[0] <= SAME_POINT:
            continue
        rest = fit_turn_and_shift(plan[kept], site[kept])
        if rest.worst <= doubt:
            blamed.append((index, rest))
        elif kept.sum() >= LEFT_BY_ONE and rest.misfit <= BETTER_BY_FAR * fit.misfit:
            better.append((index, rest))
    blamed = blamed or better
    if len(blamed) == 1:
        index, rest = blamed[0]
        c, s = math.cos(rest.turn), math.sin(rest.turn)
        x, y = plan[index] - rest.centre
        should = (rest.target[0] + x * c - y * s, rest.target[1] + x * s + y * c)
        return [
            notice(
                NoticeKind.FIT_STAKE,
                "stake {point} at corner {corner} is {distance} off; without it the others fit "
                "to {rest}",
                point=residuals[index].point,
                corner=residuals[index].corner,
                distance=Length(math.dist(should, site[index])),
                rest=Length(rest.worst),
            )
        ]
    text = "a stake is off and which cannot be told: "
    if blamed:
        stakes = ", ".join(residuals[index].point for index, _ in blamed)
        return [
            notice("fit-unsure", text + "it may be any of {points}; check a side", points=stakes)
        ]
    more = "give a third one" if len(plan) < 3 else "more than one may be off"
    return [notice("fit-unsure", text + more)]
