"""The order of work as one JSON document: lengths in the job's unit, nothing rounded."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from staking.measure.lengths import Unit
from staking.output.tables.work_tables import near_lines, step_texts
from staking.output.wording import Words, safe

if TYPE_CHECKING:
    from collections.abc import Callable

    from staking.laid_out.layout_value import Layout
    from staking.layout.steps.base_line import BaseLine
    from staking.layout.steps.corner_setting import CornerSetting
    from staking.layout.steps.work import LeastTapes, Squaring, WorkPlan

SCHEMA = "staking/plan/1"

Record = dict[str, Any]


def work_document(layout: Layout, work: WorkPlan) -> Record:
    """Build the document of an order of work.

    Parameters
    ----------
    layout
        The layout.
    work
        The order of work.

    Returns
    -------
    dict
        Lengths in the job's unit, angles in degrees.
    """
    metres, words = Unit(layout.options.unit).metres, Words(layout.options)

    def length(value: float | None) -> float | None:
        return None if value is None else round(value / metres, 10) + 0.0

    texts = step_texts(work, words)
    return {
        "schema": SCHEMA,
        "job": safe(layout.plan.job),
        "unit": layout.options.unit,
        "base_line": _base_line(work.base, words, length),
        "stakes": [_setting(each, length) for each in work.settings],
        "temporary": _temporary(work, length),
        "square": None if work.squaring is None else _squaring(work.squaring, length),
        "other_squares": [_squaring(each, length) for each in work.other_squarings],
        "steps": [
            {
                "number": number,
                "part": step.part,
                "kind": step.kind,
                "names": list(step.names),
                "tapes": [_tape(each, length) for each in step.tapes],
                "text": text,
            }
            for number, (step, text) in enumerate(zip(work.steps, texts, strict=True), start=1)
        ],
        "accuracy": [
            {
                "corner": each.corner,
                "radius95": length(each.chosen),
                "least": length(each.least),
                "squared_off": length(each.squared_off),
            }
            for each in work.expected
        ],
        "least": None if work.least is None else _least(work.least, length),
        "in_words": list(near_lines(layout, work)),
        "warnings": list(dict.fromkeys(words.notice(n) for n in (*layout.notices, *work.notices))),
    }


def _base_line(
    base: BaseLine, words: Words, length: Callable[[float | None], float | None]
) -> Record:
    return {
        "from": base.first,
        "to": base.second,
        "length": length(base.length),
        "kind": base.kind,
        "why_line": words.notice(base.why_line),
        "why_corner": words.notice(base.why_corner),
    }


def _tape(tape: tuple[str, str, float], length: Callable[[float | None], float | None]) -> Record:
    return {"from": tape[0], "to": tape[1], "distance": length(tape[2])}


def _setting(setting: CornerSetting, length: Callable[[float | None], float | None]) -> Record:
    return {
        "corner": setting.corner,
        "method": setting.method,
        "tapes": [
            {"from": name, "to": setting.corner, "distance": length(distance)}
            for name, distance in setting.tapes
        ],
        "sight": setting.sight or None,
        "swing": None if setting.swing is None else round(math.degrees(setting.swing), 10),
        "side": setting.side,
    }


def _temporary(work: WorkPlan, length: Callable[[float | None], float | None]) -> Record | None:
    if work.fourth is None:
        return None
    x, y = work.fourth.point
    return {
        "name": work.fourth.name,
        "x": length(x),
        "y": length(y),
        "with": list(work.fourth.corners),
    }


def _squaring(squaring: Squaring, length: Callable[[float | None], float | None]) -> Record:
    return {
        "diagonals": [list(pair) for pair in squaring.diagonals],
        "length": length(squaring.length),
        "allowed": length(squaring.allowed),
        "hold": list(squaring.held),
        "move": list(squaring.moved),
        "difference": length(squaring.difference),
        "slide": length(squaring.slide),
    }


def _least(least: LeastTapes, length: Callable[[float | None], float | None]) -> Record:
    return {
        "radius": length(least.wanted),
        "reached": least.reached,
        "exact": least.exact,
        "at_least": least.at_least,
        "usable": least.usable,
        "radius_of_all": length(least.whole),
        "tapes": [_tape(each, length) for each in least.tapes],
    }
