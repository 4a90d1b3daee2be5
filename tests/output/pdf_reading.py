"""Reads a PDF back: the words with their places, the lines with their ends. Points."""

from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import dataclass
from io import BytesIO
from itertools import pairwise

from pypdf import PdfReader
from reportlab.pdfbase.pdfmetrics import stringWidth

from staking.output.drawing.drawn_words import Box

Point = tuple[float, float]
Rectangle = tuple[float, float, float, float]
"""Left, lower, right and upper edge."""


@dataclass(frozen=True)
class Word:
    """One line of text as it was shown: its left end on the baseline, size and direction."""

    text: str
    x: float
    y: float
    size: float
    turn: float
    face: str

    @property
    def box(self) -> Box:
        """The ground its capitals cover; pieces of a sentence touch one another."""
        width = stringWidth(self.text, self.face, self.size) - 0.05
        height = 0.718 * self.size
        cos, sin = math.cos(self.turn), math.sin(self.turn)
        return Box(
            x=self.x + cos * width / 2 - sin * height / 2,
            y=self.y + sin * width / 2 + cos * height / 2,
            width=width,
            height=height,
            turn=self.turn,
        )


@dataclass(frozen=True)
class Page:
    """What is on one page; `lines` are the corner points of each line drawn, `widths` how wide
    each of them is drawn."""

    width: float
    height: float
    words: tuple[Word, ...]
    lines: tuple[tuple[Point, ...], ...]
    widths: tuple[float, ...] = ()
    clips: tuple[Rectangle | None, ...] = ()

    def heavy(self, least: float) -> list[tuple[Point, Point]]:
        """The straight pieces of the lines that are drawn at least so wide, points, as far as they
        are seen."""
        return [
            seen
            for line, width, clip in zip(self.lines, self.widths, self.clips, strict=True)
            if width >= least
            for piece in pairwise(line)
            if (seen := _inside(piece, clip)) is not None
        ]

    @property
    def rows(self) -> list[list[str]]:
        """Level words on one baseline from left to right, from the top down."""
        rows: dict[float, list[Word]] = defaultdict(list)
        for word in self.words:
            if abs(word.turn) < 1e-3:
                rows[round(word.y, 1)].append(word)
        return [
            _joined(sorted(row, key=lambda word: word.x))
            for _, row in sorted(rows.items(), reverse=True)
        ]

    @property
    def text(self) -> str:
        """Everything in reading order."""
        return "\n".join(" ".join(row) for row in self.rows)


def _joined(row: list[Word]) -> list[str]:
    # Pieces of a sentence are one text, whose lengths may be larger than its words: they touch, or
    # a space of one of the two sizes stands between them.
    cells: list[str] = []
    last: Word | None = None
    for word in row:
        cells.append(word.text)
        if last is not None and last.size != word.size:
            gap = word.x - last.x - stringWidth(last.text, last.face, last.size)
            spaces = [stringWidth(" ", word.face, each.size) for each in (last, word)]
            if abs(gap) < 0.05:
                cells[-2:] = ["".join(cells[-2:])]
            elif any(abs(gap - each) < 0.05 for each in spaces):
                cells[-2:] = [" ".join(cells[-2:])]
        last = word
    return cells


def _inside(piece: tuple[Point, Point], clip: Rectangle | None) -> tuple[Point, Point] | None:
    """The part of a line inside a rectangle, by the shares of it where it enters and leaves."""
    if clip is None:
        return piece
    (x1, y1), (x2, y2) = piece
    low, high = 0.0, 1.0
    for start, run, least, most in (
        (x1, x2 - x1, clip[0], clip[2]), (y1, y2 - y1, clip[1], clip[3]),
    ):  # fmt: skip
        if run == 0:
            if not least <= start <= most:
                return None
            continue
        enters, leaves = sorted(((least - start) / run, (most - start) / run))
        low, high = max(low, enters), min(high, leaves)
    if low >= high:
        return None
    at = [(x1 + (x2 - x1) * share, y1 + (y2 - y1) * share) for share in (low, high)]
    return at[0], at[1]


def _product(first: list[float], second: list[float]) -> list[float]:
    a, b, c, d, e, f = first
    g, h, i, j, k, m = second
    return [
        a * g + b * i, a * h + b * j, c * g + d * i, c * h + d * j, e * g + f * i + k,
        e * h + f * j + m,
    ]  # fmt: skip


def read_pages(data: bytes) -> list[Page]:
    """Read every page of a PDF."""
    return [_read(page) for page in PdfReader(BytesIO(data)).pages]


def _read(page) -> Page:
    words: list[Word] = []
    lines: list[tuple[Point, ...]] = []
    widths: list[float] = []
    path: list[Point] = []
    clips: list[Rectangle | None] = []
    # The pen's width and the clipping rectangle, as they are kept and taken back.
    state: list[tuple[float, Rectangle | None]] = [(1.0, None)]

    def placed(x: float, y: float, matrix: list[float]) -> Point:
        return (
            matrix[0] * x + matrix[2] * y + matrix[4],
            matrix[1] * x + matrix[3] * y + matrix[5],
        )

    def operand(operator, operands, matrix, _):
        nonlocal path
        width, clip = state[-1]
        if operator == b"w":
            state[-1] = (float(operands[0]), clip)
        elif operator == b"q":
            state.append(state[-1])
        elif operator == b"Q" and len(state) > 1:
            state.pop()
        elif operator == b"re":
            x, y, wide, high = (float(each) for each in operands)
            corners = ((x, y), (x + wide, y), (x + wide, y + high), (x, y + high), (x, y))
            path = [placed(*each, matrix) for each in corners]
        elif operator in {b"W", b"W*"} and path:
            xs, ys = [each[0] for each in path], [each[1] for each in path]
            state[-1] = (width, (min(xs), min(ys), max(xs), max(ys)))
        elif operator == b"n":
            path = []
        elif operator in {b"m", b"l"}:
            place = placed(*(float(each) for each in operands), matrix)
            path = [place] if operator == b"m" else [*path, place]
        elif operator in {b"S", b"s"}:
            lines.append((*path, path[0]) if operator == b"s" else tuple(path))
            widths.append(width * math.hypot(matrix[0], matrix[1]))
            clips.append(clip)

    def text(shown, matrix, text_matrix, font, size):
        if not shown.strip():
            return
        full = _product(text_matrix, matrix)
        words.append(
            Word(
                text=shown.strip(),
                x=full[4],
                y=full[5],
                size=size * math.hypot(full[0], full[1]),
                turn=math.atan2(full[1], full[0]),
                face=font["/BaseFont"].lstrip("/"),
            )
        )

    page.extract_text(visitor_operand_before=operand, visitor_text=text)
    box = page.mediabox
    return Page(
        width=float(box.width), height=float(box.height), words=tuple(words), lines=tuple(lines),
        widths=tuple(widths), clips=tuple(clips),
    )  # fmt: skip


def holds(rows: list[list[str]], cells: list[str]) -> bool:
    """Whether some row holds these cells one after the other."""
    count = len(cells)
    return any(row[at : at + count] == cells for row in rows for at in range(len(row) - count + 1))
