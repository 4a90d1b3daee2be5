"""What else would do: other numbers of steps, another top of wall; and the tape on a slope."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.measure.lengths import INCH
from staking.output.blocks import Column, Table
from staking.output.tables.order.order_words import OrderWords
from staking.output.wording import Words, safe

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from staking.grade.graded import Graded, StepChoice
    from staking.grade.stepped_footing import Alternative
    from staking.layout.layout_parts import Check
    from staking.plan import Options

_NOTHING = 1e-6
"""A difference of wall area below this, m2, is none."""


def other_ways_lines(graded: Graded, words: Words) -> tuple[str, ...]:
    """Say what other ways would cost or save, in wall area with the worth of the steps.

    Parameters
    ----------
    graded
        The levels.
    words
        The job's words.

    Returns
    -------
    tuple of str
        Sentences; none where no other ways were worked out.
    """
    if not graded.gains and graded.larger_steps is None and graded.stepped.next_count is None:
        return ()
    stepped = graded.stepped
    now, each = len(stepped.steps), graded.request.rules.step_cost
    lines = [
        f"This way: {words.area(stepped.wall_area(each))} of wall and {_steps(now)}. A step "
        f"counts as {words.area(each)} of wall, so that this way comes to "
        f"{words.area(stepped.objective)}; what follows is against that."
    ]
    following = stepped.next_count
    if following is not None:
        lines.append(
            f"With another number of steps, {_steps(following.steps)}: "
            f"{_against(following, stepped.objective, words)}."
        )
    if graded.larger_steps is not None:
        courses = graded.request.rules.max_step + 1
        lines.append(
            f"Steps of up to {courses} courses, {_steps(graded.larger_steps.steps)}: "
            f"{_against(graded.larger_steps, stepped.objective, words)}."
        )
    return tuple(lines)


def tops_table(graded: Graded, words: Words) -> Table:
    """Set out what another top of wall would cost or save, up to a course either way.

    Parameters
    ----------
    graded
        The levels.
    words
        The job's words.

    Returns
    -------
    Table
        From the highest top to the lowest; the job's own is not among them.
    """
    now = graded.stepped.objective
    return Table(
        title="Another top of wall",
        columns=(
            Column(heading="top of wall", right=True),
            Column(heading="moved", right=True),
            Column(heading="steps", right=True),
            Column(heading="wall", right=True),
            Column(heading="wall and steps"),
        ),
        rows=tuple(
            (
                words.level(graded.request.top_of_wall + float(each.change)),
                f"{words.length(abs(float(each.change)))} "
                f"{'up' if float(each.change) > 0 else 'down'}",
                str(each.steps),
                words.area(each.wall_area(graded.request.rules.step_cost)),
                _against(each, now, words),
            )
            for each in sorted(graded.gains, key=lambda each: -float(each.change))
        ),
    )


def choices_table(choices: Sequence[StepChoice], options: Options, where: str = "") -> Table:
    """Set out what each smaller number of steps takes more, the footing's own last.

    Parameters
    ----------
    choices
        As the levels have them.
    options
        How the job's lengths are shown.
    where
        What is added to the title.

    Returns
    -------
    Table
        Empty where there are none.
    """
    words, sums = Words(options), OrderWords(options)
    rows = []
    for each in choices:
        own = choices[-1]
        wall, concrete, dug = (
            each.wall_area - own.wall_area,
            each.concrete - own.concrete,
            each.dug - own.dug,
        )
        last = each is own
        rows.append((
            str(each.steps),
            words.area(each.wall_area),
            "this way" if last else _more(wall, words.area(abs(wall))),
            "" if last else _more(concrete, sums.compared(abs(concrete))),
            "" if last else _more(dug, sums.compared(abs(dug))),
        ))
    return Table(
        title=f"Fewer steps{where}",
        columns=(
            Column(heading="steps", right=True),
            Column(heading="wall", right=True),
            Column(heading="more wall", right=True),
            Column(heading="footing concrete", right=True),
            Column(heading="dug", right=True),
        ),
        rows=tuple(rows),
        note="Each row is the least wall with so many steps, its concrete against this way's, "
        "without waste, and all that the order digs: trench, under the floor, drain; numbers that "
        "no footing keeps the rules with, or that take no less wall than fewer steps, are left "
        "out. Every step is a form, a bulkhead and bent bars: set step_cost to what one is worth "
        "to you, or most_steps to the number you prefer.",
    )


def _more(difference: float, text: str) -> str:
    if abs(difference) < _NOTHING:
        return "the same"
    return f"{text} {'more' if difference > 0 else 'less'}"


def _steps(count: int) -> str:
    return f"{count} step{'' if count == 1 else 's'}"


def _against(other: Alternative, now: float, words: Words) -> str:
    difference = other.objective - now
    if abs(difference) < _NOTHING:
        return "no difference"
    word = "more" if difference > 0 else "less"
    return f"{words.area(abs(difference))} {word}"


def slope_tape_table(checks: Sequence[Check], tops: Mapping[str, float], words: Words) -> Table:
    """Set out what the tape reads along the slope, or how level it must be held.

    Parameters
    ----------
    checks
        What is taped.
    tops
        Elevations of the stakes' tops, m, by corner or pad, where they are known.
    words
        The job's words.

    Returns
    -------
    Table
        What it reads from stake top to stake top where both are known; how far out of level
        one end may be before the tape reads a sixteenth too long.
    """
    from staking.grade.setting_out.slope_tape import slope_tapes

    taped = [each for each in slope_tapes(checks, tops) if each.check.at is None]
    known = any(each.slope is not None for each in taped)
    return Table(
        title="The tape along the slope" if known else "Hold the tape level",
        columns=(
            Column(heading="from - to"),
            Column(heading="level distance", right=True),
            *((Column(heading="stake top to top", right=True),) if known else ()),
            Column(heading=f"{words.length(INCH / 16)} too long when out of level by", right=True),
        ),
        rows=tuple(
            (
                safe(f"{each.check.from_name} - {each.check.to_name}"),
                words.length(each.check.distance),
                *(("" if each.slope is None else words.length(each.slope),) if known else ()),
                words.length(each.within),
            )
            for each in taped
        ),
        note="A tape twice as far out of level reads four times as much too long. Plumb down from "
        "the high end, or tape in short level lengths.",
    )
