"""Footings side by side: no dig below a line falling 30 degrees from a neighbour's lower edge."""

from __future__ import annotations

import math
from collections.abc import Sequence

from staking.errors import ComputationError
from staking.footing.bands_and_outlines import Ring
from staking.frozen import frozen
from staking.notices import AtLeast, Length, Notice, Severity, notice
from staking.tolerances import ON_LINE

LINE = math.radians(30)
"""Fall of the line from a footing's lower edge, rad (IBC 1809.6, from memory; granular soil)."""


@frozen
class Beside:
    """A footing or a dig.

    Parameters
    ----------
    name, part
        `part` is shared by what is built together: bands of one stepped network.
    ring
        The ground it covers, m; two points stand for an edge of which no more is known.
    level
        The footing's bottom, or how deep the dig goes, elevation, m.
    stands
        Whether it is an old footing, which cannot be set lower or moved.
    """

    name: str
    part: str
    ring: Ring
    level: float
    stands: bool = False


@frozen
class Undercut:
    """A dig below the line from another footing.

    `distance` is how far apart they are, `needed` how far they should be, `deepest` the deepest
    the dig may go where it is; m.
    """

    dig: str
    footing: str
    distance: float
    needed: float
    deepest: float


def clear_distance(upper: float, lower: float, fall: float = LINE) -> float:
    """Give how far a deeper dig must keep from a footing.

    Parameters
    ----------
    upper, lower
        The footing's bottom and the dig's, elevations, m.
    fall
        Of the line, rad below the level.

    Returns
    -------
    float
        Horizontal distance, m; 0 where the dig is no deeper.
    """
    return max(upper - lower, 0.0) / math.tan(fall)


def undercuts(
    digs: Sequence[Beside], footings: Sequence[Beside], fall: float = LINE
) -> tuple[tuple[Undercut, ...], tuple[Notice, ...]]:
    """Find digs that go below the line from a footing not joined to them.

    Parameters
    ----------
    digs
        What is dug.
    footings
        Old footings, pads and other footings.
    fall
        Of the line, rad below the level; 30 degrees unless the job says otherwise.

    Returns
    -------
    tuple
        The undercuts, digs in order, and a ``underpinning`` notice for each, which weighs as
        broken.

    Raises
    ------
    ComputationError
        Where `fall` is not between level and upright.

    References
    ----------
    International Building Code, 1809.6 (from memory); written for granular soil.
    """
    from shapely.geometry import LineString, Polygon

    if not 0 < fall < math.pi / 2:
        raise ComputationError("the line from a footing must fall between 0 and 90 degrees")

    def shape(ring: Ring) -> LineString | Polygon:
        return Polygon(ring) if len(ring) > 2 else LineString(ring)

    found, told = [], []
    shapes = [shape(footing.ring) for footing in footings]
    for dig in digs:
        ground = shape(dig.ring)
        for footing, there in zip(footings, shapes, strict=True):
            if footing.part == dig.part or dig.level >= footing.level - ON_LINE:
                continue
            distance = float(ground.distance(there))
            needed = clear_distance(footing.level, dig.level, fall)
            if distance >= needed - ON_LINE:
                continue
            deepest = footing.level - distance * math.tan(fall)
            found.append(
                Undercut(
                    dig=dig.name,
                    footing=footing.name,
                    distance=distance,
                    needed=needed,
                    deepest=deepest,
                )
            )
            told.append(
                notice(
                    "underpinning",
                    "the dig of {dig} goes down to {level}, {distance} from {footing}: there it "
                    "may go down to {deepest}, or at its depth it has to stand {needed} away; "
                    "anything else is underpinning: ask an engineer"
                    if footing.stands
                    else "the dig of {dig} goes down to {level}, {distance} from the higher "
                    "footing of {footing}: there it may go down to {deepest}, or at its depth it "
                    "has to stand {needed} away; or set {footing} as deep; anything else is "
                    "underpinning: ask an engineer",
                    severity=Severity.BROKEN,
                    dig=dig.name,
                    footing=footing.name,
                    level=Length(dig.level),
                    distance=Length(distance),
                    needed=AtLeast(needed),
                    deepest=AtLeast(deepest),
                )
            )
    return tuple(found), tuple(told)
