"""The ground as it was surveyed round a building, as far as it is known there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from staking.grade.stepping.cells import Ground
from staking.grade.terrain.surface import GroundSurface
from staking.grade.terrain.surveyed_ground import Survey, SurveyedGround
from staking.plan import Point
from staking.units import FOOT

Floats = npt.NDArray[np.float64]

DENSE = 2_000
"""Round a building no more points are needed to see a slope; with more they are thinned."""

CELL = 6 * FOOT
"""Of dense points one in each square of this side is kept, m: the unevenness of a scan is no slope
(common practice, no source)."""


def surveyed_at(ground: Ground, places: Floats) -> Floats | None:
    """Give the ground at places off the walls.

    Parameters
    ----------
    ground
        The existing ground.
    places
        ``(k, 2)``, m.

    Returns
    -------
    ``(k,)`` array or None
        Elevations, m; not-a-number past the survey, whatever the job says of the ground there;
        None where the ground is known along the walls alone, by readings.
    """
    if isinstance(ground, GroundSurface):
        return ground.at(places)
    if not isinstance(ground, SurveyedGround):
        return None
    if isinstance(ground.wider, GroundSurface):
        return ground.wider.at(places)
    return replace(ground.wider, nearest=False).at(places)


def ground_around(ground: Ground, region: Sequence[Point], reach: float) -> GroundSurface | None:
    """Give the surface of the ground over the box round a building, grown.

    Parameters
    ----------
    ground
        The existing ground.
    region
        Points round the building, m.
    reach
        By how much the box is grown each way, m.

    Returns
    -------
    GroundSurface or None
        As `surveyed_at` knows it; of more than `DENSE` points there one in each square of `CELL`.
    """
    if isinstance(ground, GroundSurface):
        return ground
    if not isinstance(ground, SurveyedGround):
        return None
    if isinstance(ground.wider, GroundSurface):
        return ground.wider
    points = np.array(region)
    low, high = points.min(axis=0) - reach, points.max(axis=0) + reach
    box = np.array([low, (high[0], low[1]), high, (low[0], high[1])])
    survey = _thinned(ground.wider, low, high)
    return replace(survey, nearest=False).over(box, partly=True)


def _thinned(survey: Survey, low: Floats, high: Floats) -> Survey:
    within = ((survey.points >= low) & (survey.points <= high)).all(axis=1)
    if np.count_nonzero(within) <= DENSE:
        return survey
    places = survey.points[within]
    cells = np.floor((places - low) / CELL)
    off = np.hypot(*(places - low - (cells + 0.5) * CELL).T)
    order = np.lexsort((off, cells[:, 1], cells[:, 0]))
    first = np.ones(len(order), dtype=bool)
    first[1:] = (np.diff(cells[order], axis=0) != 0).any(axis=1)
    kept = np.flatnonzero(within)[order[first]]
    return replace(survey, points=survey.points[kept], elevations=survey.elevations[kept])
