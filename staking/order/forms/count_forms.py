"""Count what the forms of a footing take."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

from staking.kinds import Casting, FormPart
from staking.order.bars.cutting import first_fit
from staking.order.footing_in_ground import FootingInGround
from staking.order.forms.formed_sides import formed_sides
from staking.order.forms.formwork import (
    BRACED,
    SPREADER_PAST,
    STAKES_APART,
    BoardStock,
    FormRun,
    Forms,
    RoundForm,
)
from staking.order.forms.lumber import BOARD_HEIGHTS, BOARD_THICKNESS, lowest_board, rows_high
from staking.order.order_request import FormsAsked
from staking.order.wall_levels import Levels
from staking.plan import Dig, Plan
from staking.tolerances import ON_LINE

_STEP = 0.001 / 320
"""Lengths, m, are counted in this, of which millimetre and 1/64" are whole numbers."""


def forms_of(footing: FootingInGround, asked: FormsAsked) -> Forms | None:
    """Work out the forms.

    Parameters
    ----------
    footing
        The footing, what it is cast against, and the room the dig leaves.
    asked
        The boards.

    Returns
    -------
    Forms or None
        None where the footings are cast against earth.

    Notes
    -----
    At an outside corner of the footing boards run past by their thickness, so that they can be
    nailed; at an inside corner they butt. A run longer than the stock is of whole boards and a
    piece, butted, unless the piece would only run past a corner; the pieces are cut longest first,
    each from the first board with room.
    """
    plan, levels = footing.plan, footing.levels
    if footing.dig.cast is not Casting.FORMS:
        return None
    runs = _runs(footing, asked)
    stakes = kickers = 0
    for run in runs:
        along = math.ceil(run.length / STAKES_APART - ON_LINE) + 1
        braced = 0 if run.part is FormPart.BULKHEAD else math.ceil(along / BRACED)
        # The sides under a step stand at the stakes of the sides over them.
        if run.part is not FormPart.UNDER_STEP:
            stakes += run.count * (along + braced)
            kickers += run.count * braced
    spreaders, spread = _spreaders(levels)
    return Forms(
        runs=runs,
        boards=_boards(runs, asked),
        stakes=stakes,
        kickers=kickers,
        spreaders=spreaders,
        spread=spread,
        rounds=_rounds(plan),
        room=_room(plan, footing.dig),
    )


def _runs(footing: FootingInGround, asked: FormsAsked) -> tuple[FormRun, ...]:
    levels = footing.levels
    found = []
    for side in formed_sides(footing):
        past = side.past * BOARD_THICKNESS
        sizes = (side.length + past, past, side.height)
        found.append(_run(FormPart.SIDE, side.where, sizes, _board(asked, side.height)))
    thick = {run.strand.name: run.strand.footing.thickness for run in levels.stretches}
    for step in levels.steps:
        board = _board(asked, thick[step.wall])
        under = _run(FormPart.UNDER_STEP, step.wall, (step.overlap, 0.0, step.rise), board)
        across = _run(FormPart.BULKHEAD, step.wall, (step.width, 0.0, step.rise), board)
        found += [under, under, across]
    parts = list(FormPart)
    alike = sorted(
        Counter(found).items(),
        key=lambda each: (parts.index(each[0].part), each[0].where, each[0].length, each[0].height),
    )
    return tuple(replace(run, count=count) for run, count in alike)


def _rounds(plan: Plan) -> tuple[RoundForm, ...]:
    # To the micrometre, as runs of board.
    sizes = Counter(
        (round(pad.diameter, 6), round(pad.thickness, 6))
        for pad in plan.pads
        if pad.diameter is not None
    )
    return tuple(
        RoundForm(across=across, height=height, count=count)
        for (across, height), count in sorted(sizes.items(), reverse=True)
    )


def _run(
    part: FormPart, where: str, sizes: tuple[float, float, float], board: tuple[str, float]
) -> FormRun:
    # Length, what of it runs past corners, and height; to the micrometre, so that alike runs meet.
    length, past, height = (round(size, 6) for size in sizes)
    return FormRun(
        part=part,
        where=where,
        length=length,
        past=past,
        height=height,
        board=board[0],
        rows=rows_high(height, board[1]),
        count=1,
    )


def _board(asked: FormsAsked, height: float) -> tuple[str, float]:
    if asked.height is not None:
        return asked.board, asked.height
    return lowest_board(height)


def _boards(runs: Sequence[FormRun], asked: FormsAsked) -> tuple[BoardStock, ...]:
    room = round(asked.stock / _STEP)
    pieces: dict[str, Counter[int]] = {}
    length: dict[str, float] = {}
    for run in runs:
        whole, rest = divmod(round(run.length / _STEP), room)
        if whole and rest <= run.past / _STEP:
            # Nobody splices on what only runs past a corner.
            rest = 0
        own = pieces.setdefault(run.board, Counter())
        own[room] += whole * run.rows * run.count
        own[rest] += run.rows * run.count if rest else 0
        length[run.board] = length.get(run.board, 0.0) + run.board_length
    found = []
    for board, counts in pieces.items():
        found.append(
            BoardStock(
                board=board,
                height=BOARD_HEIGHTS[board] if asked.height is None else asked.height,
                stock=asked.stock,
                length=length[board],
                boards=len(first_fit(+counts, room)),
            )
        )
    return tuple(sorted(found, key=lambda each: -each.height))


def _spreaders(levels: Levels) -> tuple[int, float]:
    count, length = 0, 0.0
    for run in levels.stretches:
        here = math.ceil((run.end - run.start) / STAKES_APART - ON_LINE) + 1
        count += here
        across = run.strand.footing.width + 2 * BOARD_THICKNESS + 2 * SPREADER_PAST
        length += here * across
    return count, length


def _room(plan: Plan, dig: Dig) -> float:
    widths = [
        wall.footing.width
        for home in plan.buildings
        for wall in home.walls
        if wall.existing is None
    ]
    widths += [line.footing.width for line in plan.interior]
    return max(0.0, dig.overdig, (dig.bucket - max(widths, default=0.0)) / 2)
