"""What a layout may be out by: published tolerances and what the job sets in their place."""

from __future__ import annotations

import math
from collections.abc import Callable

from staking.errors import ComputationError
from staking.frozen import frozen
from staking.kinds import CheckKind
from staking.notices import Notice, Severity, notice
from staking.plan import ToleranceRules
from staking.tolerances import ON_LINE
from staking.units import FOOT, INCH


@frozen
class Preset:
    """A published set of tolerances; each rule takes a distance, m, and gives what is allowed, m.

    Parameters
    ----------
    source
        Where it is published.
    side, diagonal, stake
        For a side; for a diagonal, a tie or the tape across two legs; for a single stake.
    for_points_alone
        Whether its source speaks of single points only, so that using it for sides and diagonals
        is this tool's own choice.
    """

    source: str
    side: Callable[[float], float]
    diagonal: Callable[[float], float]
    stake: Callable[[float], float]
    for_points_alone: bool = False


def _small_building_side(distance: float) -> float:
    if distance < 10 * FOOT - ON_LINE:
        return INCH / 8
    # beyond 100 ft: 1/4 in per 100 ft pro rata (common practice, no source)
    return INCH / 4 * max(1.0, distance / (100 * FOOT))


def _small_building_diagonal(distance: float) -> float:
    # the source's 3/4 in is of 100 ft; pro rata of other lengths is ours
    return 0.75 * INCH * distance / (100 * FOOT)


def _quarter_inch(_distance: float) -> float:
    # common practice, no source
    return INCH / 4


def _position_point(distance: float) -> float:
    # the floor below 4 m is from memory: twice K1
    return max(3.0e-3, 1.5e-3 * math.sqrt(distance))


PRESETS: dict[str, Preset] = {
    "small building": Preset(
        source='"Foundation and framing tolerances", Journal of Light Construction, questions and '
        "answers (C. Hagstrom), which reports D. K. Ballast, Handbook of Construction Tolerances: "
        "3/4 in per 100 ft of the 5-leg of a 3-4-5 triangle taped with steel; pro rata of other "
        "diagonals is applied by us",
        side=_small_building_side,
        diagonal=_small_building_diagonal,
        stake=_quarter_inch,
    ),
    "ISO 4463-1 position points": Preset(
        source="ISO 4463-1:1989, position points: 1.5 times the root of L mm, L in metres from the "
        "control point to the position point, as cited by V. Kala, Geodesy and Cartography 35(3), "
        "2009; between corners it is applied by us, and below 4 m 3 mm is from memory",
        side=_position_point,
        diagonal=_position_point,
        stake=_position_point,
        for_points_alone=True,
    ),
}
"""The presets by the names that the job file uses."""


def allowed_notices(rules: ToleranceRules) -> tuple[Notice, ...]:
    """Say where a published preset is used for something else than it was written for.

    Returns
    -------
    tuple of Notice
        ``tolerance-applied``, for the position points of ISO 4463-1.
    """
    preset = PRESETS.get(rules.preset)
    if preset is None or not preset.for_points_alone:
        return ()
    return (
        notice(
            "tolerance-applied",
            "ISO 4463-1:1989 allows a position point 1.5 mm times the root of its distance in "
            "metres from the control point; on sides and diagonals between corners that is applied "
            "by us, and under 4 m 3 mm is taken (from memory)",
            Severity.NOTE,
        ),
    )


def allowed_difference(
    rules: ToleranceRules, kind: CheckKind, distance: float, step: float = 0.0
) -> float:
    """Give the difference that the tolerances allow in a check.

    Parameters
    ----------
    rules
        The named preset and what the job sets in its place.
    kind
        The kind of check.
    distance
        The distance to be taped, m, zero or more.
    step
        What lengths are read to, m: nothing finer is asked of a tape.

    Returns
    -------
    float
        The greatest difference either way, m; never less than the step.

    Raises
    ------
    ComputationError
        When the preset has no such name.

    Notes
    -----
    Small building: a side 1/8 in under 10 ft and 1/4 in to 100 ft, a diagonal 3/4 in per 100 ft,
    which the source gives for the 5-leg of a 3-4-5; pro rata is ours. ISO 4463-1 position points:
    1.5 times the root of the distance in metres, in mm, at least 3 mm: the standard's distance runs
    from a control point, and between corners it is applied by us. Ties and the tape across two
    legs take the rule of diagonals.

    Examples
    --------
    >>> allowed_difference(ToleranceRules(), CheckKind.SIDE, 3.0) / 0.0254
    0.125
    """
    return max(step, _by_the_rules(rules, kind, distance))


def _by_the_rules(rules: ToleranceRules, kind: CheckKind, distance: float) -> float:
    try:
        preset = PRESETS[rules.preset]
    except KeyError:
        raise ComputationError(
            f"{rules.preset} names no tolerances; the presets are {', '.join(PRESETS)}"
        ) from None
    if kind is CheckKind.SIDE:
        return preset.side(distance) if rules.side is None else rules.side
    if kind is CheckKind.POINT:
        return preset.stake(distance) if rules.stake is None else rules.stake
    if rules.diagonal_per_length is None:
        return preset.diagonal(distance)
    return rules.diagonal_per_length * distance
