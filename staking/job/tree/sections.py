"""Parts of the file's tree as sections: found, cut out, or refused."""

from __future__ import annotations

from typing import Any

from staking.errors import MeasureError
from staking.job.keys.fields import read_text
from staking.job.tree.faults import Faults
from staking.job.tree.source import Branch, Place, Scalar, child


def part_of(root: Branch, keys: tuple[str, ...]) -> Branch:
    """Give some of the top's keys as a section of their own."""
    part = Branch(root.place, root.line)
    for key in keys:
        if key in root:
            part[key] = root[key]
            part.lines[key] = root.lines[key]
    return part


def section_of(root: Branch, key: str, faults: Faults) -> Branch:
    """Give a section of the top; an empty one where it is left out or is not a section."""
    value = root.get(key)
    if isinstance(value, Branch):
        return value
    if value is not None:
        refuse(value, (key,), faults)
    return Branch((key,), root.line)


def refuse(value: Any, place: Place, faults: Faults) -> None:
    """Note that something else stands where keys are due."""
    try:
        word = read_text(value) if isinstance(value, Scalar) else "a list"
        faults.add(place, f"{word} stands here where keys are due", "write its keys under it")
    except MeasureError:
        faults.add(place, "nothing is given", "write its keys, or take the line out")


def mapping_at(root: Branch, place: Place) -> Branch:
    """Give the mapping at a place."""
    node: Any = root
    for step in place:
        node = child(node, step)
    if not isinstance(node, Branch):
        raise TypeError(f"no mapping stands at {place}")
    return node
