"""A deed laid on the pins that were found: turned and shifted, never stretched."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np

from staking.errors import ComputationError, InputError, Problem
from staking.frozen import frozen
from staking.lines import Array
from staking.points import KnownPoint
from staking.site.deed.traverse import Traverse
from staking.site.fit import BETTER_BY_FAR, LEFT_BY_ONE, Fit, fit_turn_and_shift
from staking.units import FOOT

PIN_OFF = 0.2 * FOOT
"""A pin farther than this from where the deed puts it, m, is told (common practice, no source)."""

NOT_THESE = 100
"""Pins off by more than the way round the lot over this are not those of the deed (common practice,
no source)."""


@frozen
class PinOff:
    """A found pin beside where the deed puts its corner: pin minus deed, m."""

    corner: str
    point: str
    northing: float
    easting: float

    @property
    def distance(self) -> float:
        """How far apart they are, m."""
        return math.hypot(self.northing, self.easting)


@frozen(eq=False)
class PinFit:
    """A deed on its found pins.

    Parameters
    ----------
    places
        ``(n, 2)`` all corners, north and east, m: at their pins, else where the deed puts them.
    pins
        The pins beside the deed.
    turn
        By how much the deed's bearings are turned to come onto the plane's north, rad, clockwise;
        None where one pin alone leaves them as they are.
    scale
        What a fit that stretches would have; it is not used.
    blamed
        The pin without which the others fit better by far, and how well, m; or None.
    mirrored
        Whether the pins fit the mirror image of the deed better.
    """

    places: Array
    pins: tuple[PinOff, ...]
    turn: float | None
    scale: float
    blamed: tuple[PinOff, float] | None
    mirrored: bool

    @property
    def worst(self) -> float:
        """How far a pin is from where the deed puts it at most, m."""
        return max(each.distance for each in self.pins)


def fit_pins(
    corners: Sequence[str],
    walked: Traverse,
    pins: Sequence[tuple[str, str]],
    points: Mapping[str, KnownPoint],
) -> PinFit:
    """Lay a deed on its found pins.

    Parameters
    ----------
    corners, walked
        The deed's corners by name, and its courses walked round.
    pins
        Pairs of corner and survey point, at least one.
    points
        The survey's points by name, on the lot's plane.

    Returns
    -------
    PinFit
        By a turn and a shift that make the sum of the squared distances least; with one pin by a
        shift alone.

    Raises
    ------
    InputError
        Where two pins are one place, or they lie so far from the deed that they are others.
    """
    index = [corners.index(corner) for corner, _ in pins]
    record = walked.corners[index][:, ::-1]
    found = np.array([(points[name].easting, points[name].northing) for _, name in pins])
    if len(pins) == 1:
        moved = walked.corners[:, ::-1] + (found[0] - record[0])
        turn, scale, fit = None, 1.0, None
    else:
        fit = _fit(record, found)
        moved = _moved(walked.corners[:, ::-1], fit)
        turn, scale = -fit.turn, fit.scale
    off = found - moved[index]
    beside = tuple(
        PinOff(corner=corner, point=point, northing=north, easting=east)
        for (corner, point), (east, north) in zip(pins, off.tolist(), strict=True)
    )
    places = moved[:, ::-1].copy()
    places[index] = found[:, ::-1]
    made = PinFit(
        places=places,
        pins=beside,
        turn=turn,
        scale=scale,
        blamed=None if fit is None else _blamed(fit, record, found, beside),
        mirrored=fit is not None and fit.mirrored > len(pins) * PIN_OFF**2,
    )
    _refuse_others(made, walked)
    return made


def _fit(record: Array, found: Array) -> Fit:
    try:
        return fit_turn_and_shift(record, found)
    except ComputationError as error:
        raise InputError(
            Problem(
                field="site boundary pins",
                message="all pins are in one place",
                remedy="name the survey point of each corner",
            )
        ) from error


def _moved(places: Array, fit: Fit) -> Array:
    x, y = (places - fit.centre).T
    c, s = math.cos(fit.turn), math.sin(fit.turn)
    return np.column_stack((x * c - y * s, x * s + y * c)) + fit.target


def _blamed(
    fit: Fit, record: Array, found: Array, beside: Sequence[PinOff]
) -> tuple[PinOff, float] | None:
    # The one pin that is off by itself: without it the others fit better by far.
    if fit.worst <= PIN_OFF or len(found) <= LEFT_BY_ONE:
        return None
    better = []
    for index, pin in enumerate(beside):
        kept = np.arange(len(found)) != index
        try:
            rest = fit_turn_and_shift(record[kept], found[kept])
        except ComputationError:
            continue
        if rest.misfit <= BETTER_BY_FAR * fit.misfit:
            off = found[index] - _moved(record[index][None], rest)[0]
            east, north = off.tolist()
            alone = PinOff(corner=pin.corner, point=pin.point, northing=north, easting=east)
            better.append((alone, rest.worst))
    return better[0] if len(better) == 1 else None


def _refuse_others(made: PinFit, walked: Traverse) -> None:
    if made.worst <= max(walked.perimeter / NOT_THESE, FOOT):
        return
    worst = max(made.pins, key=lambda each: each.distance)
    if made.blamed is not None:
        worst = made.blamed[0]
    why = ""
    if abs(made.scale / FOOT - 1) < 0.01 or abs(made.scale * FOOT - 1) < 0.01:
        why = ": the survey and the deed differ by the ratio of feet and metres"
    elif made.mirrored:
        why = ": the pins run the other way round than the courses"
    raise InputError(
        Problem(
            field=f"site boundary pins {worst.corner}",
            message=f"point {worst.point} lies {worst.distance / FOOT:.2f} ft "
            f"({worst.distance:.2f} m) from where the deed puts corner {worst.corner}{why}",
            remedy="check which survey point is which corner, and the units of both",
        )
    )
