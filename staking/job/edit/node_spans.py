"""Where the values of a job file stand in its text: nodes with the first and last character."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from staking.errors import InputError, Problem
from staking.job.tree.source import STARTER_HINT, compose

if TYPE_CHECKING:
    from staking.job.tree.source import Place

Value = str | list["Value"] | dict[str, "Value"] | None
"""What stands in a file, each single value as its text; None where nothing is written."""


def nodes_of(text: str, path: str) -> Any:
    """Compose a text to its nodes.

    Parameters
    ----------
    text
        The whole file.
    path
        What faults call it.

    Returns
    -------
    MappingNode
        The top of the file.

    Raises
    ------
    InputError
        Where the text is not a mapping, or cannot be read, as `parse_tree` says it.
    """
    from ruamel.yaml.nodes import MappingNode

    node, problems = compose(text, path)
    if problems:
        raise InputError(*problems)
    if not isinstance(node, MappingNode):
        raise InputError(
            Problem(path=path, message="the file does not start with a key", remedy=STARTER_HINT)
        )
    return node


def value_of(node: Any) -> Value:
    """Give what a node holds; of a key given twice the last.

    Returns
    -------
    Value
        Text, list or mapping.
    """
    from ruamel.yaml.nodes import MappingNode, SequenceNode

    if isinstance(node, MappingNode):
        return {str(key.value): value_of(value) for key, value in node.value}
    if isinstance(node, SequenceNode):
        return [value_of(each) for each in node.value]
    if is_empty(node):
        return None
    return str(node.value)


def is_empty(node: Any) -> bool:
    """Say whether a key stands there with nothing after it."""
    return bool(node.start_mark.index == node.end_mark.index)


def entry_at(root: Any, place: Place) -> tuple[Any, Any] | None:
    """Find what stands at a place.

    Returns
    -------
    tuple or None
        The key's node (None in a list) and the value's; None where nothing of that name stands.
    """
    from ruamel.yaml.nodes import MappingNode, SequenceNode

    found: tuple[Any, Any] = (None, root)
    for step in place:
        node = found[1]
        if isinstance(node, MappingNode) and isinstance(step, str):
            near = [entry for entry in node.value if entry[0].value == step]
            if not near:
                return None
            found = near[0]
        elif isinstance(node, SequenceNode) and isinstance(step, int) and step < len(node.value):
            found = (None, node.value[step])
        else:
            return None
    return found


def start_of(entry: tuple[Any, Any]) -> int:
    """Give the place in the text where an entry begins: its key, or in a list its value."""
    key, value = entry
    mark = (value if key is None else key).start_mark
    return int(mark.index)


def end_of(text: str, entry: tuple[Any, Any]) -> int:
    """Give the place in the text just after the last character of an entry's value.

    Returns
    -------
    int
        The place after it.

    Notes
    -----
    A node in block style ends, for the reader, where the next one begins; what is wanted is the
    end of its last value, so that comments between the two belong to neither.
    """
    from ruamel.yaml.nodes import CollectionNode, MappingNode

    key, value = entry
    if isinstance(value, CollectionNode) and not value.flow_style and value.value:
        last = value.value[-1]
        return end_of(text, last if isinstance(value, MappingNode) else (None, last))
    if is_empty(value):
        return colon_of(text, key) if key is not None else int(value.end_mark.index)
    return len(text[: value.end_mark.index].rstrip())


def colon_of(text: str, key: Any) -> int:
    """Give the place in the text just after the colon of a key."""
    return text.index(":", key.end_mark.index) + 1


def line_end(text: str, at: int) -> int:
    """Give the place of the line end after a place in the text, its carriage return included."""
    found = text.find("\n", at)
    if found < 0:
        return len(text)
    return found - 1 if found > at and text[found - 1] == "\r" else found


def line_start(text: str, at: int) -> int:
    """Give the place where the line of a place in the text begins."""
    return text.rfind("\n", 0, at) + 1
