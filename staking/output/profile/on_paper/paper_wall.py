"""One wall in profile on paper: at a scale of its own, its heights stretched, its levels under it.

Everything here is in millimetres on paper, from the block's lower left corner.
"""

from __future__ import annotations

import math
from functools import cached_property
from typing import TYPE_CHECKING

from staking.frozen import frozen
from staking.kinds import FootingKind
from staking.output.drawing import layers
from staking.output.drawing.drawn_words import Box, Text, scales
from staking.output.pictures.lettering import line_width
from staking.output.pictures.sketch_pen import SketchPen
from staking.output.profile.on_paper.level_rows import LevelRow, level_rows, numbered_rows
from staking.output.profile.on_paper.line_looks import LOOKS, PALE
from staking.output.profile.side_parts import Seen, spread
from staking.output.profile.side_shapes import wall_shapes
from staking.output.profile.side_words import common_rise, end_names
from staking.output.wording import Words

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from staking.grade.graded import Graded, GradedWall
    from staking.grade.stepped_footing import Level
    from staking.grade.stepping.built_steps import BuiltStep
    from staking.laid_out.layout_value import Layout
    from staking.output.drawing.short_names import ShownNames
    from staking.output.pictures.picture import Picture
    from staking.plan import Point

    _Place = Callable[[Point], Point]

TAPED, SAID = 2.82, 2.1
"""Height of a capital of what is taped or read on site, and of all else, mm: 11 and 8 points."""
TAPED_ROW, SAID_ROW = 4.6, 3.4
"""Between two rows of them, mm."""
_TITLE = 3.4
_LARGEST = 24
"""No wall is drawn at a larger scale than one to so many."""
_STRETCHES = (10, 8, 6, 5, 4, 3, 2, 1)
"""How many times heights may be stretched."""
_AIR = 3.0
"""Between two blocks, and beside a column's figures, mm."""
_SLANT = 4.0
"""Height of the lines from a run to its column, mm."""
_STEM = 3.0
"""Height of the lines from a station to its words, mm."""
_NARROWEST = 30.0
"""No wall is drawn in less width than this, mm."""
_WORDS_OVER = 1.0
"""Over what a table's column needs for its longest word, mm."""


@frozen
class _Station:
    text: str
    across: float
    """m from the left end."""
    height: float
    """Where its line begins, m."""


@frozen
class _Scale:
    ratio: int
    name: str
    stretch: int

    def along(self, metres: float) -> float:
        return metres * 1000 / self.ratio

    def up(self, metres: float) -> float:
        return metres * 1000 / self.ratio * self.stretch


class PaperWall:
    """A wall to be drawn in profile on paper.

    Parameters
    ----------
    layout, graded, wall
        The job, its levels, and the wall.
    shown
        How names are written on drawings.
    most
        The most that it can be wide, mm: where its runs need more, they are numbered, and their
        levels stand in as many tables as it takes.
    """

    def __init__(
        self, layout: Layout, graded: Graded, wall: GradedWall, shown: ShownNames, most: float
    ) -> None:
        self._graded, self._wall, self._shown = graded, wall, shown
        self._options = layout.options
        self._words = Words(layout.options)
        base = layout.options.dig.base
        self.shapes = wall_shapes(graded, wall, layout.plan, base)
        self._seen = Seen.of(wall.strand)
        left_first = sorted(wall.profile.levels, key=lambda each: min(self._ends(each)))
        self._levels: tuple[Level, ...] = tuple(left_first)
        self._rows = level_rows(graded, self._levels, self._words, base)
        self._at_once = len(self._levels)
        if self._head + sum(self._column_rooms) > most:
            self._rows = (*numbered_rows(wall, self._levels, self._words), *self._rows)
            del self._column_rooms
            self._at_once = max(1, int((most - self._head) / max(self._column_rooms)))
        # Faces and digs of runs that are numbered stand in their tables.
        self._stations = self._listed_stations(() if self._numbered else wall.built)

    @property
    def name(self) -> str:
        """The wall or interior line."""
        return self._wall.profile.wall

    @property
    def length(self) -> float:
        """How long it is, m."""
        return self._wall.profile.length

    @property
    def looks(self) -> tuple[str, ...]:
        """The lines that are seen of it, for the key."""
        shapes = self.shapes
        seen = {
            "finished ground" if shapes.existing else "existing and finished ground": True,
            "existing ground": shapes.existing is not None,
            "undisturbed ground": shapes.undisturbed is not None,
            "frost line": True,
            "string": self._graded.string is not None,
            "wall and its courses": True,
            "footing": True,
            "riser face of a step": bool(shapes.faces),
            "bottom of the dig, stone over it": bool(shapes.stones),
            "another wall joins": bool(shapes.junctions),
            "deep trench, greatest depth": bool(self._wall.deep),
        }
        return tuple(name for name, is_seen in seen.items() if is_seen)

    @cached_property
    def least_width(self) -> float:
        """The least width that its words need, mm."""
        return max(
            self._head + max(sum(self._tables[0]), _NARROWEST + self._deep_room),
            self._head + TAPED_ROW * len(self._stations),
            line_width(self._title, SAID),
            # the longest that may be said of the scale
            *(line_width(self._said(name, _STRETCHES[0]), SAID) for _, name in self._scales),
            *(line_width(each, TAPED) for each in self._notes),
        )

    @property
    def under(self) -> float:
        """The height of all but the wall itself, mm."""
        rows = sum(TAPED_ROW if each.taped else SAID_ROW for each in self._rows)
        stations = _STEM + self._longest_station + 1.5 if self._stations else 0.0
        deep = TAPED_ROW * len(self._deep_limits)
        notes = TAPED_ROW * len(self._notes)
        head = 1.5 * _TITLE + 3.5 * SAID_ROW
        return head + stations + deep + (_SLANT + rows) * len(self._tables) + notes + 2.0

    def height(self, width: float, tall: float) -> float:
        """Tell how high the block is; the parameters are those of `picture`, mm.

        Returns
        -------
        float
            mm.
        """
        rise = self.shapes.high - self.shapes.low
        return self.under + self._scale(width, tall).up(rise)

    def picture(self, width: float, tall: float) -> Picture:
        """Draw the wall.

        Parameters
        ----------
        width
            The block's, mm: not under `least_width`.
        tall
            The most that the wall itself may take, mm.

        Returns
        -------
        Picture
            Its title on top and its levels at its foot.
        """
        scale = self._scale(width, tall)
        rise = scale.up(self.shapes.high - self.shapes.low)
        high = self.under + rise
        view = Box(x=width / 2, y=high / 2, width=width, height=high)
        pen = SketchPen("profile", view, 1.0)
        top = self._write_head(pen, high, scale)
        foot = top - rise
        long = scale.along(self._wall.profile.length)
        left = self._head + (width - self._head - self._deep_room - long) / 2

        def at(point: Point) -> Point:
            return (
                left + scale.along(point[0]),
                foot + scale.up(point[1] - self.shapes.low),
            )

        self._draw_shapes(pen, at, scale)
        self._write_names(pen, at, top, width)
        y = self._draw_depths(pen, at, foot)
        y = self._write_stations(pen, at, y, width)
        y = self._write_levels(pen, at, y, width)
        for note in self._notes:
            y -= TAPED_ROW
            pen.write(Text(text=note, x=0.0, y=y + TAPED_ROW / 2, height=TAPED, align=-1))
        return pen.picture()

    @cached_property
    def _head(self) -> float:
        # Width of the headings of the levels.
        return max(line_width(each.heading, SAID) for each in self._rows) + _WORDS_OVER

    @cached_property
    def _column_rooms(self) -> list[float]:
        return [
            max(
                line_width(row.values[at], TAPED if row.taped else SAID) + 2 * _WORDS_OVER
                for row in self._rows
            )
            for at in range(len(self._levels))
        ]

    @property
    def _numbered(self) -> bool:
        return self._at_once < len(self._levels)

    @property
    def _tables(self) -> list[list[float]]:
        # The widths of the columns, table by table.
        rooms, most = self._column_rooms, self._at_once
        return [rooms[at : at + most] for at in range(0, len(rooms), most)]

    @property
    def _deep_limits(self) -> list[float]:
        return sorted({each.limit for each in self._wall.deep})

    def _deepest(self, limit: float) -> str:
        deep = [each.deepest for each in self._wall.deep if each.limit == limit]
        return f"to {self._words.length(max(deep))} deep"

    @property
    def _deep_room(self) -> float:
        # What stands right of the wall, with the air before it.
        widths = [line_width(self._deepest(each), TAPED) for each in self._deep_limits]
        return max(widths, default=0.0) + (2 * _AIR if widths else 0.0)

    @cached_property
    def _title(self) -> str:
        is_wall = self._wall.strand.kind is FootingKind.WALL
        what = "Wall" if is_wall else "Interior line"
        length = self._words.length(self._wall.profile.length)
        return f"{what} {layers.clean_text(self.name)}, {length}"

    def _said(self, scale: str, stretch: int) -> str:
        heights = f"heights stretched {stretch} times" if stretch > 1 else "heights as lengths"
        rise = common_rise(self._wall)
        if rise is None:
            return f"{scale}, {heights}"
        which = "steps" if len(self._wall.built) > 1 else "step"
        return f"{scale}, {heights}, {which} {self._words.length(rise)}"

    @cached_property
    def _longest_station(self) -> float:
        return max((line_width(each.text, TAPED) for each in self._stations), default=0.0)

    @cached_property
    def _notes(self) -> tuple[str, ...]:
        # What stands in the wall itself is said under it.
        words = self._words
        notes = [
            f"Opening {words.length(each.start)} to {words.length(each.start + each.width)}, wall "
            f"dropped {words.length(each.drop)}"
            for each in self.shapes.openings
        ]
        notes += [
            f"Sleeve {words.length(sleeve.size)} at {words.length(centre[0])}, invert "
            f"{words.level(sleeve.invert or 0.0)}"
            for sleeve, centre in self.shapes.sleeves
        ]
        return tuple(notes)

    def _ends(self, level: Level) -> tuple[float, float]:
        first, last = sorted((self._seen.across(level.start), self._seen.across(level.end)))
        return first, last

    @property
    def _scales(self) -> list[tuple[int, str]]:
        return [each for each in scales(self._options.show) if each[0] >= _LARGEST]

    def _scale(self, width: float, tall: float) -> _Scale:
        # The largest at which the wall goes between the headings and the edge; then the most that
        # heights can be stretched.
        ends = [x for x, _ in self.shapes.footing]
        long = max(*ends, self._wall.profile.length) - min(*ends, 0.0)
        rise = self.shapes.high - self.shapes.low
        room = width - self._head - self._deep_room - 2.0
        listed = self._scales
        ratio, name = next(
            (
                each
                for each in listed
                if long * 1000 / each[0] <= room and rise * 1000 / each[0] <= tall
            ),
            listed[-1],
        )
        stretch = next((n for n in _STRETCHES if n * rise * 1000 / ratio <= tall), 1)
        return _Scale(ratio=ratio, name=name, stretch=stretch)

    def _write_head(self, pen: SketchPen, high: float, scale: _Scale) -> float:
        # Title and scale; gives where the wall's highest line lies.
        y, x = high - 0.7 * _TITLE, 0.0
        size = SAID * pen.view.width / line_width(self._title, SAID)
        title, under = self._title, y - 0.8 * _TITLE - SAID_ROW / 2
        if size < TAPED:
            # Beside so long a name there is no room for the length, which stays large under it.
            title, _, length = title.rpartition(", ")
            size = SAID * pen.view.width / line_width(title, SAID)
            pen.write(Text(text=length, x=0.0, y=under, height=TAPED, align=-1))
            x = line_width(length, TAPED) + 2.0
        pen.write(Text(text=title, x=0.0, y=y, height=min(_TITLE, size), align=-1))
        y = under
        said = self._said(scale.name, scale.stretch)
        pen.write(Text(text=said, x=x, y=y, height=SAID, align=-1))
        return y - 2.0 * SAID_ROW

    def _draw_shapes(self, pen: SketchPen, at: _Place, scale: _Scale) -> None:
        shapes, seen = self.shapes, self._seen

        def chain(points: Sequence[Point]) -> list[Point]:
            return [at(each) for each in seen.chain(points)]

        pen.fill(chain(shapes.footing), PALE)
        for joint in shapes.courses:
            _draw(pen, chain(joint), "course")
        for stone in shapes.stones:
            _draw(pen, chain(stone), "bottom of the dig, stone over it", closed=True)
        _draw(pen, chain(shapes.footing), "footing", closed=True)
        _draw(pen, chain(shapes.wall), "wall and its courses", closed=True)
        top = shapes.wall[0][1]
        for each in shapes.junctions:
            ends = chain(((each.station, each.foot), (each.station, top)))
            _draw(pen, ends, "another wall joins")
        for sleeve, centre in shapes.sleeves:
            x, y = at(seen.at(centre))
            wide, high = scale.along(sleeve.size / 2), scale.up(sleeve.size / 2)
            turns = [math.tau * part / 24 for part in range(24)]
            pen.ring([(x + wide * math.cos(t), y + high * math.sin(t)) for t in turns], 0.3)
        for face in shapes.faces:
            _draw(pen, chain(face), "riser face of a step")
        for name, line in (
            ("existing ground", shapes.existing),
            ("undisturbed ground", shapes.undisturbed),
            ("frost line", shapes.frost),
            ("finished ground", shapes.finished),
        ):
            if line is not None:
                _draw(pen, chain(line), name)
        if self._graded.string is not None:
            (x1, y), (x2, _) = (
                at((x, self._graded.string)) for x in (0.0, self._wall.profile.length)
            )
            _draw(pen, [(x1 - 1.5, y), (x2 + 1.5, y)], "string")

    def _write_names(self, pen: SketchPen, at: _Place, top: float, width: float) -> None:
        # Both ends and what joins, in one row over the wall.
        names = zip((0.0, self._wall.profile.length), end_names(self._graded, self._wall),
                    strict=True)  # fmt: skip
        places = [(self._seen.across(station), name) for station, name in names]
        places += [(self._seen.across(each.station), each.name) for each in self.shapes.junctions]
        places.sort()
        texts = [layers.clean_text(self._shown(name)) for _, name in places]
        rooms = [line_width(each, SAID) + 2.0 for each in texts]
        wanted = [at((x, 0.0))[0] for x, _ in places]
        spots = _within(spread(wanted, rooms), rooms, 0.0, width)
        y = top + 0.9 * SAID_ROW
        for x, spot, text in zip(wanted, spots, texts, strict=True):
            pen.write(Text(text=text, x=spot, y=y, height=SAID))
            pen.line((x, top), (spot, y - 0.75 * SAID), 0.13)

    def _draw_depths(self, pen: SketchPen, at: _Place, y: float) -> float:
        # A bar under each stretch where the trench is deep.
        left, right = at((0.0, 0.0))[0], at((self._wall.profile.length, 0.0))[0]
        for limit in self._deep_limits:
            y -= TAPED_ROW
            middle = y + TAPED_ROW / 2 - 0.6
            for text, x, align in (
                (self._words.length(limit), left - 1.5 * _AIR, 1),
                (self._deepest(limit), right + 1.5 * _AIR, -1),
            ):
                pen.write(Text(text=text, x=x, y=middle, height=TAPED, align=align))
            for each in self._wall.deep:
                if each.limit == limit:
                    start, end = (
                        at((self._seen.across(station), middle))[0]
                        for station in (each.start, each.end)
                    )
                    pen.line((start, middle), (end, middle), 1.0)
        return y

    def _listed_stations(self, steps: Sequence[BuiltStep]) -> tuple[_Station, ...]:
        words, wall, across = self._words, self._wall, self._seen.across
        found = []
        same = common_rise(wall)
        for built in steps:
            rise = "" if same is not None else f", rise {words.length(built.step.rise)}"
            station = built.step.station
            found.append((f"face {words.length(station)}{rise}", station, built.step.lower))
            found.append((f"dig to {words.length(built.dig_to)}", built.dig_to, built.dig_level))
        found += [
            (f"{layers.clean_text(self._shown(each.name))}: {words.length(each.station)}",
             each.station, each.foot)
            for each in self.shapes.junctions
        ]  # fmt: skip
        found += [
            (f"sleeve {words.length(centre[0])}", centre[0], centre[1] - sleeve.size / 2)
            for sleeve, centre in self.shapes.sleeves
        ]
        places = [
            _Station(text=text, across=across(station), height=height)
            for text, station, height in found
        ]
        return tuple(sorted(places, key=lambda each: each.across))

    def _write_stations(self, pen: SketchPen, at: _Place, y: float, width: float) -> float:
        if not self._stations:
            return y
        rooms = [TAPED_ROW] * len(self._stations)
        wanted = [at((each.across, 0.0))[0] for each in self._stations]
        spots = _within(spread(wanted, rooms), rooms, self._head, width)
        below = y - _STEM
        for each, x, spot in zip(self._stations, wanted, spots, strict=True):
            pen.line(at((each.across, each.height)), (x, y), 0.13, (0.6, 0.6))
            pen.line((x, y), (spot, below), 0.13)
            pen.write(
                Text(text=each.text, x=spot, y=below - 0.4, height=TAPED, turn=math.pi / 2, align=1)
            )
        return below - self._longest_station - 1.5

    def _write_levels(self, pen: SketchPen, at: _Place, y: float, width: float) -> float:
        ends = [[at((x, 0.0))[0] for x in self._ends(each)] for each in self._levels]
        if self._numbered:
            for number, (start, end) in enumerate(ends, start=1):
                spot = (start + end) / 2
                pen.write(Text(text=str(number), x=spot, y=y - _SLANT / 2, height=SAID))
        first = 0
        for rooms in self._tables:
            last = first + len(rooms)
            y = self._write_table(pen, ends[first:last], rooms, first, y, width)
            first = last
        return y - 1.0

    def _write_table(
        self,
        pen: SketchPen,
        ends: list[list[float]],
        rooms: list[float],
        first: int,
        y: float,
        width: float,
    ) -> float:
        # The levels of the runs between `ends`, the first of them the `first` of all.
        middles = _within(spread([sum(each) / 2 for each in ends], rooms), rooms, self._head, width)
        edges = [middles[0] - rooms[0] / 2]
        for i in range(len(ends) - 1):
            low, high = middles[i] + rooms[i] / 2, middles[i + 1] - rooms[i + 1] / 2
            edges.append(min(max(ends[i][1], low), high))
        edges.append(middles[-1] + rooms[-1] / 2)
        under = y - _SLANT
        if not self._numbered:
            for (_, face), edge in zip(ends[:-1], edges[1:-1], strict=True):
                pen.line((face, y), (edge, under), 0.13)
        high = under
        for row in self._rows:
            values = row.values[first : first + len(ends)]
            under = _write_row(pen, row, values, middles, edges[0] - _WORDS_OVER, under)
        for edge in edges:
            pen.line((edge, high), (edge, under), 0.13)
        for level in (high, under):
            pen.line((edges[0], level), (edges[-1], level), 0.13)
        return under


def _write_row(
    pen: SketchPen,
    row: LevelRow,
    values: Sequence[str],
    middles: Sequence[float],
    right: float,
    y: float,
) -> float:
    high, size = (TAPED_ROW, TAPED) if row.taped else (SAID_ROW, SAID)
    middle = y - high / 2
    pen.write(Text(text=row.heading, x=right, y=middle, height=SAID, align=1))
    for x, value in zip(middles, values, strict=True):
        pen.write(Text(text=value, x=x, y=middle, height=size))
    return y - high


def _draw(pen: SketchPen, points: Sequence[Point], look: str, *, closed: bool = False) -> None:
    width, dashes = LOOKS[look]
    if closed:
        pen.ring(points, width, dashes)
        return
    pen.chain(points, width, dashes)


def _within(spots: list[float], rooms: Sequence[float], low: float, high: float) -> list[float]:
    # The same spots in their order, none over an edge: there is room for all of them.
    placed = list(spots)
    edge = low
    for i, room in enumerate(rooms):
        placed[i] = max(placed[i], edge + room / 2)
        edge = placed[i] + room / 2
    edge = high
    for i in range(len(rooms) - 1, -1, -1):
        placed[i] = min(placed[i], edge - rooms[i] / 2)
        edge = placed[i] - rooms[i] / 2
    return placed
