"""What a poured footing may be out by: published tolerances, each with its source."""

from __future__ import annotations

import math

from staking.frozen import frozen
from staking.kinds import Casting, WallMaterial
from staking.units import FOOT, INCH

ACI_10 = (
    "ACI 117M-10, section 3, as reported by The Constructor, Tolerances for concrete foundations"
)
ACI_90 = "ACI 117-90, 3.3, as reported by Concrete Construction, Footing elevations"
ACI_MEMORY = "ACI 117, edition not looked up (from memory)"
FIELD = "Journal of Light Construction, Footings, field guide"
OURS = "how far out an edge may lie against earth is this tool's own reading, no standard's"
"""Said beside the limit of an edge that was cast against earth."""

LARGE = 8 * FOOT
"""From this size of a footing on, the location of its edge has the wider limit (ACI 117M-10)."""


@frozen
class PouredLimit:
    """What a figure may be under and over its planned value, m, both positive; and who says so.

    `more` is infinite where nothing limits it.
    """

    less: float
    more: float
    source: str

    def holds(self, off: float) -> bool:
        """Say whether a difference, measured less planned, m, is within it, to a micrometre."""
        return -self.less - 1e-6 <= off <= self.more + 1e-6

    def share(self, off: float) -> float:
        """Give a difference as a part of what is allowed on its side; 1 is just allowed."""
        allowed = self.more if off > 0 else self.less
        if math.isinf(allowed):
            return 0.0
        return abs(off) / allowed if allowed > 0 else math.inf


def edge_limit(width: float, carries: WallMaterial, cast: Casting) -> PouredLimit:
    """Give the limit of where an edge lies; more is away from the footing's middle.

    Parameters
    ----------
    width
        The footing's width, m.
    carries
        What stands on the footing.
    cast
        What it is poured against.

    Returns
    -------
    PouredLimit
        Masonry: the smaller of 1/2 in and 2 % of the width. Concrete: 2 in from 8 ft of width on,
        below it the greater of 1/2 in and 2 %.

    Notes
    -----
    Against earth a trench wall that gave way is no fault of location: there an edge may lie
    farther out by what the width may be more. No standard says so: `source` names it as ours.
    """
    if carries is WallMaterial.MASONRY:
        side = min(INCH / 2, 0.02 * width)
    elif width >= LARGE - 1e-6:
        side = 2 * INCH
    else:
        side = max(INCH / 2, 0.02 * width)
    if cast is not Casting.EARTH:
        return PouredLimit(less=side, more=side, source=ACI_10)
    more = max(side, width_limit(width, cast).more)
    return PouredLimit(less=side, more=more, source=f"{ACI_10}; {OURS}")


def width_limit(width: float, cast: Casting) -> PouredLimit:
    """Give the limit of a footing's width.

    Parameters
    ----------
    width
        As planned, m.
    cast
        What it is poured against.

    Returns
    -------
    PouredLimit
        1/2 in less; more 2 in in forms, and against earth 3 in up to 2 ft of width, 6 in up to
        6 ft, 12 in beyond.
    """
    more = 2 * INCH
    if cast is Casting.EARTH:
        more = (3 if width <= 2 * FOOT + 1e-6 else 6 if width <= 6 * FOOT + 1e-6 else 12) * INCH
    return PouredLimit(less=INCH / 2, more=more, source=ACI_MEMORY)


def top_limit(carries: WallMaterial) -> PouredLimit:
    """Give the limit of the elevation of a footing's top.

    Parameters
    ----------
    carries
        What stands on the footing.

    Returns
    -------
    PouredLimit
        1/2 in either way under masonry, else 1/2 in high and 2 in low.
    """
    low = INCH / 2 if carries is WallMaterial.MASONRY else 2 * INCH
    return PouredLimit(less=low, more=INCH / 2, source=ACI_90)


def thickness_limit(thickness: float) -> PouredLimit:
    """Give the limit of a footing's thickness: 5 % under it, and no limit over it."""
    return PouredLimit(less=0.05 * thickness, more=math.inf, source=ACI_MEMORY)


def level_limit(apart: float) -> PouredLimit:
    """Give the limit of the fall between two places on one level run.

    Parameters
    ----------
    apart
        How far apart they are, m.

    Returns
    -------
    PouredLimit
        1/4 in within 20 ft, beyond it pro rata.
    """
    most = INCH / 4 * max(1.0, apart / (20 * FOOT))
    return PouredLimit(less=most, more=most, source=FIELD)
