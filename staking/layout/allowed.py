"""What a layout may be out by: published tolerances and what the job sets in their place."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from staking.errors import ComputationError
from staking.plan import ToleranceRules
from staking.tolerances import ON_LINE
from staking.units import FOOT, INCH


@dataclass(frozen=True, slots=True, kw_only=True)
class Preset:
    """A published set of tolerances; each rule takes a distance, m, and gives what is allowed, m.

    Parameters
    ----------
    source
        Where it is published.
    side, diagonal, stake
        For a side; for a diagonal, a tie or the tape across two legs; for a single stake.
    """

    source: str
    side: Callable[[float], float]
    diagonal: Callable[[float], float]
    stake: Callable[[float], float]


def _small_building_side(distance: float) -> float:
    if distance < 10 * FOOT - ON_LINE:
        return INCH / 8
    # beyond 100 ft: 1/4 in per 100 ft pro rata (common practice, no source)
    return INCH / 4 * max(1.0, distance / (100 * FOOT))


def _small_building_diagonal(distance: float) -> float:
    return 0.75 * INCH * distance / (100 * FOOT)


def _quarter_inch(_distance: float) -> float:
    # common practice, no source
    return INCH / 4


def _position_point(distance: float) -> float:
    return 1.5e-3 * math.sqrt(distance)


PRESETS: dict[str, Preset] = {
    "small building": Preset(
        source='Handbook of Construction Tolerances, as reported in "Foundation and framing '
        'tolerances", Journal of Light Construction, questions and answers',
        side=_small_building_side,
        diagonal=_small_building_diagonal,
        stake=_quarter_inch,
    ),
    "ISO 4463-1 position points": Preset(
        source="ISO 4463-1:1989, position points, K1 = 1.5, as cited by V. Kala, Some problems of "
        "an as-built survey and setting out accuracy",
        side=_position_point,
        diagonal=_position_point,
        stake=_position_point,
    ),
}
"""The presets by the names that the job file uses."""


def allowed_difference(rules: ToleranceRules, kind: str, distance: float) -> float:
    """Give the difference that the tolerances allow in a check.

    Parameters
    ----------
    rules
        The named preset and what the job sets in its place.
    kind
        The kind of check: ``side``, ``diagonal``, ``tie``, ``right angle``, ``angle``, ``point``.
    distance
        The distance to be taped, m, zero or more.

    Returns
    -------
    float
        The greatest difference either way, m.

    Raises
    ------
    ComputationError
        When the preset has no such name.

    Notes
    -----
    Small building: a side 1/8 in under 10 ft and 1/4 in to 100 ft, a diagonal 3/4 in per 100 ft
    pro rata. ISO 4463-1 position points: 1.5 times the root of the distance in metres, in mm.
    Ties and the tape across two legs take the rule of diagonals.

    Examples
    --------
    >>> allowed_difference(ToleranceRules(), "side", 3.0) / 0.0254
    0.125
    """
    try:
        preset = PRESETS[rules.preset]
    except KeyError:
        raise ComputationError(
            f"{rules.preset} names no tolerances; the presets are {', '.join(PRESETS)}"
        ) from None
    if kind == "side":
        return preset.side(distance) if rules.side is None else rules.side
    if kind == "point":
        return preset.stake(distance) if rules.stake is None else rules.stake
    if rules.diagonal_per_length is None:
        return preset.diagonal(distance)
    return rules.diagonal_per_length * distance
