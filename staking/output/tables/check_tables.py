"""A check of the stakes as tables, in the order the builder needs them."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from staking.adjust.check_limits import LimitBy
from staking.output.blocks import Block, Column, Listing, Table
from staking.output.tables.differences import fine, signed
from staking.output.tables.stakes_tables import place_blocks, stakes_blocks
from staking.output.wording import Words
from staking.plan import Show
from staking.tolerances import SAME_POINT
from staking.units import FOOT

if TYPE_CHECKING:
    from staking.adjust.moves import Move, MovePart
    from staking.adjust.nail_slides import BoardSlide
    from staking.adjust.verdict import Judged
    from staking.checked.stakes_checked import Checked
    from staking.plan import Options


FOREIGN = "These readings are not of this building"
"""The first line where they are not."""


def check_blocks(checked: Checked) -> tuple[Block, ...]:
    """Set out a check as tables.

    Parameters
    ----------
    checked
        The check.

    Returns
    -------
    tuple of Table or Listing
        The verdict, what to move, what the tapes then read, and the readings behind it.
    """
    words = Words(checked.options)
    # without stakes there is nothing to move but the nails
    by_strings = checked.staked is not None and checked.staked.crossed
    foreign = checked.judged.foreign
    blocks: list[Block] = [
        Listing(title=FOREIGN if foreign else "Is it square", lines=verdict_lines(checked)),
        *(() if foreign else place_blocks(checked)),
        Listing(title="First", lines=repeat_lines(checked)),
        Listing(title=_hold_title(checked), lines=() if by_strings else move_lines(checked)),
        Listing(title="Or slide the nails", lines=slide_lines(checked)),
        *(() if by_strings else (_after(checked, words),)),
        _checks(checked, words),
        _corners(checked, words),
        *stakes_blocks(checked),
        _readings(checked, words),
    ]
    return tuple(
        block for block in blocks if (block.rows if isinstance(block, Table) else block.lines)
    )


def brief_blocks(checked: Checked) -> tuple[Block, ...]:
    """Set out the verdict and what to move, stakes or nails, and nothing else."""
    nails = place_blocks(checked)
    return tuple(
        block for block in check_blocks(checked) if isinstance(block, Listing) or block in nails
    )


def verdict_text(checked: Checked) -> str:
    """Say in a sentence whether the stakes are square."""
    verdict, judged = checked.verdict, checked.judged
    if judged.foreign:
        return f"{FOREIGN}."
    if judged.common is not None and judged.common.by_tape:
        return "Not decided: the tape was off in every reading but one."
    if judged.common is not None:
        return "Not square, and not decided: every reading is off by one amount."
    if verdict.square:
        if verdict.decided and not verdict.coarse:
            return "Square."
        return "Square, as near as these readings can tell."
    bad = [each for each in verdict.judged if not each.square]
    names = ", ".join(dict.fromkeys(check_name(each) for each in bad))
    sure = "Not square" if verdict.decided else "Not square, as near as these readings can tell"
    return f"{sure}: more than allowed at {names}."


def verdict_lines(checked: Checked) -> tuple[str, ...]:
    """Say whether the stakes are square; of readings of another building, why."""
    if not checked.judged.foreign:
        return (verdict_text(checked),)
    return (
        "More than half the corners are a foot or more off after the best turn and shift, and "
        "neither one reading, one stake nor one wall's length explains it.",
        "Look at which job and which building these readings belong to.",
    )


def repeat_lines(checked: Checked) -> tuple[str, ...]:
    """Say what to read again before any stake is moved."""
    judged = checked.judged
    pairs = ", ".join(dict.fromkeys(f"{m.from_name}-{m.to_name}" for m in judged.repeat))
    if not pairs:
        return ()
    if judged.common is not None and judged.common.by_tape:
        return (
            f"Read {pairs} again, the way {'-'.join(judged.common.longest)} was read when it came "
            "out right, and leave its wrong reading out.",
        )
    if judged.common is not None:
        mark = Words(checked.options).length(_whole_mark(checked.options))
        return (
            f"Read {pairs}, the longest side, again with another tape or from its {mark} mark "
            "and take that off. If it reads the same, give both readings; else read all of them "
            "again.",
        )
    if judged.unclear:
        return (f"Read {pairs} again: one of them is wrong.",)
    return (f"Read {pairs} again, and give both readings: it fits worst.",)


def _whole_mark(options: Options) -> float:
    return FOOT if options.show in {Show.FEET_INCHES, Show.DECIMAL_FEET} else 0.1


def move_text(move: Move, options: Options) -> str:
    """Say how to move one stake: ``move C 7/16" toward D and 1/16" away from B``."""
    parts = [step_text(step, options) for step in move.steps]
    return f"move {move.corner} {' and '.join(parts)}" if parts else f"leave {move.corner}"


def step_text(step: MovePart, options: Options) -> str:
    """Say one part of a move: ``7/16" toward D``."""
    way = f"toward {step.along}" if step.toward == step.along else step.toward
    return f"{Words(options).length(step.distance)} {way}"


def move_lines(checked: Checked) -> tuple[str, ...]:
    """Say what to move, stakes that move alike together.

    Parameters
    ----------
    checked
        The check.

    Returns
    -------
    tuple of str
        Sentences; a single one where nothing is to be moved.
    """
    if checked.judged.foreign:
        return ("Move nothing by these readings.",)
    if checked.judged.waits:
        return ("Move nothing yet.",)
    if not any(move.steps for move in checked.moves):
        return (_leave_text(checked),)
    lines = _together(checked)
    left = [move.corner for move in checked.moves if not move.steps]
    if left:
        lines.append(f"leave {', '.join(left)}.")
    return tuple(line[0].upper() + line[1:] for line in lines)


def _leave_text(checked: Checked) -> str:
    if checked.staked is not None and checked.staked.in_place is False:
        return "For its shape no stake need move."
    if not checked.verdict.square:
        return "No stake is off by as much as can be moved: read again."
    if checked.untaped:
        how = "taped" if checked.staked is None else "surveyed or taped"
        return f"Leave every stake that was {how} where it is."
    return "Leave every stake where it is."


def _together(checked: Checked) -> list[str]:
    # both ends of a wall moved alike along it are said at once: C and D both 1/2" toward D
    lines: list[str] = []
    told: set[tuple[str, str]] = set()
    by_corner = {move.corner: move for move in checked.moves}
    for move in checked.moves:
        for step in move.steps:
            mate = by_corner.get(step.along or "")
            if mate is None or step.toward != step.along:
                continue
            for other in mate.steps:
                alike = abs(other.x - step.x) + abs(other.y - step.y) < SAME_POINT
                if other.along == move.corner and other.toward != other.along and alike:
                    told |= {(move.corner, step.toward), (mate.corner, other.toward)}
                    both = " and ".join(sorted((move.corner, mate.corner)))
                    lines.append(f"move {both} both {step_text(step, checked.options)}.")
    for move in checked.moves:
        left = tuple(step for step in move.steps if (move.corner, step.toward) not in told)
        if left:
            lines.append(f"{move_text(replace(move, steps=left), checked.options)}.")
    return lines


def slide_text(slide: BoardSlide, options: Options) -> str:
    """Say how far one nail slides."""
    if not slide.rounded:
        return f"leave the nail of {slide.string} on board {slide.board}"
    if slide.by_wall:
        way = f"{'away from' if slide.rounded > 0 else 'toward'} the building"
    else:
        way = f"to the {'right' if slide.rounded > 0 else 'left'} as seen along {slide.string}"
    size = Words(options).length(abs(slide.rounded))
    return (
        f"slide the nail of {slide.string} on board {slide.board}, beyond {slide.end}, {size} {way}"
    )


def slide_lines(checked: Checked) -> tuple[str, ...]:
    """Say which nails slide; those that stay are left away."""
    texts = [slide_text(each, checked.options) for each in checked.slides if each.rounded]
    return tuple(f"{text[0].upper()}{text[1:]}." for text in texts)


def _hold_title(checked: Checked) -> str:
    if checked.to_place:
        return "What to move, to the planned place on the lot"
    if checked.judged.waits or not any(move.steps for move in checked.moves):
        return "What to move"
    then = ", if it reads the same" if checked.judged.repeat else ""
    if checked.hold is None:
        return f"What to move{then}, all stakes as little as can be"
    held = f"{checked.hold.corner} and the wall {'-'.join(checked.hold.wall)}"
    return f"What to move{then}, holding {held}"


def check_name(each: Judged) -> str:
    """Name a check: its corner, or the two ends of its tape."""
    check = each.check
    if check.at is not None:
        return f"the corner {check.at}"
    return f"{check.from_name}-{check.to_name}"


def _after(checked: Checked, words: Words) -> Table:
    rows = tuple(
        (
            f"{each.from_name}-{each.to_name}",
            words.length(each.distance),
            words.length(each.planned),
        )
        for each in checked.after
    )
    return Table(
        title="Then the tapes read",
        columns=(
            Column(heading="tape"),
            Column(heading="reads", right=True),
            Column(heading="on the plan", right=True),
        ),
        rows=rows if any(move.steps for move in checked.moves) else (),
    )


def _checks(checked: Checked, words: Words) -> Table:
    rows = []
    for each in checked.verdict.judged:
        said = "good" if each.square else "out"
        rows.append((
            check_name(each),
            words.length(each.now),
            words.length(each.check.distance),
            signed(each.off, checked.options),
            words.allowed(each.check.allowed),
            fine(each.limit.limit, checked.options)
            if each.limit.by is not LimitBy.TOLERANCE
            else "",
            said if each.decided else f"{said}?",
        ))
    return Table(
        title="Every check, as the readings together say",
        columns=(
            Column(heading="check"),
            Column(heading="now", right=True),
            Column(heading="plan", right=True),
            Column(heading="off", right=True),
            Column(heading="allowed", right=True),
            Column(heading="judged by", right=True),
            Column(heading="verdict"),
        ),
        rows=tuple(rows),
        note="A corner is judged across its 3-4-5. Judged by: the least that these readings can "
        "show, where that is more than what is allowed. A question mark: too close to call.",
    )


def _corners(checked: Checked, words: Words) -> Table:
    rows = tuple(
        (
            each.corner,
            "" if each.angle is None else words.angle(each.angle),
            signed(move.x, checked.options),
            signed(move.y, checked.options),
            fine(each.radius95, checked.options),
        )
        for each, move in zip((*checked.corners, *checked.points), checked.moves, strict=True)
    )
    return Table(
        title="The stakes as they stand",
        columns=(
            Column(heading="stake"),
            Column(heading="angle", right=True),
            Column(heading="to go in x", right=True),
            Column(heading="to go in y", right=True),
            Column(heading="95 % radius", right=True),
        ),
        rows=rows,
    )


def _readings(checked: Checked, words: Words) -> Table:
    suspected = checked.judged.suspected
    rows = []
    for place, each in enumerate(checked.judged.adjusted):
        named = "does not fit" if place in suspected else ""
        if not named and each.redundancy <= 0:
            named = "not checked"
        rows.append((
            f"{each.measurement.from_name}-{each.measurement.to_name}",
            words.length(each.measurement.distance),
            words.length(each.adjusted),
            signed(-each.residual, checked.options),
            named,
        ))
    return Table(
        title="The readings",
        columns=(
            Column(heading="tape"),
            Column(heading="read", right=True),
            Column(heading="fits", right=True),
            Column(heading="reads long by", right=True),
            Column(heading=""),
        ),
        rows=tuple(rows),
    )
