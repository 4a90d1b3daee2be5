"""An empty tape book: what to tape, and columns for what is read."""

from __future__ import annotations

import csv
import io
from typing import TYPE_CHECKING

from staking.job.typed_tapes import COLUMNS
from staking.output.wording import Words

if TYPE_CHECKING:
    from collections.abc import Iterable

    from staking.layout.layout_parts import Check
    from staking.plan import Options

HEADINGS = ("from", "to", "plan distance", *COLUMNS)


def tape_book_text(checks: Iterable[Check], options: Options, mark: str) -> str:
    """Write out an empty tape book.

    Parameters
    ----------
    checks
        What is to be taped from corner to corner.
    options
        The job's options: how lengths are shown.
    mark
        The layout's mark and its day, which stand in the last line.

    Returns
    -------
    str
        Comma-separated text, ready for a spreadsheet and for `staking check --tapes`.
    """
    words = Words(options)
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\n")
    writer.writerow(HEADINGS)
    for check in checks:
        writer.writerow((check.from_name, check.to_name, words.length(check.distance), "", "", ""))
    stream.write(f"# layout {mark}\n")
    return stream.getvalue()
