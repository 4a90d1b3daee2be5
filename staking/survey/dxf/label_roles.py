"""What the labels of a drawing say: the names, the elevations or the descriptions of its points."""

from __future__ import annotations

import re
from collections.abc import Sequence
from enum import StrEnum

from staking.frozen import frozen
from staking.survey.delimited.heading import understand
from staking.survey.dxf.drawn_texts import DrawnText
from staking.survey.dxf.labels import Place, key
from staking.survey.dxf.written_levels import written_level

_MOSTLY = 0.9
"""What holds for at least this part of a layer's labels holds for the layer (common practice, no
source)."""


class LabelRole(StrEnum):
    """What the labels on one layer say; the values are the words of ``--columns``."""

    NAME = "point"
    LEVEL = "elevation"
    DESCRIPTION = "description"
    NAME_AND_LEVEL = "point and elevation"
    LEVEL_AND_DESCRIPTION = "elevation and description"
    PASSED = "-"


_WORDS_IN = {
    LabelRole.NAME: LabelRole.NAME,
    LabelRole.NAME_AND_LEVEL: LabelRole.NAME,
    LabelRole.DESCRIPTION: LabelRole.DESCRIPTION,
    LabelRole.LEVEL_AND_DESCRIPTION: LabelRole.DESCRIPTION,
}
"""What a label that is not an elevation is on a layer of such labels."""


@frozen
class Said:
    """What the labels of one point say.

    Parameters
    ----------
    name, description
        Empty where no label tells.
    level
        The elevation as written, or None.
    doubtful
        Labels of which several claim to be one thing; none of them counts.
    """

    name: str = ""
    description: str = ""
    level: str | None = None
    doubtful: tuple[str, ...] = ()


def layers_of(at: dict[Place, list[DrawnText]]) -> tuple[str, ...]:
    """Return the layers of labels, the one at most points first, then in the drawing's order."""
    counts: dict[str, int] = {}
    for texts in at.values():
        for layer in dict.fromkeys(text.layer for text in texts):
            counts[layer] = counts.get(layer, 0) + 1
    return tuple(sorted(counts, key=lambda layer: -counts[layer]))


def roles_of(at: dict[Place, list[DrawnText]]) -> tuple[dict[str, LabelRole], tuple[str, ...]]:
    """Tell from the labels themselves what each layer's say.

    Parameters
    ----------
    at
        The labels of each place.

    Returns
    -------
    tuple
        The role of each layer, and the layers of which any may hold the names, so that none does.
    """
    roles = {}
    likely = []
    on: dict[str, list[list[str]]] = {layer: [] for layer in layers_of(at)}
    for texts in at.values():
        for layer in dict.fromkeys(text.layer for text in texts):
            on[layer].append(lines_on(texts, layer))
    for layer, here in on.items():
        words = [[line for line in lines if not is_level(line)] for lines in here]
        names = [_first_name(each) or each[0] for each in words if each]
        if not names:
            roles[layer] = LabelRole.LEVEL
            continue
        has_levels = sum(map(len, words)) < sum(map(len, here))
        roles[layer] = LabelRole.LEVEL_AND_DESCRIPTION if has_levels else LabelRole.DESCRIPTION
        names = [split_name(name)[0] for name in names]
        if len(set(names)) >= _MOSTLY * len(names) or _mostly(names):
            likely.append((layer, names))
    naming = [layer for layer, _ in likely]
    if len(naming) > 1:
        naming = [layer for layer, names in likely if _mostly(names)] or naming
    if len(naming) > 1:
        naming = [layer for layer in naming if _says_points(layer)] or naming
    if len(naming) == 1:
        is_alone = roles[naming[0]] is LabelRole.DESCRIPTION
        roles[naming[0]] = LabelRole.NAME if is_alone else LabelRole.NAME_AND_LEVEL
    return roles, tuple(naming if len(naming) > 1 else ())


def told_roles(at: dict[Place, list[DrawnText]], words: dict[str, str]) -> dict[str, LabelRole]:
    """Return the roles of layers whose labels the user names.

    Parameters
    ----------
    at
        The labels of each place.
    words
        ``point``, ``elevation``, ``description`` or ``-`` for each layer.

    Returns
    -------
    dict
        The role of each layer. Where a layer has several labels at one point, the others there
        are told apart by their form.
    """
    several = {
        layer
        for texts in at.values()
        for layer in {text.layer for text in texts}
        if len(lines_on(texts, layer)) > 1
    }
    both = {
        LabelRole.NAME: LabelRole.NAME_AND_LEVEL,
        LabelRole.LEVEL: LabelRole.LEVEL_AND_DESCRIPTION,
    }
    roles = {layer: LabelRole(word) for layer, word in words.items()}
    return {
        layer: both.get(role, role) if layer in several else role for layer, role in roles.items()
    }


def _first_name(lines: Sequence[str]) -> str | None:
    """Return the one line that looks like a name; None where none does, or several."""
    like = [line for line in lines if is_like_a_name(split_name(line)[0])]
    return like[0] if len(like) == 1 else None


def _mostly(words: Sequence[str]) -> bool:
    """Tell whether most of the words look like names of points."""
    return sum(map(is_like_a_name, words)) >= _MOSTLY * len(words)


def _says_points(layer: str) -> bool:
    """Tell whether a layer's own name says that it holds points' names: PT-NO."""
    return "point" in {
        understand(layer).role,
        understand(re.split(r"[-_ $|]", layer)[-1]).role,
    }


def lines_on(texts: Sequence[DrawnText], layer: str) -> list[str]:
    """Return what the texts on one layer say, line by line."""
    return [line for text in texts if text.layer == layer for line in text.lines]


def is_level(text: str) -> bool:
    """Tell whether a label is an elevation by its form: a number with decimals, a word or unit."""
    level = written_level(text)
    return level is not None and level.is_plain


def is_like_a_name(text: str) -> bool:
    """Tell whether a label has a digit and no blank."""
    return any(map(str.isdigit, text)) and not any(map(str.isspace, text))


def split_name(text: str) -> tuple[str, str]:
    """Split ``12 (iron pin)`` into name and description; any other text is a name alone."""
    both = re.fullmatch(r"(\S+)\s+\((.*)\)", text)
    return (both[1], both[2]) if both else (text, "")


def said_at(texts: Sequence[DrawnText], roles: dict[str, LabelRole], place: Place) -> Said:
    """Read the labels of one point.

    Parameters
    ----------
    texts
        Its labels, in the order of the drawing.
    roles
        What each layer's labels say.
    place
        Where it is, for labels that sit on it.

    Returns
    -------
    Said
        What they say.
    """
    names: list[str] = []
    levels: list[str] = []
    words: list[str] = []
    for text in texts:
        role = roles.get(text.layer, LabelRole.PASSED)
        for line in text.lines:
            has_level = role in {LabelRole.NAME_AND_LEVEL, LabelRole.LEVEL_AND_DESCRIPTION}
            if role is LabelRole.LEVEL or (has_level and is_level(line)):
                levels.append(line)
            elif _WORDS_IN.get(role) is LabelRole.NAME:
                names.append(line)
            elif role is not LabelRole.PASSED:
                words.append(line)
    sits = all(place in {key(*each) for each in text.places} for text in texts)
    doubtful: list[str] = []
    if len(names) > 1:
        # On the point itself the first is the name and the others say more; so do labels of
        # which one alone looks like a name.
        first = names[0] if sits else _first_name(names)
        if first is None:
            doubtful, names = names, []
        else:
            names.remove(first)
            names, words = [first], [*names, *words]
    if len(set(levels)) > 1:
        doubtful, levels = [*doubtful, *levels], []
    name, more = split_name(names[0]) if names else ("", "")
    return Said(
        name=name,
        description=" ".join(word for word in (more, *words) if word),
        level=levels[0] if levels else None,
        doubtful=tuple(doubtful),
    )
