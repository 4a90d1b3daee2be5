"""How deep the trench is along a wall, and where that needs a way out or protection."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from staking.frozen import frozen
from staking.grade.stepped_footing import WallProfile
from staking.grade.stepping.built_steps import BuiltStep
from staking.grade.stepping.cells import Floats, SiteGround, cell_patches
from staking.grade.stepping.wall_network import Strand
from staking.tolerances import ON_LINE
from staking.units import FOOT

WAY_OUT = 4 * FOOT
"""A trench this deep needs a way out, m (OSHA 29 CFR 1926.651(c)(2))."""

PROTECTION = 5 * FOOT
"""A trench this deep needs protection unless it is all in stable rock, m; a shallower one too where
a competent person has not looked and found no sign of a cave-in (OSHA 29 CFR 1926.652(a)(1))."""

_DEEPEST_SHADE = 5
"""Depths from here on are told alike, whole feet: every one of them needs protection."""


@frozen
class DeepStretch:
    """A stretch of trench at least `limit` deep: stations and the greatest depth, m."""

    wall: str
    limit: float
    start: float
    end: float
    deepest: float


@frozen
class TrenchDepth:
    """A stretch of trench of about one depth, m.

    Parameters
    ----------
    start, end
        Stations.
    whole_feet
        How many whole feet deep it is at the least, 5 where it is deeper.
    deepest
        The greatest depth.
    """

    start: float
    end: float
    whole_feet: int
    deepest: float


def deep_stretches(
    profile: WallProfile,
    strand: Strand,
    site: SiteGround,
    base: float = 0.0,
    built: Sequence[BuiltStep] = (),
) -> tuple[DeepStretch, ...]:
    """Find where a wall's trench is 4 and 5 feet deep.

    Parameters
    ----------
    profile, strand
        The wall's levels and the wall.
    site
        The ground; the trench is dug from the existing one.
    base
        Stone under the footing, m.
    built
        The steps as built: past each face the lower level is dug into the bank, where the ground
        stands higher.

    Returns
    -------
    tuple of DeepStretch
        For each limit, by whole cells from the wall's first corner. A depth is from the highest
        ground over the cell to the lowest dig in it.
    """
    edges, depths = _cell_depths(profile, strand, site, base, built)
    found = []
    for limit in (WAY_OUT, PROTECTION):
        deep = np.concatenate(([False], depths >= limit - ON_LINE, [False]))
        change = np.flatnonzero(deep[1:] != deep[:-1])
        found += [
            DeepStretch(
                wall=profile.wall,
                limit=limit,
                start=float(edges[first]),
                end=float(edges[last]),
                deepest=float(depths[first:last].max()),
            )
            for first, last in zip(change[::2].tolist(), change[1::2].tolist(), strict=True)
        ]
    return tuple(found)


def trench_depths(
    profile: WallProfile,
    strand: Strand,
    site: SiteGround,
    base: float = 0.0,
    built: Sequence[BuiltStep] = (),
) -> tuple[TrenchDepth, ...]:
    """Part a wall's trench by its depth, foot by foot.

    Parameters
    ----------
    profile, strand, site, base, built
        As for `deep_stretches`.

    Returns
    -------
    tuple of TrenchDepth
        The whole wall from its first corner, by whole cells; a depth is the one by which
        `deep_stretches` tells where it is 4 and 5 feet deep.
    """
    edges, depths = _cell_depths(profile, strand, site, base, built)
    feet = np.clip(np.floor((depths + ON_LINE) / FOOT), 0, _DEEPEST_SHADE).astype(int)
    starts = [0, *(np.flatnonzero(feet[1:] != feet[:-1]) + 1).tolist(), len(feet)]
    return tuple(
        TrenchDepth(
            start=float(edges[first]),
            end=float(edges[last]),
            whole_feet=int(feet[first]),
            deepest=float(depths[first:last].max()),
        )
        for first, last in pairwise(starts)
    )


def _cell_depths(
    profile: WallProfile,
    strand: Strand,
    site: SiteGround,
    base: float,
    built: Sequence[BuiltStep],
) -> tuple[Floats, Floats]:
    # The cells' ends, and from the highest ground over each cell to the lowest dig in it, m.
    edges = np.array(profile.bounds.edges)
    highest = site.existing.highest(cell_patches(strand, edges))
    bottoms = np.array([
        next(level.bottom for level in profile.levels if level.start <= start < level.end)
        for start in edges[:-1].tolist()
    ])
    for step in built:
        start, end = sorted((step.step.station, step.dig_to))
        over = (edges[:-1] < end - ON_LINE) & (edges[1:] > start + ON_LINE)
        bottoms[over] = np.minimum(bottoms[over], step.step.lower)
    return edges, highest - bottoms + base
