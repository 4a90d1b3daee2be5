"""A deed in a file of its own, in tables."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from staking.notices import Severity, notice
from staking.output.blocks import Block, Column, Table
from staking.output.tables.deed_tables import closing_listing, courses_table, slips_table
from staking.output.tables.notice_listings import notice_blocks
from staking.output.tables.survey_tables import survey_words
from staking.output.wording import safe
from staking.site.deed.deed_notices import paper_notices

if TYPE_CHECKING:
    from staking.measure.deed.description import Description
    from staking.project.deed_file import DeedInFile


def deed_file_blocks(found: DeedInFile) -> tuple[Block, ...]:
    """Set out what a file of courses holds.

    Parameters
    ----------
    found
        The deed as read.

    Returns
    -------
    tuple of Block
        Its courses beside their words, how they close and what would close them; where a piece is
        not understood, every piece with what is made of it.
    """
    if found.deed is None or found.walked is None:
        return (_pieces(found.name, found.description),)
    slips = slips_table(found.deed, found.walked, found.slips)
    return (
        courses_table(found.deed, found.walked),
        closing_listing(found.deed, found.walked, survey_words(found.unit)),
        *((slips,) if slips.rows else ()),
    )


def deed_file_notices(found: DeedInFile) -> tuple[Block, ...]:
    """Set out what wants a look: how badly it closes, slips, curves, areas, what was assumed.

    Parameters
    ----------
    found
        The deed as read.

    Returns
    -------
    tuple of Block
        Nothing where a piece is not understood.
    """
    if found.deed is None or found.walked is None:
        return ()
    told = [
        each
        for each in paper_notices(found.deed, found.walked, found.slips)
        if each.severity is not Severity.NOTE
    ]
    if any(_is_bare(course.words.distance) for course in found.deed.courses):
        told.append(
            notice(
                "deed-unit",
                "distances without a unit are taken as {unit}; --unit says otherwise",
                Severity.NOTE,
                unit=found.unit.plural,
            )
        )
    return notice_blocks(told, survey_words(found.unit))


def _is_bare(distance: str) -> bool:
    return bool(distance) and re.fullmatch(r"[0-9.,]+", distance) is not None


def _pieces(name: str, description: Description) -> Table:
    return Table(
        title=f"{safe(name)}: the deed, piece by piece",
        columns=(
            Column(heading="what"),
            Column(heading="understood"),
            Column(heading="its words"),
        ),
        rows=tuple(
            (str(piece.kind), "no" if piece.fault is not None else "yes", safe(piece.words))
            for piece in description.pieces
        ),
    )
