"""What a building that stands off its place does to the setbacks."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from staking.adjust.surveyed_stakes import StakedShape
from staking.checked.stakes_off_place import Staked
from staking.checked.stakes_on_plan import StakesRead
from staking.laid_out.layout_value import Layout
from staking.notices import Length, Notice, NoticeKind, Severity, notice
from staking.site.built_on_lot import Built, clearances_on, keeping_off
from staking.site.clearance import clearance_notices
from staking.site.keep_off import keep_off_notices
from staking.site.site_results import Placement


def judged_beside(read: StakesRead, shape: StakedShape, layout: Layout) -> int:
    """Count what is judged beside the shape: stakes on the lot, setbacks, distances kept off.

    Parameters
    ----------
    read, shape
        The stakes, read and adjusted.
    layout
        The layout with its lot.

    Returns
    -------
    int
        Nothing where the job is not placed.
    """
    if read.placement is None:
        return 0
    kept = () if layout.site is None else layout.site.kept_off
    return len(shape.places) + len(_setback_lines(layout)) + len(kept)


def _setback_lines(layout: Layout) -> tuple[str, ...]:
    lot = layout.site
    found = () if lot is None else lot.clearances
    return tuple(dict.fromkeys(each.line for each in found if each.setback is not None))


def setback_notices(layout: Layout, staked: Staked) -> tuple[Notice, ...]:
    """Say what a building that stands off its place does to setbacks and to what is kept off.

    Parameters
    ----------
    layout
        The layout with its lot.
    staked
        What the stakes say.

    Returns
    -------
    tuple of Notice
        Setbacks and distances that are surely broken as the stakes stand; or that they are kept.
    """
    site = layout.site
    if staked.displacement is None or staked.in_place or site is None:
        return ()
    if site.placement is None or not (site.boundary or site.keep):
        return ()
    corners = [c.point for building in layout.plan.buildings for c in building.corners]
    named = {each.name for each in staked.stakes}
    middle = [
        c.point for building in layout.plan.buildings for c in building.corners if c.name in named
    ]
    x, y = np.array(middle or corners).mean(axis=0).tolist()
    off = staked.displacement
    north, east = site.placement.to_site(np.array([[x + off.x, y + off.y]]))[0].tolist()
    here = Placement(
        turn=site.placement.turn + off.turn, x0=x, y0=y, easting0=east, northing0=north
    )
    built = Built(plan=layout.plan, footing=layout.footing, dig_bands=(), boards=(), hubs=())
    found, told = clearances_on(site.asked, site.boundary, here, built, site.lines)
    broken = [
        each for each in found if each.distance < (each.setback or 0.0) - staked.setback_limit
    ]
    near = [
        each
        for each in keeping_off(site, here, built)
        if each.distance < each.least - staked.setback_limit
    ]
    # what is short by no more than the stakes can show is not called broken
    said = {each.values for each in clearance_notices(broken)}
    sure = [
        n
        for n in told
        if n.severity is not Severity.BROKEN
        or n.kind == NoticeKind.SETBACK_UNPROVEN
        or n.values in said
    ]
    sure += keep_off_notices(near)
    if sure:
        lead = "as the stakes stand, "
        return tuple(replace(each, text=lead + each.text) for each in sure)
    if all(each.setback is None for each in found):
        return ()
    if any(each.is_broken for each in found):
        worst = min(found, key=lambda each: each.distance - (each.setback or 0.0))
        return (
            notice(
                "setbacks-near",
                "as the stakes stand, the {what} lacks {short} of the setback from the boundary "
                "line {line}, less than the {limit} that these stakes can show",
                what=worst.what,
                short=Length((worst.setback or 0.0) - worst.distance),
                line=worst.line,
                limit=Length(staked.setback_limit),
            ),
        )
    return (notice("setbacks-kept", "as the stakes stand, the setbacks are kept", Severity.NOTE),)
