"""A drawing's layers and the outline traced from them, in tables."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.output.blocks import Block, Column, Table
from staking.output.wording import Words, safe

if TYPE_CHECKING:
    from staking.outline.found_outline import FoundOutline


def outline_blocks(found: FoundOutline, words: Words) -> tuple[Block, ...]:
    """Set out what a drawing comes to.

    Parameters
    ----------
    found
        The layers, and the outline where one was traced.
    words
        How lengths are written.

    Returns
    -------
    tuple of Table
        The layers where no outline was asked for, else the outline.
    """
    if not found.corners:
        return (_layers(found, words),)
    blocks = (
        _corners(found, words),
        _sides(found, words),
        _joints(found, words),
        _shapes(found, words),
        _sizes(found, words),
    )
    return tuple(each for each in blocks if each.rows)


def unit_line(found: FoundOutline) -> str:
    """Say which unit the drawing is in and how that is known.

    Returns
    -------
    str
        A sentence without a final stop.
    """
    unit, source = found.unit.unit, found.unit.source
    if unit is None or source is None:
        return "nothing in the drawing tells its unit; sizes are in its own units"
    known = {
        "given": "as given",
        "dimensions": "as its dimensions' texts say",
        "header": "as its header says",
    }
    return f"the drawing is in {unit.plural}, {known[source.value]}"


def _layers(found: FoundOutline, words: Words) -> Table:
    known = found.unit.unit is not None

    def length(value: float) -> str:
        return words.length(value) if known else f"{value:.2f}"

    def area(value: float) -> str:
        return words.area(value) if known else f"{value:.2f}"

    return Table(
        title="Layers of the drawing",
        columns=(
            Column(heading="layer"),
            Column(heading="curves", right=True),
            Column(heading="encloses", right=True),
            Column(heading="width", right=True),
            Column(heading="height", right=True),
            Column(heading="loose ends", right=True),
            Column(heading="one outline"),
        ),
        rows=tuple(
            (
                safe(each.name),
                str(each.curves),
                area(each.area) if each.area > 0 else "nothing",
                length(each.size[0]),
                length(each.size[1]),
                str(each.loose_ends),
                "yes" if each.one_outline else "no",
            )
            for each in found.layers
        ),
        note=unit_line(found),
    )


def _corners(found: FoundOutline, words: Words) -> Table:
    return Table(
        title="Corners",
        columns=(
            Column(heading="corner"),
            Column(heading="x", right=True),
            Column(heading="y", right=True),
        ),
        rows=tuple((c.name, words.length(c.x), words.length(c.y)) for c in found.corners),
        note=f"{unit_line(found)}; the outline encloses {words.area(found.area or 0.0)}",
    )


def _sides(found: FoundOutline, words: Words) -> Table:
    return Table(
        title="Sides",
        columns=(
            Column(heading="side"),
            Column(heading="as drawn", right=True),
            Column(heading="dimension", right=True),
            Column(heading=""),
        ),
        rows=tuple(
            (
                f"{side.start}-{side.end}",
                words.length(side.length),
                "none" if side.dimension is None else words.length(side.dimension),
                "" if side.dimension is None else "differs" if side.differs else "agrees",
            )
            for side in found.sides
        ),
    )


def _joints(found: FoundOutline, words: Words) -> Table:
    return Table(
        title="Gaps closed",
        columns=(
            Column(heading="x", right=True),
            Column(heading="y", right=True),
            Column(heading="gap", right=True),
        ),
        rows=tuple(
            (words.length(j.x), words.length(j.y), words.length(j.gap)) for j in found.closed
        ),
    )


def _shapes(found: FoundOutline, words: Words) -> Table:
    def size(shape_size: tuple[float, float] | None, diameter: float | None) -> str:
        if shape_size is not None:
            return f"{words.length(shape_size[0])} x {words.length(shape_size[1])}"
        return "neither square nor round" if diameter is None else f"{words.length(diameter)} round"

    return Table(
        title="Small shapes beside the outline",
        columns=(
            Column(heading="x", right=True),
            Column(heading="y", right=True),
            Column(heading="size"),
        ),
        rows=tuple(
            (words.length(s.x), words.length(s.y), size(s.size, s.diameter)) for s in found.shapes
        ),
    )


def _sizes(found: FoundOutline, words: Words) -> Table:
    rows = []
    if found.wall is not None:
        rows.append(("wall", words.length(found.wall)))
    if found.footing is not None:
        rows.append(("footing width", words.length(found.footing.width)))
        rows.append(("footing past the outside face", words.length(found.footing.outside)))
    return Table(
        title="Read off the drawing",
        columns=(Column(heading=""), Column(heading="size", right=True)),
        rows=tuple(rows),
    )
