"""A job file written anew with its corners where the stakes stand; all else stays as it is."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any

from staking.measure.lengths import Unit

if TYPE_CHECKING:
    from staking.plan import Point

OUTLINE_KEYS = frozenset({"corners", "rectangle", "sides"})
"""The keys of which one gives a building's outline."""

_PLACES = {Unit.M: 5, Unit.MM: 2}
"""Decimals of a coordinate: a hundredth of a millimetre, or a ten-thousandth of a foot or inch."""


def with_corners(text: str, buildings: Sequence[Sequence[tuple[str, Point]]], unit: Unit) -> str:
    """Replace the outlines of a job file.

    Parameters
    ----------
    text
        A job file that was read without a fault.
    buildings
        For each outline, in the order of the file, its corners with x and y on the grid, m.
    unit
        The job's unit: corners are written in it.

    Returns
    -------
    str
        The same text with ``corners:`` in the place of every outline; a shift of a building is set
        to nothing, as its corners stand on the grid.
    """
    edits: list[tuple[int, int, str]] = []
    for mapping, corners in zip(_outlines(text), buildings, strict=True):
        for key, value in mapping.value:
            start, end = key.start_mark.index, _last(value)
            if key.value in OUTLINE_KEYS:
                edits.append((start, end, f"corners: {_written(corners, unit, key)}"))
            elif key.value == "at":
                edits.append((value.start_mark.index, end, "[0, 0]"))
    for start, end, new in sorted(edits, reverse=True):
        text = text[:start] + new + text[end:]
    return text


def _outlines(text: str) -> Iterator[Any]:
    from ruamel.yaml import YAML

    root = YAML().compose(text)
    for key, value in root.value:
        if key.value == "building":
            yield value
        elif key.value == "buildings":
            yield from value.value


def _last(node: Any) -> int:
    # a block ends where the next token starts: its last scalar's own end leaves comments alone
    if isinstance(node.value, list) and node.value and not node.flow_style:
        last = node.value[-1]
        return _last(last[1] if isinstance(last, tuple) else last)
    return int(node.end_mark.index)


def _written(corners: Sequence[tuple[str, Point]], unit: Unit, key: Any) -> str:
    places = _PLACES.get(unit, 4)

    def number(metres: float) -> str:
        return f"{metres / unit.metres:.{places}f}".rstrip("0").rstrip(".")

    each = [f"{name}: [{number(x)}, {number(y)}]" for name, (x, y) in corners]
    pad = " " * (key.start_mark.column + 2)
    lines = [", ".join(each[i : i + 3]) for i in range(0, len(each), 3)]
    return "{" + f",\n{pad}".join(lines) + "}"
