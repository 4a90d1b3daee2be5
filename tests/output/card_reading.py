"""Reads the cards back from the pages of a PDF: which card a word is on, and its tables."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from reportlab.pdfbase.pdfmetrics import stringWidth

from tests.output.pdf_reading import Page, Word

TITLE = re.compile(r"(Corner|Inside corner|Interior line|Pads?) (?:(#\d+) )?(.+)")
"""What a card is called: its kind, the number of a long name, the name."""


@dataclass(frozen=True)
class BoardColumn:
    """What a card says of a board: its string, and its rows, each a label and a cell."""

    string: str
    rows: tuple[tuple[str, str], ...]

    def said(self, label: str) -> str:
        """The cell of a row; empty where there is none."""
        return next((cell for each, cell in self.rows if each == label), "")


@dataclass(frozen=True)
class PaperCard:
    """One card as it stands on paper: its kind, its name, its page and the words on it."""

    kind: str
    name: str
    page: int
    words: tuple[Word, ...]

    @property
    def is_corner(self) -> bool:
        """Whether it is about a corner."""
        return self.kind in {"Corner", "Inside corner"}

    @property
    def text(self) -> str:
        """All words, from the top down."""
        return " ".join(word.text for word in sorted(self.words, key=lambda w: (-w.y, w.x)))

    def head(self, *starts: str) -> Word | None:
        """The bold word that is, or begins with, one of these."""
        return next(
            (
                word
                for word in self.words
                if word.face.endswith("Bold") and word.text.strip() in starts
            ),
            None,
        )

    def down(self, head: Word, *, right: bool) -> list[tuple[float, str]]:
        """The words under a heading, on its left or its right edge, down to the next heading."""
        edge = right_of(head) if right else head.x
        found: list[tuple[float, str]] = []
        for word in sorted(self.words, key=lambda each: -each.y):
            at = right_of(word) if right else word.x
            # Table cells are 2.6 points in from the left, titles of tables not.
            if word.y > head.y - 2 or abs(word.turn) > 1e-3 or abs(at - edge) > 0.6:
                continue
            if word.face.endswith("Bold"):
                # A heading may have a second line.
                if head.y - word.y < 14:
                    continue
                break
            if word.size > 10.5:
                found.append((word.y, word.text))
        return found

    def beside(self, y: float, head: Word, *, right: bool = True) -> str:
        """The word on a baseline that stands under a heading; empty where there is none."""
        return next((text for at, text in self.down(head, right=right) if abs(at - y) < 0.2), "")

    def boards(self) -> dict[str, BoardColumn]:
        """Every board with what its column says."""
        start = self.head("Nails, outside in")
        if start is None:
            return {}
        found: dict[str, BoardColumn] = {}
        for word in self.words:
            # A string of a long name stands in a second line.
            head = re.fullmatch(r"board (\w+),? ?(.*)", word.text)
            if head is None or not word.face.endswith("Bold") or not 0 <= word.y - start.y < 14:
                continue
            below = [w for w in self.words if w.face.endswith("Bold") and 5 < word.y - w.y < 14]
            string = head[2] or next(
                (w.text for w in below if abs(right_of(w) - right_of(word)) < 0.6), ""
            )
            rows = [(label, self.beside(y, word)) for y, label in self.down(start, right=False)]
            found[head[1]] = BoardColumn(string=string, rows=tuple(rows))
        return found

    def tapes(self) -> list[tuple[str, str, str]]:
        """What is taped, how long, and what it may be out by."""
        start = self.head("Tape")
        if start is None:
            return []
        level = min(
            (w for w in self.words if w.text == "level" and w.face.endswith("Bold")),
            key=lambda w: abs(w.y - start.y),
        )
        allowed = self.head("+/-")
        assert allowed is not None
        found: list[tuple[str, str, str]] = []
        for y, words in self.down(start, right=False):
            reading = self.beside(y, level)
            if reading:
                found.append((words, reading, self.beside(y, allowed)))
            else:
                found[-1] = (f"{found[-1][0]} {words}", *found[-1][1:])
        return found

    def table(self, start: str, head: str) -> list[tuple[str, str]]:
        """The first column under `start` with the column under `head` beside it.

        A heading may stand on two lines, and is then found by its first.
        """
        first, second = self.head(*first_lines(start)), None
        if first is not None:
            heads = first_lines(head)
            second = min(
                (w for w in self.words if w.text in heads and w.face.endswith("Bold")),
                key=lambda w: abs(w.y - first.y) + (1000 if w.x < first.x else 0),
                default=None,
            )
        if first is None or second is None:
            return []
        return [
            (label, cell)
            for y, label in self.down(first, right=False)
            if (cell := self.beside(y, second))
        ]


def first_lines(heading: str) -> tuple[str, ...]:
    """What may stand on a heading's first line: all of it, or its first words."""
    words = heading.split(" ")
    return tuple(" ".join(words[:count]) for count in range(len(words), 0, -1))


def right_of(word: Word) -> float:
    """The right edge of a level word, points."""
    return word.x + stringWidth(word.text, word.face, word.size)


def read_cards(pages: list[Page]) -> Iterator[PaperCard]:
    """Read every card: two side by side are parted in the middle of the page, and each ends where
    the next one under it begins."""
    for number, page in enumerate(pages):
        titles = [
            (word, found)
            for word in page.words
            if word.face.endswith("Bold")
            and abs(word.turn) < 1e-3
            and (found := TITLE.fullmatch(word.text)) is not None
        ]
        for word, found in titles:
            beside = [other.x for other, _ in titles if abs(other.y - word.y) < 1 and other != word]
            low = max((other.y for other, _ in titles if other.y < word.y - 1), default=0.0)
            left, right = 0.0, page.width
            if any(x > word.x for x in beside):
                right = min(x for x in beside if x > word.x)
            if any(x < word.x for x in beside):
                left = word.x - 1
            yield PaperCard(
                kind=found[1],
                name=found[3],
                page=number,
                words=tuple(
                    each
                    for each in page.words
                    if left <= each.x < right and low + 13 < each.y <= word.y + 1
                ),
            )
