"""What a job says of its lot, held against it: crossed shapes, setbacks left out or too deep."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np

from staking.errors import InputError, Problem
from staking.lines import Array, crossed_pair
from staking.notices import Length, Notice, notice
from staking.site.site_request import SiteAsked
from staking.tolerances import ON_LINE


def refuse_crossed_shapes(shapes: Mapping[str, tuple[Sequence[str], Array]]) -> None:
    """Refuse shapes to keep clear of that cross themselves.

    Parameters
    ----------
    shapes
        By name: the survey points they run through, and where these are, ``(n, 2)``, m.

    Raises
    ------
    InputError
        With every such shape, its two sides that meet, and an order of its points round it.
    """
    problems = []
    for name, (points, places) in shapes.items():
        local = places - places.mean(axis=0)
        crossed = crossed_pair(local)
        if crossed is None:
            continue
        sides = list(zip(points, [*points[1:], points[0]], strict=True))
        one, other = ("-".join(sides[i]) for i in crossed)
        problems.append(
            Problem(
                message=f"{name} crosses itself: {one} and {other} meet",
                remedy=f"name its points in order round it{_round_it(points, local)}",
                field="site stay_clear",
            )
        )
    if problems:
        raise InputError(*problems)


def _round_it(points: Sequence[str], local: Array) -> str:
    """Give an order of the points that runs round them, the first kept first."""
    angles = [math.atan2(north, east) for north, east in local.tolist()]
    order = sorted(range(len(points)), key=lambda i: angles[i])
    first = order.index(0)
    turned = [*order[first:], *order[:first]]
    if crossed_pair(local[turned]) is not None:
        return ""
    return f", such as {', '.join(points[i] for i in turned)}"


def setback_notices(names: Sequence[str], places: Array, asked: SiteAsked) -> tuple[Notice, ...]:
    """Say which boundary lines have no setback while others have, and which setback fills the lot.

    Parameters
    ----------
    names, places
        The boundary's points in order, and where they are, ``(n, 2)``, m.
    asked
        The setbacks.

    Returns
    -------
    tuple of Notice
        ``setbacks-left-out`` and ``setback-fills-the-lot``.
    """
    if not names:
        return ()
    given = {frozenset((each.start, each.end)): each.distance for each in asked.setbacks}
    lines = list(zip(names, [*names[1:], names[0]], strict=True))
    said = []
    without = ["-".join(line) for line in lines if frozenset(line) not in given]
    if given and asked.other_setback is None and without:
        with_one = ["-".join(line) for line in lines if frozenset(line) in given]
        said.append(
            notice(
                "setbacks-left-out",
                "a setback is given for {given} and none for {without}, so nothing is judged "
                "there: give theirs, or other: for all that are not named",
                given=", ".join(with_one),
                without=", ".join(without),
            )
        )
    local = places - places.mean(axis=0)
    ends = np.roll(local, -1, axis=0)
    for line, start, end in zip(lines, local, ends, strict=True):
        setback = given.get(frozenset(line), asked.other_setback)
        along = (end - start) / np.hypot(*(end - start))
        off = local - start
        reach = float(np.abs(along[0] * off[:, 1] - along[1] * off[:, 0]).max())
        if setback is not None and setback > reach + ON_LINE:
            said.append(
                notice(
                    "setback-fills-the-lot",
                    "the setback of {setback} from {line} is deeper than the whole lot, which "
                    "reaches {reach} from there: check its figure and unit",
                    setback=Length(setback),
                    line="-".join(line),
                    reach=Length(reach),
                )
            )
    return tuple(said)
