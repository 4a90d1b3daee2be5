"""A building laid out whole: outlines, strings, boards, hubs, levels at them, and what to tape."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from staking.footing.bands import dig_bands, footing_bands
from staking.footing.bands_and_outlines import Band, Outline
from staking.footing.footing_outline import merge
from staking.footing.minimums import minimum_notices
from staking.footing.odd_plan import odd_plan_notices
from staking.frozen import frozen
from staking.grade.graded import Graded
from staking.grade.notices.levels_without_ground import loose_level_notices
from staking.grade.notices.trench_notices import without_levels
from staking.laid_out.footing_levels import grade_stakes, stepped_dig
from staking.laid_out.layout_value import Layout
from staking.laid_out.point_levels import another_zero_notices
from staking.layout.allowed import allowed_notices
from staking.layout.boards import lay_out
from staking.layout.checks import choose_checks
from staking.layout.hubs import place_hubs
from staking.notices import Notice
from staking.plan import Options, Plan
from staking.site.building_on_lot import BuildingOnLot
from staking.units import Unit


@frozen
class FootingStrips:
    """The strips that the footings cover, their outline, and the notices about them."""

    bands: tuple[Band, ...]
    outline: Outline
    notices: tuple[Notice, ...]


def footing_strips(plan: Plan) -> FootingStrips:
    """Give the footings of a building.

    Parameters
    ----------
    plan
        The building.

    Returns
    -------
    FootingStrips
        Bands, outline and notices.
    """
    bands, said = footing_bands(plan)
    return FootingStrips(
        bands=bands,
        outline=merge(bands),
        notices=(*minimum_notices(plan), *odd_plan_notices(plan, bands), *said),
    )


def lay_out_whole(
    plan: Plan,
    options: Options,
    footing: FootingStrips,
    levels: Graded | None,
    site: BuildingOnLot | None,
    said: Sequence[Notice] = (),
) -> Layout:
    """Lay a building out: what is dug, strings, boards, hubs, levels at them, and tapes.

    Parameters
    ----------
    plan
        The building, with every shape to keep clear of.
    options
        The rest of the job.
    footing
        Its footings.
    levels
        The levels without stakes and boards; how deep it is dug decides where boards may stand.
    site
        The lot, without what depends on boards; None without a survey.
    said
        The notices that came before.

    Returns
    -------
    Layout
        Complete but for what the finished layout does to the lot.
    """
    notices = [*said, *footing.notices, *allowed_notices(options.tolerances)]
    if levels is None:
        notices += without_levels(plan, options.dig.depth)
        notices += loose_level_notices(plan, options.boards.at, Unit(options.unit))
    else:
        deepest = max(levels.greatest_depth, 0.0)
        options = replace(options, dig=replace(options.dig, depth=deepest))
    dug, told = dig_bands(plan, options.dig)
    if levels is not None and options.dig.bank > 0:
        dug = stepped_dig(levels, plan, options.dig)
    if dug == footing.bands:
        # The trench is cut to the footing's size: one outline serves, and is told once.
        dig = footing.outline
    else:
        dig = merge(dug)
        notices += told
    pulled = lay_out(plan, options, dug, footing.outline)
    hubs, of_hubs = place_hubs(plan, options, pulled.strings, pulled.boards, dug)
    notices += [*pulled.notices, *of_hubs]
    if levels is not None:
        levels = grade_stakes(levels, plan, options, pulled.strings, pulled.boards, hubs)
        notices += levels.notices
        notices += another_zero_notices(levels, site)
    taped = choose_checks(plan, options)
    return Layout(
        plan=plan,
        options=options,
        footing=footing.outline,
        dig=dig,
        footing_bands=footing.bands,
        dig_bands=dug,
        strings=pulled.strings,
        boards=pulled.boards,
        hubs=hubs,
        checks=taped.checks,
        accuracy=taped.accuracy,
        notices=tuple(dict.fromkeys((*notices, *taped.notices))),
        site=site,
        grade=levels,
    )
