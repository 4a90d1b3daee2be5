"""The plans of dimensions and of boards as they come on the sheets: whole, lying, or in parts."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import cached_property
from typing import TYPE_CHECKING, Protocol

from staking.frozen import frozen
from staking.output.drawing import layers
from staking.output.drawing.drawn_words import Text, Variant, extent, scales, text_width
from staking.output.sheet_drawings.board_plan import BoardPlan, board_picture
from staking.output.sheet_drawings.dimension_plan import (
    BAR_ROOM,
    DimensionPlan,
    ScaledPicture,
    dimension_picture,
    finished,
    ground_of,
)
from staking.output.sheet_drawings.key_plan import key_plan
from staking.output.sheet_drawings.match_lines import Cut, PlanPart, cut_at
from staking.output.sheet_drawings.paper_drawing import SAID, PaperDrawing, overlaps
from staking.output.sheet_drawings.shared_plan import shared_picture

if TYPE_CHECKING:
    from staking.laid_out.layout_value import Layout
    from staking.laid_out.sheet_values import SheetValues
    from staking.output.pictures.picture import Picture
    from staking.plan import Point

SMALLEST = 1200
"""No plan of a building is drawn smaller: 1" = 100', 1:1000. Common practice, no source."""
_CROWDED = 0.25
"""A scale is not tried at which more of the walls are shorter than the words of their lengths."""
_TRIES = ((12.0, 0), (22.0, 0), (22.0, 1))
"""What is kept for dimensions at the plan's outer ends, mm, and how many parts more are made, tried
until all of it fits the paper."""
_MOST_PARTS = 40
"""More parts than this are not drawn: the words are then as clear as so many parts make them."""
_TEXT_OFF = 0.5 * SAID + 1.3
"""From a match line to the middle of its words, mm."""
_PAST = 3.0
"""How far a match line runs past what is drawn, mm."""


@frozen
class PlanRooms:
    """Width and height of the paper for a plan, mm.

    Parameters
    ----------
    beside
        Beside a column of words.
    under
        Under rows of words, for a plan that lies along the sheet.
    part, key
        For a part of a plan that is cut into a row of parts, and for the key plan over it.
    part_of_rows, key_of_rows
        The same where there are several rows of parts, whose key plan is higher.
    """

    beside: tuple[float, float]
    under: tuple[float, float]
    part: tuple[float, float]
    key: tuple[float, float]
    part_of_rows: tuple[float, float]
    key_of_rows: tuple[float, float]

    def for_part(self, cut: Cut) -> tuple[float, float]:
        """Give the room for a part."""
        return self.part_of_rows if cut.level else self.part

    def for_key(self, cut: Cut) -> tuple[float, float]:
        """Give the room for the key plan."""
        return self.key_of_rows if cut.level else self.key


@frozen
class PartPicture:
    """A part of a plan, to scale: which of how many, and the key plan that shows where it is."""

    number: int
    count: int
    drawn: ScaledPicture
    key: Picture


class _Cuttable(Protocol):
    """A plan that can be drawn in parts."""

    @property
    def points(self) -> list[Point]: ...

    def points_within(self, part: PlanPart) -> list[Point]: ...

    def draw(self, paper: PaperDrawing) -> None: ...

    def words_within(self, part: PlanPart, mm: float) -> tuple[Variant, ...]: ...


@frozen
class _Cutting:
    """A scale at which the plans are cut, how, and the words of each part of each of them."""

    cut: Cut
    ratio: int
    scale: str
    words: tuple[tuple[tuple[Variant, ...], ...], ...]


class PlansOfJob:
    """The plans of dimensions and of boards, each drawn once when it is first asked for.

    Parameters
    ----------
    layout
        The layout.
    values
        What the sheets' drawings are made from.
    rooms
        The paper for them.
    """

    def __init__(self, layout: Layout, values: SheetValues, rooms: PlanRooms) -> None:
        lying = values.lying
        self.lies = lying is not None
        """Whether the plan lies along the sheet, with what is read beside it over it."""
        self.is_turned = lying is not None and lying.is_turned
        """Whether it is turned for that."""
        self.layout = layout if lying is None else lying.layout
        """The layout as it is drawn."""
        self._strings = values.dimensions if lying is None else lying.dimensions
        self._rooms = rooms
        self.room = rooms.under if self.lies else rooms.beside
        """Width and height of the paper for a whole plan, mm."""

    @cached_property
    def shared(self) -> ScaledPicture | None:
        """Dimensions and boards as one plan; None where that has no room for all words."""
        return shared_picture(self.layout, self._strings, self.room)

    @cached_property
    def dimensions(self) -> ScaledPicture:
        """The whole plan of the dimensions."""
        return dimension_picture(self.layout, self._strings, self.room)

    @cached_property
    def boards(self) -> ScaledPicture:
        """The whole plan of boards."""
        return board_picture(self.layout, self.room)

    @cached_property
    def _cutting(self) -> _Cutting | None:
        # Both plans are cut alike, so that a match line is the same place on both sheets.
        if self.shared is not None:
            return None
        if self._finds_room and all(
            each.is_clear and each.ratio <= SMALLEST for each in self._whole()
        ):
            return None
        return self._cut_where_clear()

    @property
    def _finds_room(self) -> bool:
        # Whether the building alone goes on one sheet at a scale that can be read: of one that is
        # too large no words are placed to find that out.
        low, high = extent(self._plans[0].points)
        room = (self.room[0], self.room[1] - BAR_ROOM)
        return all(high[i] - low[i] <= room[i] * SMALLEST / 1000 for i in (0, 1))

    def _whole(self) -> Iterator[ScaledPicture]:
        # Drawn one after the other: who cannot read the first needs no second.
        yield self.dimensions
        if self.layout.boards:
            yield self.boards

    @property
    def cut(self) -> Cut | None:
        """Where the plans are cut; None where each stands on one sheet."""
        return None if self._cutting is None else self._cutting.cut

    def dimension_parts(self) -> tuple[PartPicture, ...]:
        """Draw the parts of the plan of dimensions; none where it is whole."""
        return self._parts_of(0)

    def board_parts(self) -> tuple[PartPicture, ...]:
        """Draw the parts of the plan of boards; none where it is whole."""
        return self._parts_of(1)

    @cached_property
    def _plans(self) -> tuple[DimensionPlan, BoardPlan]:
        return DimensionPlan(self.layout, self._strings), BoardPlan(self.layout, is_cut=True)

    def _cut_where_clear(self) -> _Cutting | None:
        # The smallest scale at which every part can be read takes the fewest sheets.
        dimensions, boards = self._plans
        best: tuple[int, _Cutting] | None = None
        for ratio, scale in reversed(scales(self.layout.options.show)):
            mm = ratio / 1000
            if ratio > SMALLEST or dimensions.crowded(mm) > _CROWDED:
                continue
            for around, more in _TRIES:
                cut = self._cut_at(mm, around, more)
                if not 1 < len(cut.parts) <= _MOST_PARTS:
                    continue
                words = tuple(
                    tuple(plan.words_within(part, mm) for part in cut.parts)
                    for plan in (dimensions, boards)
                )
                made = _Cutting(cut=cut, ratio=ratio, scale=scale, words=words)
                if not self._fits(made):
                    continue
                spoilt = sum(overlaps(part) for plan in words for part in plan)
                spoilt += self._struck(made)
                if best is None or spoilt < best[0]:
                    best = (spoilt, made)
                break
            if best is not None and best[0] == 0:
                break
        return None if best is None else best[1]

    def _cut_at(self, mm: float, around: float, more: int) -> Cut:
        dimensions, boards = self._plans
        reach = extent([*dimensions.points, *boards.points])
        counts = [1, 1]
        for paper in (self._rooms.part, self._rooms.part_of_rows):
            for axis in (0, 1):
                room = (paper[axis] - (BAR_ROOM if axis else 0.0) - 2 * around) * mm
                counts[axis] = max(math.ceil((reach[1][axis] - reach[0][axis]) / room), 1)
            if counts[1] == 1:
                break
        longer = 0 if self._rooms.part[0] * counts[0] >= self._rooms.part[1] * counts[1] else 1
        counts[longer] += more
        features = [*dimensions.features(mm), *boards.features(mm)]
        cut = cut_at((counts[0], counts[1]), reach, features)
        blank = [
            part.cell
            for part in cut.parts
            if not any(plan.points_within(part) for plan in self._plans)
        ]
        return Cut(upright=cut.upright, level=cut.level, blank=frozenset(blank))

    def _struck(self, made: _Cutting) -> int:
        # How many words of the dimensions a wall runs through.
        walls = self._plans[0].heavy
        count = 0
        for part, words in zip(made.cut.parts, made.words[0], strict=True):
            seen = [line for wall in walls if (line := part.seen(wall)) is not None]
            boxes = [box for each in words for box in each.boxes]
            count += sum(any(box.meets(line) for line in seen) for box in boxes)
        return count

    def _fits(self, made: _Cutting) -> bool:
        mm = made.ratio / 1000
        wide, high = (each * mm for each in self._rooms.for_part(made.cut))
        plans: tuple[_Cuttable, ...] = self._plans
        for plan, words in zip(plans, made.words, strict=True):
            for part, said in zip(made.cut.parts, words, strict=True):
                if not plan.points_within(part):
                    continue
                low, top = _reach(plan, made.cut, part, said, mm)
                if top[0] - low[0] > wide or top[1] - low[1] > high - BAR_ROOM * mm:
                    return False
        return True

    def _parts_of(self, which: int) -> tuple[PartPicture, ...]:
        made = self._cutting
        if made is None:
            return ()
        plan: _Cuttable = self._plans[which]
        whole = PaperDrawing(made.ratio)
        if plan is self._plans[1]:
            self._plans[1].draw_walls(whole)
        plan.draw(whole)
        found = []
        for part, words in zip(made.cut.parts, made.words[which], strict=True):
            if not plan.points_within(part):
                # The other plan alone shows something here.
                continue
            paper = whole.within(part)
            reach = _reach(plan, made.cut, part, words, paper.mm)
            for line in _match_lines(made.cut, part, _drawn(plan, part, words), paper.mm):
                paper.pen.line(*line.lines[0], layers.STEPS, "STK_PROPERTY")
                paper.pen.text(line.texts[0])
            picture = finished(paper, words, reach, self.layout.options.show)
            found.append(
                PartPicture(
                    number=part.number,
                    count=len(made.cut.parts),
                    drawn=ScaledPicture(picture=picture, scale=made.scale, ratio=made.ratio),
                    key=key_plan(self.layout, made.cut, self._rooms.for_key(made.cut), part),
                )
            )
        return tuple(found)


def _drawn(plan: _Cuttable, part: PlanPart, words: Sequence[Variant]) -> tuple[Point, Point]:
    # What a part shows without its match lines; at these nothing goes past them.
    low, high = extent(plan.points_within(part) + ground_of(words))
    (left, foot), (right, head) = (
        (bound[0] if math.isfinite(bound[0]) else end[0],
         bound[1] if math.isfinite(bound[1]) else end[1])
        for bound, end in ((part.low, low), (part.high, high))
    )  # fmt: skip
    return (left, foot), (right, head)


def _match_lines(
    cut: Cut, part: PlanPart, drawn: tuple[Point, Point], mm: float
) -> Iterator[Variant]:
    # Each along its edge of the part, its words outside it.
    for line, side, other in cut.beside(part):
        words = f"Match line {line.name}: see part {other}"
        along = 1 - line.axis
        start, end = drawn[0][along] - _PAST * mm, drawn[1][along] + _PAST * mm
        short = text_width(words, SAID) * mm + 2 * mm - (end - start)
        if short > 0:
            start, end = start - short / 2, end + short / 2
        off = line.at + side * _TEXT_OFF * mm
        middle = (start + end) / 2
        if line.axis == 0:
            ends, place, turn = ((line.at, start), (line.at, end)), (off, middle), math.pi / 2
        else:
            ends, place, turn = ((start, line.at), (end, line.at)), (middle, off), 0.0
        text = Text(text=words, x=place[0], y=place[1], height=SAID * mm, turn=turn)
        yield Variant(texts=(text,), lines=(ends,))


def _reach(
    plan: _Cuttable, cut: Cut, part: PlanPart, words: Sequence[Variant], mm: float
) -> tuple[Point, Point]:
    drawn = _drawn(plan, part, words)
    return extent([*drawn, *ground_of(tuple(_match_lines(cut, part, drawn, mm)))])
