"""An ending as a value, and how it is set in at most six lines."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from staking.frozen import frozen
from staking.output.cautions import CAUTIONS_IN_SHORT
from staking.output.terminal import WIDTH, wrapped
from staking.output.wording import safe

if TYPE_CHECKING:
    from collections.abc import Sequence

MOST_LINES = 6
"""Lines that an ending has at most."""

_CLAUSE_ENDS = ("; ", ": ", " (", ", ")
"""Where a sentence that is too long for its lines is left off, the best place first."""
_FEWEST = 0.3
"""A sentence is not left off at a clause that ends before so much of its room."""
_NAMED = 4
"""Up to so many files are named one by one."""


@frozen
class Ending:
    """What a command says last.

    Parameters
    ----------
    verdict
        Whether something is broken, and what; a sentence.
    first
        What to do first; a sentence, or empty where there is nothing to do.
    figure
        The figure that matters most; a sentence, or empty.
    files
        Where the files are; a sentence, or empty for a command that writes none.
    cautions
        Whether the cautions of digging are named.
    """

    verdict: str
    first: str = ""
    figure: str = ""
    files: str = ""
    cautions: bool = False


def ending_lines(ending: Ending, width: int = WIDTH) -> tuple[str, ...]:
    r"""Set an ending in at most six lines.

    Parameters
    ----------
    ending
        What is said.
    width
        Characters to a line. A path is never broken, so that it can be copied: its line alone
        may be longer.

    Returns
    -------
    tuple of str
        The lines. Where they would be more than six, the longest sentence but that of the files
        is left off after a clause; it stands in full above, in the notices or the tables.

    Examples
    --------
    >>> ending_lines(Ending(verdict="Square.", figure="A-C is 1/8\" long, 1/4\" is allowed."))
    ('Square.', 'A-C is 1/8" long, 1/4" is allowed.')
    """
    said = [
        ending.verdict,
        f"First: {ending.first}" if ending.first else "",
        ending.figure,
        CAUTIONS_IN_SHORT if ending.cautions else "",
        ending.files,
    ]
    rows = [_rows(text, width) for text in said]
    while sum(map(len, rows)) > MOST_LINES:
        longest = max(rows[:-1], key=len)
        if len(longest) == 1:
            break
        at = rows.index(longest)
        rows[at] = _left_off(said[at], len(longest) - 1, width)
    return tuple(line for each in rows for line in each)


def _rows(text: str, width: int) -> list[str]:
    return wrapped(text, width, rest="  ", break_long=False) if text else []


def _left_off(text: str, most: int, width: int) -> list[str]:
    # At the end of a clause that lies far enough along, else at the end of a word.
    room = (width - 2) * most
    for end in _CLAUSE_ENDS:
        at = len(text)
        while (at := text.rfind(end, 0, at)) > room * _FEWEST:
            rows = _rows(f"{text[:at]} ...", width)
            # What stands in brackets is left off whole.
            if len(rows) <= most and text.count("(", 0, at) == text.count(")", 0, at):
                return rows
    words = text.split(" ")
    while len(words) > 1:
        words.pop()
        rows = _rows(f"{' '.join(words)} ...", width)
        if len(rows) <= most:
            return rows
    return _rows(text, width)[:most]


def files_sentence(paths: Sequence[Path], lead: str = "Files") -> str:
    """Say where the files are.

    Parameters
    ----------
    paths
        The files, all in one folder.
    lead
        What they are, at the head of the sentence.

    Returns
    -------
    str
        A few are named; of a whole set those to print and to carry. The folder stands last, so
        that a long one has a line of its own. Empty where there are no files.
    """
    if not paths:
        return ""
    if len(paths) == 1:
        return f"{lead}: {safe(str(paths[0]))}"
    folder = safe(str(paths[0].parent))
    names = [path.name for path in paths]
    if len(names) <= _NAMED:
        return f"{lead}: {', '.join(names)} in {folder}"
    use = [
        said
        for name, said in (
            ("sheet.pdf", "print sheet.pdf"),
            ("page.html", "carry page.html"),
            ("record.pdf", "keep record.pdf"),
        )
        if name in names
    ]
    return f"{lead}: {', '.join((*use, f'{len(names)} in all'))} in {folder}"
