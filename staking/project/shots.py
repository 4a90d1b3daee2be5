"""Surveys of what was set out or built: read as the job's own survey is, onto its grid."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from staking.errors import InputError, Problem
from staking.notices import Notice, Severity, notice

if TYPE_CHECKING:
    from pathlib import Path

    from staking.laid_out.layout_value import Layout
    from staking.points import SurveyPoints, SurveySettings


def read_surveys(
    layout: Layout, paths: Sequence[Path], settings: SurveySettings
) -> tuple[list[SurveyPoints], list[Notice]]:
    """Read surveys onto the lot's plane; what a file leaves open is as in the job's own survey.

    Parameters
    ----------
    layout
        The layout of the job.
    paths, settings
        The files, and what the user says of them.

    Returns
    -------
    tuple
        The surveys, on the lot's plane of ground distances (one of their own where the job has no
        survey), and what was assumed.

    Raises
    ------
    InputError
        Every fault of every file.
    """
    from dataclasses import replace

    from staking.survey.read import read_survey

    site = layout.surveyed_lot
    crs = settings.crs or (site.crs if site is not None else None)
    none = settings.no_elevation
    if none is None and site is not None:
        none = site.asked.no_elevation
    asked = replace(settings, crs=crs, no_elevation=none)
    unit = site.unit if site is not None else layout.options.unit
    own = replace(asked, unit=asked.unit or unit)
    if site is not None and asked.columns is None and site.columns:
        own = replace(own, columns=site.columns)
    surveys: list[SurveyPoints] = []
    told: list[Notice] = []
    problems: list[Problem] = []
    for path in paths:
        try:
            surveys.append(read_survey(path, asked))
            continue
        except InputError as fault:
            first = fault
        try:
            # what the file leaves open is as in the job's own survey
            surveys.append(read_survey(path, own))
        except InputError:
            problems += first.problems
            continue
        told.append(
            notice(
                "stakes-read-as",
                "{file} is read as the job's survey is: {unit}{columns}",
                Severity.NOTE,
                file=path.name,
                unit=own.unit or unit,
                columns=f", {', '.join(own.columns)}" if own.columns else "",
            )
        )
    if problems:
        raise InputError(*problems)
    from staking.project.lot_ground import onto_lot, refuse_other_systems

    if settings.crs is None:
        refuse_other_systems(surveys)
    on_plane, said = onto_lot(site, surveys)
    return list(on_plane), [*told, *said]
