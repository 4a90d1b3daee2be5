"""The documents of an earlier layout read back, to say what changed since."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from staking.laid_out.layout_changes import BoardMemory, Memory
from staking.measure.lengths import Unit
from staking.output.documents.grade_document import grade_document
from staking.output.documents.layout_document import SCHEMA, layout_document

if TYPE_CHECKING:
    from pathlib import Path

    from staking.laid_out.layout_value import Layout

_MOST = 50_000_000
"""Bytes of a document that is read back; one of 400 corners has a tenth of it."""


def memory_of(layout: Layout) -> Memory:
    """Give what a layout says as its documents say it.

    Parameters
    ----------
    layout
        The layout.

    Returns
    -------
    Memory
        With the levels where the job has them.
    """
    levels = None if layout.grade is None else grade_document(layout)
    return _memory(layout_document(layout), levels)


def earlier_memory(folder: Path) -> Memory | None:
    """Read what the last layout in a folder said.

    Parameters
    ----------
    folder
        Where ``layout.json`` may stand, and ``grade.json`` beside it.

    Returns
    -------
    Memory or None
        None where there is no layout of ours that can be read.
    """
    layout, levels = _document(folder / "layout.json"), _document(folder / "grade.json")
    if layout is None or layout.get("schema") != SCHEMA:
        return None
    try:
        return _memory(layout, levels)
    except (KeyError, TypeError, ValueError, AttributeError):
        # somebody wrote into it: what it says is not known
        return None


def _document(path: Path) -> dict[str, Any] | None:
    try:
        if not path.is_file() or path.stat().st_size > _MOST:
            return None
        found = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError, RecursionError):
        return None
    return found if isinstance(found, dict) else None


def _memory(layout: dict[str, Any], levels: dict[str, Any] | None) -> Memory:
    metres = Unit(layout["unit"]).metres
    ends = {
        name: f"{string['name']} {end}"
        for string in layout["strings"]
        for end, name in zip(("start", "end"), string["boards"], strict=True)
        if name is not None
    }
    return Memory(
        mark=str(layout.get("mark", "")),
        boards={
            board["name"]: BoardMemory(
                at=ends[board["name"]],
                place=(board["x"] * metres, board["y"] * metres),
                nails={
                    f"{each['mark']} {each['wall']}": each["offset"] * metres
                    for each in board["marks"]
                },
            )
            for board in layout["boards"]
        },
        tapes={_tape(each): each["distance"] * metres for each in layout["checks"]},
        levels=None if levels is None else _levels(levels),
    )


def _tape(check: dict[str, Any]) -> str:
    pair = f"{check['from']}-{check['to']}"
    return pair if check["at"] is None else f"{check['kind']} at {check['at']}"


def _levels(document: dict[str, Any]) -> dict[tuple[str, float], float]:
    metres = Unit(document["unit"]).metres
    return {
        (wall["wall"], round(run["start"] * metres, 3)): run["dig_level"] * metres
        for wall in document["walls"]
        for run in wall["runs"]
    }
