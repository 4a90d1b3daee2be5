"""The record of a poured footing as files: a table, one page of text, a document."""

from __future__ import annotations

import csv
import math
from typing import TYPE_CHECKING, Any, TextIO

from staking.measure.lengths import Unit
from staking.output.points.stake_points import cell_text, fixed
from staking.output.tables.notice_listings import notice_sentence
from staking.output.tables.record_tables import (
    limits_table,
    out_lines,
    overview,
    record_verdict,
    tapes_table,
)
from staking.output.terminal import plain
from staking.output.wording import Words, safe

if TYPE_CHECKING:
    from collections.abc import Callable

    from staking.adjust.pour.poured import Deviation
    from staking.checked.poured_record import Record
    from staking.checked.stakes_checked import Checked
    from staking.output.blocks import Block

SCHEMA = "staking/record/1"

_DECIMALS = {Unit.FT: 4, Unit.US_FT: 4, Unit.IN: 3, Unit.M: 4, Unit.MM: 1}

Document = dict[str, Any]


def record_document(record: Record) -> Document:
    """Build the document of a record.

    Parameters
    ----------
    record
        The record.

    Returns
    -------
    dict
        Lengths and elevations in the job's unit, nothing rounded.
    """
    options = record.layout.options
    metres, words = Unit(options.unit).metres, Words(options)

    def length(value: float | None) -> float | None:
        return None if value is None or math.isinf(value) else round(value / metres, 10) + 0.0

    def figure(each: Deviation) -> Document:
        return {
            "where": safe(each.where),
            "what": each.what,
            "station": length(each.station),
            "measured": length(each.measured),
            "planned": length(each.planned),
            "off": length(each.off),
            "less": length(each.limit.less),
            "more": length(each.limit.more),
            "source": each.limit.source,
            "good": each.good,
            "point": safe(each.name),
            "x": length(each.x),
            "y": length(each.y),
        }

    return {
        "schema": SCHEMA,
        "job": safe(record.layout.plan.job),
        "unit": options.unit,
        "files": [safe(name) for name in record.read.files],
        "carries": record.terms.carries,
        "cast": record.terms.cast,
        "placed_by": record.read.fitted,
        "planned_tops": record.has_tops,
        "good": record.good,
        "verdict": record_verdict(record),
        "footings": [
            {
                "where": safe(verdict.where),
                "good": verdict.good,
                "worst": None if (worst := verdict.worst()) is None else figure(worst),
            }
            for verdict in record.poured.verdicts
        ],
        "figures": [figure(each) for each in record.poured.deviations],
        "tapes": None if record.checked is None else _tapes(record.checked, length),
        "not_measured": [safe(name) for name in record.poured.missing],
        "warnings": list(dict.fromkeys(words.notice(each) for each in record.notices)),
    }


def _tapes(checked: Checked, length: Callable[[float | None], float | None]) -> Document:
    """Build what the tapes say of the corners."""
    return {
        "square": checked.verdict.square,
        "decided": checked.verdict.decided,
        "checks": [
            {
                "from": each.check.from_name,
                "to": each.check.to_name,
                "at": each.check.at,
                "distance": length(each.now),
                "planned": length(each.check.distance),
                "allowed": length(each.check.allowed),
                "good": each.square,
            }
            for each in checked.verdict.judged
        ],
    }


def write_record_csv(record: Record, stream: TextIO) -> None:
    """Write every figure of a record, one a line.

    Parameters
    ----------
    record
        The record.
    stream
        A text stream opened with ``newline=""``.
    """
    unit = Unit(record.layout.options.unit)
    decimals, name = _DECIMALS[unit], unit.value

    def cell(value: float | None) -> str:
        if value is None or math.isinf(value):
            return ""
        return fixed(value / unit.metres, decimals)

    writer = csv.writer(stream)
    lengths = ("station", "measured", "planned", "off", "less", "more", "x", "y")
    writer.writerow((
        "footing",
        "what",
        *(f"{each}_{name}" for each in lengths),
        "good",
        "point",
        "source",
    ))
    for each in record.poured.deviations:
        writer.writerow((
            cell_text(each.where),
            each.what,
            cell(each.station),
            cell(each.measured),
            cell(each.planned),
            cell(each.off),
            cell(each.limit.less),
            cell(each.limit.more),
            cell(each.x),
            cell(each.y),
            "yes" if each.good else "no",
            cell_text(each.name),
            cell_text(each.limit.source),
        ))


def write_record_text(record: Record, stream: TextIO) -> None:
    """Write the page that goes to the file: the verdict, what is out, each footing's worst.

    Parameters
    ----------
    record
        The record.
    stream
        Where to, open for text in UTF-8.
    """
    from staking.output.blocks import Listing, Table

    words = Words(record.layout.options)
    lines = [
        "RECORD OF THE POURED FOOTING",
        f"Job: {safe(record.layout.plan.job)}",
        f"Measured in: {', '.join(safe(name) for name in record.read.files)}",
        f"Carries {record.terms.carries}; cast against {record.terms.cast}.",
        "",
        "Date: ____________________  By: ______________________________________",
        "",
        *plain(Listing(title="Verdict", lines=(record_verdict(record),))),
        "",
    ]
    blocks: list[Block] = [
        Listing(title="Out of tolerance", lines=out_lines(record)),
        overview(record),
        tapes_table(record),
        limits_table(record),
        Listing(
            title="Notes",
            lines=tuple(notice_sentence(each, words) for each in record.read.notices),
        ),
    ]
    if record.poured.missing:
        missing = ", ".join(map(safe, record.poured.missing))
        blocks.append(Listing(title="Not measured", lines=(f"{missing}.",)))
    for block in blocks:
        if block.rows if isinstance(block, Table) else block.lines:
            lines += [*plain(block), ""]
    stream.write("\n".join(lines))
