"""Staking out: two tapes from known points, or angle and distance from an instrument.

Names and arrays in, values out. Northing before easting; metres; azimuths rad clockwise from
the grid's north.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from staking.notices import Angle, Length, Notice, Severity, notice
from staking.planar import Array
from staking.tolerances import SAME_POINT

FLAT_SWING = math.radians(30)
"""Two tapes that meet at less than this, or within it of in line, fix a point poorly.

At 30 degrees the place is out by twice what it is at 90: errors grow by sqrt(2) / sin(swing).
Where to warn is common practice, no source.
"""

TURN = 2 * math.pi


@dataclass(frozen=True, slots=True, kw_only=True)
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
        ``left`` or ``right``, seen from the first known point facing the second.
    """

    name: str
    first: str
    second: str
    first_distance: float
    second_distance: float
    swing: float
    side: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Shot:
    """A point from a set-up: angle right from the backsight, azimuth, rad, distance, m."""

    name: str
    angle_right: float
    azimuth: float
    distance: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Delta:
    """A point from a known point: how far north and east, m; negative south and west."""

    name: str
    control: str
    north: float
    east: float


def two_tape_point(
    first: tuple[float, float], second: tuple[float, float], radii: tuple[float, float], side: str
) -> tuple[float, float] | None:
    """Return where two tapes meet.

    Parameters
    ----------
    first, second
        Northing and easting of the known points, m.
    radii
        What the tapes read, m.
    side
        ``left`` or ``right``, seen from the first facing the second.

    Returns
    -------
    tuple of float or None
        Northing and easting, m; None where the tapes do not reach each other, or one circle
        lies within the other, or the two known points are one.

    Notes
    -----
    Two circles: the foot of the point on the line between the centres is
    ``(r1^2 - r2^2 + d^2) / 2d`` from the first.
    """
    north, east = second[0] - first[0], second[1] - first[1]
    far = math.hypot(north, east)
    if far == 0:
        return None
    foot = (radii[0] ** 2 - radii[1] ** 2 + far**2) / (2 * far)
    square = radii[0] ** 2 - foot**2
    if square < 0:
        return None
    off = math.sqrt(square) * (1.0 if side == "right" else -1.0)
    return (
        first[0] + (foot * north - off * east) / far,
        first[1] + (foot * east + off * north) / far,
    )


def ties(
    names: Sequence[str],
    places: Array,
    known_names: Sequence[str],
    known: Array,
    reach: float,
) -> tuple[tuple[Tie, ...], tuple[str, ...]]:
    """Choose for each point the two known points from which two tapes fix it best.

    Parameters
    ----------
    names, places
        The points: names, and ``(m, 2)`` northing and easting, m.
    known_names, known
        The known points, ``(c, 2)``.
    reach
        The tape's length, m.

    Returns
    -------
    tuple of Tie
        The pair whose tapes meet nearest to 90 degrees, of equal ones the nearest by.
    tuple of str
        The points that no two known points reach with the tape.

    Notes
    -----
    The place is out by ``sqrt(2) / sin(swing)`` times the tape's error, so the greatest sine is
    wanted. Directions are taken as lines, without their sense, and sorted; the best partner of
    each is then the nearest to a right angle from it, found without trying every pair.
    """
    chosen: list[Tie] = []
    without: list[str] = []
    north = known[:, 0] - places[:, None, 0]
    east = known[:, 1] - places[:, None, 1]
    far = np.hypot(north, east)
    lines = np.arctan2(east, north) % math.pi
    usable = (far <= reach) & (far > SAME_POINT)
    for row, name in enumerate(names):
        there = np.flatnonzero(usable[row])
        pair = _best_pair(lines[row, there], far[row, there])
        if pair is None:
            without.append(name)
            continue
        i, j = sorted((int(there[pair[0]]), int(there[pair[1]])))
        sine = north[row, i] * east[row, j] - east[row, i] * north[row, j]
        cosine = north[row, i] * north[row, j] + east[row, i] * east[row, j]
        chosen.append(
            Tie(
                name=name,
                first=known_names[i],
                second=known_names[j],
                first_distance=float(far[row, i]),
                second_distance=float(far[row, j]),
                swing=math.atan2(abs(sine), cosine),
                # Seen from the point the known ones turn the other way than it does from them.
                side="right" if sine > 0 else "left",
            )
        )
    return tuple(chosen), tuple(without)


def _best_pair(lines: Array, far: Array) -> tuple[int, int] | None:
    if len(lines) < 2:
        return None
    order = np.lexsort((far, lines))
    ranked = lines[order]
    count = len(ranked)
    where = np.searchsorted(ranked, (ranked + math.pi / 2) % math.pi)
    partners = np.stack((where % count, (where - 1) % count))
    sines = np.abs(np.sin(ranked[partners] - ranked))
    best = sines.max()
    if best < 1e-6:
        return None
    alike = np.argwhere(sines > best - 1e-9)
    one, other = order[alike[:, 1]], order[partners[alike[:, 0], alike[:, 1]]]
    pick = (far[one] + far[other]).argmin()
    return int(one[pick]), int(other[pick])


def shots(
    names: Sequence[str], places: Array, setup: tuple[float, float], backsight: tuple[float, float]
) -> tuple[Shot, ...]:
    """Return the angle right and the distance of each point from an instrument.

    Parameters
    ----------
    names, places
        The points: names, and ``(m, 2)`` northing and easting, m.
    setup, backsight
        Northing and easting of the instrument and of the point it is set to nothing on, m.

    Returns
    -------
    tuple of Shot
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
        Shot(name=name, angle_right=float(a), azimuth=float(b), distance=float(c))
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
    """Return what is to be told of ties: flat or sharp swings, and points out of reach.

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
                "no two known points lie within {reach} of {names} and to different sides of it",
                Severity.NOTE,
                reach=Length(reach),
                names=_few(without),
            )
        )
    return tuple(told)


def _few(names: Sequence[str], most: int = 6) -> str:
    more = f" and {len(names) - most} more" if len(names) > most else ""
    return f"{', '.join(names[:most])}{more}"
