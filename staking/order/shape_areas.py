"""The ground that a level stretch of footing covers."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from staking.footing.bands_and_outlines import Ring
from staking.grade.stepping.cells import cell_patches
from staking.grade.stepping.wall_network import Strand
from staking.lines import convex_hull
from staking.tolerances import ON_LINE


def stretch_ring(strand: Strand, hull: Ring, start: float, end: float) -> Ring:
    """Cut a strip of ground to a stretch of its wall.

    Parameters
    ----------
    strand, hull
        The wall and the strip along it, m.
    start, end
        Stations, m; at the wall's own ends the strip runs on to its corners.

    Returns
    -------
    tuple of tuple
        The piece's corners; empty where the stretch has no length.
    """
    low = 0.0 if start <= ON_LINE else start
    high = strand.length if end >= strand.length - ON_LINE else end
    if high - low <= ON_LINE:
        return ()
    edges = np.array(sorted({0.0, low, high, strand.length}))
    patches = cell_patches(replace(strand, hull=hull), edges)
    ring = next(patch.ring for patch in patches if patch.start == low)
    # A cut through one of the strip's corners leaves that corner twice.
    return convex_hull(list(ring))
