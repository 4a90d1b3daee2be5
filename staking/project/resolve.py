"""The resolved job: what was read together with the one layout that everything starts from.

A job is resolved once in each run of a command. Whatever is printed, written or judged afterwards
takes its strings, boards, tapes, levels and lot from this value, so that no two papers can name
different boards or different tapes.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from staking.frozen import frozen
from staking.laid_out.layout_value import Layout
from staking.project.layout import UpToBoards, lay_out_boards, load_job, up_to_boards

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from staking.grade.graded import Graded
    from staking.job.build import Job
    from staking.layout.layout_parts import Check
    from staking.plan import Options, Plan
    from staking.site.building_on_lot import BuildingOnLot


@frozen(eq=False)
class Resolved:
    """A job with its lot, ground, dig depth, obstacles and levels, and its one layout.

    Parameters
    ----------
    job
        What was read from the job file.
    layout
        Everything worked out from it: lot, levels, outlines, strings, boards, hubs, checks.
    there
        The job up to its boards, for `resolve` to begin from when an answer changed; None where it
        is not kept.
    """

    job: Job
    layout: Layout
    there: UpToBoards | None = None

    @property
    def plan(self) -> Plan:
        """The plan with every shape to keep clear of, those through surveyed points included."""
        return self.layout.plan

    @property
    def options(self) -> Options:
        """The options with the depth that is really dug, where levels give it."""
        return self.layout.options

    @property
    def lot(self) -> BuildingOnLot | None:
        """The surveys, and where the building stands on them; None where there is no survey."""
        return self.layout.site

    @property
    def levels(self) -> Graded | None:
        """The levels; None where the job has no grade section."""
        return self.layout.grade

    @property
    def checks(self) -> tuple[Check, ...]:
        """What is to be taped, in the order of the layout."""
        return self.layout.checks


def resolve(job: Job, known: Sequence[str] = (), before: Resolved | None = None) -> Resolved:
    """Resolve a job: read its surveys, place it, work out its levels, and lay it out once.

    Parameters
    ----------
    job
        What was read from the job file.
    known
        Names of survey points that are wanted beside those the job names.
    before
        The job as it was resolved before one of its answers changed: what the answer does not
        touch is taken from there.

    Returns
    -------
    Resolved
        What every command starts from; its layout is the one before where nothing of it changed.

    Notes
    -----
    `staking.errors.InputError` comes from the surveys, the placement and the levels,
    `staking.errors.ComputationError` where no stepped footing keeps the rules.
    """
    there = up_to_boards(job, known, None if before is None else before.there)
    if before is not None and there is before.there and _lays_out_alike(job, before.job):
        return replace(before, job=job)
    return Resolved(job=job, layout=lay_out_boards(job, there), there=there)


def _lays_out_alike(job: Job, other: Job) -> bool:
    """Tell whether two jobs that are the same up to their boards are laid out alike."""
    return job.options == other.options and job.notices == other.notices


def read_and_resolve(path: Path, known: Sequence[str] = ()) -> Resolved:
    """Read a job file and resolve it.

    Parameters
    ----------
    path
        The job file.
    known
        Names of survey points that are wanted beside those the job names.

    Returns
    -------
    Resolved
        As `resolve` gives it.
    """
    return resolve(load_job(path), known)
