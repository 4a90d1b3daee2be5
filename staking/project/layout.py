"""The conductor: what a job asks for, worked out in order.

Everything that loads a job and decides what is computed from what is here and nowhere else, so
that a command reads as one line and the core modules never call each other's neighbours.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from staking.frozen import frozen
from staking.project.job_files import contents_of_files

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from staking.grade.graded import Graded
    from staking.job.build import Job
    from staking.laid_out.layout_value import Layout
    from staking.laid_out.whole_layout import FootingStrips
    from staking.layout.layout_parts import Check
    from staking.plan import Options, Plan
    from staking.points import SurveyPoints
    from staking.project.grade import GroundUnderWalls
    from staking.site.building_on_lot import BuildingOnLot


@frozen(eq=False)
class PlacedJob:
    """A job where it stands: all that no top of wall changes.

    Parameters
    ----------
    plan
        The building with the shapes to keep off, those through surveyed points included.
    site
        The lot, without what depends on boards; None without a survey.
    footing
        The footings on plan.
    under
        The walls and the ground under them; None without a grade section.
    """

    plan: Plan
    site: BuildingOnLot | None
    footing: FootingStrips
    under: GroundUnderWalls | None


@frozen(eq=False)
class UpToBoards:
    """A job on its lot with its levels: all of it that goes by nothing of the boards.

    Parameters
    ----------
    job, known
        What it was worked out from.
    contents
        What stood in each file that the job names; None where that is not known.
    placed
        The job on its lot.
    levels
        Without stakes and boards; None without a grade section.
    """

    job: Job
    known: tuple[str, ...]
    contents: tuple[bytes, ...] | None
    placed: PlacedJob
    levels: Graded | None

    def serves(self, job: Job, known: Sequence[str]) -> bool:
        """Tell whether all this is the same for another job, on the same surveys.

        Returns
        -------
        bool
            False as well where what is in the files cannot be compared.
        """
        return (
            self.contents is not None
            and job.plan == self.job.plan
            and job.site == self.job.site
            and job.grade == self.job.grade
            and _options_but_boards(job.options) == _options_but_boards(self.job.options)
            and tuple(known) == self.known
            and contents_of_files(job) == self.contents
        )


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
    return lay_out_boards(job, up_to_boards(job, known))


def up_to_boards(
    job: Job, known: Sequence[str] = (), before: UpToBoards | None = None
) -> UpToBoards:
    """Place a job and work out its levels, or say that both are as they were.

    Parameters
    ----------
    job
        What was read from the job file.
    known
        Names of survey points that are wanted beside those the job names.
    before
        The same of the job before one of its answers changed; None where nothing is known.

    Returns
    -------
    UpToBoards
        The one before where the answer changes nothing of it.

    Notes
    -----
    `staking.errors.InputError` comes from the surveys, the placement and the levels.
    """
    if before is not None and before.serves(job, known):
        return before
    contents = contents_of_files(job)
    placed = place_job(job, known)
    levels = _levels(job, placed)
    if contents != contents_of_files(job):
        # A file that changes while it is read is not known by what it held before.
        contents = None
    return UpToBoards(job=job, known=tuple(known), contents=contents, placed=placed, levels=levels)


def _options_but_boards(options: Options) -> Options:
    """Take of the options what a place and levels go by: of the boards only their level."""
    from staking.plan import BoardRules, Options

    return Options(
        unit=options.unit,
        show=options.show,
        nearest=options.nearest,
        boards=BoardRules(at=options.boards.at),
        dig=options.dig,
        tape=options.tape,
    )


def place_job(
    job: Job, known: Sequence[str] = (), files: Sequence[SurveyPoints] | None = None
) -> PlacedJob:
    """Place a job on its lot, with its footings on plan and the ground under them.

    Parameters
    ----------
    job
        What was read from the job file.
    known
        Names of survey points that are wanted beside those the job names.
    files
        The survey files where they have been read before; None to read them now.

    Returns
    -------
    PlacedJob
        All that no top of wall changes.

    Notes
    -----
    `staking.errors.InputError` comes from the surveys, the placement and the ground.
    """
    from staking.laid_out.whole_layout import footing_strips

    plan, site, under = job.plan, None, None
    options = _options_but_boards(job.options)
    if job.site is not None:
        from staking.project.lot import load_site

        # First of all: what the survey says to keep off moves strings and boards.
        site, plan = load_site(job.site, plan, options, known, files)
    footing = footing_strips(plan)
    if job.grade is not None:
        from staking.project.grade import ground_under_walls

        under = ground_under_walls(job.grade, plan, options, footing.bands, site)
    return PlacedJob(plan=plan, site=site, footing=footing, under=under)


def lay_out_placed(job: Job, placed: PlacedJob) -> Layout:
    """Work out the layout of a job from where it stands.

    Parameters
    ----------
    job
        The job that was placed, or the same with another top of wall: a slab and strings whose
        levels go with it are its own.
    placed
        As `place_job` gives it.

    Returns
    -------
    Layout
        The complete layout.
    """
    return _laid_out(job, placed, _levels(job, placed))


def lay_out_boards(job: Job, there: UpToBoards) -> Layout:
    """Work out the layout of a job from its place and its levels.

    Parameters
    ----------
    job
        The job, or the same with other boards.
    there
        As `up_to_boards` gives it.

    Returns
    -------
    Layout
        The complete layout.
    """
    return _laid_out(job, there.placed, there.levels)


def _plan(job: Job, placed: PlacedJob) -> Plan:
    return replace(placed.plan, slab=job.plan.slab)


def _levels(job: Job, placed: PlacedJob) -> Graded | None:
    if job.grade is None or placed.under is None:
        return None
    from staking.project.grade import grade_job

    options = _options_but_boards(job.options)
    return grade_job(job.grade, _plan(job, placed), options, placed.under)


def _laid_out(job: Job, placed: PlacedJob, levels: Graded | None) -> Layout:
    from staking.laid_out.whole_layout import lay_out_whole

    plan, options, site = _plan(job, placed), job.options, placed.site
    layout = lay_out_whole(plan, options, placed.footing, levels, site, job.notices)
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
