"""The labels that stand in a wall's profile, with every place each may take."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from staking.grade.setting_out.rods import add_to_benchmark
from staking.output.drawing.drawn_words import Text, Variant
from staking.output.profile.side_parts import Seen
from staking.output.profile.side_shapes import WallShapes
from staking.output.profile.side_words import SMALL, STRING_OVER
from staking.tolerances import ON_LINE

if TYPE_CHECKING:
    from staking.grade.graded import Graded, GradedWall
    from staking.output.wording import Words
    from staking.plan import Point


def labels(
    graded: Graded,
    wall: GradedWall,
    shapes: WallShapes,
    words: Words,
    mm: float,
    rises: bool,
) -> list[Iterable[Variant]]:
    """List the labels that stand in the drawing, with every place each may take.

    Parameters
    ----------
    graded, wall, shapes
        The wall.
    words
        Writes lengths.
    mm
        What 1 mm on paper is on the ground, m.
    rises
        Whether the steps' rises are among them.

    Returns
    -------
    list
        Rises of the steps, then heights, openings and sleeves.
    """
    seen, length, height = Seen.of(wall.strand), words.length, SMALL * mm
    found: list[Iterable[Variant]] = []
    for built in wall.built if rises else ():
        step = built.step
        x, y = seen.at((built.dig_to, (step.upper + step.lower) / 2))
        uphill = -1 if (seen.across(step.station) > x) else 1
        found.append(_off(f"rise {length(step.rise)}", (x, y), uphill, height))
    top = wall.profile.bounds.top
    heights = [("top of wall", top)]
    if graded.string is not None and abs(graded.string - top) <= ON_LINE:
        heights = [("string and top of wall", top)]
    elif graded.string is not None:
        heights.append(("string", graded.string))
    for what, level in heights:
        add = add_to_benchmark(graded.benchmark_level, level)
        said = ""
        if add is not None:
            figure = words.added(add, graded.rod)
            said = f", {figure}" if figure.startswith("less ") else f", add {figure}"
        text, sign = f"{what} {words.level(level)}{said}", -1 if what == "top of wall" else 1
        found.append(_at_level(text, seen.length, level, sign, height))
    for hole in shapes.openings:
        first, last = sorted((seen.across(hole.start), seen.across(hole.start + hole.width)))
        text = f"opening {length(hole.width)} from {length(hole.start)}, drop {length(hole.drop)}"
        found.append(_along(text, first, last, top - hole.drop, height))
    for sleeve, centre in shapes.sleeves:
        assert sleeve.invert is not None
        text = f"sleeve {length(sleeve.size)}, invert {words.level(sleeve.invert)}"
        x, y = seen.at(centre)
        found.append(_beside(text, (x, y), sleeve.size / 2, height))
    return found


def _off(text: str, point: Point, way: int, height: float) -> Iterator[Variant]:
    # Beside a point on the side `way`, then lower and farther off.
    worse = 0
    for down in (0.0, 0.8, 1.6, 2.4, 3.4):
        for gap in (0.7, 2.0, 4.0):
            x, y = point[0] + way * gap * height, point[1] - down * height
            label = Text(text=text, x=x, y=y, height=height, align=-way)
            yield Variant(texts=(label,), penalty=worse // 2)
            worse += 1


def _at_level(
    text: str, length: float, level: float, sign: int, height: float
) -> Iterator[Variant]:
    # Over a line as long as the wall, or past the wall's right end, where the string's label
    # keeps over that of the top of the wall. Only the latter may stand under its line.
    rows = [(1.1, 0), (2.2, 2), (3.4, 4), (4.6, 6), *([(-1.1, 3)] if sign < 0 else [])]
    places = [
        (worse, part * length, off, 0)
        for off, worse in rows
        for part in (0.5, 0.3, 0.7, 0.15, 0.85)
    ]
    right = length + (STRING_OVER + 1.0) * height / SMALL
    places += [
        (worse, right, sign * off, -1)
        for worse, off in enumerate((0.2, 0.8, 1.4, 2.0, 3.0), start=1)
    ]
    for worse, x, off, align in sorted(places, key=lambda each: each[0]):
        label = Text(text=text, x=x, y=level + off * height, height=height, align=align)
        yield Variant(texts=(label,), penalty=worse)


def _along(text: str, first: float, last: float, level: float, height: float) -> Iterator[Variant]:
    # Over or under a level line between two places.
    for worse, off in enumerate((1.1, -1.1, 2.2, -2.2, 3.4, -3.4, 4.6, -4.6)):
        for part in (0.5, 0.3, 0.7, 0.15, 0.85):
            x = first + part * (last - first)
            label = Text(text=text, x=x, y=level + off * height, height=height)
            yield Variant(texts=(label,), penalty=worse)


def _beside(text: str, point: Point, reach: float, height: float) -> Iterator[Variant]:
    for worse, gap in enumerate((0.8, 2.0, 4.0, 7.0)):
        for way in (1, -1):
            for up in (0.0, 1.5, -1.5, 3.0, -3.0):
                x, y = point[0] + way * (reach + gap * height), point[1] + up * height
                label = Text(text=text, x=x, y=y, height=height, align=-way)
                yield Variant(texts=(label,), penalty=worse)
