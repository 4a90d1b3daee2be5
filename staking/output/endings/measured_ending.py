"""The last lines of what judges measurements: ``staking check`` and ``staking record``."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.laid_out.first_things import broken_of
from staking.output.endings.six_lines import Ending, files_sentence
from staking.output.first_words import broken_texts
from staking.output.tables import check_tables, record_tables
from staking.output.tables.differences import fine
from staking.output.wording import Words

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from staking.adjust.verdict import Judged
    from staking.checked.poured_record import Record
    from staking.checked.stakes_checked import Checked

INSPECTOR_FIRST = (
    "Settle what is out with the inspector or the engineer before anything is built on it."
)
"""What to do with a footing that is out of tolerance."""
KEEP_RECORD = "Keep the record with the papers of the permit."
"""What to do with a footing that is within its tolerances."""


def check_ending(checked: Checked, paths: Sequence[Path] = ()) -> Ending:
    """Say whether it is square, what to move first, and what is off most.

    Parameters
    ----------
    checked
        The check.
    paths
        The job file that was written of the stakes as they stand, if any.

    Returns
    -------
    Ending
        The first act is what to read again, or else the stake that moves farthest, or a nail.
    """
    broken = broken_texts(broken_of(checked.notices), Words(checked.options))
    said = [check_tables.verdict_text(checked)]
    if checked.away:
        said.append("The building does not stand in its place on the lot.")
    said += [f"BROKEN: {each}" for each in broken]
    worst = checked.verdict.worst
    by_readings = worst is not None and not checked.judged.foreign
    return Ending(
        verdict=" ".join(said),
        first=_first_move(checked),
        figure=_worst_text(worst, checked) if worst is not None and by_readings else "",
        files=files_sentence(paths, "The stakes as they stand"),
    )


def _first_move(checked: Checked) -> str:
    if checked.judged.foreign:
        return check_tables.verdict_lines(checked)[-1]
    again = check_tables.repeat_lines(checked)
    if again:
        return again[0]
    if checked.staked is not None and checked.staked.crossed:
        return next(iter(check_tables.slide_lines(checked)), "")
    moved = [each for each in checked.moves if each.steps]
    if checked.judged.waits or not moved:
        return check_tables.move_lines(checked)[0]
    farthest = max(moved, key=lambda each: sum(step.distance for step in each.steps))
    text = check_tables.move_text(farthest, checked.options)
    others = " Then move the others, which stand above." if len(moved) > 1 else ""
    return f"{text[0].upper()}{text[1:]}.{others}"


def _worst_text(worst: Judged, checked: Checked) -> str:
    what = check_tables.check_name(worst)
    size = fine(abs(worst.off), checked.options)
    if size == fine(0.0, checked.options):
        return "Every check is as on the plan."
    way = "long" if worst.off > 0 else "short"
    limit = fine(worst.limit.limit, checked.options)
    return f"Farthest off is {what}: {size} {way}, where {limit} passes."


def record_ending(record: Record, paths: Sequence[Path]) -> Ending:
    """Say whether the poured footing is good, and which figure is worst.

    Parameters
    ----------
    record
        The record.
    paths
        The files that were written.

    Returns
    -------
    Ending
        The ending.
    """
    worst = record.poured.worst
    options = record.layout.options
    return Ending(
        verdict=record_tables.record_verdict(record),
        first=KEEP_RECORD if record.good else INSPECTOR_FIRST,
        figure=("" if worst is None else f"Worst: {record_tables.deviation_text(worst, options)}."),
        files=files_sentence(paths),
    )
