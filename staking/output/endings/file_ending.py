"""The last lines of what makes one file to go on from: ``staking outline`` and ``tape-book``."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.output.endings.six_lines import Ending, files_sentence
from staking.output.tables.notice_listings import sentence
from staking.output.tables.outline_tables import unit_line
from staking.output.wording import Words, safe

if TYPE_CHECKING:
    from pathlib import Path

    from staking.outline.found_outline import FoundOutline


def outline_ending(found: FoundOutline, words: Words, drawing: Path, target: Path | None) -> Ending:
    """Say what the drawing gave, and what to run next.

    Parameters
    ----------
    found
        The layers, and the outline where one was traced.
    words
        How lengths are written.
    drawing
        The drawing.
    target
        The job file that was written, if any.

    Returns
    -------
    Ending
        The figure is the area of the outline, or the unit of a drawing that was only listed.
    """
    unit = sentence(unit_line(found))
    unit = unit[0].upper() + unit[1:]
    if not found.corners:
        return Ending(
            verdict="No outline is traced yet.",
            first=f"Name the walls' layer: staking outline {safe(str(drawing))} --layer NAME",
            figure=unit,
        )
    count = len(found.corners)
    area = "" if found.area is None else f", {words.area(found.area)}"
    verdict = f"The outline closes: {count} corners{area}."
    if target is None:
        first = "Write the job file: add --to job.yaml"
    else:
        first = f"Put your figures into it, then run: staking layout {safe(str(target))}"
        missing = [
            word
            for word, value in (("wall", found.wall), ("footing", found.footing))
            if value is None
        ]
        if missing:
            unit = (
                f"Not read off the drawing: {' and '.join(missing)}. What stands in the file is "
                "only usual; put yours in."
            )
    return Ending(
        verdict=verdict,
        first=first,
        figure=unit,
        files="" if target is None else files_sentence((target,), "File"),
    )


def tape_book_ending(job: Path, book: Path, count: int) -> Ending:
    """Say how the tape book is filled in and read back.

    Parameters
    ----------
    job, book
        The job file and the book that was written.
    count
        How many distances it asks for.

    Returns
    -------
    Ending
        The ending.
    """
    return Ending(
        verdict=f"The book asks for {count} distances.",
        first="Print it, tape, and write each reading into its column.",
        figure=f"Then run: staking check {safe(str(job))} --tapes {safe(str(book))}",
        files=files_sentence((book,), "File"),
    )
