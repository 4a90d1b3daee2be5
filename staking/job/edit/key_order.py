"""The order in which new keys are put into a job file: that of the models, as people write it."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Sequence

    from staking.job.tree.source import Place

_TOP = (
    "job", "units", "show", "nearest", "paper", "building", "buildings", "wall", "footing",
    "walls", "openings", "interior", "pads", "sleeves", "slab", "boards", "dig", "tape",
    "tolerances", "site", "grade", "order", "weigh",
)  # fmt: skip
_OUTLINE_FIRST = ("name", "at", "corners", "rectangle", "sides")
_HEAD_FIRST = ("name", "wall", "from", "to", "at")
"""What an opening, a line, a pad or a pipe is called and where it is comes before its sizes."""


@cache
def schema() -> dict[str, Any]:
    """Give the job file's JSON Schema, made once.

    Returns
    -------
    dict
        As `job_file_schema` makes it.
    """
    from staking.job.keys.schema import job_file_schema

    return job_file_schema()


def keys_in_order(place: Place) -> Sequence[str]:
    """List the keys that a mapping of the job file may hold.

    Parameters
    ----------
    place
        Where the mapping stands.

    Returns
    -------
    sequence of str
        In the order in which they are written; empty where names stand there, or one value.

    Examples
    --------
    >>> keys_in_order(("building", "slab"))
    ('top', 'thickness', 'base')
    """
    if not place:
        return _TOP
    node: dict[str, Any] | None = schema()
    for step in place:
        node = _below(node, step) if node is not None else None
    if node is None:
        return ()
    node = _resolved(node)
    ways = [_resolved(each) for each in (node, *node.get("anyOf", ()), *node.get("oneOf", ()))]
    keys = tuple(dict.fromkeys(key for way in ways for key in way.get("properties", ())))
    first = _OUTLINE_FIRST if "rectangle" in keys else _HEAD_FIRST if "name" in keys else ()
    if place[-2:-1] in {("openings",), ("sleeves",)}:
        first = _HEAD_FIRST
    return (*(key for key in first if key in keys), *(key for key in keys if key not in first))


def _resolved(node: dict[str, Any]) -> dict[str, Any]:
    while "$ref" in node:
        found: dict[str, Any] = schema()["$defs"][node["$ref"].rsplit("/", maxsplit=1)[-1]]
        node = found
    return node


def _below(node: dict[str, Any], step: str | int) -> dict[str, Any] | None:
    """Find what the schema says of a key or an item."""
    node = _resolved(node)
    for way in (node, *node.get("anyOf", ()), *node.get("oneOf", ())):
        whole = _resolved(way)
        found: dict[str, Any] | None
        if isinstance(step, int):
            found = whole.get("items")
        else:
            found = whole.get("properties", {}).get(step)
            if found is None and isinstance(whole.get("additionalProperties"), dict):
                found = whole["additionalProperties"]
        if found is not None:
            return found
    return None
