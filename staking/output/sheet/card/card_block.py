"""A card set as one piece that no page break parts: its sketch, its tables, its sentences."""

from __future__ import annotations

import itertools
import math
from typing import TYPE_CHECKING

from reportlab.platypus import Flowable

from staking.frozen import frozen
from staking.laid_out.cards import Card, CardKind
from staking.output.pictures.lettering import BOLD_FACE, CAP_HEIGHT, FACE, line_width, printable
from staking.output.pictures.pdf_backend import BLACK, POINTS_PER_MM, draw_picture, ink
from staking.output.sheet.card.card_words import CardWords
from staking.output.sheet.card.place_sketch import CardSketch
from staking.output.sheet.card.tapes_to_write import TapesToWrite
from staking.output.sheet.figure_rows import figure_rows
from staking.output.sheet.sheet_tables import least_width, natural_width, table

if TYPE_CHECKING:
    from collections.abc import Sequence

    from staking.output.blocks import Table
    from staking.output.pictures.picture import Picture
    from staking.output.sheet.card.plan_of_cards import PlanOfCards

_FIGURES = 11.0
"""Size of what is taped or read on the rod, points."""
_SAID = 9.0
"""Size of the sentences, points."""
_LEAST = 8.0
"""No word is smaller, points."""
_GAP = 4.0
"""Between two columns, mm."""
_AIR = 4.0
"""Under each piece, points."""
_BLANK = 45.0
"""Least width of a column to write in, points."""
_BOXES_UNDER = 120.0
"""In a card no wider than this the boxes to write in stand under their tape, mm."""
_TITLE = 8.0
"""Height of the title line, mm."""


_MOST_PIECES = 9
"""More pieces than this are not tried in every way."""

_Either = tuple[Flowable | None, Flowable]
"""A piece set for the left column, None where it does not fit, and for the right one."""


@frozen
class CardShape:
    """How a card is parted: width and height, the sketch's side, mm, and whether it is narrow.

    A narrow card has its small tables beside the sketch and the rest under both; a wide one has
    two columns, the sketch on top of the left.
    """

    width: float
    height: float
    sketch: float
    narrow: bool


class CardBlock(Flowable):  # type: ignore[misc]
    """One card.

    Parameters
    ----------
    plan
        What is the same for all cards.
    card, said
        What the card is about and what it says.
    shape
        The room; `fits` tells whether it suffices, `unbroken` whether no name or length is broken
        in its width, `needed` how high it is, points. A card with more to say takes more height.
    """

    def __init__(self, plan: PlanOfCards, card: Card, said: CardWords, shape: CardShape) -> None:
        super().__init__()
        self._plan, self._card, self._said, self._shape = plan, card, said, shape
        self.is_corner = card.kind in {CardKind.CORNER, CardKind.INSIDE_CORNER}
        self._placed: list[tuple[Flowable, float, float]] = []
        """Each piece, its left side and how far down its foot is, points."""
        self._rooms: list[tuple[Table, float]] = []
        self._broken = False
        lay_out = self._narrow if shape.narrow else self._wide
        self.needed = lay_out() + _TITLE * POINTS_PER_MM
        self.unbroken = self._as_wide_as_there_is()
        self.fits = self.needed <= shape.height * POINTS_PER_MM and self.unbroken
        self.width = shape.width * POINTS_PER_MM
        # A hair under what there is, so that as many as shall go on one page.
        self.height = max(shape.height * POINTS_PER_MM - 0.1, self.needed)

    def _as_wide_as_there_is(self) -> bool:
        # No name and no length may be broken over two lines.
        return not self._broken and all(
            least_width(each, _FIGURES, _BLANK) <= room + 0.1 for each, room in self._rooms
        )

    def _narrow(self) -> float:
        # Small tables and the nails beside the sketch where that saves height, the rest under it.
        shape, mm = self._shape, POINTS_PER_MM
        right, across = (shape.sketch + _GAP / 2) * mm, shape.width * mm
        said = [_Sentences(self._said.said, across)] if self._said.said else []
        wide = list(self._said.wide)
        nails = [wide.pop(0)] if self._card.boards else []
        able = [*nails, *self._said.small]
        under = [self._made(each, across) for each in wide]
        pieces: list[_Either] = []
        for each in able:
            made = self._made(each, across)
            fits = natural_width(each, _FIGURES) <= across - right
            beside = table(each, across - right, _FIGURES, tight=True) if fits else None
            pieces.append((beside, made))
        choice = _round_sketch(pieces, shape.sketch * mm + _AIR)
        down = self._stack(
            [p[0] for at, p in zip(choice, pieces, strict=True) if not at and p[0] is not None],
            right,
            0.0,
        )
        begin = max(down, shape.sketch * mm + _AIR)
        below = [each for at, each in zip(choice, able, strict=True) if at]
        while below:
            # Two that find room side by side take one row.
            row = [below.pop(0)]
            for each in below:
                wide_of = [natural_width(one, _FIGURES) for one in (*row, each)]
                if sum(wide_of) + _GAP * mm <= across:
                    below.remove(each)
                    row.append(each)
                    break
            x, low = 0.0, begin
            for each in row:
                made = table(each, across - x, _FIGURES, tight=True)
                low = max(low, self._stack([made], x, begin))
                x += _size(made)[0] + _GAP * mm
            begin = low
        return self._stack([*under, *said], 0.0, begin)

    def _wide(self) -> float:
        shape, mm = self._shape, POINTS_PER_MM
        left_wide, right_from = shape.sketch * mm, (shape.sketch + _GAP) * mm
        right_wide = shape.width * mm - right_from
        wide, small = list(self._said.wide), list(self._said.small)
        begin = self._beside_nails(wide, small, right_from, right_wide)
        right: list[Flowable] = [self._made(each, right_wide) for each in wide]
        low = (shape.sketch * mm + _AIR, begin + sum(_size(each)[1] + _AIR for each in right))
        pieces = [self._either(each, left_wide, right_wide) for each in small]
        said = self._said.said
        if len(pieces) + len(said) > _MOST_PIECES:
            said = ("\n".join(said),)
        pieces += [_sentence_either(each, left_wide, right_wide) for each in said]
        left: list[Flowable] = []
        for at, piece in zip(_parted(pieces, low), pieces, strict=True):
            found = piece[at]
            if found is not None:
                (left, right)[at].append(found)
        return max(
            self._stack(left, 0.0, shape.sketch * mm + _AIR),
            self._stack(right, right_from, begin),
        )

    def _either(self, block: Table, left: float, right: float) -> _Either:
        # A small table set for the left column, where it fits, and for the right one.
        made = table(block, right, _FIGURES, tight=True)
        self._rooms.append((block, right))
        if natural_width(block, _FIGURES) > left:
            return (None, made)
        return (table(block, left, _FIGURES, tight=True), made)

    def _beside_nails(self, wide: list[Table], small: list[Table], x: float, room: float) -> float:
        # Puts the nails on top, and beside them what fits there; takes it out of the lists and
        # gives how far down it reaches.
        if not self._card.boards:
            return 0.0
        nails = wide.pop(0)
        made = self._made(nails, room)
        across = _size(made)[0] + _GAP * POINTS_PER_MM
        tall, down = _size(made)[1], 0.0
        self._stack([made], x, 0.0)
        for each in [*wide[:-1], *reversed(small)]:
            if natural_width(each, _FIGURES) > room - across:
                continue
            beside = table(each, room - across, _FIGURES, tight=True)
            if down + _size(beside)[1] > tall + _AIR:
                continue
            down = self._stack([beside], x + across, down)
            (wide if each in wide else small).remove(each)
        return self._side_by_side(wide, small, (x, max(tall, down - _AIR) + _AIR), room)

    def _side_by_side(
        self, wide: list[Table], small: list[Table], at: tuple[float, float], room: float
    ) -> float:
        # Two tables that find room beside one another take one row; gives how far down it reaches.
        gap = _GAP * POINTS_PER_MM
        rest = [*wide[:-1], *reversed(small)]
        for first, second in itertools.combinations(rest, 2):
            across = natural_width(first, _FIGURES) + gap
            if across + natural_width(second, _FIGURES) > room:
                continue
            x, down = at
            pieces = [table(each, room, _FIGURES, tight=True) for each in (first, second)]
            for piece, left in zip(pieces, (x, x + _size(pieces[0])[0] + gap), strict=True):
                self._stack([piece], left, down)
            for each in (first, second):
                (wide if each in wide else small).remove(each)
            return down + max(_size(each)[1] for each in pieces) + _AIR
        return at[1]

    def _made(self, block: Table, width: float) -> Flowable:
        # A table to write in takes all the room there is; in a narrow card the boxes stand under
        # each tape, as nobody writes a length into less.
        blank = all(not cell for cell in (row[-1] for row in block.rows))
        if blank and width < _BOXES_UNDER * POINTS_PER_MM:
            tapes = TapesToWrite(block, width, _FIGURES)
            self._broken |= tapes.broken
            return tapes
        self._rooms.append((block, width))
        return table(block, width, _FIGURES, fill=blank, tight=True, blank=_BLANK)

    def _stack(self, pieces: Sequence[Flowable], x: float, down: float) -> float:
        # Puts pieces under one another; gives how far down they reach, points.
        for each in pieces:
            foot = down + _size(each)[1]
            self._placed.append((each, x, foot))
            down = foot + _AIR
        return down

    def wrap(self, *_: float) -> tuple[float, float]:
        """Give the size, points."""
        return self.width, self.height

    def split(self, *_: float) -> list[Flowable]:
        """Refuse to be parted."""
        return []

    def draw(self) -> None:
        """Draw title, sketch and tables."""
        canvas, mm = self.canv, POINTS_PER_MM
        below = self.height - _TITLE * mm
        base = self.height - 4.6 * mm
        # Drawn here and not before, as a card is set in several ways before one is taken.
        sketch = CardSketch(self._plan, self._card, self._shape.sketch, self._shape.sketch)
        foot = f"layout {self._plan.mark}   {sketch.scale}"
        canvas.setFillColor(ink(BLACK))
        canvas.setFont(FACE, _LEAST + 0.2)
        canvas.drawRightString(self.width, base, printable(foot))
        title = printable(self._said.title)
        room = self.width - line_width(foot, (_LEAST + 0.2) * CAP_HEIGHT) - 4 * mm
        size = min(13.0, 13.0 * room / line_width(title, 13 * CAP_HEIGHT, BOLD_FACE))
        canvas.setFont(BOLD_FACE, max(size, _LEAST))
        canvas.drawString(0, base, _cut(title, room, max(size, _LEAST)))
        canvas.setLineWidth(0.6)
        canvas.setStrokeColor(ink(BLACK))
        canvas.line(0, base - 1.6 * mm, self.width, base - 1.6 * mm)
        self._draw_sketch(sketch.draw(), 0.0, below - self._shape.sketch * mm)
        for piece, x, low in self._placed:
            piece.drawOn(canvas, x, below - low)

    def _draw_sketch(self, picture: Picture, x: float, y: float) -> None:
        canvas, side = self.canv, self._shape.sketch * POINTS_PER_MM
        canvas.saveState()
        canvas.setLineWidth(0.4)
        canvas.rect(x, y, side, side, stroke=1, fill=0)
        clip = canvas.beginPath()
        clip.rect(x, y, side, side)
        canvas.clipPath(clip, stroke=0, fill=0)
        draw_picture(canvas, picture, x / POINTS_PER_MM, y / POINTS_PER_MM)
        canvas.restoreState()


class CardPair(Flowable):  # type: ignore[misc]
    """Two narrow cards side by side."""

    def __init__(self, cards: Sequence[CardBlock], gap: float) -> None:
        super().__init__()
        self._cards = tuple(cards)
        self._gap = gap * POINTS_PER_MM
        self.width = sum(each.width for each in cards) + self._gap * (len(cards) - 1)
        self.height = max(each.height for each in cards)

    def wrap(self, *_: float) -> tuple[float, float]:
        """Give the size, points."""
        return self.width, self.height

    def split(self, *_: float) -> list[Flowable]:
        """Refuse to be parted."""
        return []

    def draw(self) -> None:
        """Draw both."""
        x = 0.0
        for each in self._cards:
            each.drawOn(self.canv, x, self.height - each.height)
            x += each.width + self._gap


class _Sentences(Flowable):  # type: ignore[misc]
    """Sentences one under the other, their lines broken at spaces."""

    def __init__(self, sentences: Sequence[str], width: float) -> None:
        super().__init__()
        self._rows = [row for each in sentences for row in figure_rows(each, _SAID, width)]
        self.width, self.height = width, sum(row.height for row in self._rows)

    def wrap(self, *_: float) -> tuple[float, float]:
        """Give the size, points."""
        return self.width, self.height

    def draw(self) -> None:
        """Write the rows."""
        self.canv.setFillColor(ink(BLACK))
        y = self.height
        for row in self._rows:
            row.draw(self.canv, 0, y - row.size)
            y -= row.height


def _sentence_either(sentence: str, left: float, right: float) -> _Either:
    longest = max(line_width(word, _SAID * CAP_HEIGHT) for word in sentence.split())
    lines = tuple(sentence.split("\n"))
    return (None if longest > left else _Sentences(lines, left), _Sentences(lines, right))


def _parted(pieces: Sequence[_Either], low: tuple[float, float]) -> tuple[int, ...]:
    # Which column each piece goes into, so that the longer one is as short as may be.
    best: tuple[float, tuple[int, ...]] | None = None
    highs = [_heights(piece) for piece in pieces]
    for choice in itertools.product((0, 1), repeat=len(pieces)):
        tall = list(low)
        for at, high in zip(choice, highs, strict=True):
            tall[at] += high[at]
        if best is None or max(tall) < best[0]:
            best = (max(tall), choice)
    return best[1] if best is not None else ()


def _heights(piece: _Either) -> tuple[float, float]:
    # What a piece takes of either column with the air under it, points.
    first, second = (math.inf if each is None else _size(each)[1] + _AIR for each in piece)
    return first, second


def _round_sketch(pieces: Sequence[_Either], sketch: float) -> tuple[int, ...]:
    # Which pieces go beside a sketch, 0, and which under it, 1, so that all is as short as may be.
    best: tuple[float, tuple[int, ...]] | None = None
    highs = [_heights(piece) for piece in pieces]
    for choice in itertools.product((0, 1), repeat=len(pieces)):
        tall = [0.0, 0.0]
        for at, each in zip(choice, highs, strict=True):
            tall[at] += each[at]
        high = max(tall[0], sketch) + tall[1]
        if best is None or high < best[0]:
            best = (high, choice)
    return best[1] if best is not None else ()


def _cut(title: str, room: float, size: float) -> str:
    # Names of twenty letters fit; a list of pads longer than the line ends in dots.
    while len(title) > 4 and line_width(title, size * CAP_HEIGHT, BOLD_FACE) > room:
        title = f"{title[:-4]}..."
    return title


def _size(piece: Flowable) -> tuple[float, float]:
    width, height = piece.wrap(0, 0)
    return width, height
