"""The points file: every stake, board end, nail and pad, for whoever sets out by coordinates.

Comma-delimited with a header that states the unit, UTF-8, one point a line. Text in it can
neither start a formula in a spreadsheet nor break a line.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from typing import TYPE_CHECKING, TextIO

from staking.measure import Unit
from staking.output.wording import safe

if TYPE_CHECKING:
    from collections.abc import Iterator

    from staking.plan import Point
    from staking.project import Layout

_DECIMALS = {Unit.FT: 4, Unit.US_FT: 4, Unit.IN: 3, Unit.M: 4, Unit.MM: 1}
"""Decimals that hold a tenth of a millimetre in each unit."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NamedPoint:
    """A point to set out: its name, once in the file, x and y in m, and what it is."""

    name: str
    x: float
    y: float
    description: str


def layout_points(layout: Layout) -> tuple[NamedPoint, ...]:
    """List the points of a layout.

    Parameters
    ----------
    layout
        The layout.

    Returns
    -------
    tuple of NamedPoint
        Corners, pads, ends of interior lines, hubs, board ends, marks; every name once.
    """
    taken: set[str] = set()
    points = []
    for name, (x, y), description in _all(layout):
        unique, count = name, 1
        while unique in taken:
            count += 1
            unique = f"{name}_{count}"
        taken.add(unique)
        points.append(NamedPoint(name=unique, x=x, y=y, description=description))
    return tuple(points)


def _all(layout: Layout) -> Iterator[tuple[str, Point, str]]:
    # What the job names comes first, so that it keeps its name whatever the rest is called.
    plan = layout.plan
    for building in plan.buildings:
        of = f" of {building.name}" if building.name else ""
        for corner in building.corners:
            yield corner.name, corner.point, f"corner{of}"
    for pad in plan.pads:
        shape = "round pad" if pad.size is None else "pad"
        yield pad.name, pad.point, f"{shape} centre"
    for line in plan.interior:
        yield f"{line.name}_from", line.start, f"centre of {line.name} on {line.start_on}"
        yield f"{line.name}_to", line.end, f"centre of {line.name} on {line.end_on}"
    for hub in layout.hubs:
        yield f"hub_{hub.corner}_{hub.wall}", (hub.x, hub.y), f"hub of {hub.corner} on {hub.wall}"
    for board in layout.boards:
        for at, end in enumerate(board.ends, start=1):
            yield f"board_{board.name}_end_{at}", end, f"board {board.name} end"
        for at, mark in enumerate(board.marks, start=1):
            yield (
                f"board_{board.name}_mark_{at}",
                (mark.x, mark.y),
                f"board {board.name} {mark.mark} {mark.wall}",
            )


def write_points_csv(layout: Layout, stream: TextIO) -> None:
    """Write the points file.

    Parameters
    ----------
    layout
        The layout.
    stream
        A text stream opened with ``newline=""``.
    """
    unit = Unit(layout.options.unit)
    decimals = _DECIMALS[unit]
    writer = csv.writer(stream)
    writer.writerow(("point", f"x_{unit.value}", f"y_{unit.value}", "description"))
    for point in layout_points(layout):
        writer.writerow((
            cell_text(point.name),
            fixed(point.x / unit.metres, decimals),
            fixed(point.y / unit.metres, decimals),
            cell_text(point.description),
        ))


def fixed(value: float, decimals: int) -> str:
    """Write a coordinate with a fixed number of decimals and no negative nothing.

    Parameters
    ----------
    value
        The coordinate, in the file's unit.
    decimals
        How many decimals.

    Returns
    -------
    str
        ``-0.5000``; ``0.0000`` for what rounds to nothing from below.
    """
    text = f"{value:.{decimals}f}"
    return text.removeprefix("-") if not text.strip("-0.") else text


def cell_text(text: str) -> str:
    """Make text safe in a cell that a spreadsheet may open.

    Parameters
    ----------
    text
        A name or a description.

    Returns
    -------
    str
        One line; text that would start a formula has an apostrophe before it.

    Examples
    --------
    >>> cell_text("=1+1")
    "'=1+1"
    """
    line = safe(text).strip()
    return f"'{line}" if line.startswith(("=", "+", "-", "@")) else line
