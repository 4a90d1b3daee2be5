"""Comments of a job file: where they stand in its text, so that no edit loses one."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

from staking.job.edit.node_spans import line_start

if TYPE_CHECKING:
    from collections.abc import Iterator

_MARK = re.compile(r"(?:^|(?<=[\s\[\]{},]))#[^\r\n]*", re.MULTILINE)
_HEAD = re.compile(r"[|>][0-9+-]*")
"""The head of a text of several lines, after which a comment may stand on the same line."""


def comments_between(root: Any, text: str, start: int, end: int) -> list[str]:
    """List the comments that begin within a stretch of the text.

    Parameters
    ----------
    root
        The nodes of the text.
    text
        The whole file.
    start, end
        The stretch: its first character, and the one after its last.

    Returns
    -------
    list of str
        Each from its ``#`` to the end of its line, in order.
    """
    if "#" not in text[start:end]:
        return []
    values = list(_values(root, text))
    return [
        found[0].rstrip()
        for found in _MARK.finditer(text)
        if start <= found.start() < end
        and not any(first <= found.start() < last for first, last in values)
    ]


def own_line(root: Any, text: str, at: int) -> int:
    """Give the beginning of the line above which a comment may be put on a line of its own.

    Parameters
    ----------
    root
        The nodes of the text.
    text
        The whole file.
    at
        A place in the text.

    Returns
    -------
    int
        The beginning of that place's line, or of the line on which a value begins that runs on
        into it.
    """
    begin = line_start(text, at)
    for first, last in reversed(list(_values(root, text))):
        if first < begin < last:
            begin = line_start(text, first)
    return begin


def _values(node: Any, text: str) -> Iterator[tuple[int, int]]:
    """Give where the keys and single values stand, in order; what is between them is no value."""
    from ruamel.yaml.nodes import MappingNode, SequenceNode

    if isinstance(node, MappingNode):
        for key, value in node.value:
            yield from _values(key, text)
            yield from _values(value, text)
    elif isinstance(node, SequenceNode):
        for each in node.value:
            yield from _values(each, text)
    else:
        start, end = int(node.start_mark.index), int(node.end_mark.index)
        head = _HEAD.match(text, start) if node.style in {"|", ">"} else None
        if head is None:
            yield start, end
            return
        # The rest of the head's line may be a comment; what follows the last line is none of it.
        first = text.find("\n", head.end())
        yield start, head.end()
        yield first if first >= 0 else end, start + len(text[start:end].rstrip())
