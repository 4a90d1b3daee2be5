"""Tables and lists as values, before anything is printed."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """A column's heading, and whether its cells stand to the right."""

    heading: str
    right: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """A titled table of text; `note` is a sentence to be read with it, or empty."""

    title: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Listing:
    """A titled list of sentences."""

    title: str
    lines: tuple[str, ...]


Block = Table | Listing
