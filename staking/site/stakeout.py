"""Staking out: two tapes from known points, or angle and distance from an instrument.

Names and arrays in, values out. Northing before easting; metres; azimuths rad clockwise from
the grid's north.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from staking.frozen import frozen
from staking.kinds import Hand
from staking.lines import Array
from staking.notices import Angle, Length, Notice, Severity, notice
from staking.site.pairs import FLAT_SWING, steady_pairs
from staking.tolerances import SAME_POINT

TURN = 2 * math.pi


@frozen
class Tie:
    """A point by two tapes.

    Parameters
    ----------
    name
        The point.
    first, second
        The known points the tapes are held at.
    first_distance, second_distance
        What they read, m.
    swing
        The angle at which the tapes meet, rad, up to half a turn.
    side
        On which side of the line from the first known point to the second it lies.
    """

    name: str
    first: str
    second: str
    first_distance: float
    second_distance: float
    swing: float
    side: Hand


@frozen
class SetUpShot:
    """A point from a set-up: angle right from the backsight, azimuth, rad, distance, m."""

    name: str
    angle_right: float
    azimuth: float
    distance: float


@frozen
class Delta:
    """A point from a known point: how far north and east, m; negative south and west."""

    name: str
    control: str
    north: float
    east: float


def ties(
    names: Sequence[str],
    places: Array,
    known_names: Sequence[str],
    known: Array,
    reach: float,
    in_sight: NDArray[np.bool_] | None = None,
) -> tuple[tuple[Tie, ...], tuple[str, ...]]:
    """Choose for each point two known points from which two tapes fix it well.

    Parameters
    ----------
    names, places
        The points: names, and ``(m, 2)`` northing and easting, m.
    known_names, known
        The known points, ``(c, 2)``.
    reach
        The tape's length, m.
    in_sight
        ``(m, c)``: whether a tape can be stretched between the two; None where nothing stands
        in the way.

    Returns
    -------
    tuple of Tie
        By a pair whose tapes meet within 15 degrees of the best pair's nearness to 90 degrees and
        not flat where another is not. One pair serves as many points in a row as it can.
    tuple of str
        The points that no two known points reach with the tape.
    """
    north = known[:, 0] - places[:, None, 0]
    east = known[:, 1] - places[:, None, 1]
    far = np.sqrt(north * north + east * east)
    lines = np.arctan2(east, north)
    np.add(lines, math.pi, out=lines, where=lines < 0)
    usable = (far <= reach) & (far > SAME_POINT)
    if in_sight is not None:
        usable &= in_sight
    steady = steady_pairs(lines, far, usable)
    chosen: list[Tie] = []
    for row, pair in enumerate(steady):
        if pair is None:
            continue
        i, j = pair
        sine = north[row, i] * east[row, j] - east[row, i] * north[row, j]
        cosine = north[row, i] * north[row, j] + east[row, i] * east[row, j]
        chosen.append(
            Tie(
                name=names[row],
                first=known_names[i],
                second=known_names[j],
                first_distance=float(far[row, i]),
                second_distance=float(far[row, j]),
                swing=math.atan2(abs(sine), cosine),
                # Seen from the point the known ones turn the other way than it does from them.
                side=Hand.RIGHT if sine > 0 else Hand.LEFT,
            )
        )
    without = tuple(name for name, pair in zip(names, steady, strict=True) if pair is None)
    return tuple(chosen), without


def shots(
    names: Sequence[str], places: Array, setup: tuple[float, float], backsight: tuple[float, float]
) -> tuple[SetUpShot, ...]:
    """Return the angle right and the distance of each point from an instrument.

    Parameters
    ----------
    names, places
        The points: names, and ``(m, 2)`` northing and easting, m.
    setup, backsight
        Northing and easting of the instrument and of the point it is set to nothing on, m.

    Returns
    -------
    tuple of SetUpShot
        Angles from 0 up to a full turn, clockwise from the backsight.
    """
    north, east = places[:, 0] - setup[0], places[:, 1] - setup[1]
    azimuth = np.arctan2(east, north) % TURN
    zero = math.atan2(backsight[1] - setup[1], backsight[0] - setup[0])
    right = (azimuth - zero) % TURN
    # A turn less a rounding is nothing: the point is in line with the backsight.
    right = np.where(TURN - right < 1e-12, 0.0, right)
    far = np.hypot(north, east)
    return tuple(
        SetUpShot(name=name, angle_right=float(a), azimuth=float(b), distance=float(c))
        for name, a, b, c in zip(names, right, azimuth, far, strict=True)
    )


def deltas(
    names: Sequence[str], places: Array, known_names: Sequence[str], known: Array
) -> tuple[Delta, ...]:
    """Return how far north and east each point is of its nearest known point.

    Parameters
    ----------
    names, places
        The points: names, and ``(m, 2)`` northing and easting, m.
    known_names, known
        The known points, ``(c, 2)``; one alone makes every difference count from it.

    Returns
    -------
    tuple of Delta
        In the order of the points.
    """
    if not len(known):
        return ()
    far = np.hypot(known[:, 0] - places[:, None, 0], known[:, 1] - places[:, None, 1])
    nearest = far.argmin(axis=1)
    off = places - known[nearest]
    return tuple(
        Delta(name=name, control=known_names[at], north=float(n), east=float(e))
        for name, at, (n, e) in zip(names, nearest, off, strict=True)
    )


def tie_notices(found: Sequence[Tie], without: Sequence[str], reach: float) -> tuple[Notice, ...]:
    """Return the notices about ties: flat or sharp swings, and points out of reach.

    Parameters
    ----------
    found, without
        As `ties` gives them.
    reach
        The tape's length, m.

    Returns
    -------
    tuple of Notice
        One ``swing`` for the points whose tapes meet under 30 or over 150 degrees, the worst
        first, and one ``no-tie``.
    """
    told = []
    flat = sorted(
        (tie for tie in found if not FLAT_SWING <= tie.swing <= math.pi - FLAT_SWING),
        key=lambda tie: math.sin(tie.swing),
    )
    if flat:
        told.append(
            notice(
                "swing",
                "the tapes to {names} meet at a flat or a sharp angle, {name}'s at {swing}: a "
                "small error moves such a point far, so tape it from the corners beside it too",
                names=_few([tie.name for tie in flat]),
                name=flat[0].name,
                swing=Angle(flat[0].swing),
            )
        )
    if without:
        told.append(
            notice(
                "no-tie",
                "no two known points lie within {reach} of {names}, in sight and to different "
                "sides: tape them from the corners beside them, or set them by instrument",
                Severity.NOTE,
                reach=Length(reach),
                names=_few(without),
            )
        )
    return tuple(told)


def hidden_notices(hidden: Sequence[str], setup: str) -> tuple[Notice, ...]:
    """Return the notices about stakes that the instrument does not see.

    Parameters
    ----------
    hidden
        Their names.
    setup
        Where the instrument stands.

    Returns
    -------
    tuple of Notice
        One ``hidden``, or none.
    """
    if not hidden:
        return ()
    return (
        notice(
            "hidden",
            "what stands there hides {names} from {setup}: set up on another point for them",
            names=_few(hidden),
            setup=setup,
        ),
    )


def _few(names: Sequence[str], most: int = 6) -> str:
    more = f" and {len(names) - most} more" if len(names) > most else ""
    return f"{', '.join(names[:most])}{more}"
