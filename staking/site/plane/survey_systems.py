"""The coordinate system of a lot's surveys: one for all, and scaled alike."""

from __future__ import annotations

from collections.abc import Sequence

from staking.errors import InputError, Problem
from staking.notices import NoticeKind
from staking.points import SurveyPoints
from staking.site.plane.ground_plane import survey_scaled
from staking.site.plane.lot_plane import scaled_coordinates
from staking.site.site_request import Distances, SiteAsked


def scaled_alike(surveys: Sequence[SurveyPoints], asked: SiteAsked) -> tuple[SurveyPoints, ...]:
    """Bring files on the grid to the scaled coordinates of the lot's other files.

    Parameters
    ----------
    surveys
        The surveys as read: those in latitude and longitude, clouds and height grids are on the
        grid.
    asked
        The site section.

    Returns
    -------
    tuple of SurveyPoints
        The same; unchanged where the lot's coordinates are those of the grid.

    Raises
    ------
    InputError
        Where such a file stands beside scaled coordinates and the job does not say how these
        were scaled.
    """
    if asked.distances is Distances.GRID:
        return tuple(surveys)
    scaled = scaled_coordinates(asked)
    problems = [
        Problem(
            path=survey.name,
            message=f"the file is {_how(survey)}, and the job says distances: ground: "
            "coordinates that were scaled to the ground are no longer those of the grid",
            remedy="give combined_factor: and scaled_about: under site, or leave distances out",
        )
        for survey in surveys
        if _is_on_the_grid(survey) and scaled is None
    ]
    if problems:
        raise InputError(*problems)
    return tuple(
        survey_scaled(survey, scaled) if scaled is not None and _is_on_the_grid(survey) else survey
        for survey in surveys
    )


def _is_on_the_grid(survey: SurveyPoints) -> bool:
    # Whatever the lot's own coordinates are: nobody scales degrees or a laser cloud to a lot.
    return survey.scan is not None or any(
        each.kind == NoticeKind.PROJECTED for each in survey.notices
    )


def _how(survey: SurveyPoints) -> str:
    if survey.scan is not None:
        return f"a {survey.scan.kind.value} on the grid"
    return "in latitude and longitude"


def one_system(surveys: Sequence[SurveyPoints]) -> str | None:
    """Find the coordinate system of several surveys.

    Parameters
    ----------
    surveys
        The surveys.

    Returns
    -------
    str or None
        None where none of them names one.

    Raises
    ------
    InputError
        Where they are in different ones.
    """
    said = dict.fromkeys(survey.crs for survey in surveys if survey.crs)
    if len(said) > 1:
        raise InputError(
            Problem(
                message=f"the surveys are in different coordinate systems: {', '.join(said)}",
                remedy="write them out in one with `staking survey FILE --to-crs EPSG:… --to NEW`; "
                "files in degrees go to the system of crs: under site",
                field="site survey",
            )
        )
    return next(iter(said), None)


def refuse_another_system(surveys: Sequence[SurveyPoints], crs: str | None) -> None:
    """Refuse surveys in another coordinate system than the lot's.

    Parameters
    ----------
    surveys
        What was surveyed since.
    crs
        The lot's system, or None.

    Raises
    ------
    InputError
        One problem for each such file.
    """
    problems = [
        Problem(
            path=survey.name,
            message=f"the file is in {survey.crs}, and the lot's survey in {crs}",
            remedy=f"write it out anew with `staking survey FILE --to-crs {crs} --to NEW`",
        )
        for survey in surveys
        if crs is not None and survey.crs is not None and survey.crs != crs
    ]
    if problems:
        raise InputError(*problems)
