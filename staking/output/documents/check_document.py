"""A check of the stakes as one JSON document: lengths in the job's unit, nothing rounded."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from staking.adjust.common_error import CommonKind
from staking.measure.lengths import Unit
from staking.output.tables.check_tables import (
    move_lines,
    repeat_lines,
    slide_text,
    step_text,
    verdict_text,
)
from staking.output.tables.stakes_tables import nail_text
from staking.output.wording import Words, safe

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from staking.adjust.check_limits import Limit
    from staking.adjust.moves import Move
    from staking.adjust.nail_slides import BoardSlide
    from staking.adjust.stake_places import StakeStanding
    from staking.adjust.verdict import Judged
    from staking.checked.stakes_checked import Checked
    from staking.checked.stakes_off_place import Staked
    from staking.plan import Options

SCHEMA = "staking/check/1"

Record = dict[str, Any]


def check_document(checked: Checked) -> Record:
    """Build the document of a check.

    Parameters
    ----------
    checked
        The check.

    Returns
    -------
    dict
        Lengths in the job's unit, angles in degrees. A reading that is named alone is left out
        of the shape; its `standardised` and `redundancy` are those it was named with.
    """
    metres, words = Unit(checked.options.unit).metres, Words(checked.options)

    def length(value: float) -> float:
        return round(value / metres, 10) + 0.0

    hold = checked.hold
    return {
        "schema": SCHEMA,
        "job": safe(checked.plan.job),
        "unit": checked.options.unit,
        "hold": None if hold is None else {"corner": hold.corner, "wall": "-".join(hold.wall)},
        "to_place": checked.to_place,
        "corners": _corners(checked, length),
        "measurements": _measurements(checked, length),
        "points": _points(checked, length),
        "redundancy": checked.judged.redundancy,
        "variance_factor": checked.judged.sifted.solution.variance_factor,
        "square": checked.verdict.square,
        "decided": checked.verdict.decided,
        "verdict": verdict_text(checked),
        "repeat": [{"from": each.from_name, "to": each.to_name} for each in checked.judged.repeat],
        "repeat_text": list(repeat_lines(checked)),
        "limits": [_limit(each, length) for each in checked.limits],
        "common": _common(checked, length),
        "stake_off": list(checked.judged.stake_off.names) if checked.judged.stake_off else [],
        "checks": [_check(each, length) for each in checked.verdict.judged],
        "advice": _advice(checked, length),
        "advice_text": list(move_lines(checked)),
        "nails": [
            {
                "board": each.board,
                "string": each.string,
                "end": each.end,
                "slide": length(each.distance),
                "distance": length(abs(each.rounded)),
                "toward": _slide_way(each),
                "text": slide_text(each, checked.options),
            }
            for each in checked.slides
        ],
        "after": [
            {"from": each.from_name, "to": each.to_name, "distance": length(each.distance)}
            for each in checked.after
        ],
        "stakes": _stakes(checked.staked, checked.options, length),
        "warnings": list(dict.fromkeys(words.notice(each) for each in checked.notices)),
    }


def _corners(checked: Checked, length: Callable[[float], float]) -> list[Record]:
    return _standing(checked.corners, checked.moves[: len(checked.corners)], length)


def _points(checked: Checked, length: Callable[[float], float]) -> list[Record]:
    return _standing(checked.points, checked.moves[len(checked.corners) :], length)


def _standing(
    standing: Sequence[StakeStanding], moves: Sequence[Move], length: Callable[[float], float]
) -> list[Record]:
    return [
        {
            "name": each.corner,
            "x": length(each.x),
            "y": length(each.y),
            "move_x": length(move.x),
            "move_y": length(move.y),
            "radius95": length(each.radius95),
            "angle": None if each.angle is None else round(math.degrees(each.angle), 10),
        }
        for each, move in zip(standing, moves, strict=True)
    ]


def _limit(limit: Limit, length: Callable[[float], float]) -> Record:
    return {
        "what": safe(limit.what),
        "allowed": length(limit.allowed),
        "limit": length(limit.limit),
        "by": str(limit.by),
    }


def _common(checked: Checked, length: Callable[[float], float]) -> Record | None:
    common = checked.judged.common
    if common is None:
        return None
    offset = common.kind is CommonKind.OFFSET
    return {
        "kind": str(common.kind),
        "amount": length(common.amount) if offset else round(common.amount, 10),
    }


def _slide_way(slide: BoardSlide) -> str:
    if slide.by_wall:
        return "building" if slide.rounded < 0 else "away from the building"
    return "left" if slide.rounded < 0 else "right"


def _measurements(checked: Checked, length: Callable[[float], float]) -> list[Record]:
    suspected = checked.judged.suspected
    slips = {suspect.members[0]: suspect for suspect in checked.judged.suspects}
    found = []
    for place, each in enumerate(checked.judged.adjusted):
        record: Record = {
            "from": each.measurement.from_name,
            "to": each.measurement.to_name,
            "measured": length(each.measurement.distance),
            "adjusted": length(each.adjusted),
            "residual": length(each.residual),
            "standardised": each.standardised,
            "redundancy": each.redundancy,
            "suspect": place in suspected,
            "left_out": place in checked.judged.left_out,
        }
        if place in slips:
            record["reads_long_by"] = length(slips[place].size)
            record["slip"] = slips[place].slip or None
        found.append(record)
    return found


def _stakes(
    staked: Staked | None, options: Options, length: Callable[[float], float]
) -> Record | None:
    if staked is None:
        return None
    shift = staked.displacement
    return {
        "error": length(staked.error),
        "by_strings": staked.crossed,
        "in_place": staked.in_place,
        "displacement": None
        if shift is None
        else {
            "x": length(shift.x),
            "y": length(shift.y),
            "north": length(staked.north or 0.0),
            "east": length(staked.east or 0.0),
            "turn": round(math.degrees(shift.turn), 10),
        },
        "points": [
            {
                "name": safe(each.name),
                "what": safe(each.what),
                "off_x": length(each.x),
                "off_y": length(each.y),
                "allowed": length(each.allowed),
                "limit": length(each.limit.limit),
                "good": each.good,
            }
            for each in (*staked.stakes, *staked.others)
        ],
        "nails": [
            {
                "name": safe(each.nail.name),
                "board": each.nail.board,
                "mark": each.nail.mark,
                "wall": each.nail.wall,
                "slide": length(each.distance),
                "allowed": length(each.allowed),
                "good": each.good,
                "text": nail_text(each, options),
            }
            for each in staked.nails
        ],
        "unknown": [safe(name) for name in staked.unknown],
    }


def _check(each: Judged, length: Callable[[float], float]) -> Record:
    return {
        "kind": each.check.kind,
        "at": each.check.at,
        "from": each.check.from_name,
        "to": each.check.to_name,
        "distance": length(each.now),
        "planned": length(each.check.distance),
        "allowed": length(each.check.allowed),
        "limit": length(each.limit.limit),
        "error": length(each.error),
        "square": each.square,
        "decided": each.decided,
    }


def _advice(checked: Checked, length: Callable[[float], float]) -> list[Record]:
    return [
        {
            "corner": move.corner,
            "distance": length(step.distance),
            "toward": step.toward,
            "x": length(step.x),
            "y": length(step.y),
            "text": f"move {move.corner} {step_text(step, checked.options)}",
        }
        for move in checked.moves
        for step in move.steps
    ]
