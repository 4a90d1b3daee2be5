"""Reads a PDF back: the words with their places, the lines with their ends. Points."""

from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import dataclass
from io import BytesIO

from pypdf import PdfReader
from reportlab.pdfbase.pdfmetrics import stringWidth

from staking.output.drawing.drawn_words import Box

Point = tuple[float, float]


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
        """The ground its capitals cover."""
        width, height = stringWidth(self.text, self.face, self.size), 0.718 * self.size
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
    """What is on one page; `lines` are the corner points of each line drawn."""

    width: float
    height: float
    words: tuple[Word, ...]
    lines: tuple[tuple[Point, ...], ...]

    @property
    def rows(self) -> list[list[str]]:
        """Level words on one baseline from left to right, from the top down."""
        rows: dict[float, list[Word]] = defaultdict(list)
        for word in self.words:
            if abs(word.turn) < 1e-3:
                rows[round(word.y, 1)].append(word)
        return [
            [each.text for each in sorted(row, key=lambda word: word.x)]
            for _, row in sorted(rows.items(), reverse=True)
        ]

    @property
    def text(self) -> str:
        """Everything in reading order."""
        return "\n".join(" ".join(row) for row in self.rows)


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
    path: list[Point] = []

    def operand(operator, operands, matrix, _):
        nonlocal path
        if operator in {b"m", b"l"}:
            x, y = (float(each) for each in operands)
            place = (
                matrix[0] * x + matrix[2] * y + matrix[4],
                matrix[1] * x + matrix[3] * y + matrix[5],
            )
            path = [place] if operator == b"m" else [*path, place]
        elif operator in {b"S", b"s"}:
            lines.append((*path, path[0]) if operator == b"s" else tuple(path))

    def text(shown, matrix, text_matrix, font, size):
        if not shown.strip():
            return
        full = _product(text_matrix, matrix)
        words.append(
            Word(
                text=shown.rstrip("\n"),
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
        width=float(box.width), height=float(box.height), words=tuple(words), lines=tuple(lines)
    )


def holds(rows: list[list[str]], cells: list[str]) -> bool:
    """Whether some row holds these cells one after the other."""
    count = len(cells)
    return any(row[at : at + count] == cells for row in rows for at in range(len(row) - count + 1))
