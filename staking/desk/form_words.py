"""Sentences that name keys of the job file, in the words of the form's headings and fields."""

from __future__ import annotations

import re

from staking.desk.question_list import WORDS

_HEADINGS = {
    "grade": ("Levels", "GradeKeys"),
    "order": ("The order", "OrderKeys"),
    "site": ("The lot", "SiteKeys"),
    "boards": ("Batter boards", "BoardKeys"),
    "dig": ("The dig", "DigKeys"),
    "tape": ("The tape", "TapeKeys"),
    "block": ("Block", "BlockKeys"),
    "steel": ("Steel", "SteelKeys"),
    "drain": ("Drain", "DrainKeys"),
    "fill": ("Fill", "FillKeys"),
    "forms": ("Forms", "FormsKeys"),
    "slab": ("Floor slab", "SlabKeys"),
    "limits": ("Limits", "LimitKeys"),
    "footing": ("Footing", "FootingKeys"),
}
"""By section of the job file: its heading on the form, and the name of its keys in the schema."""
_SECTIONS = "|".join(_HEADINGS)
_KEY_UNDER = re.compile(rf"\b([a-z_]+): under ({_SECTIONS})\b:?")
"""A key and the section it stands in, as in ``at: under boards:``."""
_UNDER = re.compile(rf"\bunder ({_SECTIONS}):")
_KEY_IN_BRACKETS = re.compile(r" \([a-z_]+:\)")
"""A key beside the words for it, which the form's field has already."""


def in_form_words(text: str) -> str:
    """Name the form's fields and headings where a sentence names keys of the job file.

    Parameters
    ----------
    text
        A sentence.

    Returns
    -------
    str
        The sentence; as it is where it names no key with its section.

    Examples
    --------
    >>> in_form_words("add at: under boards:.")
    'add Level of the strings under Batter boards.'
    """
    told = _KEY_UNDER.sub(lambda found: f"{_field(*found.groups())}", text)
    told = _UNDER.sub(lambda found: f"under {_HEADINGS[found[1]][0]}:", told)
    return _KEY_IN_BRACKETS.sub("", told)


def _field(key: str, section: str) -> str:
    heading, model = _HEADINGS[section]
    plain = key.replace("_", " ").capitalize()
    return f"{WORDS.get(f'{model}.{key}', WORDS.get(key, plain))} under {heading}"
