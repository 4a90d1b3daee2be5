"""Surveys of what was set out or built: how well they are known, and whether they fit the plan."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from staking.adjust.surveyed_stakes import displacement
from staking.errors import ComputationError, InputError, Problem
from staking.laid_out.layout_value import Layout
from staking.network.geometry import Floats
from staking.network.tape_error import standard_error
from staking.notices import Length, Notice, Severity, notice
from staking.plan import Options
from staking.points import SurveyPoints
from staking.units import FOOT

NAVIGATION = 3.0
"""Standard error of a place from a track or map file, m (common practice, no source)."""


UNIT_SLIP = 0.01
"""A size this near to a foot in metres, or its inverse, is a mistaken unit (common practice, no
source)."""


def coordinate_error(
    options: Options, surveys: Sequence[SurveyPoints], error: float | None
) -> tuple[float, list[Notice]]:
    """Give the standard error of a surveyed coordinate.

    Parameters
    ----------
    options
        The job's options: its tape.
    surveys
        The surveys.
    error
        What the user says, m; None for as good as the job's tape.

    Returns
    -------
    tuple
        The standard error, m, and what was assumed.

    Notes
    -----
    With ``sigma / sqrt(2)`` in each coordinate a distance between two stakes has the standard
    error sigma of one reading of the tape at a third of its length (derived).
    """
    if error is not None:
        return error, []
    if any(survey.format in {"GPX", "KML"} for survey in surveys):
        found = NAVIGATION
        text = "places from a track or a map file count as known to {error}, no better"
        severity = Severity.WARNING
    else:
        found = standard_error(options.tape, options.tape.length / 3) / math.sqrt(2)
        text = (
            "each coordinate counts as known to {error}, so that a distance between two stakes is "
            "as good as one reading of the job's tape; give the instrument's with --stake-error"
        )
        severity = Severity.NOTE
    return found, [notice("stake-error", text, severity, error=Length(found))]


def refuse_wrong_size(raw: Floats, plan: Floats) -> None:
    """Refuse points whose spread is to the plan's as a foot is to a metre.

    Parameters
    ----------
    raw, plan
        As surveyed and as planned, m, shape ``(n, 2)``.

    Raises
    ------
    InputError
        When it is.
    """
    here, there = raw - raw.mean(axis=0), plan - plan.mean(axis=0)
    spread = math.sqrt(float((there * there).sum()))
    if spread < FOOT:
        return
    ratio = math.sqrt(float((here * here).sum())) / spread
    if min(abs(ratio * FOOT - 1), abs(ratio / FOOT - 1)) < UNIT_SLIP:
        raise InputError(
            Problem(
                message=f"the stakes stand {ratio:.4f} times as far apart as on the plan, which is "
                "the ratio of feet and metres",
                remedy="say what the file is in with --unit",
            )
        )


def refuse_mirrored(raw: Floats, plan: Floats) -> None:
    """Refuse points that fit the plan's mirror image far better than the plan.

    Parameters
    ----------
    raw, plan
        As surveyed and as planned, m, shape ``(n, 2)``.

    Raises
    ------
    ComputationError
        When they do.
    """

    def worst(points: Floats) -> float:
        moved = displacement(points, plan)
        c, s = math.cos(moved.turn), math.sin(moved.turn)
        turned = (points - points.mean(axis=0)) @ np.array([[c, s], [-s, c]])
        return float(np.abs(turned + plan.mean(axis=0) - plan).max())

    straight, mirrored = worst(raw), worst(raw * (-1.0, 1.0))
    if straight > FOOT and mirrored < straight / 4:
        raise ComputationError(
            "the stakes fit the plan's mirror image: northing and easting are swapped, or the "
            "corners are named the other way round; give --columns"
        )


def lot_points(
    layout: Layout, surveys: Sequence[SurveyPoints], names: Sequence[str], doubt: float
) -> tuple[tuple[str, ...], tuple[Notice, ...]]:
    """Take points of the lot's own survey out of names, and say how they were found again.

    Parameters
    ----------
    layout
        The layout with its lot.
    surveys
        What was surveyed now.
    names
        Names that the building does not have.
    doubt
        How far off a point of the lot may be found, m.

    Returns
    -------
    tuple
        The names that are left; a warning where a point of the lot is found elsewhere, which
        tells of a wrong set-up.
    """
    site = layout.site
    if site is None:
        return tuple(names), ()
    wanted = set(names)
    known = {
        str(name): (float(survey.northing[i]), float(survey.easting[i]))
        for survey in site.files
        for i, name in enumerate(survey.names)
        if str(name) in wanted
    }
    found = {
        str(name): math.dist(
            known[str(name)], (float(survey.northing[i]), float(survey.easting[i]))
        )
        for survey in surveys
        for i, name in enumerate(survey.names)
        if str(name) in known
    }
    if not found:
        return tuple(names), ()
    worst = max(found, key=lambda name: found[name])
    far = found[worst] > doubt
    text = (
        "points of the lot's survey that are in the file as well: {count}; farthest from its "
        "place there is {point}, by {far}"
    )
    if far:
        text += ": check the set-up, and which grid the file is in"
    said = notice(
        "lot-points",
        text,
        Severity.WARNING if far else Severity.NOTE,
        count=len(found),
        point=worst,
        far=Length(found[worst]),
    )
    return tuple(name for name in names if name not in found), (said,)
