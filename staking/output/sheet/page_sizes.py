"""The pages of the sheets: their size and their columns, without what draws on them."""

from __future__ import annotations

from staking.frozen import frozen
from staking.output.drawing.drawn_words import PAPERS

MARGIN = 11.0
"""From the paper's edge to what is printed on a page of tables, mm."""
HEAD = 8.0
"""Height of the line on top of such a page, mm."""
FOOT = 7.0
"""Height of the line at its bottom, mm."""
GUTTER = 14.0
"""Between two columns, mm."""
TWO_COLUMNS = ("tabloid", "A3")
"""Papers whose half is a page for a clipboard: they lie on their side and hold two."""


@frozen
class PageColumn:
    """Where the content of a page goes, mm from the lower left corner of the paper."""

    x: float
    y: float
    width: float
    height: float


def page_size(paper: str) -> tuple[float, float]:
    """Give width and height of a page of tables, mm.

    Returns
    -------
    tuple of float
        The paper upright or, where it holds two columns, on its side.
    """
    width, height = PAPERS[paper]
    return (width, height) if paper in TWO_COLUMNS else (height, width)


def columns(paper: str) -> tuple[PageColumn, ...]:
    """Give the columns of a page of tables.

    Returns
    -------
    tuple of PageColumn
        One, or two side by side.
    """
    width, height = page_size(paper)
    count = 2 if paper in TWO_COLUMNS else 1
    room = width - 2 * MARGIN - (count - 1) * GUTTER
    return tuple(
        PageColumn(
            x=MARGIN + at * (room / count + GUTTER),
            y=MARGIN + FOOT,
            width=room / count,
            height=height - 2 * MARGIN - HEAD - FOOT,
        )
        for at in range(count)
    )


def lying_size(paper: str) -> tuple[float, float]:
    """Give width and height of a page on its side, mm.

    Returns
    -------
    tuple of float
        The paper on its side.
    """
    return PAPERS[paper]


def whole_page(paper: str) -> PageColumn:
    """Give where the content of a page on its side goes.

    Returns
    -------
    PageColumn
        The one there is.
    """
    width, height = lying_size(paper)
    return PageColumn(
        x=MARGIN,
        y=MARGIN + FOOT,
        width=width - 2 * MARGIN,
        height=height - 2 * MARGIN - HEAD - FOOT,
    )
