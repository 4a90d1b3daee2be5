"""The conductor: what a job asks for, worked out in order.

Everything that loads a job and decides what is computed from what is here and nowhere else, so
that a command reads as one line and the core modules never call each other's neighbours.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from staking.job.build import Job
    from staking.laid_out.layout_value import Layout
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
    from staking.laid_out.whole_layout import footing_strips, lay_out_whole

    plan, options, site = job.plan, job.options, None
    if job.site is not None:
        from staking.project.lot import load_site

        # First of all: what the survey says to keep off moves strings and boards.
        site, plan = load_site(job.site, plan, options, known)
    footing = footing_strips(plan)
    levels = None
    if job.grade is not None:
        from staking.project.grade import grade_job

        levels = grade_job(job.grade, plan, options, footing.bands, site)
    layout = lay_out_whole(plan, options, footing, levels, site, job.notices)
    if site is None:
        return layout
    from staking.site.built_on_lot import on_the_lot

    site = on_the_lot(site, plan, layout.footing, layout.dig_bands, layout.boards, layout.hubs)
    told = tuple(dict.fromkeys((*layout.notices, *site.notices)))
    return replace(layout, site=site, notices=told)


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
