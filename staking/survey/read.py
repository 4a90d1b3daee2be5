"""Reading a survey file, whatever its format."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from importlib import import_module
from pathlib import Path
from typing import BinaryIO, cast

from staking.errors import InputError, Problem
from staking.plain_file import refuse_other_files
from staking.points import SurveyPoints, SurveySettings
from staking.survey.detect import HEAD, begins_as_scan, detect
from staking.survey.formats import FORMATS

Parser = Callable[[BinaryIO, str, SurveySettings], SurveyPoints]

MOST_BYTES = 1_000_000_000
"""No survey of a lot is larger; it would take the machine's memory."""

MOST_SCAN_BYTES = 100_000_000_000
"""Clouds and height grids are read in parts: a large one takes time and no memory."""


def read_survey(path: Path, settings: SurveySettings | None = None) -> SurveyPoints:
    """Read a survey file of any open format.

    Parameters
    ----------
    path
        The file.
    settings
        What the user says of the file; None says nothing.

    Returns
    -------
    SurveyPoints
        The points, in metres, with notices of all that was assumed.

    Raises
    ------
    InputError
        Where the file is missing, of no format that is read, or faulty; names file and line.
        Where it is scanned ground and more is asked of it than a look.
    """
    said = settings or SurveySettings()
    with opened(path) as (stream, head):
        if not begins_as_scan(head, str(path)):
            refuse_other_files(path, MOST_BYTES)
        elif not said.is_listing:
            raise InputError(
                Problem(
                    path=str(path),
                    message="this is scanned ground, whose points have no names and are not "
                    "stakes, lines or control",
                    remedy="a job takes its ground from it: name it under site: survey:, or as "
                    "grade: {ground: {cloud: …}}",
                )
            )
        return parse_survey(stream, str(path), said, head)


@contextmanager
def opened(path: Path) -> Iterator[tuple[BinaryIO, bytes]]:
    """Open a survey file and read how it begins.

    Parameters
    ----------
    path
        The file.

    Yields
    ------
    tuple
        The file at its start, and its first `HEAD` bytes.

    Raises
    ------
    InputError
        Where it is missing, no plain file, too large for any format, or cannot be read.
    """
    name = str(path)
    refuse_other_files(path, MOST_SCAN_BYTES)
    try:
        with path.open("rb") as stream:
            head = stream.read(HEAD)
            stream.seek(0)
            yield stream, head
    except OSError as fault:
        if isinstance(fault, FileNotFoundError):
            message = "there is no such file"
        elif path.is_dir():
            message = "this is a folder, and a file is meant"
        else:
            message = f"the file cannot be read ({fault.strerror or fault})"
        raise InputError(Problem(path=name, message=message)) from fault


def parse_survey(
    stream: BinaryIO, name: str, settings: SurveySettings, head: bytes
) -> SurveyPoints:
    """Read a survey from an open stream that stands at its start.

    Parameters
    ----------
    stream
        The bytes.
    name
        The file as the user named it.
    settings
        What the user says of it.
    head
        Its first bytes, from which the format is told.

    Returns
    -------
    SurveyPoints
        The points.

    Raises
    ------
    InputError
        As `read_survey`.
    """
    word = detect(head, name)
    found = next(each for each in FORMATS if each.word == word)
    if not found.module:
        message, remedy = found.instead
        raise InputError(Problem(path=name, message=message, remedy=remedy))
    module = import_module(f"staking.survey.{found.module}")
    return cast(Parser, getattr(module, f"parse_{word}"))(stream, name, settings)
