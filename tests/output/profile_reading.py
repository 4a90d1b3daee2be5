"""Reads the walls in profile back from their pages: each wall's rows of levels and its stations."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field

from tests.output.pdf_reading import Page, Word

TITLE = re.compile(r"(?:Wall|Interior line) (\S+), (.+)")
HEADINGS = (
    "run", "face", "to face", "dig from", "dig to", "courses", "top of footing",
    "add to benchmark", "down from string", "dig level",
)  # fmt: skip
"""What stands before a row of levels."""


@dataclass
class ReadProfile:
    """One wall's block: its title's length, its rows by heading, all else that it says."""

    length: str
    rows: list[tuple[str, list[Word]]] = field(default_factory=list)
    words: list[Word] = field(default_factory=list)

    def values(self, *headings: str) -> list[str]:
        """The values of the row with the last heading that stands right under the others."""
        found: list[str] = []
        for at in range(len(self.rows) - len(headings) + 1):
            if tuple(name for name, _ in self.rows[at : at + len(headings)]) == headings:
                found += [word.text for word in self.rows[at + len(headings) - 1][1]]
        return found

    @property
    def stations(self) -> list[str]:
        """What is written upright under the wall, as in "face 11' 4\\""."""
        return [each.text for each in self.words if abs(each.turn) > 1]


def read_profiles(pages: Iterable[Page]) -> dict[str, ReadProfile]:
    """Read every wall of the pages of profiles."""
    found: dict[str, ReadProfile] = {}
    for page in pages:
        titles = [word for word in page.words if TITLE.fullmatch(word.text)]
        levels = sorted({round(each.y, 1) for each in titles}, reverse=True)
        for title in titles:
            row = sorted(each.x for each in titles if abs(each.y - title.y) < 6)
            right = next((x for x in row if x > title.x + 1), page.width)
            foot = next((y for y in levels if y < title.y - 6), 0.0)
            block = [
                word
                for word in page.words
                if title.x - 1 <= word.x < right - 1 and foot + 12 < word.y < title.y + 1
            ]
            match = TITLE.fullmatch(title.text)
            assert match is not None
            found[match[1]] = _read(match[2], block)
    return found


def _read(length: str, block: list[Word]) -> ReadProfile:
    wall = ReadProfile(length=length, words=block)
    level = [word for word in block if abs(word.turn) < 1e-3]
    heads = [word for word in level if word.text in HEADINGS]
    for head in sorted(heads, key=lambda word: -word.y):
        # A larger figure's baseline lies a little under that of its heading.
        row = [word for word in level if word.x > head.x and abs(word.y - head.y) < 2.5]
        row.sort(key=lambda word: word.x)
        wall.rows.append((head.text, row))
    return wall
