"""Words of the trade that stand where a key of the job file goes by another word."""

from __future__ import annotations

OTHER_WORDS = {
    "partitions": "interior",
    "inside_walls": "interior",
    "interior_walls": "interior",
    "bearing_walls": "interior",
    "lines": "interior",
    "piers": "pads",
    "posts": "pads",
    "columns": "pads",
    "doors": "openings",
    "windows": "openings",
    "pipes": "sleeves",
    "floor": "slab",
    "outline": "corners",
    "points": "corners",
    "levels": "grade",
    "elevations": "ground",
    "spots": "ground",
    "wall_top": "top_of_wall",
    "frost": "frost_depth",
    "frost_line": "frost_depth",
    "topsoil": "strip",
    "lot": "site",
    "materials": "order",
    "rebar": "steel",
    "blocks": "block",
    "cmu": "block",
    "gravel": "stone",
    "working_room": "overdig",
    "over_dig": "overdig",
    "machine": "bucket",
    "slope": "bank",
    "thick": "thickness",
    "depth": "thickness",
    "height": "thickness",
    "wide": "width",
    "projection": "outside",
    "offset": "stand_off",
    "setback": "setbacks",
    "utilities": "buried",
    "pull": "tension",
}
"""The word that a builder may write, and the key that is meant where a section has that key."""


def key_meant(word: str, known: list[str]) -> str | None:
    """Give the key that is meant by another word of the trade.

    Parameters
    ----------
    word
        What stands in the file in place of a key.
    known
        The keys that the section has.

    Returns
    -------
    str or None
        The key; None where the word is not one of these, or the section has no such key.
    """
    meant = OTHER_WORDS.get(word.strip().lower().replace(" ", "_").replace("-", "_"))
    return meant if meant in known else None
