"""Sheet 3, Dimensions: every dimension on the plan, and a section through wall and footing."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.kinds import SheetKind
from staking.output.blocks import Block, Column, Listing, Table
from staking.output.pictures.pdf_backend import POINTS_PER_MM
from staking.output.sheet.drawing_page import (
    BESIDE,
    OVER_PART,
    DrawingPage,
    pages_of_parts,
)
from staking.output.sheet.picture_block import PictureBlock, TitledPicture, Whole
from staking.output.sheet.sheet_tables import listing, natural_width, table, unbroken_width
from staking.output.sheet_drawings.paper_drawing import NumberedNames
from staking.output.sheet_drawings.wall_section import section_picture
from staking.output.wording import Words, safe

if TYPE_CHECKING:
    from collections.abc import Iterator

    from reportlab.platypus import Flowable

    from staking.laid_out.footing_sections import FootingSection
    from staking.laid_out.layout_value import Layout
    from staking.output.sheet.printed_job import PrintedJob
    from staking.project.sheets import Sheets

_TAPED = 11.0
"""Size of what is taped, points."""
_SAID = 9.0
"""Size of other words, points."""
TURNED = "The plan is turned here to lie along the sheet; the cards show it unturned."
"""What is said of a plan that is turned to lie along the sheet."""
_RUNS_ON = "A length whose line runs to a match line is the whole length."
"""What is said of a plan that is cut."""
_NAMED = "Which name each # stands for is said on Start here."
"""What is said where the names have no room."""
_FEW = 4
"""More corners than this stand two in a row."""


def dimensions_sheet(job: PrintedJob) -> Iterator[Flowable]:
    """Fill the sheet of the dimensions.

    Yields
    ------
    Flowable
        The page with the plan, and what finds no room beside it.
    """
    values, plans = job.sheets.values, job.plans
    if values is None or plans is None or not values.dimensions:
        return
    note = what_is_drawn(job.sheets.layout, is_turned=plans.is_turned)
    if plans.cut is not None:
        note = f"{note} {_RUNS_ON}" if plans.is_turned else f"{note}\n{_RUNS_ON}"
        over = list(beside_dimensions(job, OVER_PART))
        parts = plans.dimension_parts()
        yield from pages_of_parts("Dimensions", parts, over, job.whole, note, OVER_PART)
        return
    drawn = plans.dimensions

    def with_beside(pieces: list[Flowable], said: str = note) -> DrawingPage:
        return DrawingPage(
            "Dimensions", drawn.scale, drawn.picture, pieces, job.whole, said, lies=plans.lies
        )

    page = with_beside(list(beside_dimensions(job)))
    if page.rest:
        # The corners' x and y stand last: they alone are worth no page of their own; nor are the
        # names, which Start here has.
        without = with_beside(list(beside_dimensions(job, corners=False)))
        if without.rest and SheetKind.START in job.kinds and _has_names(job):
            fewest = list(beside_dimensions(job, corners=False, names=False))
            without = with_beside(fewest, f"{note}\n{_NAMED}")
        page = page if without.rest else without
    yield page
    yield from page.after(job.whole)


def _has_names(job: PrintedJob) -> bool:
    return bool(NumberedNames(job.sheets.layout.plan).numbered)


def beside_dimensions(
    job: PrintedJob, across: float = BESIDE, *, corners: bool = True, names: bool = True
) -> Iterator[Flowable]:
    """Set what stands beside the dimensions: the section, the pads, names and coordinates.

    Parameters
    ----------
    job
        The job.
    across
        The width for it, mm.
    corners, names
        Whether the corners' x and y, and the names that the plans show as numbers, are set.

    Yields
    ------
    Flowable
        In order; nothing for a job without values for its drawings.
    """
    sheets, width = job.sheets, across * POINTS_PER_MM
    values = sheets.values
    if values is None:
        return
    words = Words(sheets.layout.options)
    shown = NumberedNames(sheets.layout.plan)
    for at, section in enumerate(values.sections):
        if at == 0:
            drawn = section_picture(section, sheets.layout.options, across)
            title = listing(_titled(section, drawn.scale), width, _SAID, tight=True)
            yield TitledPicture(title, PictureBlock(drawn.picture, job.whole))
        alone = all(
            each is section or each.is_interior != section.is_interior for each in values.sections
        )
        said = _said(section, words, shown, drawn=at == 0, alone=alone)
        yield listing(said, width, _TAPED, tight=True)
    for block in _tables(sheets, words, names=names):
        if isinstance(block, Listing):
            yield listing(block, width, _SAID, tight=True)
        elif unbroken_width(block, _TAPED) > width:
            # Lengths that a column cannot hold whole stand in sentences.
            yield listing(_in_sentences(block), width, _TAPED, tight=True)
        else:
            yield table(block, width, _TAPED, tight=True)
    points = _corners(sheets.layout, words, shown, width)
    if not corners or unbroken_width(points, _TAPED) > width:
        return
    made = table(points, width, _TAPED, tight=True)
    fits = made.wrap(width, _ENDLESS)[1] <= _ON_ONE_PAGE * job.whole.height * POINTS_PER_MM
    yield Whole(made) if fits else made


_PADS = "Pads, to their centres"
_MANY = 24
"""More walls than this are not named one by one where all of a kind are built alike."""
_ON_ONE_PAGE = 0.9
"""A table of corners higher than this share of a page is parted."""
_ENDLESS = 1e6
"""A height with room for any table, points."""


def _titled(section: FootingSection, scale: str) -> Listing:
    return Listing(
        title="Section through wall and footing",
        lines=(f"Scale {scale}; the heights of wall and ground are not to scale.",),
    )


def _named(section: FootingSection, names: NumberedNames, alone: bool) -> list[str]:
    """List the walls that are built so, in lines that a page can be parted between."""
    if alone and len(section.walls) > _MANY:
        return ["all interior lines" if section.is_interior else "all outside walls"]
    walls = list(map(names, section.walls))
    return [", ".join(walls[at : at + _MANY]) for at in range(0, len(walls), _MANY)]


def _said(
    section: FootingSection, words: Words, names: NumberedNames, *, drawn: bool, alone: bool
) -> Listing:
    from staking.order.bars.laps import bar_name

    length = words.length
    lines = _named(section, names, alone)
    if not drawn:
        sides = ("left", "right") if section.is_interior else ("outside", "inside")
        lines.append(
            f"wall {length(section.wall)} on footing {length(section.width)} x "
            f"{length(section.thickness)}: {length(section.outside)} {sides[0]}, "
            f"{length(section.inside)} {sides[1]}"
        )
    steel = section.steel
    if drawn and steel is not None:
        lines.append(f"{steel.bars} bars {bar_name(steel.size)}, laps {length(steel.lap)}")
        lines.append(f"{length(steel.cover)} of concrete under and beside them")
        if steel.dowels is not None:
            lines.append(f"dowels at most {length(steel.dowels)} apart")
    if drawn and section.frost_depth is not None and section.in_ground is not None:
        lines.append(f"bottom {length(section.frost_depth)} or more under finished grade")
        lines.append(f"bottom {length(section.in_ground)} or more into undisturbed ground")
    if drawn and section.stone > 0:
        lines.append(f"{length(section.stone)} of stone under the footing")
    drain = section.drain
    if drawn and drain is not None:
        stone = f"{length(drain.width)} wide, {length(drain.high - drain.low)} high"
        if drain.size is None:
            lines.append(f"drain: stone alone, {stone}")
        else:
            lines.append(f"drain: pipe {length(drain.size)} in washed stone {stone},")
            lines.append("drawn as high as it is laid at most; it falls from there")
    title = (
        "Interior lines"
        if section.is_interior
        else "Built like this"
        if drawn
        else "Built otherwise"
    )
    return Listing(title=title, lines=tuple(lines))


def _tables(sheets: Sheets, words: Words, *, names: bool) -> Iterator[Block]:
    values, layout = sheets.values, sheets.layout
    assert values is not None
    shown = NumberedNames(layout.plan)
    if values.pads:
        yield Table(
            title=_PADS,
            columns=(
                Column(heading="pad"),
                Column(heading="from"),
                Column(heading="along", right=True),
                Column(heading="square", right=True),
            ),
            rows=tuple(
                (
                    shown(each.pad),
                    f"{shown(each.corner)} on {shown(each.wall)}",
                    _way(words, each.along, ("on", "back")),
                    _way(words, each.square, ("in", "out")),
                )
                for each in values.pads
            ),
        )
    if names and shown.numbered:
        yield numbered_names(shown)


def _in_sentences(pads: Table) -> Listing:
    lines = [f"{pad}, from {corner}: {along}, {square}" for pad, corner, along, square in pads.rows]
    return Listing(title=pads.title, lines=tuple(lines))


def numbered_names(names: NumberedNames) -> Listing:
    """List the names that stand on the plans as their numbers.

    Returns
    -------
    Listing
        A line for each.
    """
    return Listing(
        title="Names",
        lines=tuple(f"{number} is {safe(name)}" for number, name in names.numbered),
    )


def _corners(layout: Layout, words: Words, names: NumberedNames, width: float) -> Table:
    # Two corners in a row where there are many and their figures find room.
    cells = [
        (names(each.name), words.length(each.x), words.length(each.y))
        for building in layout.plan.buildings
        for each in building.corners
    ]
    single = _side_by_side(cells, 1)
    double = _side_by_side(cells, 2)
    fits = natural_width(double, _TAPED) <= width
    return double if len(cells) > _FEW and fits else single


def _side_by_side(cells: list[tuple[str, str, str]], count: int) -> Table:
    rows = -(-len(cells) // count)
    columns = (
        Column(heading=""), Column(heading="x", right=True), Column(heading="y", right=True),
    )  # fmt: skip
    return Table(
        title="",
        columns=columns * count,
        rows=tuple(
            tuple(
                cell
                for at in range(row, rows * count, rows)
                for cell in (cells[at] if at < len(cells) else ("", "", ""))
            )
            for row in range(rows)
        ),
    )


def _way(words: Words, length: float, ways: tuple[str, str]) -> str:
    return f"{words.length(abs(length))} {ways[length < 0]}"


def what_is_drawn(layout: Layout, *, is_turned: bool = False) -> str:
    """Say what the lines of the plan are, and where lengths run.

    Returns
    -------
    str
        Sentences.
    """
    edge = "footing edge, dashed: dig line" if layout.digs_wider else "footing edge and dig line"
    said = f"Heavy: wall. Thin: {edge}. To the outside face; inside to centre lines."
    return f"{said}\n{TURNED}" if is_turned else said
