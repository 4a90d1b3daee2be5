"""Tables and lists as values, before anything is printed."""

from __future__ import annotations

from dataclasses import field
from enum import StrEnum

from staking.frozen import frozen


class BlockTopic(StrEnum):
    """What a block is about, where one paper leaves it out or puts another in its place."""

    CAUTIONS = "cautions"
    CHECKS = "checks"
    ACCURACY = "accuracy"
    BOARDS = "boards"
    CORNERS = "corners on the plan"
    CORNERS_ON_GRID = "corners on the survey's grid"
    CLEARANCES = "clear of the boundary"
    ROD = "rod"
    WALL_PAINT = "paint of walls"
    KEPT_OFF = "what is kept off"
    HAND_DIG = "what is dug by hand"
    RESIDUALS = "corners beside their stakes"


@frozen
class Column:
    """A column's heading, whether its cells stand to the right, and whether they are written in."""

    heading: str
    right: bool = False
    blank: bool = field(default=False, repr=False)


@frozen
class Table:
    """A titled table of text; `note` is a sentence to be read with it, or empty."""

    title: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]
    note: str = ""
    topic: BlockTopic | None = field(default=None, repr=False)


@frozen
class Listing:
    """A titled list of sentences."""

    title: str
    lines: tuple[str, ...]
    topic: BlockTopic | None = field(default=None, repr=False)


Block = Table | Listing
