"""The conductor of `staking desk`: a job resolved from a text that is not on file yet."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from staking.errors import InputError, Problem

if TYPE_CHECKING:
    from staking.job.build import Job
    from staking.job.edit.file_edits import Answer
    from staking.order.order_results import Ordered
    from staking.points import SurveyPoints
    from staking.project.resolve import Resolved
    from staking.weigh.weighed import Weighed


def job_of_text(text: str, path: Path) -> Job:
    """Read a job from its text.

    Parameters
    ----------
    text
        What the job file is to hold.
    path
        Where it stands or will stand: files it names are looked for beside it.

    Returns
    -------
    Job
        As `staking.job.build.read_job` gives it.

    Raises
    ------
    InputError
        With every fault of the text; where there are none, with the files it names that do not
        stand in the job file's folder.
    """
    from staking.job.build import parse_job
    from staking.job.tree.faults import not_beside
    from staking.project.job_files import files_of_job_by_key

    folder = path.parent
    job = parse_job(text, str(path), folder)
    away = [
        Problem(path=str(path), message=message, remedy=remedy, place=key)
        for each, key in files_of_job_by_key(job)
        if not each.resolve().is_relative_to(folder.resolve())
        for message, remedy in [not_beside(each.name)]
    ]
    if away:
        raise InputError(*away)
    return job


def resolve_text(text: str, path: Path) -> Resolved:
    """Resolve a job from its text.

    Parameters
    ----------
    text, path
        As in `job_of_text`.

    Returns
    -------
    Resolved
        What every command starts from.
    """
    from staking.project.resolve import resolve

    return resolve(job_of_text(text, path))


def resolve_job(path: Path) -> Resolved:
    """Resolve the job that is on file, by the same rules as one that is not.

    Parameters
    ----------
    path
        The job file.

    Returns
    -------
    Resolved
        What every command starts from.
    """
    from staking.job.tree.source import read_text

    return resolve_text(read_text(path), path)


def look_at_survey(path: Path, unit: str | None, job_unit: str | None) -> SurveyPoints:
    """Read a survey to look at it, before a job uses it.

    Parameters
    ----------
    path
        The survey.
    unit
        Its unit where the user says it, by its name in the job file.
    job_unit
        What a bare number of the job is in.

    Returns
    -------
    SurveyPoints
        With what is doubtful among its notices.
    """
    from staking.points import SurveySettings
    from staking.survey.read import read_survey

    return read_survey(path, SurveySettings(unit=unit, job_unit=job_unit, is_listing=True))


def order_of_resolved(resolved: Resolved) -> Ordered | None:
    """Work out what to buy; None of a job without an order section."""
    if resolved.job.order is None:
        return None
    from staking.project.order import order_job

    return order_job(resolved)


def row_answers(
    weighed: Weighed, number: int, job: Job, text: str, path: Path
) -> tuple[Answer, ...]:
    """Say what a row that was weighed is as answers to the job file.

    Parameters
    ----------
    weighed
        The rows.
    number
        The row that is taken, from 1.
    job
        What was read from the text.
    text
        The job file's.
    path
        The job file, for faults.

    Returns
    -------
    tuple of Answer
        Its top of wall with what goes with it, and its place; nothing where it is the job's own.
    """
    from staking.job.edit.taken_row import answers_of_row
    from staking.job.tree.source import parse_tree
    from staking.measure.lengths import Unit
    from staking.project.weigh import place_after

    row = weighed.rows[number - 1]
    place = None if row.candidate.stays else place_after(job, row.candidate)
    tree, _ = parse_tree(text, str(path))
    unit = Unit(job.options.unit)
    survey = unit if job.site is None or job.site.unit is None else Unit(job.site.unit)
    rise = row.candidate.top - weighed.own.top
    return answers_of_row(tree, row.candidate.top, rise, place, (unit, survey))
