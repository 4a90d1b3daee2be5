"""Which format a survey file is in, from how it begins and, where that does not tell, its name."""

from __future__ import annotations

from staking.errors import InputError, Problem
from staking.survey.formats import FORMATS, FileStart, beginning_of
from staking.survey.turned_away.other_formats import WEB_PAGE, refuse_other_format

HEAD = 65536
"""How many bytes from the file's start the format is read from."""


def detect(head: bytes, name: str) -> str:
    """Name the format of a file.

    Parameters
    ----------
    head
        The first `HEAD` bytes of the file, or all of it.
    name
        The file's name, for its suffix and for messages.

    Returns
    -------
    str
        The `word` of one of `staking.survey.formats.FORMATS`.

    Raises
    ------
    InputError
        Where the file is empty, or of a kind that is not read.
    """
    if not head:
        raise InputError(Problem(path=name, message="the file is empty"))
    start = beginning_of(head, name)
    for each in FORMATS:
        if each.told_first and each.begins(start):
            return each.word
    refuse_other_format(head, name)
    _refuse_web_page(start, name)
    return next(each.word for each in FORMATS if each.begins(start))


def begins_as_scan(head: bytes, name: str) -> bool:
    """Tell whether a file begins like scanned ground, whatever else is wrong with it.

    Parameters
    ----------
    head, name
        As for `detect`.

    Returns
    -------
    bool
        Whether it is a cloud or a height grid.
    """
    start = beginning_of(head, name)
    return any(each.is_scan and each.begins(start) for each in FORMATS)


def _refuse_web_page(start: FileStart, name: str) -> None:
    if start.element in {"html", "svg"}:
        raise InputError(Problem(path=name, message=WEB_PAGE.message, remedy=WEB_PAGE.remedy))
