"""The order of work as it stands on its sheet: steps whose figures other sheets hold in one row."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.frozen import frozen
from staking.kinds import WorkKind, WorkPart
from staking.output.tables.work_tables import step_texts
from staking.output.wording import Words

if TYPE_CHECKING:
    from staking.laid_out.layout_value import Layout
    from staking.layout.steps.work import WorkPlan, WorkStep

ELSEWHERE = {
    WorkKind.BOARD: "Set each board as Boards and tapes and the cards give it.",
    WorkKind.STRING: "Pull each string between its boards, over the nails of its corners; lower "
    "ones level, plumb under those above.",
    WorkKind.CHECK: "Tape every tape of Boards and tapes and write it there before the next.",
}
"""What stands for steps whose figures are on other sheets."""


@frozen
class PaperStep:
    """One row: the part of the work, the number or numbers, and the sentence."""

    part: WorkPart
    numbers: str
    text: str


def paper_steps(layout: Layout, work: WorkPlan, *, short: bool) -> tuple[PaperStep, ...]:
    """Write out the steps for the sheet.

    Parameters
    ----------
    layout, work
        The layout and its order of work.
    short
        Whether boards, strings and checks, whose figures stand on other sheets, take one row
        each, and stakes are said in fewer words.

    Returns
    -------
    tuple of PaperStep
        In order, numbered as `staking plan` numbers them.
    """
    texts = step_texts(work, Words(layout.options), brief=short)
    numbered = list(enumerate(zip(work.steps, texts, strict=True), start=1))
    if not short:
        return tuple(
            PaperStep(part=step.part, numbers=str(number), text=text)
            for number, (step, text) in numbered
        )
    alike: dict[tuple[WorkPart, WorkKind], list[int]] = {}
    for number, (step, _) in numbered:
        if (key := _together(step)) is not None:
            alike.setdefault(key, []).append(number)
    rows = []
    for number, (step, text) in numbered:
        key = _together(step)
        if key is None or len(alike[key]) == 1:
            rows.append(PaperStep(part=step.part, numbers=str(number), text=text))
        elif number == alike[key][0]:
            numbers = f"{alike[key][0]}-{alike[key][-1]}"
            rows.append(PaperStep(part=step.part, numbers=numbers, text=ELSEWHERE[key[1]]))
    return tuple(rows)


def _together(step: WorkStep) -> tuple[WorkPart, WorkKind] | None:
    # A string that ends on a board across the trench stands nowhere else.
    if step.kind not in ELSEWHERE or "across the trench" in step.says.text:
        return None
    return step.part, step.kind
