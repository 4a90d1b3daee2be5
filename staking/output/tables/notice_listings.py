"""Notices as listings, the gravest first."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.notices import Severity
from staking.output.blocks import Listing

if TYPE_CHECKING:
    from collections.abc import Iterable

    from staking.notices import Notice
    from staking.output.wording import Words


_OWN = frozenset({
    "a",
    "all",
    "an",
    "board",
    "boards",
    "every",
    "hub",
    "hubs",
    "the",
    "stake",
    "stakes",
})
"""Words of ours that fill a gap at the beginning of a sentence, where else a name stands."""


def notice_blocks(notices: Iterable[Notice], words: Words) -> tuple[Listing, ...]:
    """Set out notices, the gravest first, those of one kind together.

    Parameters
    ----------
    notices
        What is to be told.
    words
        The job's words.

    Returns
    -------
    tuple of Listing
        At most three: what is broken, what wants a decision, what was assumed or moved.
    """
    titles = {
        Severity.BROKEN: "Broken",
        Severity.WARNING: "Look at these",
        Severity.NOTE: "Noted",
    }
    told = tuple(notices)
    listings = []
    for severity, title in titles.items():
        kinds: dict[str, dict[str, None]] = {}
        for each in told:
            if each.severity is severity:
                kinds.setdefault(each.kind, {})[notice_sentence(each, words)] = None
        if kinds:
            lines = tuple(line for group in kinds.values() for line in group)
            listings.append(Listing(title=title, lines=lines))
    return tuple(listings)


def notice_sentence(told: Notice, words: Words) -> str:
    """Write out a notice as a sentence: a capital letter first, a stop last.

    Parameters
    ----------
    told
        The notice.
    words
        How its quantities are written.

    Returns
    -------
    str
        The sentence. What begins with a name, a file's name or a key of the job file begins as
        that is written.
    """
    text = words.notice(told)
    first = text.split(" ", 1)[0]
    is_name = told.text.startswith("{") and first.rstrip(",") not in _OWN
    if is_name or first.endswith(":"):
        return sentence(text)
    return sentence(text[:1].upper() + text[1:])


def sentence(text: str) -> str:
    """Finish a sentence with a stop.

    Parameters
    ----------
    text
        A sentence without its stop. Its first letter stays as it is: it may be a name.

    Returns
    -------
    str
        The sentence.

    Examples
    --------
    >>> sentence("dig by hand")
    'dig by hand.'
    """
    return text if text.endswith((".", "!", "?")) else f"{text}."
