"""Writes record.pdf: what the builder measured after the pour, against the plan, for the file."""

from __future__ import annotations

from typing import TYPE_CHECKING, BinaryIO

from staking.output.blocks import Column, Listing, Table
from staking.output.drawing.record_drawing import LARGER
from staking.output.pictures.lettering import printable
from staking.output.tables.notice_listings import notice_sentence
from staking.output.tables.record_tables import (
    figures_table,
    limits_table,
    out_lines,
    overview,
    record_verdict,
    tapes_table,
)
from staking.output.wording import Words, safe

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterator

    from reportlab.platypus import Flowable

    from staking.checked.poured_record import Record

TITLE = "Record of the poured footing"
OWN = "The builder's own measurements, not a survey or certificate."
"""What stands at the record's head."""
_SIZE = 9.0
"""Size of the text, points."""
_GAP = 10.0
"""Between two columns, points."""
_HIGH = 172.0
"""The most that the drawing takes in height, mm."""


def write_record_sheet(record: Record, stream: BinaryIO, day: dt.date | None = None) -> None:
    """Write the record as a PDF; the same record gives the same bytes.

    Parameters
    ----------
    record
        The record.
    stream
        Where to write.
    day
        The day that every page bears; None leaves room to write it.
    """
    from reportlab.platypus import BaseDocTemplate, Frame, PageTemplate

    from staking.output.pictures.pdf_backend import POINTS_PER_MM
    from staking.output.sheet.page_frame import CountedCanvas
    from staking.output.sheet.page_sizes import columns, page_size

    layout = record.layout
    paper = layout.options.paper
    size = tuple(each * POINTS_PER_MM for each in page_size(paper))
    frames = [
        Frame(
            *(each * POINTS_PER_MM for each in (one.x, one.y, one.width, one.height)),
            leftPadding=0, rightPadding=0, topPadding=0, bottomPadding=0,
        )
        for one in columns(paper)
    ]  # fmt: skip
    pages = BaseDocTemplate(
        stream,
        pagesize=size,
        pageTemplates=[PageTemplate("upright", frames, pagesize=size)],
        title=printable(f"{layout.plan.job}: {TITLE.lower()}"),
        author="",
        subject=f"{TITLE}. {OWN}",
        creator="staking",
        invariant=1,
        pageCompression=1,
        allowSplitting=1,
    )
    named = {"job": layout.plan.job, "revised": day, "mark": layout.mark}
    pages.build(list(_story(record)), canvasmaker=type("RecordCanvas", (CountedCanvas,), named))


def _story(record: Record) -> Iterator[Flowable]:
    from reportlab.platypus import Spacer

    from staking.output.pictures.pdf_backend import POINTS_PER_MM
    from staking.output.record_paper.record_picture import record_picture
    from staking.output.sheet.page_sizes import columns
    from staking.output.sheet.picture_block import PictureBlock
    from staking.output.sheet.sheet_tables import SMALL, listing, natural_width, table
    from staking.output.sheet.two_columns import TwoColumns

    column = columns(record.layout.options.paper)[0]
    width = column.width * POINTS_PER_MM
    yield listing(Listing(title=TITLE, lines=_head(record)), width, 11.0)
    yield Spacer(1, 4)
    picture, scale = record_picture(record, column.width, _HIGH)
    yield PictureBlock(picture, column)
    yield listing(Listing(title="The drawing", lines=_legend(scale)), width, _SIZE)
    for lines in _lists(record):
        if lines.lines:
            yield Spacer(1, 6)
            yield listing(lines, width, _SIZE)
    figures, limits = _judged(record)
    yield Spacer(1, 6)
    for block in (overview(record), limits, tapes_table(record)):
        if block.rows:
            yield table(block, width, _SIZE)
            yield Spacer(1, 6)
    if figures.rows:
        half = (width - _GAP) / 2
        if natural_width(figures, SMALL) <= half:
            yield TwoColumns([table(figures, half, SMALL, tight=True)], width, _GAP)
        else:
            yield table(figures, width, SMALL, tight=True)


def _head(record: Record) -> tuple[str, ...]:
    measured = ", ".join(safe(name) for name in record.read.files)
    return (
        OWN,
        record_verdict(record),
        f"Measured in: {measured}. Carries {record.terms.carries}; cast against "
        f"{record.terms.cast}.",
        "Measured on ______________ by ________________________________, with tape or instrument "
        "________________________.",
    )


def _legend(scale: str) -> tuple[str, ...]:
    return (
        f"Scale {scale}. The footing as planned, with its walls, and over it the edges as "
        "measured, to scale; circles stand where they were measured. Ticks are "
        f"{LARGER:g} times as large as the deviation; very long ones are cut.",
        "At an edge + is beyond the plan, - short of it. T: the top, + high, - low; where out of "
        "tolerance also L: fall of a level run, W: width, H: thickness.",
    )


def _lists(record: Record) -> tuple[Listing, ...]:
    words = Words(record.layout.options)
    missing = tuple(f"{safe(each)}." for each in record.poured.missing)
    notes = tuple(notice_sentence(each, words) for each in record.read.notices)
    return (
        Listing(title="Out of tolerance", lines=out_lines(record)),
        Listing(title="Not measured", lines=missing),
        Listing(title="Notes", lines=notes),
    )


def _judged(record: Record) -> tuple[Table, Table]:
    # Every figure with the number of its source, and the sources as they are cited.
    sources = list(dict.fromkeys(each.limit.source for each in record.poured.deviations))
    figures = figures_table(record)
    rows = tuple(
        (*row[:-1], "" if each.good else "out", str(sources.index(each.limit.source) + 1))
        for row, each in zip(figures.rows, record.poured.deviations, strict=True)
    )
    limits = limits_table(record)
    numbered = sorted(
        (str(sources.index(row[-1]) + 1) if row[-1] in sources else "", *row) for row in limits.rows
    )
    return (
        Table(
            title=figures.title,
            columns=(*figures.columns, Column(heading="by", right=True)),
            rows=rows,
            note=f"{figures.note} By: the number of its source.",
        ),
        Table(
            title="The sources of the limits, as cited",
            columns=(Column(heading="no.", right=True), *limits.columns),
            rows=tuple(numbered),
        ),
    )
