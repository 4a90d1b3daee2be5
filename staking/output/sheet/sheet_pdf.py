"""Writes sheet.pdf: the plan to scale, half a page for every corner, tables and two lists."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, BinaryIO

from staking.output.blocks import Column, Table
from staking.output.cautions import LAYOUT_CAUTIONS
from staking.output.pictures.lettering import printable
from staking.output.tables.layout_tables import checks_table, layout_blocks, notice_blocks
from staking.output.wording import Words

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from reportlab.platypus import BaseDocTemplate, Flowable

    from staking.laid_out.staked_out import StakeOut
    from staking.output.blocks import Block
    from staking.output.pictures.picture import Picture
    from staking.project.sheets import Sheets

_CHECKS = "Tape these"
_NEAR = "How near each stake comes with this tape, 19 times in 20"
_LISTED = ("Before you dig",)
"""Blocks of the terminal that the sheet's own lists take the place of."""


def write_sheet(
    sheets: Sheets,
    stream: BinaryIO,
    plan: Picture | None = None,
    profiles: Sequence[Picture] | None = None,
) -> None:
    """Write the sheets of a job as a PDF; the same job gives the same bytes.

    Parameters
    ----------
    sheets
        What is shown of the job.
    stream
        Where to write.
    plan, profiles
        The pictures of the plan and of the walls where they are drawn already; drawn here
        otherwise.
    """
    from staking.output.profile.profile_pictures import profile_pictures

    layout = sheets.layout
    if plan is None:
        from staking.output.drawing.plan_drawing import plan_document
        from staking.output.pictures.picture import paper_picture

        plan = paper_picture(plan_document(layout))
    drawn = tuple(profile_pictures(layout).values()) if profiles is None else profiles
    pages = _document(sheets, plan.black, stream)
    story = _story(sheets, [each.black for each in drawn])
    pages.build(list(story), canvasmaker=_canvas(sheets))


def _canvas(sheets: Sheets) -> type:
    from staking.output.sheet.page_frame import CountedCanvas

    return type(
        "JobCanvas",
        (CountedCanvas,),
        {
            "job": sheets.layout.plan.job,
            "revised": sheets.revised,
            "mark": sheets.layout.mark,
            "plan_pages": 1,
        },
    )


def _document(sheets: Sheets, plan: Picture, stream: BinaryIO) -> BaseDocTemplate:
    from reportlab.platypus import BaseDocTemplate, Frame, PageTemplate

    from staking.output.pictures.pdf_backend import POINTS_PER_MM, draw_picture
    from staking.output.sheet.page_sizes import columns, page_size

    paper = sheets.layout.options.paper

    def draw_plan(canvas: object, _: object) -> None:
        draw_picture(canvas, plan)

    def frame(x: float, y: float, width: float, height: float) -> Frame:
        sides = (x, y, width, height)
        return Frame(
            *(each * POINTS_PER_MM for each in sides),
            leftPadding=0, rightPadding=0, topPadding=0, bottomPadding=0,
        )  # fmt: skip

    size = tuple(each * POINTS_PER_MM for each in (plan.width, plan.height))
    table_size = tuple(each * POINTS_PER_MM for each in page_size(paper))
    return BaseDocTemplate(
        stream,
        pagesize=table_size,
        pageTemplates=[
            PageTemplate(
                "plan",
                [frame(0, 0, plan.width, plan.height)],
                onPage=draw_plan,
                pagesize=size,
            ),
            PageTemplate(
                "tables",
                [frame(each.x, each.y, each.width, each.height) for each in columns(paper)],
                pagesize=table_size,
            ),
        ],
        title=printable(f"{sheets.layout.plan.job}: foundation layout"),
        author="",
        subject="Foundation layout",
        creator="staking",
        invariant=1,
        pageCompression=1,
        allowSplitting=1,
    )


def _story(sheets: Sheets, profiles: Sequence[Picture]) -> Iterator[Flowable]:
    from reportlab.platypus import KeepTogether, NextPageTemplate, PageBreak, Spacer

    from staking.output.pictures.pdf_backend import POINTS_PER_MM
    from staking.output.sheet.corner_card import corner_sheets
    from staking.output.sheet.half_page import CornerBlock
    from staking.output.sheet.page_sizes import columns
    from staking.output.sheet.sheet_profiles import profile_flowables
    from staking.output.sheet.sheet_tables import flow, listing
    from staking.output.sheet.tick_lists import before_the_dig, before_the_pour

    column = columns(sheets.layout.options.paper)[0]
    width = column.width * POINTS_PER_MM
    yield Spacer(1, 1)
    yield NextPageTemplate("tables")
    yield PageBreak()
    mark = sheets.layout.mark
    for corner in corner_sheets(sheets):
        yield CornerBlock(sheets.layout, corner, column.width, column.height / 2, mark)
    yield PageBreak()
    yield from flow(_set_up(sheets), width)
    yield from profile_flowables(profiles, column)
    yield from flow(_afterwards(sheets), width)
    for each in (before_the_dig(sheets), before_the_pour(sheets)):
        yield KeepTogether([listing(each, width, 10, tick=True), Spacer(1, 12)])


def _set_up(sheets: Sheets) -> Iterator[Block]:
    """Give what is looked at before and while strings are pulled, and the levels."""
    layout = sheets.layout
    words = Words(layout.options)
    yield from notice_blocks(layout.notices, words)
    # The order of work tells how near stakes come, beside other ways to tape.
    out = _LISTED if sheets.work is None else (*_LISTED, _NEAR)
    for block in layout_blocks(layout):
        if block.title == _CHECKS:
            yield _with_blanks(checks_table(_CHECKS, layout.checks, words))
        elif block.title not in out:
            yield block
    if layout.grade is not None:
        from staking.output.tables.grade_tables import grade_blocks

        yield from (block for block in grade_blocks(layout) if block.title not in _LISTED)


def _afterwards(sheets: Sheets) -> Iterator[Block]:
    """Give stake-out, the order of work, and what is bought."""
    if sheets.staked is not None:
        from staking.output.tables.stakeout_tables import stakeout_blocks

        yield from stakeout_blocks(sheets.layout, _without_nails(sheets.staked))
    if sheets.work is not None:
        from staking.output.tables.work_tables import work_blocks

        yield from work_blocks(sheets.layout, sheets.work)
    if sheets.ordered is not None:
        from staking.output.tables.order_tables import order_blocks

        words = Words(sheets.layout.options)
        yield from notice_blocks(sheets.ordered.notices, words)
        yield from map(_uncautioned, order_blocks(sheets.layout, sheets.ordered))


def _uncautioned(block: Block) -> Block:
    # The sheet's own lists hold the cautions.
    if isinstance(block, Table):
        return block
    return replace(block, lines=tuple(e for e in block.lines if e not in LAYOUT_CAUTIONS))


def _without_nails(staked: StakeOut) -> StakeOut:
    # Nails are measured on their boards; what is staked is corners, hubs, pads and lines' ends.
    nails = {each.name for each in staked.points if each.description.startswith("board ")}
    return replace(
        staked,
        ties=tuple(each for each in staked.ties if each.name not in nails),
        shots=tuple(each for each in staked.shots if each.name not in nails),
        deltas=tuple(each for each in staked.deltas if each.name not in nails),
    )


def _with_blanks(table: Table) -> Table:
    from staking.output.sheet.corner_card import READINGS

    return Table(
        title=table.title,
        note=table.note,
        columns=(*table.columns, *(Column(heading=each) for each in READINGS)),
        rows=tuple((*row, *("" for _ in READINGS)) for row in table.rows),
    )
