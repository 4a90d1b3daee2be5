"""Surveyed corners adjusted with the tapes between them, and what else was shot beside them."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from staking.adjust.point_places import PointShot
from staking.adjust.stakes_check import StakesRequest
from staking.adjust.surveyed_stakes import StakedShape, adjust_stakes, displacement
from staking.adjust.targets import canonical_point
from staking.checked.stakes_on_plan import StakesRead
from staking.errors import InputError, Problem
from staking.network.fitted import Measurement


def frame_shots(
    read: StakesRead, asked: StakesRequest, shape: StakedShape
) -> tuple[PointShot, ...]:
    """Bring surveyed pads and ends of interior lines into the frame of the adjusted corners.

    Parameters
    ----------
    read
        The stakes.
    asked
        The plan's points.
    shape
        The adjusted corners.

    Returns
    -------
    tuple of PointShot
        By the names that points have in checks.
    """
    onto = shape.sifted.solution.coordinates
    moved = displacement(shape.places, onto)
    c, s = math.cos(moved.turn), math.sin(moved.turn)
    middle = shape.places.mean(axis=0)
    found = []
    for spot in read.others:
        point = spot.point
        name = canonical_point(point.name, asked.targets) if point.kind.is_inside else None
        if name is None:
            continue
        away = np.array([spot.x, spot.y]) - middle
        x, y = away @ np.array([[c, s], [-s, c]]) + onto.mean(axis=0)
        found.append(PointShot(name=name, x=float(x), y=float(y), error=read.error))
    return tuple(found)


def stakes_shape(
    read: StakesRead,
    asked: StakesRequest,
    tapes: Sequence[Measurement],
    between: Sequence[Measurement],
) -> StakedShape:
    """Adjust the surveyed corners, with the tapes between them.

    Parameters
    ----------
    read
        The stakes.
    asked
        The plan's corners.
    tapes
        The taped distances, those to points included.
    between
        The ones from corner to corner.

    Returns
    -------
    StakedShape
        The corners that were shot or taped.

    Raises
    ------
    InputError
        When fewer than two corners are there: they have no shape.
    """
    shot = {each.name for each in read.shots}
    taped = {name for each in tapes for name in (each.from_name, each.to_name)}
    names = tuple(name for name in asked.corners if name in shot or name in taped)
    if len(shot) < 2:
        seen = f"only {', '.join(shot)} is" if shot else "no corner is"
        raise InputError(
            Problem(
                message=f"{seen} among the stakes, and a shape needs two at least",
                remedy="shoot every corner, or both outside-face nails of each string",
            )
        )
    return adjust_stakes(names, asked.plan_of(names), read.shots, between)
