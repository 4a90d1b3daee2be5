"""What several commands ask in the same way: the columns of a survey, a length above zero."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import click

from staking.errors import InputError, MeasureError, Problem

if TYPE_CHECKING:
    from staking.job.build import Job


force_option = click.option(
    "--force",
    is_flag=True,
    help="Replace files of these names that staking did not write, or that were changed since.",
)
"""The option of every command that writes files beside a job."""


def parse_columns(
    context: click.Context, parameter: click.Parameter, value: str | None
) -> tuple[str, ...] | None:
    """Read the columns of a survey as they are typed.

    Parameters
    ----------
    context, parameter
        Click's own.
    value
        ``point,northing,easting``, or None.

    Returns
    -------
    tuple of str or None
        The columns in order.

    Raises
    ------
    click.BadParameter
        For a word that is not a column, or one that is named twice.
    """
    if value is None:
        return None
    from staking.points import COLUMN_WORDS

    words = tuple(word.strip().lower() for word in value.split(","))
    for word in words:
        if word not in COLUMN_WORDS:
            raise click.BadParameter(
                f"{word!r} is not a column; there are {', '.join(COLUMN_WORDS)}", context, parameter
            )
        if word != "-" and words.count(word) > 1:
            raise click.BadParameter(f"{word} is named twice", context, parameter)
    return words


def parse_no_elevation(
    context: click.Context, parameter: click.Parameter, value: tuple[str, ...]
) -> tuple[float, ...] | None:
    """Read what a survey writes where no elevation was measured.

    Parameters
    ----------
    context, parameter
        Click's own.
    value
        Numbers as typed, or ``none`` alone.

    Returns
    -------
    tuple of float or None
        The numbers; empty for ``none``, None where nothing was typed.

    Raises
    ------
    click.BadParameter
        For a text that is not a number.
    """
    if not value:
        return None
    if [text.strip().lower() for text in value] == ["none"]:
        return ()
    try:
        numbers = tuple(float(text) for text in value)
    except ValueError:
        numbers = (math.nan,)
    if not all(math.isfinite(number) for number in numbers):
        raise click.BadParameter(
            f"{' '.join(value)!r} is not a number; write one such as 0, or none where every "
            "elevation is real",
            context,
            parameter,
        )
    return numbers


def positive_length(text: str, job: Job, field: str) -> float:
    """Read a length above zero, a bare number in the job's unit.

    Parameters
    ----------
    text
        As typed.
    job
        The job.
    field
        The option, for the message.

    Returns
    -------
    float
        The length, m.

    Raises
    ------
    InputError
        When it is not a length, or not above zero.
    """
    from staking.measure.lengths import Unit, parse_length

    try:
        length = parse_length(text, Unit(job.options.unit))
    except MeasureError as fault:
        raise InputError(
            Problem(message=fault.message, remedy=fault.remedy, field=field)
        ) from fault
    if length <= 0:
        raise InputError(
            Problem(message=f"{text} is not above zero", remedy="write 1/16in", field=field)
        )
    return length
