"""Two lists to tick off, before the dig and before the pour, with the job's own numbers."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.notices import Severity
from staking.output import cautions
from staking.output.blocks import Listing
from staking.output.sheet.ticked import dig_lines, pour_lines
from staking.output.tables.notice_listings import notice_sentence
from staking.output.wording import Words

if TYPE_CHECKING:
    from staking.project.sheets import Sheets


def before_the_dig(sheets: Sheets, *, short: bool = False) -> Listing:
    """List what is to be seen to before the machine comes.

    Parameters
    ----------
    sheets
        What is shown of the job.
    short
        Whether tapes that stand on other sheets are left to them.

    Returns
    -------
    Listing
        One sentence for each thing, with blanks for what is found on site.
    """
    layout = sheets.layout
    words = Words(layout.options)
    lines = [
        *(
            notice_sentence(each, words)
            for each in layout.notices
            if each.severity is Severity.BROKEN
        ),
        dig_lines.white_line(layout),
        cautions.SERVICES,
        *dig_lines.ticket(),
        *dig_lines.buried(layout),
        cautions.PROPERTY,
        *dig_lines.lot(layout),
        *((dig_lines.TAPED_THERE,) if short else dig_lines.squared(layout)),
        *dig_lines.set_up(layout),
        dig_lines.painted(layout),
        dig_lines.benchmarks(layout),
        *dig_lines.depths(layout),
        cautions.TRENCH,
        cautions.BUCKET,
        cautions.WIRES,
        cautions.CODE,
        cautions.ENGINEER,
    ]
    return Listing(title="Before you dig", lines=tuple(dict.fromkeys(lines)))


def before_the_pour(sheets: Sheets, *, short: bool = False) -> Listing:
    """List what is to be seen to before the concrete comes.

    Parameters
    ----------
    sheets
        What is shown of the job.
    short
        Whether tapes and steps that stand on other sheets are left to them.

    Returns
    -------
    Listing
        One sentence for each thing.
    """
    layout = sheets.layout
    words = Words(layout.options)
    lines = [
        *pour_lines.sizes(layout, words),
        *pour_lines.bottoms(layout, words),
        *(pour_lines.counted_steps if short else pour_lines.steps)(layout, words),
        *pour_lines.steel(sheets, words),
        pour_lines.electrode(words),
        pour_lines.CLEAN,
        *pour_lines.sleeves(layout, words),
        *pour_lines.openings(layout, words),
        *pour_lines.bolts(sheets),
        *((pour_lines.AGAIN_THERE,) if short else pour_lines.again(layout, words)),
        *pour_lines.loads(sheets),
        cautions.CAPS,
        cautions.FORMS,
        pour_lines.INSPECTED,
        cautions.BACKFILL,
    ]
    return Listing(title="Before you pour", lines=tuple(dict.fromkeys(lines)))
