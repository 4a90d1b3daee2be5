"""How high fill inside stands against a wall above the grade outside it."""

from __future__ import annotations

import numpy as np

from staking.frozen import frozen
from staking.grade.stepped_footing import WallProfile
from staking.grade.stepping.cells import SiteGround, cell_patches, outside_part
from staking.grade.stepping.wall_network import Strand
from staking.kinds import FootingKind


@frozen
class HeldOutward:
    """Fill that a wall holds outward.

    Parameters
    ----------
    wall
        The wall.
    station
        Where it stands highest, m from the wall's first corner.
    height
        From the grade outside up to the slab's underside, m; over 0.
    """

    wall: str
    station: float
    height: float


def held_outward(
    profile: WallProfile, strand: Strand, site: SiteGround, filled: float | None
) -> HeldOutward | None:
    """Find where fill inside presses a wall out, because the grade outside is lower.

    Parameters
    ----------
    profile, strand
        A wall; interior lines hold nothing outward.
    site
        The ground.
    filled
        How high the inside is filled, to the slab's underside, m; None without a slab.

    Returns
    -------
    HeldOutward or None
        The highest; None where the grade outside is nowhere lower.
    """
    if filled is None or strand.kind is not FootingKind.WALL:
        return None
    edges = np.array(profile.bounds.edges)
    patches = [outside_part(strand, patch) for patch in cell_patches(strand, edges)]
    outside = site.finished_lowest(patches)
    low = int(outside.argmin())
    height = filled - float(outside[low])
    if height <= 0:
        return None
    return HeldOutward(wall=profile.wall, station=float(edges[low]), height=height)
