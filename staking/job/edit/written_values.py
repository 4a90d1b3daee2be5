"""Values as they are written into a job file: plain where the reader takes them so, else quoted."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

from staking.errors import InputError

if TYPE_CHECKING:
    from staking.job.edit.node_spans import Value
    from staking.job.tree.source import Place

_SURELY_PLAIN = re.compile(r"[A-Za-z0-9](?:[A-Za-z0-9 '\"/.%_+-]*[A-Za-z0-9'\"/.%_+-])?")

_LINE_EACH = frozenset({
    "building", "buildings", "buried", "corners", "grade", "interior", "keep", "openings", "order",
    "pads", "site", "sleeves", "stay_clear", "walls", "weigh",
})  # fmt: skip
"""Keys whose content is written with a line for each part when they are new; others in brackets."""


def in_line(value: Value, *, flow: bool) -> str:
    """Write a value so that it stays on its line.

    Parameters
    ----------
    value
        The value.
    flow
        Whether it stands within brackets, where commas and brackets part values.

    Returns
    -------
    str
        Lists and mappings in brackets.
    """
    if value is None:
        return ""
    if isinstance(value, str):
        return _scalar(" ".join(value.split()) if "\n" in value else value, flow=flow)
    if isinstance(value, list):
        return f"[{', '.join(in_line(each, flow=True) for each in value)}]"
    parts = (
        f"{_scalar(key, flow=True)}: {in_line(each, flow=True)}" for key, each in value.items()
    )
    return f"{{{', '.join(parts)}}}"


def after_colon(place: Place, value: Value, indent: int, newline: str) -> str:
    """Write what follows the colon of a new key in block style.

    Parameters
    ----------
    place
        The key's place, which says whether each part gets a line.
    value
        The value.
    indent
        Columns before the key.
    newline
        The file's line end.

    Returns
    -------
    str
        With the blank or the line end it begins with.
    """
    start = newline + " " * (indent + 2)
    if isinstance(value, str) and "\n" in value.strip():
        return f" |{start}{start.join(line.strip() for line in value.strip().splitlines())}"
    if isinstance(value, dict) and value and (place[-1] in _LINE_EACH or _has_lines(value)):
        lines = (
            f"{_scalar(key, flow=False)}:{after_colon((*place, key), each, indent + 2, newline)}"
            for key, each in value.items()
        )
        return start + start.join(lines)
    if isinstance(value, list) and value and place[-1] in _LINE_EACH:
        return start + start.join(f"- {in_line(each, flow=False)}" for each in value)
    return f" {in_line(value, flow=False)}"


def _has_lines(value: Value) -> bool:
    if isinstance(value, dict):
        return any(_has_lines(each) for each in value.values())
    return isinstance(value, str) and "\n" in value.strip()


def key_text(key: str, *, flow: bool) -> str:
    """Write a key."""
    return _scalar(key, flow=flow)


def _scalar(text: str, *, flow: bool) -> str:
    # Plain where reading it gives it back; a bare number in quotes would be refused as a length.
    if _SURELY_PLAIN.fullmatch(text) or _reads_back(text, flow=flow):
        return text
    if "'" in text and '"' not in text and "\\" not in text:
        return f'"{text}"'
    return "'" + text.replace("'", "''") + "'"


def _reads_back(text: str, *, flow: bool) -> bool:
    from staking.job.edit.node_spans import nodes_of

    try:
        top: Any = nodes_of(f"a: [{text}]\n" if flow else f"a: {text}\n", "")
    except InputError:
        return False
    node = top.value[0][1]
    if flow:
        if len(node.value) != 1:
            return False
        node = node.value[0]
    return isinstance(node.value, str) and node.value == text and not node.style
