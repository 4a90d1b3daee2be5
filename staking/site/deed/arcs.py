"""Curved boundary lines as chains of points: near enough to the arc for any measure."""

from __future__ import annotations

import math

import numpy as np

from staking.deed import CurvesTo
from staking.lines import Array
from staking.site.deed.curves import Curve
from staking.units import INCH

FLAT = INCH / 32
"""A chord leaves its arc by no more than this, m."""

_MOST = 2_000


def arc_between(start: Array, end: Array, to: CurvesTo, angle: float) -> tuple[Curve, Array]:
    """Draw an arc of a given angle from one place to another.

    Parameters
    ----------
    start, end
        North and east, m, not the same place.
    to
        To which hand it turns.
    angle
        At its centre, rad.

    Returns
    -------
    Curve
        With the radius that the two ends leave.
    Array
        ``(n, 2)`` points between the two, north and east, the ends left out.
    """
    north, east = (end - start).tolist()
    chord = math.hypot(north, east)
    curve = Curve(to=to, radius=chord / (2 * math.sin(angle / 2)), angle=angle)
    azimuth = math.atan2(east, north)
    hand = 1.0 if to is CurvesTo.RIGHT else -1.0
    step = 2 * math.acos(max(0.0, 1 - FLAT / curve.radius))
    pieces = min(_MOST, max(2, math.ceil(angle / step)))
    turned = np.linspace(0.0, angle, pieces + 1)[1:-1]
    # A chord from the beginning turns off the tangent there by half the angle under it.
    azimuths = azimuth + hand * (turned - angle) / 2
    lengths = 2 * curve.radius * np.sin(turned / 2)
    places: Array = start + np.column_stack((
        lengths * np.cos(azimuths),
        lengths * np.sin(azimuths),
    ))
    return curve, places
