"""Grid against ground: what the combined factor comes to over a building and to the control."""

from __future__ import annotations

import math

from staking.errors import ComputationError, InputError, Problem
from staking.frozen import frozen
from staking.notices import Angle, Length, Notice, Severity, Value, notice
from staking.units import INCH

MEAN_RADIUS = 6_371_000.0
"""The earth's mean radius, m, for reducing lengths to sea level.

H. Moritz, "Geodetic Reference System 1980", Journal of Geodesy 74, 2000, p. 131: mean radius
6,371,008.7714 m, here to the kilometre. The radius at a latitude differs by at most half of 1 %,
which at 2,000 m moves the factor by under 2 in a million.
"""

FAR_OFF = INCH / 16
"""A known point is said to be too far where its distance on the plane is out by more, m (common
practice, no source)."""

SAME_FACTOR = 5e-5
"""Combined factors as near as this may be one: 1,000 ft of height, or a mean over a project (common
practice, no source)."""

MOST_FROM_ONE = 0.005
"""No projection made for land is farther than this from true scale on the ground (common practice,
no source)."""


@frozen
class GridFigures:
    """How the grid differs from the ground at one place.

    Parameters
    ----------
    scale
        Grid length for one unit of length on the ellipsoid.
    sea_level_factor
        Length on the ellipsoid for one on the ground; 1 where no elevation is known.
    combined
        Grid length for one unit of length on the ground: the product of both.
    convergence
        From true north to grid north, rad, positive clockwise: east of the central meridian, in
        the northern hemisphere. A true azimuth less the convergence is the grid azimuth.
    elevation
        What was used, m, or None.
    """

    scale: float
    sea_level_factor: float
    combined: float
    convergence: float
    elevation: float | None = None


def sea_level_factor(elevation: float, radius: float = MEAN_RADIUS) -> float:
    """Give the length at sea level for one unit of length on the ground.

    Parameters
    ----------
    elevation
        Of the ground above the ellipsoid, m. An elevation above sea level serves: where sea level
        lies 30 m off the ellipsoid the factor is off by 5 in a million.
    radius
        Of the earth, m.

    Returns
    -------
    float
        ``radius / (radius + elevation)``.

    Raises
    ------
    ComputationError
        When the elevation is not a number or lies at the earth's centre.

    Examples
    --------
    >>> round(sea_level_factor(5280 * 0.3048), 8)
    0.99974746
    """
    if not math.isfinite(elevation) or radius + elevation <= 0:
        raise ComputationError(f"{elevation} m is not an elevation")
    return radius / (radius + elevation)


def refuse_map_tiles(code: str) -> None:
    """Refuse the grid of web map tiles.

    Parameters
    ----------
    code
        Its code.

    Raises
    ------
    InputError
        Always.
    """
    raise InputError(
        Problem(
            message=f"{code} is the grid of web map tiles, on which lengths are too long by a part "
            "that grows with the latitude: 1.35 times at 42 degrees",
            remedy="ask for the survey in its state plane or UTM system, or convert it with "
            "`staking survey FILE --to-crs EPSG:… --to NEW`",
            field="site crs",
        )
    )


def scaled_otherwise(given: float, computed: float) -> tuple[Notice, ...]:
    """Compare the combined factor that the job gives with the one of its system and height.

    Parameters
    ----------
    given
        The job's `combined_factor`.
    computed
        That of the coordinate system at the lot and its height.

    Returns
    -------
    tuple of Notice
        One ``combined-factor`` where they are more than `SAME_FACTOR` apart, or none.
    """
    if abs(given - computed) <= SAME_FACTOR:
        return ()
    text = "the job's combined_factor is {given}, and at the lot the system's is {computed}"
    if abs(1 / given - computed) <= SAME_FACTOR:
        text += ": this is its inverse, so write {inverse}"
    else:
        text += ": look at the surveyor's notes, and at the height"
    return (
        notice(
            "combined-factor",
            text,
            given=f"{given:.8f}",
            computed=f"{computed:.8f}",
            inverse=f"{1 / given:.8f}",
        ),
    )


def refuse_factor(combined: float, code: str, *, in_area: bool) -> None:
    """Refuse a grid whose lengths are far from those on the ground.

    Parameters
    ----------
    combined
        The combined factor at the lot.
    code
        The grid's code.
    in_area
        Whether the lot lies where that grid is used.

    Raises
    ------
    InputError
        When the factor is more than `MOST_FROM_ONE` from 1.
    """
    if abs(combined - 1.0) <= MOST_FROM_ONE:
        return
    if not in_area:
        raise InputError(
            Problem(
                message=f"the lot does not lie where {code} is used: there a length on the grid is "
                f"{combined:.4f} times the length on the ground",
                remedy="look for a wrong unit, swapped columns or another system",
                field="site crs",
            )
        )
    raise InputError(
        Problem(
            message=f"at the lot a length in {code} is {combined:.4f} times the length on the "
            "ground, and no system for surveying land is half a percent off",
            remedy="give the state plane or UTM system of the lot; where that is what the file "
            "is in, look for a wrong unit, swapped columns or a wrong height",
            field="site crs",
        )
    )


def ground_notices(figures: GridFigures, size: float, height: str) -> tuple[Notice, ...]:
    """Say what the lot's combined factor is made of and what it comes to over the building.

    Parameters
    ----------
    figures
        The figures of the lot.
    size
        The building's greatest length, m on the ground.
    height
        The height used and where it is from, in words; empty where none is known.

    Returns
    -------
    tuple of Notice
        Two notes: the factor, and where grid north lies.

    Notes
    -----
    The building keeps its size on the ground, so that between the coordinates of its corners
    every length is the combined factor times its own.

    References
    ----------
    J. Mahun, Open Access surveying text, Horizontal Coordinate Systems, ch. K.
    """
    known = (
        "elevation factor {sea_level} for {height}"
        if height
        else "elevation factor 1, since no height is known,"
    )
    side = "farther apart" if figures.combined > 1 else "nearer together"
    return (
        _note(
            "every length is on the ground, and grid coordinates stand {combined} times as far "
            f"apart (scale {{scale}} times {known}): over the building's {{size}} that is "
            f"{{difference}} {side}",
            scale=f"{figures.scale:.8f}",
            combined=f"{figures.combined:.8f}",
            size=Length(size),
            difference=Length(abs(size * (figures.combined - 1))),
            **(
                {"sea_level": f"{figures.sea_level_factor:.8f}", "height": height} if height else {}
            ),
        ),
        _note(
            "grid north lies {angle} {side} of true north; bearings are the grid's",
            angle=Angle(abs(figures.convergence)),
            side="east" if figures.convergence >= 0 else "west",
        ),
    )


def far_control(name: str, away: float, there: GridFigures, factor: float) -> tuple[Notice, ...]:
    """Say so where a known point is so far off that the lot's factor is no longer true for it.

    Parameters
    ----------
    name
        The point.
    away
        How far it is from the building on the lot's plane, m.
    there
        The grid against the ground at the point.
    factor
        The lot's combined factor.

    Returns
    -------
    tuple of Notice
        One ``far-control`` where the distance is out by more than `FAR_OFF`, or none.

    Notes
    -----
    Over a line the mean of the factors at both ends holds, so that the plane makes it longer or
    shorter by half their difference.
    """
    off = away * abs(there.combined - factor) / 2
    if off <= FAR_OFF:
        return ()
    return (
        notice(
            "far-control",
            "the lot's plane is true near the building: {point}, {away} away, is out by {off} on "
            "it, so set out from nearer points",
            point=name,
            away=Length(away),
            off=Length(off),
        ),
    )


def _note(text: str, **values: Value) -> Notice:
    return notice("grid-ground", text, Severity.NOTE, **values)
