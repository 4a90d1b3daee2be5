"""The steps after the corner stakes: boards, strings, checks, interior lines, pads and paint."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import Protocol

from staking.kinds import CheckKind, Hand, StringKind, WorkKind, WorkPart
from staking.layout.layout_parts import Board, Check, Hub, String
from staking.layout.marks import dig_growth
from staking.layout.steps.work import WorkStep
from staking.layout.steps.work_steps import listed, says
from staking.plan import Footing, Options, Pad, Plan
from staking.tolerances import ON_LINE

CHECK_WORDS = {
    CheckKind.SIDE: "every side once more",
    CheckKind.DIAGONAL: "the diagonals",
    CheckKind.TIE: "the ties between the buildings",
}


class LowerLine(Protocol):
    """A lower string as the levels give it: its string, its level, and where it ends, m."""

    @property
    def string(self) -> str:
        """The string it hangs under."""

    @property
    def level(self) -> float:
        """Its elevation, m."""

    @property
    def boards(self) -> tuple[str | None, str | None]:
        """The boards it is tied under, at the string's start and end."""

    @property
    def across(self) -> float | None:
        """How far along it ends at a board across the trench, m; None where it does not."""


def board_steps(
    strings: tuple[String, ...],
    boards: tuple[Board, ...],
    level: float | None,
    heights: Mapping[str, float],
    tiers: Mapping[str, float],
) -> tuple[WorkStep, ...]:
    """Say where the boards stand, string by string.

    Parameters
    ----------
    strings, boards
        What was laid out.
    level
        The elevation of all board tops, m; None where the job has none.
    heights
        How high each board's top stands above the ground, m, where that is known.
    tiers
        The elevation of a lower string, m, where a board would stand too high.

    Returns
    -------
    tuple of WorkStep
        One for each string that has a board, and before them how high the boards stand.
    """
    named = {board.name: board for board in boards}
    made = []
    for string in strings:
        kept = [(place, name) for place, name in enumerate(string.boards) if name is not None]
        told: list[str] = []
        values: dict[str, str | float] = {"s": string.name}
        for place, name in kept:
            text, more = _board(f"{place}", named[name], heights.get(name), tiers.get(name))
            told.append(text)
            values |= more
        if told:
            names = tuple(name for _, name in kept)
            made.append(
                _step(WorkPart.BOARDS, WorkKind.BOARD, names, f"{{s}}: {'; '.join(told)}", values)
            )
    if not made:
        return ()
    rule = (
        "hook on the stake, reel measures out along the line run on past it; each board stands "
        "square to its line and firm, all tops level with one another"
    )
    heading: dict[str, str | float] = {}
    if level is not None:
        rule, heading = f"{rule}, at elevation {{level}}", {"level": float(level)}
    return (_step(WorkPart.BOARDS, WorkKind.RULE, (), rule, heading), *made)


def _board(
    key: str, board: Board, height: float | None, tier: float | None
) -> tuple[str, dict[str, str | float]]:
    values: dict[str, str | float] = {
        f"b{key}": board.name,
        f"e{key}": board.past,
        f"d{key}": float(board.stand_off),
    }
    beyond = "the far face" if board.far_face else f"{{e{key}}}"
    text = f"board {{b{key}}} stands {{d{key}}} past {beyond}"
    if height is not None:
        values[f"h{key}"] = float(height)
        text += f", its top {{h{key}}} above the ground"
    if tier is not None:
        values[f"t{key}"] = float(tier)
        text += f", with a lower board for a string at {{t{key}}}"
    return text, values


def string_steps(
    strings: tuple[String, ...],
    hubs: tuple[Hub, ...],
    kinds: tuple[StringKind, ...],
    part: WorkPart,
    lower: Sequence[LowerLine] = (),
) -> tuple[WorkStep, ...]:
    """Say how strings are pulled, and that the hubs are driven.

    Parameters
    ----------
    strings, hubs
        What was laid out.
    kinds
        Which strings.
    part
        The part of the work they belong to.
    lower
        Lower strings, where a board would stand too high.

    Returns
    -------
    tuple of WorkStep
        One for each string, lower ones after the walls'; where they are the walls', what to do at
        their crossings.
    """
    made = []
    for string in strings:
        if string.kind not in kinds:
            continue
        ends = [f"board {name}" if name else "its mark" for name in string.boards]
        text = f"{{s}}: pull it from {ends[0]} to {ends[1]}"
        values: dict[str, str | float] = {"s": string.name}
        if string.passes:
            passes, more = listed(((each.name, each.from_start) for each in string.passes), " at ")
            over = "over the nails of" if string.kind is StringKind.WALL else "through"
            text += f", {over} {passes} from {ends[0]}"
            values |= more
        made.append(_step(part, WorkKind.STRING, (string.name,), text, values))
    if made and StringKind.WALL in kinds:
        made += [_lower_step(part, each, strings) for each in lower]
        text = (
            "reel holds a plumb line where two strings cross, hook slides the nail on the board "
            "until it points at the nail in the stake"
        )
        made.append(_step(part, WorkKind.RULE, (), text, {}))
        if hubs:
            text = "drive the {n} hubs beyond the boards: they stay when the stakes are dug out"
            made.append(_step(part, WorkKind.RULE, (), text, {"n": str(len(hubs))}))
    return tuple(made)


def _lower_step(part: WorkPart, lower: LowerLine, strings: tuple[String, ...]) -> WorkStep:
    # A second string under one that hangs too high, from end to end.
    boards = next(string.boards for string in strings if string.name == lower.string)
    values: dict[str, str | float] = {"s": lower.string, "t": lower.level}
    if lower.across is not None:
        name = next(each for each in lower.boards if each is not None)
        values |= {"d": lower.across}
        ends = (
            f"from the lower board under board {name} to a board across the trench {{d}} along, "
            "its stakes clear of the dig on both sides"
        )
    else:
        tied = [
            "its mark" if whole is None else f"the lower board under board {whole}"
            for whole in boards
        ]
        ends = f"from {tied[0]} to {tied[1]}"
    text = f"{{s}}: pull a lower string, level at {{t}}, {ends}, plumb under the one above"
    return _step(part, WorkKind.STRING, (lower.string,), text, values)


def check_steps(checks: tuple[Check, ...]) -> tuple[WorkStep, ...]:
    """Say what is taped once the strings are up, kind by kind."""
    made = []
    for kind, what in CHECK_WORDS.items():
        tapes = [check for check in checks if check.kind is kind]
        if not tapes:
            continue
        text, values = listed((f"{t.from_name}-{t.to_name}", t.distance) for t in tapes)
        text = f"tape {what}, and write each down before the next: {text}"
        step = _step(WorkPart.CHECKS, WorkKind.CHECK, (), text, values)
        made.append(_with_tapes(step, tuple((t.from_name, t.to_name, t.distance) for t in tapes)))
    made += [_corner_check(check) for check in checks if check.legs is not None]
    if made:
        text = (
            "give the readings to staking check: it says whether it is square and what to move; "
            "change nothing on one reading alone"
        )
        made.append(_step(WorkPart.CHECKS, WorkKind.RULE, (), text, {}))
    return tuple(made)


def _corner_check(check: Check) -> WorkStep:
    one, other = check.legs or (0.0, 0.0)
    text = (
        "at {at}: mark {one} on the string toward {first} and {other} toward {second}; hook on the "
        "one, reel reads {across} at the other"
    )
    return _step(
        WorkPart.CHECKS,
        WorkKind.CHECK,
        (check.at or "",),
        text,
        {
            "at": check.at or "",
            "one": float(one),
            "first": check.from_name,
            "other": float(other),
            "second": check.to_name,
            "across": float(check.distance),
        },
    )


def line_steps(
    plan: Plan, strings: tuple[String, ...], checks: tuple[Check, ...]
) -> tuple[WorkStep, ...]:
    """Say how interior lines are marked on the strings they run between, and pulled."""
    made = []
    for line in plan.interior:
        for end, on in (("from", line.start_on), ("to", line.end_on)):
            tapes = _point_tapes(checks, f"{line.name} {end}")
            if not tapes:
                continue
            parts, values = _from_stakes(tapes)
            text = f"{{l}}: mark its end on {{on}}: {parts}"
            step = _step(
                WorkPart.LINES,
                WorkKind.LINE,
                (line.name,),
                text,
                {"l": line.name, "on": on, **values},
            )
            made.append(_with_tapes(step, tapes))
    return (*made, *string_steps(strings, (), (StringKind.INTERIOR,), WorkPart.LINES))


def pad_steps(
    plan: Plan, strings: tuple[String, ...], checks: tuple[Check, ...]
) -> tuple[WorkStep, ...]:
    """Say how the centres of pads are set, and their strings."""
    places = plan.corner_points
    made = []
    for pad in plan.pads:
        tapes = _point_tapes(checks, pad.name)
        if len(tapes) != 2:
            continue
        (one, _, first), (other, _, second) = tapes
        (ax, ay), (bx, by) = places[one], places[other]
        turn = (bx - ax) * (pad.y - ay) - (by - ay) * (pad.x - ax)
        values: dict[str, str | float] = {
            "p": pad.name,
            "n0": one,
            "d0": float(first),
            "n1": other,
            "d1": float(second),
            "side": Hand.LEFT if turn > 0 else Hand.RIGHT,
        }
        text = (
            "{p}, its centre: hook on {n0}, reel scratches an arc at {d0}; hook on {n1}, reel "
            "drives the stake where {d1} crosses the arc, on the {side} looking from {n0} to {n1}"
        )
        made.append(
            _with_tapes(_step(WorkPart.PADS, WorkKind.PAD, (pad.name,), text, values), tapes)
        )
    return (*made, *string_steps(strings, (), (StringKind.PADS,), WorkPart.PADS))


def _point_tapes(checks: tuple[Check, ...], name: str) -> tuple[tuple[str, str, float], ...]:
    return tuple(
        (each.from_name, each.to_name, each.distance)
        for each in checks
        if each.kind is CheckKind.POINT and each.to_name == name
    )


def _from_stakes(
    tapes: tuple[tuple[str, str, float], ...],
) -> tuple[str, dict[str, str | float]]:
    values: dict[str, str | float] = {}
    parts = []
    for place, (stake, _, distance) in enumerate(tapes):
        values |= {f"n{place}": stake, f"d{place}": float(distance)}
        lead = "hook on" if place == 0 else "proved by hook on"
        parts.append(f"{lead} {{n{place}}}, reel at {{d{place}}}")
    return "; ".join(parts), values


def paint_steps(plan: Plan, options: Options, *, digs_wider: bool) -> tuple[WorkStep, ...]:
    """Say how far from the strings the lines are painted.

    Parameters
    ----------
    plan, options
        The footings, and how the trench is dug.
    digs_wider
        Whether the dig line differs from the footing edges: then it is painted first.

    Returns
    -------
    tuple of WorkStep
        Walls that are painted alike together, the dig line before the footing edges.
    """
    walls = [
        (wall.name, wall.footing, wall.footing.outside, "outside and", "inside the string of")
        for building in plan.buildings
        for wall in building.walls
        if wall.existing is None
    ]
    lines = [
        (line.name, line.footing, line.footing.width / 2, "to the right and", "to the left of")
        for line in plan.interior
    ]
    made: list[WorkStep] = []
    for wide in (True, False) if digs_wider else (False,):
        what = "dig line" if wide else "footing edges"
        for group in (walls, lines):
            grown = [
                (name, reach + grows, foot.width - reach + grows)
                for name, foot, reach, _, _ in group
                for grows in (_growth(foot, options, wide),)
            ]
            for (out, inside), names in _alike(grown):
                text = f"paint the {what}: {{out}} {group[0][3]} {{in}} {group[0][4]} {{names}}"
                kept: dict[str, str | float] = {"out": out, "in": inside, "names": ", ".join(names)}
                made.append(_step(WorkPart.PAINT, WorkKind.PAINT, names, text, kept))
        made += _pad_paint(plan, options, what, wide)
    if digs_wider:
        text = "the machine follows the dig line; drop the footing edges once the trench is open"
        made.append(_step(WorkPart.PAINT, WorkKind.RULE, (), text, {}))
    return tuple(made)


def _growth(footing: Footing, options: Options, wide: bool) -> float:
    return dig_growth(footing, options.dig) if wide else 0.0


def _alike(
    grown: list[tuple[str, float, float]],
) -> Iterator[tuple[tuple[float, float], tuple[str, ...]]]:
    groups: dict[tuple[int, int], tuple[tuple[float, float], list[str]]] = {}
    for name, out, inside in grown:
        key = (round(out / ON_LINE), round(inside / ON_LINE))
        groups.setdefault(key, ((out, inside), []))[1].append(name)
    for sizes, names in groups.values():
        yield sizes, tuple(names)


def _pad_paint(plan: Plan, options: Options, what: str, wide: bool) -> list[WorkStep]:
    def sides(pad: Pad) -> tuple[float, float]:
        width, depth = pad.size or (pad.diameter or 0.0, math.nan)
        size = Footing(width=width, thickness=pad.thickness, outside=0.0)
        other = Footing(width=depth, thickness=pad.thickness, outside=0.0)
        return (
            width + 2 * _growth(size, options, wide),
            math.nan if pad.size is None else depth + 2 * _growth(other, options, wide),
        )

    groups: dict[tuple[int, int], tuple[tuple[float, float], list[str]]] = {}
    for pad in plan.pads:
        one, other = sides(pad)
        key = (round(one / ON_LINE), -1 if math.isnan(other) else round(other / ON_LINE))
        groups.setdefault(key, ((one, other), []))[1].append(pad.name)
    made = []
    for (one, other), names in groups.values():
        shape = "{one} across" if math.isnan(other) else "{one} by {other}"
        text = f"paint the {what} of {{names}}: {shape}, the stake in the middle"
        values: dict[str, str | float] = {"names": ", ".join(names), "one": one}
        if not math.isnan(other):
            values["other"] = other
        made.append(_step(WorkPart.PAINT, WorkKind.PAINT, tuple(names), text, values))
    return made


def _step(
    part: WorkPart,
    kind: WorkKind,
    names: tuple[str, ...],
    text: str,
    values: Mapping[str, str | float],
) -> WorkStep:
    return WorkStep(part=part, kind=kind, names=names, tapes=(), says=says(kind, text, values))


def _with_tapes(step: WorkStep, tapes: tuple[tuple[str, str, float], ...]) -> WorkStep:
    return WorkStep(part=step.part, kind=step.kind, names=step.names, tapes=tapes, says=step.says)


def corner_walls(plan: Plan) -> Iterator[tuple[str, tuple[str, str]]]:
    """Give each corner with the corners before and after it in its outline."""
    for building in plan.buildings:
        corners = building.corners
        for place, corner in enumerate(corners):
            after = corners[(place + 1) % len(corners)]
            yield corner.name, (corners[place - 1].name, after.name)
