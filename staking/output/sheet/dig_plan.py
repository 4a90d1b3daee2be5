"""The plan of the dig: levels in every run, arrows down at the steps, the trench by its depth."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cached_property
from itertools import islice, pairwise
from typing import TYPE_CHECKING

from staking.grade.dig_on_plan import (
    SPOIL_BACK,
    RunOnPlan,
    SpoilSide,
    runs_on_plan,
    spoil_side,
    steps_on_plan,
    trench_pieces,
)
from staking.output.drawing.drawn_words import Box, Segment, Text, Variant, extent, scales, upright
from staking.output.drawing.places.ground_columns import box_columns
from staking.output.drawing.places.label_places import place
from staking.output.drawing.places.lasting_ground import LastingGround
from staking.output.drawing.plan_labels import around, beside
from staking.output.drawing.plan_shapes import pad_quad, ring_lines
from staking.output.pictures.lettering import line_width
from staking.output.pictures.sketch_pen import SketchPen
from staking.output.sheet_drawings.paper_drawing import NumberedNames
from staking.output.wording import Words, safe

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from staking.grade.graded import Graded, LevelMark
    from staking.laid_out.layout_value import Layout
    from staking.order.drain.arms_on_plan import DrainOnPlan
    from staking.output.pictures.picture import Picture
    from staking.plan import Point

SHADES = ("#ffffff", "#f2f2f2", "#e4e4e4", "#d2d2d2", "#b4b4b4", "#8c8c8c")
"""The trench by its whole feet of depth, from under one to five and more."""
_FIGURE = 2.82
"""Height of a capital of what is read on the rod, mm: 11 points."""
_NAME, _SMALL = 2.82, 2.1
_DIG = (3.0, 1.2)
_SPOIL = (6.0, 2.0, 1.0, 2.0)
_PIPE = (4.0, 0.8, 0.9, 0.8)
_LONG = 14.0
"""A piece of drain longer than this, mm, shows which way the water runs."""
_LARGEST, _SMALLEST = 48, 1200
_FEW = 1
"""With no more words across a line than this a smaller scale is not tried."""
_KEY = 9.0
"""Height of the key under the plan, mm."""
_ROUND = 17.0
"""Air round the footing for the words, mm."""
_AT_ONCE = 14
"""How many places of a label are held against heavy lines together: all of one distance."""
_PARTED = 6
"""What a label costs whose rows a heavy line parts: as much as a line through a word."""
_LOW = "drain low"
"""What the lowest point of the drain is called."""
_MISSED = 150
"""What a label left out costs."""
_WAY_OUT, _PROTECTED = 4, 5
"""Whole feet at which a trench needs a way out, and protection."""


def dig_plan(
    layout: Layout,
    graded: Graded,
    width: float,
    height: float,
    drain: DrainOnPlan | None = None,
) -> Picture:
    """Draw the plan of the dig at the largest scale at which its words stand clear.

    Parameters
    ----------
    layout, graded
        The layout and its levels.
    width, height
        The room, mm.
    drain
        The drain beside the footing; None where the job orders none.

    Returns
    -------
    Picture
        With its scale and the key of its shades under it.
    """
    drawn: _DigPlan | None = None
    for ratio, scale in scales(layout.options.show):
        if not _LARGEST <= ratio <= _SMALLEST:
            continue
        tried = _DigPlan(layout, graded, (width, height), ratio / 1000, scale, drain)
        if not tried.fits:
            continue
        tried.draw()
        if drawn is not None and tried.crowded >= drawn.crowded:
            # What is smaller and no clearer serves nobody.
            break
        drawn = tried
        if drawn.crowded <= _FEW:
            break
    if drawn is None:
        ratio, scale = scales(layout.options.show)[-1]
        drawn = _DigPlan(layout, graded, (width, height), ratio / 1000, scale, drain)
        drawn.draw()
    return drawn.pen.picture()


def largest_ratio(layout: Layout, graded: Graded, width: float, height: float) -> int:
    """Give ground over paper of the largest scale at which the dig finds room.

    Parameters
    ----------
    layout, graded
        The layout and its levels.
    width, height
        The room, mm.

    Returns
    -------
    int
        As many millimetres of ground as one of paper shows.
    """
    return next(
        (
            ratio
            for ratio, scale in scales(layout.options.show)
            if ratio >= _LARGEST
            and _DigPlan(layout, graded, (width, height), ratio / 1000, scale).fits
        ),
        _SMALLEST,
    )


class _DigPlan:
    """One try at the plan, at one scale."""

    def __init__(
        self,
        layout: Layout,
        graded: Graded,
        size: tuple[float, float],
        mm: float,
        scale: str,
        drain: DrainOnPlan | None = None,
    ) -> None:
        self.drain = drain
        self.layout, self.graded, self.scale = layout, graded, scale
        self.mm = mm
        self.words = Words(layout.options)
        self.shown = NumberedNames(layout.plan)
        self.runs = runs_on_plan(layout.plan, graded)
        self.spoil = spoil_side(layout.plan, graded)
        rings = [*layout.dig.outlines, *layout.footing.outlines]
        low, high = extent([point for ring in rings for point in ring])
        self.fits = all(
            high[i] - low[i] <= (size[i] - 2 * _ROUND - (_KEY if i else 0.0)) * mm for i in (0, 1)
        )
        view = Box(
            x=(low[0] + high[0]) / 2,
            y=(low[1] + high[1]) / 2 - _KEY * mm / 2,
            width=size[0] * mm,
            height=size[1] * mm,
        )
        self.pen = SketchPen("dig", view, mm)
        self.crowded = 0
        self._unplaced: tuple[float, ...] = ()

    def draw(self) -> None:
        pen, layout = self.pen, self.layout
        for piece in trench_pieces(self.graded):
            pen.fill(piece.ring, SHADES[piece.whole_feet])
        for ring in (*layout.footing.outlines, *layout.footing.holes):
            pen.ring(ring, 0.35)
        if layout.digs_wider:
            for ring in (*layout.dig.outlines, *layout.dig.holes):
                pen.ring(ring, 0.25, _DIG)
        for pad in layout.plan.pads:
            pen.ring(pad_quad(pad), 0.35)
        for step in steps_on_plan(self.graded):
            pen.line(*step.face, 0.5)
            middle = _middle(step.face)
            reach = 3.5 * self.mm
            tip = (middle[0] + step.down[0] * reach, middle[1] + step.down[1] * reach)
            pen.arrow(tip, step.down, 5.0, 1.6, 0.4)
        if self.drain is not None:
            self._draw_drain(self.drain)
        if self.spoil is not None:
            pen.line(*self.spoil.ends, 0.35, _SPOIL)
        self._write()
        self._draw_key()

    def _draw_drain(self, drain: DrainOnPlan) -> None:
        # Dashed, an arrow the way the water runs in the middle of every long piece.
        for points in drain.pipes:
            self.pen.chain(points, 0.35, _PIPE)
            for start, end in pairwise(points):
                length = math.dist(start, end)
                if length > _LONG * self.mm:
                    way = ((end[0] - start[0]) / length, (end[1] - start[1]) / length)
                    self.pen.arrow(_middle((start, end)), way, 3.0, 1.2, 0.25)

    def _write(self) -> None:
        size = _NAME * self.mm
        labels: list[Iterator[Variant]] = []
        for run in self.runs:
            labels.append(self._kept(self._run_label(run)))
        for name, point, away in self._corners():
            labels.append(self._kept(around(name, point, 1.2 * self.mm, 1.15 * size, away)))
        for name, rows, point, reach in self._pads():
            labels.append(self._kept(_rows_near((name, *rows), point, reach, size)))
        for words, spot, run in self._deep():
            labels.append(self._kept(_pointed(words, spot, run, size)))
        if self.spoil is not None:
            labels.append(self._kept(self._spoil_label(self.spoil)))
        chosen = place(labels, (), (), lot=self.pen.lines)
        if self.drain is not None:
            # What the digger reads comes first; the drain takes what room is left, near or far.
            lows = [
                self._kept(_led_to((_LOW, self.words.level(invert)), spot, size))
                for spot, invert in self.drain.low
            ]
            taken = [box for variant in chosen for box in variant.boxes]
            placed = place(lows, (), taken, lot=self.pen.lines)
            self._unplaced = tuple(
                invert
                for variant, (_, invert) in zip(placed, self.drain.low, strict=True)
                if not variant.texts
                or any(box.covers(other) for box in variant.boxes for other in taken)
            )
            chosen = (*chosen, *placed)
        self._put(chosen)

    def _put(self, chosen: Sequence[Variant]) -> None:
        taken: list[Box] = []
        for variant, is_struck in zip(chosen, self.pen.struck(chosen), strict=True):
            if not variant.texts:
                self.crowded += 1
                continue
            boxes = variant.boxes
            covers = any(box.covers(other) for box in boxes for other in taken)
            self.crowded += covers or is_struck
            if covers:
                continue
            taken += boxes
            for text in variant.texts:
                self.pen.write(text)
            for line in variant.lines:
                self.pen.line(*line, 0.18, kept_off=False)

    def figures(self, mark: LevelMark) -> tuple[str, ...]:
        # The level, and what is added to the benchmark's reading.
        level = self.words.level(mark.level)
        if mark.add_to_benchmark is None:
            return (level,)
        return (level, self.words.added(mark.add_to_benchmark, self.graded.rod))

    @cached_property
    def _heavy(self) -> LastingGround:
        footing = self.layout.footing
        lines = [
            line for ring in (*footing.outlines, *footing.holes) for line in ring_lines(tuple(ring))
        ]
        if self.spoil is not None:
            lines.append(self.spoil.ends)
        return LastingGround([(line, 1) for line in lines], ())

    def _run_label(self, run: RunOnPlan) -> Iterator[Variant]:
        # No heavy line may pass between the rows either.
        places = _beside_run(self.figures(run.mark), run, _FIGURE * self.mm)
        while some := list(islice(places, _AT_ONCE)):
            stacks = box_columns([_stack_box(variant) for variant in some])
            parted = self._heavy.under_words(stacks, 0.0) > 0
            for variant, is_parted in zip(some, parted.tolist(), strict=True):
                worse = _PARTED if is_parted else 0
                yield replace(variant, penalty=variant.penalty + worse) if worse else variant

    def _corners(self) -> Iterator[tuple[str, Point, float]]:
        for building in self.layout.plan.buildings:
            sides = building.sides
            for i, corner in enumerate(building.corners):
                out = [sides[i].outward[k] + sides[i - 1].outward[k] for k in (0, 1)]
                yield self.shown(corner.name), corner.point, math.atan2(out[1], out[0])

    def _pads(self) -> Iterator[tuple[str, tuple[str, ...], Point, float]]:
        places = {pad.name: pad for pad in self.layout.plan.pads}
        marks = {e.where: e for e in self.graded.levels if e.what == "dig under pad"}
        for name, pad in places.items():
            if name in marks:
                reach = max(pad.size or (pad.diameter or 0.0,)) / 2
                yield self.shown(name), self.figures(marks[name]), pad.point, reach

    def _deep(self) -> Iterator[tuple[str, Point, RunOnPlan]]:
        # Each deep stretch says how deep it gets.
        by_wall = {run.wall: run for run in self.runs}
        for wall in self.graded.walls:
            for deep in wall.deep:
                middle = wall.strand.place((deep.start + deep.end) / 2, 0.0)
                words = f"up to {self.words.length(deep.deepest)} deep"
                yield words, middle, by_wall[wall.profile.wall]

    def _spoil_label(self, spoil: SpoilSide) -> Iterator[Variant]:
        why = ", downhill" if spoil.falls else ""
        words = f"Spoil this side{why}, at least {self.words.length(SPOIL_BACK)} back"
        height = _NAME * self.mm
        yield from beside(words, *spoil.ends, 0.0, height, (1.2, 2.6, 4.0, 6.0, 9.0))
        # Along a short side in two rows.
        (x1, y1), (x2, y2) = spoil.ends
        turn = upright(math.atan2(y2 - y1, x2 - x1))
        rows = (f"Spoil this side{why},", f"at least {self.words.length(SPOIL_BACK)} back")
        for off in (side * rise * height for rise in (2.0, 3.4, 5.0, 7.0) for side in (1, -1)):
            for part in (0.5, 0.35, 0.65, 0.2, 0.8):
                centre = (
                    x1 + (x2 - x1) * part - math.sin(turn) * off,
                    y1 + (y2 - y1) * part + math.cos(turn) * off,
                )
                yield Variant(texts=_stacked(rows, centre, turn, height), penalty=1)

    def _kept(self, variants: Iterator[Variant], missed: int = _MISSED) -> Iterator[Variant]:
        # Only places inside the picture and over the key; one that is left out where there is none.
        yield from self.pen.kept(variants, 0.5, _KEY)
        yield Variant(penalty=missed)

    def _draw_key(self) -> None:
        pen, mm, view = self.pen, self.mm, self.pen.view
        left, foot = view.x - view.width / 2, view.y - view.height / 2
        x, y = left + 1.0 * mm, foot + 5.6 * mm
        words = self.words
        feet = sorted({piece.whole_feet for piece in trench_pieces(self.graded)})
        for whole in feet:
            ring = ((x, y - 1.3 * mm), (x + 6 * mm, y - 1.3 * mm), (x + 6 * mm, y + 1.3 * mm),
                    (x, y + 1.3 * mm))  # fmt: skip
            pen.fill(ring, SHADES[whole])
            pen.ring(ring, 0.18)
            told = _depth_words(whole, words)
            pen.write(Text(text=told, x=x + 7 * mm, y=y, height=_NAME * mm, align=-1))
            x += (9.5 + line_width(told, _NAME)) * mm
        last = (
            f"{self.scale}. In every run: dig level"
            + (", add to the benchmark" if self.graded.benchmark_level is not None else "")
            + (f" {safe(self.graded.benchmark or '')}" if self.graded.benchmark else "")
            + ". Arrows point down at the steps"
            + ("; dashed: dig line." if self.layout.digs_wider else ".")
            + (" Dash and point: drain." if self.drain is not None and self.drain.pipes else "")
            + "".join(f" Drain's low point {words.level(each)}." for each in self._unplaced)
        )
        size = _SMALL * min(1.0, (view.width / mm - 2) / line_width(last, _SMALL))
        pen.write(Text(text=last, x=left + 1.0 * mm, y=foot + 1.8 * mm, height=size * mm, align=-1))


def _depth_words(whole: int, words: Words) -> str:
    foot = 0.3048
    if whole == 0:
        return f"under {words.length(foot)}"
    if whole >= _PROTECTED:
        return f"{words.length(_PROTECTED * foot)} and deeper: protect"
    if whole == _WAY_OUT:
        return f"{words.length(_WAY_OUT * foot)} and deeper: way out"
    return f"from {words.length(whole * foot)}"


def _stack_box(variant: Variant) -> Box:
    # What rows one under the other take together.
    boxes = variant.boxes
    first, last = boxes[0], boxes[-1]
    apart = math.dist((first.x, first.y), (last.x, last.y))
    return replace(
        max(boxes, key=lambda each: each.width),
        x=(first.x + last.x) / 2,
        y=(first.y + last.y) / 2,
        height=first.height + apart,
    )


def _middle(line: Segment) -> Point:
    return ((line[0][0] + line[1][0]) / 2, (line[0][1] + line[1][1]) / 2)


def _beside_run(rows: tuple[str, ...], run: RunOnPlan, height: float) -> Iterator[Variant]:
    # Along the run, outside and then inside, then farther off with a line to it.
    (x1, y1), (x2, y2) = run.ends
    turn = upright(math.atan2(y2 - y1, x2 - x1))
    wide = max(line_width(row, height) for row in rows)
    for worse, gap in enumerate((2.2, 3.4, 5.0, 7.0, 9.5, 12.5, 16.0)):
        for inside, way in enumerate((run.out, (-run.out[0], -run.out[1]))):
            for part in (0.5, 0.35, 0.65, 0.2, 0.8, 0.0, 1.0):
                spot = (x1 + (x2 - x1) * part, y1 + (y2 - y1) * part)
                off = (gap + 0.8 * (len(rows) - 1)) * height
                centre = (spot[0] + way[0] * off, spot[1] + way[1] * off)
                # Rows that stand off the run are led to it.
                leader = ((spot, (centre[0] - way[0] * 0.9 * len(rows) * height,
                                  centre[1] - way[1] * 0.9 * len(rows) * height)),)  # fmt: skip
                yield Variant(
                    texts=_stacked(rows, centre, turn, height),
                    lines=leader,
                    penalty=worse + inside + (math.dist(*run.ends) < wide and part != 0.5),
                )


def _stacked(rows: tuple[str, ...], centre: Point, turn: float, height: float) -> tuple[Text, ...]:
    up = (-math.sin(turn), math.cos(turn))
    middle = (len(rows) - 1) / 2
    return tuple(
        Text(
            text=row,
            x=centre[0] + up[0] * (middle - i) * 1.6 * height,
            y=centre[1] + up[1] * (middle - i) * 1.6 * height,
            height=height,
            turn=turn,
        )
        for i, row in enumerate(rows)
    )


def _rows_near(
    rows: tuple[str, ...], point: Point, reach: float, height: float
) -> Iterator[Variant]:
    half = max(line_width(row, height) for row in rows) / 2
    tall = 0.8 * len(rows) * height
    for worse, gap in enumerate((0.6, 1.8, 3.5, 6.0, 9.0)):
        for turn in range(8):
            cos, sin = math.cos(turn * math.pi / 4), math.sin(turn * math.pi / 4)
            off = reach + gap * height
            centre = (point[0] + cos * (off + half), point[1] + sin * (off + tall))
            lines: tuple[Segment, ...] = ()
            if worse > 1:
                lines = ((point, (centre[0] - cos * half, centre[1] - sin * tall)),)
            yield Variant(texts=_stacked(rows, centre, 0.0, height), lines=lines, penalty=2 * worse)


def _led_to(rows: tuple[str, ...], point: Point, height: float) -> Iterator[Variant]:
    # Round a point, nearer and then farther off, with a line to it.
    half = max(line_width(row, height) for row in rows) / 2
    tall = 0.8 * len(rows) * height
    for worse, gap in enumerate((1.8, 3.5, 6.0, 9.0, 13.0, 18.0, 24.0)):
        for turn in range(16):
            cos, sin = math.cos(turn * math.pi / 8), math.sin(turn * math.pi / 8)
            centre = (
                point[0] + cos * (gap * height + half),
                point[1] + sin * (gap * height + tall),
            )
            near = (centre[0] - cos * half, centre[1] - sin * tall)
            yield Variant(
                texts=_stacked(rows, centre, 0.0, height), lines=((point, near),), penalty=worse
            )


def _pointed(words: str, spot: Point, run: RunOnPlan, height: float) -> Iterator[Variant]:
    (x1, y1), (x2, y2) = run.ends
    turn = upright(math.atan2(y2 - y1, x2 - x1))
    along = (math.cos(turn), math.sin(turn))
    for worse, gap in enumerate((3.0, 5.0, 8.0, 11.0, 15.0)):
        for inside, way in enumerate(((-run.out[0], -run.out[1]), run.out)):
            for shift in (0.0, 6.0, -6.0, 12.0, -12.0):
                centre = (
                    spot[0] + (way[0] * gap + along[0] * shift) * height,
                    spot[1] + (way[1] * gap + along[1] * shift) * height,
                )
                tip = (centre[0] - way[0] * 0.9 * height, centre[1] - way[1] * 0.9 * height)
                yield Variant(
                    texts=(Text(text=words, x=centre[0], y=centre[1], height=height, turn=turn),),
                    lines=((spot, tip),),
                    penalty=worse + inside,
                )
