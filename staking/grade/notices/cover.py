"""What finished grade does to a wall: near its top, over it, or high against the inside."""

from __future__ import annotations

import numpy as np

from staking.grade.held_outward import HeldOutward, held_outward
from staking.grade.stepped_footing import WallProfile
from staking.grade.stepping.cells import SiteGround, cell_patches, outside_part
from staking.grade.stepping.wall_network import Strand
from staking.kinds import FootingKind
from staking.notices import Length, Notice, NoticeKind, Severity, notice
from staking.tolerances import ON_LINE
from staking.units import FOOT, INCH

TOP_CLEAR = 6 * INCH
"""Least height of the wall's top over finished grade, m (IRC 2009, R404.1.6, as quoted by EVstudio,
evstudio.com)."""

VENEER_CLEAR = 4 * INCH
"""The same behind masonry veneer, m (the same clause)."""

HELD_BACK = 4 * FOOT
"""Unbalanced fill over this, m, without permanent support at top or bottom takes an engineer's
design (IRC R404.1.1)."""

HELD_OUT = 2 * FOOT
"""Fill inside this much over the grade outside is said, m (common practice, no source)."""


def grade_notices(
    profile: WallProfile,
    strand: Strand,
    site: SiteGround,
    *,
    veneer: bool = False,
    filled: float | None = None,
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
    filled
        How high the inside is filled, to the slab's underside, m; None without a slab.

    Returns
    -------
    tuple of Notice
        ``grade-over-top``, or else ``grade-near-top``; ``unbalanced``; ``inside-over-top``;
        ``holds-outward``.
    """
    if strand.kind is not FootingKind.WALL:
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
                NoticeKind.GRADE_OVER_TOP,
                "finished grade at {place} on {wall} stands {over} over the top of the wall",
                wall=profile.wall,
                place=place,
                over=Length(-clear),
            )
        )
    elif clear < (VENEER_CLEAR if veneer else TOP_CLEAR) - ON_LINE:
        told.append(
            notice(
                NoticeKind.GRADE_NEAR_TOP,
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
                    "outside grade at {place} on {wall} stands {over} above the inside; over 4 ft "
                    "(1.22 m) without permanent support at top or bottom a wall that holds earth "
                    "takes an engineer's design (IRC R404.1.1)",
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
                    "the grade inside stands {over} over the top of the wall: check both "
                    "elevations, and that they count from one benchmark",
                    over=Length(over),
                )
            )
    return (*told, *_holds_outward(held_outward(profile, strand, site, filled)))


def _holds_outward(held: HeldOutward | None) -> tuple[Notice, ...]:
    # What is filled inside presses the wall out where the grade outside is lower.
    if held is None or held.height <= HELD_OUT + ON_LINE:
        return ()
    great = held.height > HELD_BACK + ON_LINE
    return (
        notice(
            "holds-outward",
            "{wall} holds fill outward: at {place} the fill under the slab stands {over} above the "
            "grade outside; "
            + (
                "over 4 ft (1.22 m) without permanent support at top or bottom such a wall takes "
                "an engineer's design (IRC R404.1.1), and it is not filled before it is strong and "
                "braced (IRC R404.1.7)"
                if great
                else "fill it in thin layers once the wall is strong, with no roller near it"
            ),
            Severity.WARNING if great else Severity.NOTE,
            wall=held.wall,
            place=Length(held.station),
            over=Length(held.height),
        ),
    )
