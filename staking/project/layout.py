"""The conductor: what a job asks for, worked out in order.

Everything that loads a job and decides what is computed from what is here and nowhere else, so
that a command reads as one line and the core modules never call each other's neighbours.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from staking.laid_out.layout_value import Layout as Layout

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from staking.job.build import Job
    from staking.layout.layout_parts import Check


def load_job(path: Path) -> Job:
    """Read a job file.

    Parameters
    ----------
    path
        The file.

    Returns
    -------
    Job
        The plan, the options and what was noticed while reading.

    Notes
    -----
    `staking.errors.InputError`, with every fault of the file, comes from the reader.
    """
    from staking.job.build import read_job

    return read_job(path)


def lay_out_job(job: Job, known: Sequence[str] = ()) -> Layout:
    """Work out the layout of a job: its lot, outlines, strings, boards, hubs and checks.

    Parameters
    ----------
    job
        What was read from the job file.
    known
        Names of survey points that are wanted beside those the job names.

    Returns
    -------
    Layout
        The complete layout.
    """
    from staking.footing.bands import dig_bands, footing_bands
    from staking.footing.minimums import minimum_notices
    from staking.footing.odd_plan import odd_plan_notices
    from staking.footing.outline import merge
    from staking.layout.boards import lay_out
    from staking.layout.checks import choose_checks
    from staking.layout.hubs import place_hubs

    plan, options = job.plan, job.options
    site = None
    if job.site is not None:
        from staking.project.lot import load_site

        # First of all: what the survey says to keep off moves strings and boards.
        site, plan = load_site(job.site, plan, options, known)
    notices = [*job.notices, *minimum_notices(plan)]
    bands, said = footing_bands(plan)
    notices += [*odd_plan_notices(plan, bands), *said]
    footing = merge(bands)
    grade = None
    if job.grade is not None:
        from staking.project.grade import grade_job, stepped_dig

        # Before boards: how deep it is dug decides where they may stand.
        grade = grade_job(job.grade, plan, options, bands, site)
        deepest = max(grade.greatest_depth, 0.0)
        options = replace(options, dig=replace(options.dig, depth=deepest))
    dug, said = dig_bands(plan, options.dig)
    if grade is not None and options.dig.bank > 0:
        dug = stepped_dig(grade, plan, options.dig)
    if dug == bands:
        # The trench is cut to the footing's size: one outline serves, and is told once.
        dig = footing
    else:
        dig = merge(dug)
        notices += said
    pulled = lay_out(plan, options, dug, footing)
    notices += pulled.notices
    hubs, said = place_hubs(plan, options, pulled.strings, pulled.boards, dug)
    notices += said
    if grade is not None:
        from staking.project.grade import grade_stakes

        grade = grade_stakes(grade, plan, options, pulled.strings, pulled.boards, hubs)
        notices += grade.notices
    taped = choose_checks(plan, options)
    notices += taped.notices
    if site is not None:
        from staking.project.lot import on_the_lot

        site = on_the_lot(site, plan, footing, dug, pulled.boards, hubs)
        notices += site.notices
    return Layout(
        plan=plan,
        options=options,
        footing=footing,
        dig=dig,
        footing_bands=bands,
        dig_bands=dug,
        strings=pulled.strings,
        boards=pulled.boards,
        hubs=hubs,
        checks=taped.checks,
        accuracy=taped.accuracy,
        notices=tuple(dict.fromkeys(notices)),
        site=site,
        grade=grade,
    )


def pair_table(layout: Layout) -> tuple[Check, ...]:
    """Give the distance of every pair of corners, beside the checks that were chosen.

    Parameters
    ----------
    layout
        The layout.

    Returns
    -------
    tuple of Check
        All pairs within the reach of the tape.
    """
    from staking.layout.checks import all_pairs

    return all_pairs(layout.plan, layout.options)
