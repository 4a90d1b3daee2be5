"""Faults of single points in an XML survey: gathered, so that all are told at once."""

from __future__ import annotations

import math

from staking.errors import InputError, Problem
from staking.notices import Notice, Severity, notice
from staking.survey.name_list import listed

MOST_TOLD = 20
"""How many faults are written out before the rest is only counted."""


class PointFaults:
    """The faults found so far; with `skip` they become a notice instead of a refusal.

    Parameters
    ----------
    name
        The file as the user named it.
    skip
        Whether to read the rest and list what was left.
    """

    def __init__(self, name: str, skip: bool) -> None:
        self._name, self._skip = name, skip
        self._told: list[Problem] = []
        self._count = 0

    def add(self, line: int, message: str, remedy: str = "") -> None:
        """Take down one fault on a line of the file."""
        self._count += 1
        if self._count <= MOST_TOLD:
            self._told.append(Problem(path=self._name, line=line, message=message, remedy=remedy))

    def settle(self) -> list[Notice]:
        """Refuse the file for its faults, or give the notice of what was left out.

        Returns
        -------
        list of Notice
            Empty where there was no fault.

        Raises
        ------
        InputError
            With every fault, unless they are to be skipped.
        """
        if not self._count:
            return []
        if not self._skip:
            more = self._count - len(self._told)
            last = [Problem(path=self._name, message=f"and {more} more such faults")]
            raise InputError(*self._told, *(last if more else []))
        places = [f"line {problem.line}: {problem.message}" for problem in self._told]
        places += ["…"] * (self._count - len(places))
        return [
            notice(
                "bad-lines-skipped",
                "{count} faulty elements were left out ({lines})",
                count=self._count,
                lines=listed(places, most=MOST_TOLD),
            )
        ]


def numbers(text: str) -> list[float] | str:
    """Read numbers parted by blanks, or return the first word that is none.

    Parameters
    ----------
    text
        Such as ``6783020.064 21530666.426 17.400``.

    Returns
    -------
    list of float or str
        The numbers, all finite; else the word.

    Examples
    --------
    >>> numbers("1.5 2e3")
    [1.5, 2000.0]
    >>> numbers("1.5 nan")
    'nan'
    """
    found = []
    for word in text.split():
        try:
            value = float(word)
        except ValueError:
            return word
        # Python reads 1_000 and words for the infinities; a survey means none of them.
        if not math.isfinite(value) or "_" in word:
            return word
        found.append(value)
    return found


def shown(text: str, most: int = 40) -> str:
    """Cut text from a file to fit a sentence.

    Parameters
    ----------
    text
        As it stands in the file.
    most
        Characters to keep.

    Returns
    -------
    str
        Blanks and line ends as one blank, nothing that steers a terminal.

    Examples
    --------
    >>> shown("12   7")
    '12 7'
    """
    plain = "".join(c if c.isprintable() else " " for c in text)
    words = " ".join(plain.split())
    return words if len(words) <= most else words[: most - 1] + "…"


def numbered(names: list[str]) -> tuple[list[str], int]:
    """Give every nameless point the next number that no point bears.

    Parameters
    ----------
    names
        The names; empty where the file gives none.

    Returns
    -------
    tuple of list of str and int
        The names, none empty, and how many were given.

    Examples
    --------
    >>> numbered(["", "1", "", "7"])
    (['2', '1', '3', '7'], 2)
    """
    taken = set(names)
    given, number, made = 0, 0, []
    for name in names:
        if not name:
            number += 1
            while str(number) in taken:
                number += 1
            name, given = str(number), given + 1
        made.append(name)
    return made, given


def numbered_notices(given: int) -> list[Notice]:
    """Say that points were given numbers, from the count of `numbered`; nothing for none."""
    if not given:
        return []
    text = "{count} points have no name and are numbered"
    if given == 1:
        text = "a point without a name is numbered"
    return [notice("points-numbered", text, severity=Severity.NOTE, count=given)]
