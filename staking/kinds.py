"""The closed sets of words that more than one part of the package names.

Each value is the word that files and tables write: a word changes here only together with every
format that holds it. A set that one module alone names stands in that module.
"""

from __future__ import annotations

from enum import StrEnum


class FootingKind(StrEnum):
    """What a footing carries: a wall, an interior line, or a post on a pad."""

    WALL = "wall"
    INTERIOR = "interior"
    PAD = "pad"


class StringKind(StrEnum):
    """What a string is pulled for: walls, an interior line, or pads in a row."""

    WALL = "wall"
    INTERIOR = "interior"
    PADS = "pads"


class StringLine(StrEnum):
    """Which line of what it stands for a string follows."""

    OUTSIDE_FACE = "outside face"
    CENTRE = "centre"


class CheckKind(StrEnum):
    """What is taped to see whether a layout is right.

    From corner to corner: a side, a diagonal of one building, a tie between two buildings. Across
    the two legs of a corner: a right angle by 3-4-5, any other angle by its chord. From a corner to
    a pad or to an end of an interior line: a point.
    """

    SIDE = "side"
    DIAGONAL = "diagonal"
    TIE = "tie"
    RIGHT_ANGLE = "right angle"
    ANGLE = "angle"
    POINT = "point"


class BaseLineKind(StrEnum):
    """Why a line is the base line.

    The survey says where it is; it lies along a standing building; it is the longest wall at the
    corner on the highest ground; or it is the longest wall.
    """

    PLACED = "placed"
    NEIGHBOUR = "neighbour"
    HIGHEST = "highest"
    LONGEST = "longest"


class SettingMethod(StrEnum):
    """How a corner's stake is set.

    As an end of the base line; by two tapes; along the line through two stakes that stand; square
    off a wall at the stake before it; or not at all, where no tape reaches it.
    """

    BASE_LINE = "base line"
    TWO_TAPES = "two tapes"
    IN_LINE = "in line"
    SQUARE = "square"
    OUT_OF_REACH = "out of reach"


class Hand(StrEnum):
    """The side of a line on which something lies, seen from its start facing its end."""

    LEFT = "left"
    RIGHT = "right"


class WorkKind(StrEnum):
    """What is done in one step of the work; a rule says what holds for several."""

    STAKE = "stake"
    SQUARE = "square"
    BOARD = "board"
    STRING = "string"
    CHECK = "check"
    LINE = "line"
    PAD = "pad"
    PAINT = "paint"
    RULE = "rule"


class WorkPart(StrEnum):
    """The parts of the work, in their order; each value is the part's title."""

    PEOPLE = "Two people, one tape"
    BASE = "The base line"
    CORNERS = "The other corners"
    BOARDS = "Boards"
    STRINGS = "Strings"
    CHECKS = "Checks"
    LINES = "Interior lines"
    PADS = "Pads"
    PAINT = "Paint"
