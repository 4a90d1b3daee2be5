"""What finished grade does to a wall: near its top, over it, or high against the inside."""

from __future__ import annotations

import numpy as np

from staking.grade.stepped_footing import WallProfile
from staking.grade.stepping.cells import Site, cell_patches, outside_part
from staking.grade.stepping.wall_network import Strand
from staking.notices import Length, Notice, notice
from staking.tolerances import ON_LINE
from staking.units import FOOT, INCH

TOP_CLEAR = 6 * INCH
"""Least height of the wall's top over finished grade, m (IRC R404.1.6, from memory)."""

VENEER_CLEAR = 4 * INCH
"""The same behind masonry veneer, m (IRC R404.1.6, from memory)."""

HELD_BACK = 4 * FOOT
"""Outside grade this much over the inside is said, m (unbalanced backfill, IRC R404.1, from
memory)."""


def grade_notices(
    profile: WallProfile, strand: Strand, site: Site, *, veneer: bool = False
) -> tuple[Notice, ...]:
    """Say where finished grade comes near the wall's top or stands high against it.

    Parameters
    ----------
    profile, strand
        A wall; interior lines have nothing to say.
    site
        The ground.
    veneer
        Whether masonry veneer stands before the wall.

    Returns
    -------
    tuple of Notice
        ``grade-over-top``, or else ``grade-near-top``; ``unbalanced``; ``inside-over-top``.
    """
    if strand.kind != "wall":
        return ()
    edges = np.array(profile.bounds.edges)
    patches = [outside_part(strand, patch) for patch in cell_patches(strand, edges)]
    heights = site.finished_highest(patches)
    worst = int(heights.argmax())
    clear = profile.bounds.top - float(heights[worst])
    told = []
    place = Length(float(edges[worst]))
    if clear < -ON_LINE:
        told.append(
            notice(
                "grade-over-top",
                "finished grade at {place} on {wall} stands {over} over the top of the wall",
                wall=profile.wall,
                place=place,
                over=Length(-clear),
            )
        )
    elif clear < (VENEER_CLEAR if veneer else TOP_CLEAR) - ON_LINE:
        told.append(
            notice(
                "grade-near-top",
                "finished grade at {place} on {wall} comes within {clear} of the wall's top; "
                "it should stay {needed} below (IRC R404.1.6)",
                wall=profile.wall,
                place=place,
                clear=Length(max(clear, 0.0)),
                needed=Length(VENEER_CLEAR if veneer else TOP_CLEAR),
            )
        )
    if site.inside is not None:
        over = float(heights[worst]) - site.inside.grade
        if over > HELD_BACK + ON_LINE:
            told.append(
                notice(
                    "unbalanced",
                    "outside grade at {place} on {wall} stands {over} above the inside; the "
                    "wall holds back earth and wants a design",
                    wall=profile.wall,
                    place=place,
                    over=Length(over),
                )
            )
        over = site.inside.grade - profile.bounds.top
        if over > ON_LINE:
            told.append(
                notice(
                    "inside-over-top",
                    "the grade inside stands {over} over the top of the wall; check its zero",
                    over=Length(over),
                )
            )
    return tuple(told)
