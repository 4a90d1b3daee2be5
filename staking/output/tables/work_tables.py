"""The order of work as lists and tables, to be read from top to bottom on the site."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from staking.kinds import WorkPart
from staking.output.blocks import Block, Column, Listing, Table
from staking.output.tables.notice_listings import sentence
from staking.output.wording import Words, safe

if TYPE_CHECKING:
    from staking.laid_out.layout_value import Layout
    from staking.layout.steps.work import LeastTapes, WorkPlan
    from staking.notices import Notice
    from staking.plan import Options

MOST_READINGS = 4
"""Beyond so many readings of every distance a better tape is the answer (our own limit)."""

NEAR = "How near each stake comes, 19 times in 20"


def work_blocks(layout: Layout, work: WorkPlan) -> tuple[Block, ...]:
    """Set out the order of work.

    Parameters
    ----------
    layout
        The layout.
    work
        The order of work.

    Returns
    -------
    tuple of Table or Listing
        The steps part by part, numbered through; how near each stake comes; the fewest tapes.
    """
    return (
        *step_tables(layout, work),
        near_table(layout, work),
        Listing(title="What to tape for that", lines=near_lines(layout, work)),
    )


def step_tables(layout: Layout, work: WorkPlan) -> tuple[Table, ...]:
    """Set out the steps alone, part by part, numbered through."""
    texts = step_texts(work, Words(layout.options))
    tables: list[Table] = []
    for part in WorkPart:
        rows = tuple(
            (str(number), text)
            for number, (step, text) in enumerate(zip(work.steps, texts, strict=True), start=1)
            if step.part is part
        )
        if rows:
            columns = (Column(heading="step", right=True), Column(heading="who does what"))
            tables.append(Table(title=part, columns=columns, rows=rows))
    return tuple(tables)


def step_texts(work: WorkPlan, words: Words, *, brief: bool = False) -> tuple[str, ...]:
    """Write out every step as a sentence.

    Parameters
    ----------
    work
        The order of work.
    words
        The job's words.
    brief
        Whether a step that can be said in fewer words is.

    Returns
    -------
    tuple of str
        In order, each with its stop.
    """
    return tuple(
        act_text(step.brief if brief and step.brief is not None else step.says, words)
        for step in work.steps
    )


def act_text(says: Notice, words: Words) -> str:
    """Write out one act as a sentence that begins with a capital, or with a name as it is."""
    text = words.notice(says)
    return sentence(text if says.text.startswith("{") else text[0].upper() + text[1:])


def near_table(layout: Layout, work: WorkPlan) -> Table:
    """Set out how near each stake comes: with the checks, the fewest tapes, 3-4-5 alone."""
    options = layout.options
    several = len(layout.plan.buildings) > 1
    kept = work.least is not None and work.least.reached
    rows = tuple(
        (
            each.corner,
            near_text(each.chosen, options),
            *((near_text(each.least, options),) if kept else ()),
            near_text(each.squared_off, options),
        )
        for each in work.expected
    )
    note = "From the tape's error alone, the shape as a whole laid on the plan."
    if several:
        note += " 3-4-5 counts each building by itself."
    return Table(
        title=NEAR,
        columns=(
            Column(heading="corner"),
            Column(heading="with the checks", right=True),
            *((Column(heading="with the fewest tapes", right=True),) if kept else ()),
            Column(heading="3-4-5 alone", right=True),
        ),
        rows=rows,
        note=note,
    )


def near_text(metres: float | None, options: Options) -> str:
    """Write a radius, finer than lengths are shown."""
    return "not fixed" if metres is None else Words(options).fine(metres)


def near_lines(layout: Layout, work: WorkPlan) -> tuple[str, ...]:
    """Say in plain numbers what the checks, the fewest tapes and 3-4-5 alone come to."""
    options = layout.options
    lines = []
    chosen = [each.chosen for each in work.expected if each.chosen is not None]
    if chosen:
        lines.append(
            f"The {work.chosen} distances of the checks, adjusted together, put every stake within "
            f"{near_text(max(chosen), options)}."
        )
    if work.least is None:
        lines.append("With so many corners the fewest tapes are not looked for.")
    else:
        lines += _least_lines(work.least, options)
    walked = [(each.squared_off, each.corner) for each in work.expected if each.squared_off]
    if walked:
        worst, corner = max(walked)
        lines.append(
            f"3-4-5 alone, each wall squared off the one before, leaves {safe(corner)} within "
            f"{near_text(worst, options)}{_ratio(worst, chosen)}."
        )
    return tuple(lines)


def _ratio(worst: float, chosen: list[float]) -> str:
    if not chosen or worst < 1.5 * max(chosen):
        return ""
    return f", {worst / max(chosen):.1f} times as far out as the checks leave any stake"


def _least_lines(least: LeastTapes, options: Options) -> list[str]:
    wanted = near_text(least.wanted, options)
    if least.whole is None:
        return ["The distances that can be taped do not fix the shape."]
    if not least.reached:
        whole = near_text(least.whole, options)
        over = "just over " if whole == wanted else ""
        times = math.ceil((least.whole / least.wanted) ** 2 * (1 - 1e-9))
        remedy = "A longer or a better tape is needed"
        if times <= MOST_READINGS:
            mean = near_text(least.whole / math.sqrt(times), options)
            often = {2: "twice", 3: "three times", 4: "four times"}[times]
            remedy = f"Tape each {often} and take the mean ({mean}), or take a better tape"
        return [
            f"No set of distances puts every stake within {wanted}: all {least.usable} that can be "
            f"taped give {over}{whole}. {remedy}."
        ]
    names = ", ".join(f"{safe(a)}-{safe(b)}" for a, b, _ in least.tapes)
    count = len(least.tapes)
    sure = "no fewer do" if least.exact else f"fewer than {least.at_least} cannot do"
    return [
        f"For {wanted} at every stake tape at least these {count} of the {least.usable} distances "
        f"({sure}): {names}."
    ]
