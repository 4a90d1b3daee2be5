"""The walls in profile set in rows for a page: several beside one another, one key for all."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.frozen import frozen
from staking.grade.setting_out.rods import add_to_benchmark
from staking.output.drawing import layers
from staking.output.drawing.drawn_words import Box, Text
from staking.output.drawing.short_names import ShownNames
from staking.output.pictures.lettering import line_width
from staking.output.pictures.sketch_pen import SketchPen
from staking.output.profile.on_paper.line_looks import LOOKS
from staking.output.profile.on_paper.paper_wall import SAID, SAID_ROW, TAPED, TAPED_ROW, PaperWall
from staking.output.profile.on_paper.row_packing import PieceInRow, packed
from staking.output.wording import Words
from staking.tolerances import ON_LINE
from staking.units import FOOT

if TYPE_CHECKING:
    from staking.grade.graded import Graded
    from staking.laid_out.layout_value import Layout
    from staking.output.pictures.picture import Picture

_BETWEEN = 5.0
"""Between two walls of a row, mm."""
_LOWEST = 18.0
"""A wall may be drawn so low, mm, where all of them then go on fewer pages."""
_HEIGHTS = (90.0, 80.0, 70.0, 64.0, 58.0, 52.0, 46.0, 40.0, 36.0, 32.0, 28.0, 25.0, 22.0, 20.0)
"""The most that a wall takes in height, tried one after the other, mm."""
_SAMPLE = 10.0
"""Length of a line's sample in the key, mm."""
_KEY_CELL = 4.0
"""After a name in the key, mm."""
AIR = 3.0
"""Under each row and under the key, mm."""


@frozen
class ProfileRows:
    """Every wall in profile.

    Parameters
    ----------
    key
        What the lines are, and what holds for all walls.
    rows
        The walls beside one another, each with its name.
    """

    key: Picture
    rows: tuple[tuple[tuple[str, Picture], ...], ...]


def profile_rows(layout: Layout, graded: Graded, width: float, height: float) -> ProfileRows:
    """Draw every wall in profile, in rows of the page's width.

    Parameters
    ----------
    layout, graded
        The job and its levels.
    width, height
        Of a page, mm.

    Returns
    -------
    ProfileRows
        In the network's order but where a later wall fills a row. Two rows go on a page where
        their words let them.
    """
    shown = ShownNames(layout.plan)
    walls = [PaperWall(layout, graded, wall, shown, width) for wall in graded.walls]
    key = _key(layout, graded, walls, width)
    pieces = [PieceInRow(width=each.least_width, length=each.length) for each in walls]
    rows = [_shared([walls[at] for at in row], width) for row in packed(pieces, width, _BETWEEN)]
    first = height - key.height - AIR
    fewest = _pages([_high(row, _LOWEST) for row in rows], first, height)
    tall = next(
        (
            each
            for each in _HEIGHTS
            if _pages([_high(row, each) for row in rows], first, height) <= fewest
        ),
        _LOWEST,
    )
    return ProfileRows(
        key=key,
        rows=tuple(
            tuple((wall.name, wall.picture(wide, tall)) for wall, wide in row) for row in rows
        ),
    )


def _shared(row: list[PaperWall], width: float) -> list[tuple[PaperWall, float]]:
    # What a row leaves goes to its walls by their lengths.
    spare = width - _BETWEEN * (len(row) - 1) - sum(each.least_width for each in row)
    long = sum(each.length for each in row)
    return [(each, each.least_width + max(0.0, spare) * each.length / long) for each in row]


def _high(row: list[tuple[PaperWall, float]], tall: float) -> float:
    return max(wall.height(wide, tall) for wall, wide in row) + AIR


def _pages(heights: list[float], first: float, height: float) -> int:
    # How many pages the rows take, the first page being lower by the key.
    pages, left = 1, first
    for each in heights:
        if each > left:
            pages, left = pages + 1, height
        left -= each
    return pages


def _key(layout: Layout, graded: Graded, walls: list[PaperWall], width: float) -> Picture:
    looks = [name for name in LOOKS if any(name in wall.looks for wall in walls)]
    if "finished ground" in looks and "existing and finished ground" in looks:
        looks.remove("existing and finished ground")
    said = _said(layout, graded)
    cell = _SAMPLE + 2.0 + max(line_width(each, SAID) for each in looks) + _KEY_CELL
    columns = max(1, int((width + _KEY_CELL) // cell))
    rows = -(-len(looks) // columns)
    high = rows * SAID_ROW + sum(each[1] for each in said) + 1.0
    pen = SketchPen("key", Box(x=width / 2, y=high / 2, width=width, height=high), 1.0)
    y = high
    for at, name in enumerate(looks):
        x, level = (at % columns) * cell, y - (at // columns + 0.5) * SAID_ROW
        pen.line((x, level), (x + _SAMPLE, level), *LOOKS[name])
        pen.write(Text(text=name, x=x + _SAMPLE + 2.0, y=level, height=SAID, align=-1))
    y -= rows * SAID_ROW
    for text, room in said:
        size = SAID if room < TAPED_ROW else TAPED
        size *= min(1.0, width / line_width(text, size))
        pen.write(Text(text=text, x=0.0, y=y - room / 2, height=size, align=-1))
        y -= room
    return pen.picture()


def _said(layout: Layout, graded: Graded) -> list[tuple[str, float]]:
    # What holds for every wall: each sentence, and the height of its row, mm.
    words = Words(layout.options)
    said = [
        ("Walls are seen from outside the building, interior lines from their right. Stations "
         "run from the wall's or line's first end.", SAID_ROW),
    ]  # fmt: skip
    tops = {round(wall.profile.bounds.top, 6) for wall in graded.walls}
    heights = [("top of wall", each) for each in sorted(tops)]
    if graded.string is not None:
        same = [each for each in tops if abs(each - graded.string) <= ON_LINE]
        if same and len(tops) == 1:
            heights = [("string and top of wall", graded.string)]
        else:
            heights.append(("string", graded.string))
    if graded.benchmark is not None and graded.benchmark_level is not None:
        said.append((
            f"Benchmark {layers.clean_text(graded.benchmark)}: "
            f"{words.level(graded.benchmark_level)}; add the figure given to the rod reading on "
            "it.",
            SAID_ROW,
        ))
    said += [(_height(what, level, graded, words), TAPED_ROW) for what, level in heights]
    if any(wall.deep for wall in graded.walls):
        said.append((
            f"A trench {words.length(4 * FOOT)} deep needs a way out; one {words.length(5 * FOOT)} "
            "deep is made safe before anyone gets in.",
            TAPED_ROW,
        ))
    return said


def _height(what: str, level: float, graded: Graded, words: Words) -> str:
    add = add_to_benchmark(graded.benchmark_level, level)
    said = f"{what} {words.level(level)}"
    if add is None:
        return said
    figure = words.added(add, graded.rod)
    return f"{said}, {figure}" if figure.startswith("less ") else f"{said}, add {figure}"
