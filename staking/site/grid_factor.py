"""Grid against ground: what the combined factor comes to over a building and to the control."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from staking.errors import ComputationError
from staking.notices import Angle, Length, Notice, Severity, Value, notice
from staking.units import FOOT

MEAN_RADIUS = 20_906_000 * FOOT
"""The earth's mean radius, m, as in survey reductions to sea level.

J. Mahun, Open Access surveying text, Horizontal Coordinate Systems, ch. K. The radius at a
latitude differs by at most half of 1 %, which at 2,000 m moves the factor by under 2 in a million.
"""


@dataclass(frozen=True, slots=True, kw_only=True)
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
    0.9997475
    """
    if not math.isfinite(elevation) or radius + elevation <= 0:
        raise ComputationError(f"{elevation} m is no elevation")
    return radius / (radius + elevation)


def grid_versus_ground(
    building: GridFigures,
    size: float,
    control: Sequence[tuple[str, GridFigures, float]] = (),
) -> tuple[Notice, ...]:
    """Say what grid and ground differ by over the building and to the control.

    Parameters
    ----------
    building
        The figures at the building.
    size
        The building's greatest length, m on the ground.
    control
        Of each control point its name, the figures there and its distance from the building, m
        on the grid.

    Returns
    -------
    tuple of Notice
        Notes: the figures with the building's difference, then one for each control point.

    Raises
    ------
    ComputationError
        When a combined factor is not above 0.

    Notes
    -----
    The building keeps its size, so the first difference is what its grid coordinates are off
    over its length. To a control point the mean of the factors at both ends is used.

    References
    ----------
    J. Mahun, Open Access surveying text, Horizontal Coordinate Systems, ch. K.
    """
    for figures in (building, *(figures for _, figures, _ in control)):
        if not figures.combined > 0:
            raise ComputationError(f"{figures.combined} is no combined factor")
    known = building.elevation is not None
    told = [
        _note(
            "scale {scale} times sea-level factor {sea_level} is the combined factor {combined}: "
            + f"the building's {{size}} {_side(building.combined)} by {{difference}} "
            "on the grid ({per_million} parts in a million)"
            + ("" if known else "; no elevation is known, so sea level is taken"),
            scale=f"{building.scale:.8f}",
            sea_level=f"{building.sea_level_factor:.8f}",
            combined=f"{building.combined:.8f}",
            size=Length(size),
            difference=Length(abs(size * (building.combined - 1))),
            per_million=f"{abs(building.combined - 1) * 1e6:.1f}",
        ),
        _note(
            "grid north lies {angle} {side} of true north at the building",
            angle=Angle(abs(building.convergence)),
            side="east" if building.convergence >= 0 else "west",
        ),
    ]
    for name, figures, distance in control:
        factor = (building.combined + figures.combined) / 2
        ground = distance / factor
        told.append(
            _note(
                "from {point} to the building {grid} on the grid is {ground} on the ground, "
                f"{{difference}} {'more' if ground >= distance else 'less'}",
                point=name,
                grid=Length(distance),
                ground=Length(ground),
                difference=Length(abs(ground - distance)),
            )
        )
    return tuple(told)


def _side(factor: float) -> str:
    return "is longer" if factor > 1 else "is shorter"


def _note(text: str, **values: Value) -> Notice:
    return notice("grid-ground", text, Severity.NOTE, **values)
