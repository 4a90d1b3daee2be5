"""The words under a wall's profile: stations, levels and where the trench is deep."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from staking.frozen import frozen
from staking.grade.setting_out.rods import add_to_benchmark, down_from_string
from staking.kinds import FootingKind
from staking.output.drawing import layers
from staking.output.drawing.drawn_words import Text, text_width
from staking.output.profile.profile_layers import DEEP, TABLE
from staking.output.profile.side_parts import ProfileStroke, Seen, spread
from staking.output.profile.side_shapes import WallShapes, joined_at
from staking.tolerances import ON_LINE

if TYPE_CHECKING:
    from staking.grade.graded import Graded, GradedWall
    from staking.grade.stepped_footing import Level
    from staking.output.wording import Words
    from staking.plan import Point

SMALL, MAIN = layers.SMALL_HEIGHT, layers.MAIN_HEIGHT
STRING_OVER = 6.0
"""How far the string runs past the wall's ends, mm on paper."""
_PITCH = 2.8
"""Between stations that are written upright beside each other, mm on paper."""
_ROW = 3.6
"""Between the rows of a table, mm."""
_CROWDED = 1.1
"""Columns of levels that take more than this times the wall's length go into a list."""
_FALL = 4.0
"""From the foot of a line to a station until its number, mm."""


@dataclass(slots=True, kw_only=True)
class ProfileSheet:
    """The strokes and words of a profile as they are put down.

    Parameters
    ----------
    mm
        What 1 mm on paper is on the ground, m.
    foot
        Elevation of what was put down last, m: the next part starts under it.
    """

    mm: float
    foot: float
    strokes: list[ProfileStroke] = field(default_factory=list)
    texts: list[Text] = field(default_factory=list)

    def line(self, start: Point, end: Point, layer: str = TABLE, linetype: str = "BYLAYER") -> None:
        """Put down a straight line, m."""
        self.strokes.append(ProfileStroke(points=(start, end), layer=layer, linetype=linetype))

    def write(
        self,
        text: str,
        x: float,
        y: float,
        align: int = 0,
        height: float = SMALL,
        turn: float = 0.0,
    ) -> None:
        """Put down a text; `height` in mm on paper, the rest in m and rad."""
        self.texts.append(
            Text(text=text, x=x, y=y, height=height * self.mm, turn=turn, align=align)
        )


@frozen
class _WallStation:
    station: float
    text: str
    height: float
    linetype: str = "BYLAYER"


def end_names(graded: Graded, wall: GradedWall) -> tuple[str, str]:
    """Name both ends of a wall: its corners, or for an interior line what it ends on.

    Returns
    -------
    tuple of str
        First and last.
    """
    strand = wall.strand
    if strand.kind is FootingKind.WALL:
        first, _, last = strand.name.partition("-")
        return first, last
    # A line that ends on a standing building's side joins no wall of ours there.
    line = next(each for each in graded.request.plan.interior if each.name == strand.name)
    first = ", ".join(joined_at(graded, wall, strand.nodes[0][0])) or line.start_on
    last = ", ".join(joined_at(graded, wall, strand.nodes[-1][0])) or line.end_on
    return first, last


def add_stations(
    sheet: ProfileSheet,
    graded: Graded,
    wall: GradedWall,
    shapes: WallShapes,
    words: Words,
    rises: bool,
) -> None:
    """Write the station of every step, its dig, every junction and sleeve under the wall.

    Parameters
    ----------
    sheet
        Where to put them; its foot comes to lie under them.
    graded, wall, shapes
        The wall.
    words
        Writes lengths.
    rises
        Whether each step's rise stands with its station, there being no room in the drawing.
    """
    seen, mm = Seen.of(wall.strand), sheet.mm
    places = _stations(graded, wall, shapes, words, rises)
    places.sort(key=lambda each: seen.across(each.station))
    base = sheet.foot - 2 * mm
    below = base - _FALL * mm
    spots = spread([seen.across(each.station) for each in places], [_PITCH * mm] * len(places))
    longest = 0.0
    for each, spot in zip(places, spots, strict=True):
        x = seen.across(each.station)
        sheet.line((x, each.height), (x, base), TABLE, each.linetype)
        sheet.line((x, base), (spot, below), TABLE)
        y = below - 0.6 * SMALL * mm
        sheet.write(each.text, spot, y, align=1, turn=math.pi / 2)
        longest = max(longest, text_width(each.text, SMALL))
    sheet.foot = below - (longest + 2.0) * mm


def _stations(
    graded: Graded, wall: GradedWall, shapes: WallShapes, words: Words, rises: bool
) -> list[_WallStation]:
    length, clean = words.length, layers.clean_text
    first, last = end_names(graded, wall)
    levels = wall.profile.levels
    found = [
        _WallStation(station=0.0, text=f"{clean(first)}: {length(0.0)}", height=levels[0].bottom),
        _WallStation(
            station=wall.profile.length,
            text=f"{clean(last)}: {length(wall.profile.length)}",
            height=levels[-1].bottom,
        ),
    ]
    for built in wall.built:
        rise = f", rise {length(built.step.rise)}" if rises and not common_rise(wall) else ""
        found.append(
            _WallStation(
                station=built.step.station,
                text=f"face {length(built.step.station)}{rise}",
                height=built.step.lower,
            )
        )
        found.append(
            _WallStation(
                station=built.dig_to,
                text=f"dig to {length(built.dig_to)}",
                height=built.dig_level,
                linetype="STK_DASHED",
            )
        )
    found += [
        _WallStation(
            station=each.station,
            text=f"{clean(each.name)}: {length(each.station)}",
            height=each.foot,
            linetype="STK_DOTTED",
        )
        for each in shapes.junctions
    ]
    found += [
        _WallStation(
            station=centre[0],
            text=f"sleeve {length(centre[0])}",
            height=centre[1] - sleeve.size / 2,
            linetype="STK_DOTTED",
        )
        for sleeve, centre in shapes.sleeves
    ]
    return found


def add_levels(
    sheet: ProfileSheet, graded: Graded, wall: GradedWall, words: Words, base: float
) -> None:
    """Write the levels of every run in a column under it; in a list where runs are narrow.

    Parameters
    ----------
    sheet
        Where to put them; its foot comes to lie under them.
    graded, wall
        The wall.
    words
        Writes lengths.
    base
        Stone under the footing, m.
    """
    seen, mm = Seen.of(wall.strand), sheet.mm
    levels = sorted(wall.profile.levels, key=lambda each: min(_ends(seen, each)))
    columns = [_rows(graded, each, words, base) for each in levels]
    headings = [heading for heading, _ in columns[0]]
    if are_narrow(graded, wall, words, mm, base):
        _numbered(sheet, seen, levels, columns, words)
        return
    rooms = [_room(rows) * mm for rows in columns]
    middles = spread([sum(_ends(seen, level)) / 2 for level in levels], rooms)
    faces = [_ends(seen, level)[0] for level in levels[1:]]
    edges = [min(0.0, middles[0] - rooms[0] / 2)]
    for i, face in enumerate(faces):
        low, high = middles[i] + rooms[i] / 2, middles[i + 1] - rooms[i + 1] / 2
        edges.append(min(max(face, low), high))
    edges.append(max(seen.length, middles[-1] + rooms[-1] / 2))
    top = sheet.foot
    foot = top - (_FALL + len(headings) * _ROW + 1.0) * mm
    if max(map(abs, (a - b for a, b in zip(edges[1:-1], faces, strict=True))), default=0.0) > 0:
        for face, edge in zip(faces, edges[1:-1], strict=True):
            sheet.line((face, top), (edge, top - _FALL * mm))
        top -= _FALL * mm
    else:
        foot += _FALL * mm
    for i, heading in enumerate(headings):
        y = top - (i + 0.65) * _ROW * mm
        sheet.write(heading, edges[0] - 2.0 * mm, y, align=1)
        for middle, rows in zip(middles, columns, strict=True):
            sheet.write(rows[i][1], middle, y)
    for edge in edges:
        sheet.line((edge, top), (edge, foot))
    for y in (top, foot):
        sheet.line((edges[0], y), (edges[-1], y))
    sheet.foot = foot - 1.5 * mm


def _room(rows: list[tuple[str, str]]) -> float:
    # What a column of levels takes, mm on paper.
    return max(text_width(value, SMALL) for _, value in rows) + 1.5


def are_narrow(graded: Graded, wall: GradedWall, words: Words, mm: float, base: float) -> bool:
    """Whether the runs are too short to hold their levels under them.

    Parameters
    ----------
    graded, wall
        The wall.
    words
        Writes lengths.
    mm
        What 1 mm on paper is on the ground, m.
    base
        Stone under the footing, m.

    Returns
    -------
    bool
        True where the levels go into a table; a single run has room on both sides.
    """
    levels = wall.profile.levels
    taken = sum(_room(_rows(graded, level, words, base)) for level in levels) * mm
    return len(levels) > 1 and taken > _CROWDED * wall.profile.length


def common_rise(wall: GradedWall) -> float | None:
    """Give the rise that all steps of a wall share.

    Returns
    -------
    float or None
        The rise, m; None where they differ or there is no step.
    """
    rises = [built.step.rise for built in wall.built]
    return rises[0] if rises and max(rises) - min(rises) <= ON_LINE else None


def _ends(seen: Seen, level: Level) -> tuple[float, float]:
    first, last = sorted((seen.across(level.start), seen.across(level.end)))
    return first, last


def _rows(graded: Graded, level: Level, words: Words, base: float) -> list[tuple[str, str]]:
    rows = [("courses", str(level.courses))]
    for heading, height in (("top of footing", level.top), ("dig level", level.bottom - base)):
        rows.append((heading, words.level(height)))
        add = add_to_benchmark(graded.benchmark_level, height)
        if add is not None:
            rows.append(("add to benchmark", words.added(add, graded.rod)))
        if graded.string is not None:
            down = down_from_string(graded.string, height)
            rows.append(("down from string", words.length(down)))
    return rows


def _numbered(
    sheet: ProfileSheet,
    seen: Seen,
    levels: list[Level],
    columns: list[list[tuple[str, str]]],
    words: Words,
) -> None:
    # Numbers under the runs, and a table of them.
    mm, top = sheet.mm, sheet.foot
    middles = [sum(_ends(seen, level)) / 2 for level in levels]
    spots = spread(middles, [2.2 * SMALL * mm] * len(middles))
    low = top - 3.0 * mm
    sheet.write("run", min(spots[0], 0.0) - 3.0 * mm, low - 0.7 * SMALL * mm, align=1)
    for number, (middle, spot) in enumerate(zip(middles, spots, strict=True), start=1):
        sheet.line((middle, top), (spot, low))
        sheet.write(str(number), spot, low - 0.9 * SMALL * mm)
    sheet.foot = low - 2.4 * SMALL * mm
    table = [["run", "from", "to", *(heading for heading, _ in columns[0])]]
    for number, (level, rows) in enumerate(zip(levels, columns, strict=True), start=1):
        span = [words.length(level.start), words.length(level.end)]
        table.append([str(number), *span, *(value for _, value in rows)])
    x = -8.0 * mm
    for column in zip(*table, strict=True):
        width = max(text_width(each, SMALL) for each in column) + 3.0
        for i, each in enumerate(column):
            sheet.write(each, x + (width - 1.5) * mm, sheet.foot - (i + 0.5) * _ROW * mm, align=1)
        x += width * mm
    sheet.foot -= (len(table) * _ROW + 1.5) * mm


def add_depths(sheet: ProfileSheet, wall: GradedWall, words: Words) -> None:
    """Draw a bar under each stretch where the trench is four and five feet deep.

    Parameters
    ----------
    sheet
        Where to put them; its foot comes to lie under them.
    wall
        The wall.
    words
        Writes lengths.
    """
    seen, mm = Seen.of(wall.strand), sheet.mm
    for limit in sorted({each.limit for each in wall.deep}):
        y = sheet.foot - 0.5 * _ROW * mm
        sheet.write(f"{words.length(limit)} deep", -2.0 * mm, y, align=1)
        for each in wall.deep:
            if each.limit != limit:
                continue
            first, last = sorted((seen.across(each.start), seen.across(each.end)))
            text = words.length(each.deepest)
            room = (text_width(text, SMALL) / 2 + 1.0) * mm
            middle = (first + last) / 2
            if last - first < 2 * room + 2.0 * mm:
                # Too short for its depth, which the five-foot row or the tables tell.
                sheet.line((first, y), (last, y), DEEP)
                continue
            sheet.line((first, y), (middle - room, y), DEEP)
            sheet.line((middle + room, y), (last, y), DEEP)
            sheet.write(text, middle, y)
        sheet.foot -= _ROW * mm
