"""How a layout is staked out from known points, and what its stakes are called in files."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np

from staking.errors import InputError, Problem
from staking.frozen import frozen
from staking.laid_out.layout_value import Layout
from staking.layout.named_points import NamedPoint, named_points
from staking.notices import Length, Notice, notice
from staking.site.building_on_lot import coordinates
from staking.site.pairs import seen
from staking.site.stake_names import points_by_any_name, points_in_files, refuse_taken_names
from staking.site.stakeout import (
    Delta,
    SetUpShot,
    Tie,
    deltas,
    hidden_notices,
    shots,
    tie_notices,
    ties,
)

_FEWEST_KNOWN = 2
"""Known points that two tapes need."""


def stakes_in_files(layout: Layout) -> dict[str, NamedPoint]:
    """Give what each stake, nail and centre is called in files and on instruments.

    Parameters
    ----------
    layout
        The layout.

    Returns
    -------
    dict
        By the plan's own name, in the order of the points file.
    """
    points = named_points(layout.plan, layout.hubs, layout.boards)
    asked = None if layout.site is None else layout.site.asked
    renamed = points_in_files(points, asked)
    return {each.name: other for each, other in zip(points, renamed, strict=True)}


def known_stakes(layout: Layout, points: Sequence[NamedPoint]) -> dict[str, NamedPoint]:
    """Give a layout's points by every name that a surveyed stake may have.

    Parameters
    ----------
    layout
        The layout.
    points
        All its points, as `named_points` gives them.

    Returns
    -------
    dict
        With and without the prefix of the job, and by their numbers.
    """
    site = layout.site
    if site is None:
        return points_by_any_name(points, None)
    return points_by_any_name(points, site.asked, [each.names for each in site.files])


def refuse_names_of_the_survey(layout: Layout) -> None:
    """Refuse a layout some of whose stakes are called as points of its survey.

    Parameters
    ----------
    layout
        The layout.

    Notes
    -----
    `staking.errors.InputError` names them, unless `place: fit` ties each to its point.
    """
    if layout.site is not None:
        refuse_taken_names(
            named_points(layout.plan, layout.hubs, layout.boards),
            layout.site.asked,
            [each.names for each in layout.site.files],
        )


@frozen
class StakeOut:
    """How to stake a layout out.

    Tapes and the instrument's distances are on the ground, m; coordinates and their differences
    are the survey's own, m.

    Parameters
    ----------
    points
        What is staked, in order, under the plan's own names.
    in_files
        What each is called in files and on instruments, by the plan's own name.
    places
        Northing and easting of each, m.
    ties, without
        Two tapes to each, and the names of those that no two known points reach.
    setup, backsight
        Names of the instrument's points; None without an instrument.
    shots
        Angle right and distance of each; empty without an instrument.
    deltas
        How far each is from the set-up, or from its nearest known point.
    notices
        The notices about all this.
    """

    points: tuple[NamedPoint, ...]
    in_files: Mapping[str, NamedPoint]
    places: tuple[tuple[float, float], ...]
    ties: tuple[Tie, ...]
    without: tuple[str, ...]
    setup: str | None
    backsight: str | None
    shots: tuple[SetUpShot, ...]
    deltas: tuple[Delta, ...]
    notices: tuple[Notice, ...]


def stake_out(layout: Layout, setup: str | None = None, backsight: str | None = None) -> StakeOut:
    """Work out ties, angles and deltas to every corner, pad, hub and board mark.

    Parameters
    ----------
    layout
        A layout whose job names its survey and places the building; `setup` and `backsight` must
        have been among the known points it was made with.
    setup, backsight
        Names of the instrument's point and of the one it is set to nothing on.

    Returns
    -------
    StakeOut
        Everything, in the order of the layout's points.

    Raises
    ------
    InputError
        When the building is not placed, or the two points are one place.
    """
    site = layout.site
    if site is None or site.placement is None:
        raise InputError(
            Problem(
                message="staking out needs the building on a survey, and the job does not place it",
                remedy="add survey: and place: under site:",
            )
        )
    points = named_points(layout.plan, layout.hubs, layout.boards, board_ends=False)
    stakes = np.array([(each.x, each.y) for each in points])
    places = site.placement.to_site(stakes)
    names = [each.name for each in points]
    known, reach = site.control, layout.options.tape.length
    own = site.plane.back(places)
    sight = seen(layout.plan, site.placement, stakes, coordinates(known))
    tied, without = ties(
        names,
        places,
        [each.name for each in known],
        coordinates(known),
        reach,
        sight,
    )
    told = list(tie_notices(tied, without, reach))
    shot: tuple[SetUpShot, ...] = ()
    if setup is not None and backsight is not None:
        by_name = {each.name: (each.northing, each.easting) for each in known}
        here, back = by_name[setup], by_name[backsight]
        if math.dist(here, back) < 1.0:
            # A foot or two turns a whole layout by what the pole leans.
            told.append(_short_backsight(setup, backsight, here, back))
        shot = shots(names, places, here, back)
        at = [each.name for each in known].index(setup)
        hidden = [name for name, seen in zip(names, sight[:, at], strict=True) if not seen]
        told += hidden_notices(hidden, setup)
        known = tuple(each for each in known if each.name == setup)
    return StakeOut(
        points=points,
        in_files=stakes_in_files(layout),
        places=tuple((float(n), float(e)) for n, e in own),
        ties=tied,
        without=without,
        setup=setup,
        backsight=backsight,
        shots=shot,
        deltas=deltas(
            names, own, [each.name for each in known], site.plane.back(coordinates(known))
        ),
        notices=tuple(told),
    )


def _short_backsight(
    setup: str, backsight: str, here: tuple[float, float], back: tuple[float, float]
) -> Notice:
    far = math.dist(here, back)
    if far < 0.01:
        raise InputError(
            Problem(
                message=f"set-up {setup} and backsight {backsight} are in the same place",
                remedy="choose a backsight farther off",
            )
        )
    return notice(
        "short-backsight",
        "backsight {backsight} is only {far} from {setup}: choose one farther off than any stake",
        backsight=backsight,
        far=Length(far),
        setup=setup,
    )


def stake_out_where_known(layout: Layout) -> StakeOut | None:
    """Work out the tapes to every stake of a building that is placed among known points.

    Parameters
    ----------
    layout
        The layout.

    Returns
    -------
    StakeOut or None
        None where the building is not placed, or too few points are known for two tapes.
    """
    if layout.site is None or not layout.placed or len(layout.site.control) < _FEWEST_KNOWN:
        return None
    return stake_out(layout)
