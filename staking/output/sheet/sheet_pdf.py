"""Writes sheet.pdf: the set of sheets, or those of it that are asked for."""

from __future__ import annotations

from typing import TYPE_CHECKING, BinaryIO

from staking.kinds import SheetKind
from staking.output.pictures.lettering import printable

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from reportlab.platypus import BaseDocTemplate, Flowable, Frame

    from staking.output.profile.on_paper.walls_in_rows import ProfileRows
    from staking.output.sheet.page_sizes import PageColumn
    from staking.output.sheet.set_of_sheets import SheetOfSet
    from staking.project.sheets import Sheets

_UPRIGHT, _LYING = "upright", "lying"


def write_sheet(
    sheets: Sheets,
    stream: BinaryIO,
    profiles: ProfileRows | None = None,
    only: Sequence[SheetKind] | None = None,
) -> None:
    """Write the sheets of a job as a PDF; the same job gives the same bytes.

    Parameters
    ----------
    sheets
        What is shown of the job.
    stream
        Where to write.
    profiles
        The pictures of the walls where they are drawn already; drawn here otherwise.
    only
        The sheets to print; None for all. What the job lacks is left out.
    """
    from staking.output.profile.profile_pictures import profile_pictures
    from staking.output.sheet.drawing_page import plan_rooms
    from staking.output.sheet.page_sizes import whole_page
    from staking.output.sheet.printed_job import PrintedJob
    from staking.output.sheet.set_of_sheets import filled_sheets
    from staking.output.sheet_drawings.plans_of_job import PlansOfJob

    layout, values = sheets.layout, sheets.values
    rooms = plan_rooms(whole_page(layout.options.paper))
    drawn = profile_pictures(layout) if profiles is None else profiles
    job = PrintedJob(
        sheets=sheets,
        profiles=drawn,
        kinds=tuple(
            kind
            for kind in SheetKind
            if (only is None or kind in only) and sheets.lacking(kind) is None
        ),
        plans=None if values is None else PlansOfJob(layout, values, rooms),
    )
    filled = filled_sheets(job)
    pages = _document(sheets, stream, first_lies=bool(filled) and filled[0][0].lies)
    pages.build(list(_story(filled)), canvasmaker=_canvas(sheets))


def _canvas(sheets: Sheets) -> type:
    from staking.output.sheet.page_frame import CountedCanvas

    return type(
        "JobCanvas",
        (CountedCanvas,),
        {
            "job": sheets.layout.plan.job,
            "revised": sheets.revised,
            "mark": sheets.layout.mark,
        },
    )


def _document(sheets: Sheets, stream: BinaryIO, *, first_lies: bool) -> BaseDocTemplate:
    from reportlab.platypus import BaseDocTemplate, PageTemplate

    from staking.output.pictures.pdf_backend import POINTS_PER_MM
    from staking.output.sheet.page_sizes import columns, lying_size, page_size, whole_page

    paper = sheets.layout.options.paper
    upright, lying = (
        tuple(each * POINTS_PER_MM for each in size)
        for size in (page_size(paper), lying_size(paper))
    )
    kinds = [
        PageTemplate(_UPRIGHT, [_frame(each) for each in columns(paper)], pagesize=upright),
        PageTemplate(_LYING, [_frame(whole_page(paper))], pagesize=lying),
    ]
    return BaseDocTemplate(
        stream,
        pagesize=lying if first_lies else upright,
        # The document begins with the first of them.
        pageTemplates=kinds[::-1] if first_lies else kinds,
        title=printable(f"{sheets.layout.plan.job}: foundation layout"),
        author="",
        subject="Foundation layout",
        creator="staking",
        invariant=1,
        pageCompression=1,
        allowSplitting=1,
    )


def _frame(column: PageColumn) -> Frame:
    from reportlab.platypus import Frame

    from staking.output.pictures.pdf_backend import POINTS_PER_MM

    sides = (column.x, column.y, column.width, column.height)
    return Frame(
        *(each * POINTS_PER_MM for each in sides),
        leftPadding=0, rightPadding=0, topPadding=0, bottomPadding=0,
    )  # fmt: skip


def _story(filled: list[tuple[SheetOfSet, list[Flowable]]]) -> Iterator[Flowable]:
    from reportlab.platypus import NextPageTemplate, PageBreak

    from staking.output.sheet.page_frame import SheetBegins

    for at, (sheet, content) in enumerate(filled):
        yield NextPageTemplate(_LYING if sheet.lies else _UPRIGHT)
        if at:
            yield PageBreak()
        yield SheetBegins(sheet.kind, sheet.title)
        yield from content
