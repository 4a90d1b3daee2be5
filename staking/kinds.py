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

    The survey says where it is; it lies along a standing building; it starts at the end of a side
    against a standing building that is too short itself; it is the longest wall at the corner on
    the highest ground; or it is the longest wall.
    """

    PLACED = "placed"
    NEIGHBOUR = "neighbour"
    FROM_NEIGHBOUR = "from-neighbour"
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

    EARLY = "Days before"
    PEOPLE = "Two people, one tape"
    BASE = "The base line"
    CORNERS = "The other corners"
    BOARDS = "Boards"
    STRINGS = "Strings"
    CHECKS = "Checks"
    LINES = "Interior lines"
    PADS = "Pads"
    PAINT = "Paint"


class Casting(StrEnum):
    """What a footing is poured against: the trench's own earth, or forms."""

    EARTH = "earth"
    FORMS = "forms"


class WallMaterial(StrEnum):
    """What stands on a footing: a masonry wall, or a concrete one."""

    MASONRY = "masonry"
    CONCRETE = "concrete"


class Grout(StrEnum):
    """Which cells of a block wall are filled: those with dowels, all of them, or none."""

    DOWELS = "dowels"
    ALL = "all"
    NO = "no"


class FillKind(StrEnum):
    """What is bought to fill under a slab."""

    SAND = "sand"
    GRAVEL = "gravel"


class FormPart(StrEnum):
    """What of a formed footing a board stands at; each value is what the lists call it."""

    SIDE = "side of the footing"
    UNDER_STEP = "side under a step"
    BULKHEAD = "bulkhead at a step"


class OrderGroup(StrEnum):
    """The groups of an order."""

    CONCRETE = "concrete"
    STEEL = "steel"
    BLOCK = "block"
    DIG = "dig"
    DRAIN = "drain"
    FORMS = "forms"
    LAYOUT = "layout"


class ItemRole(StrEnum):
    """What an item of an order is besides its name, where it is looked up.

    Earth carted away, loose; or fill under a slab, compacted.
    """

    SPOIL = "spoil"
    FILL = "fill"


class GroundSource(StrEnum):
    """Where the elevations of the ground come from.

    From the survey's elevated points or its surface; from elevations in the job; from rod readings
    in the job, which the height of the instrument turns into elevations; from a level book; from a
    point cloud or a height grid that the grade section names.
    """

    SURVEY = "survey"
    READINGS = "readings"
    ROD = "rod"
    LEVEL_BOOK = "level_book"
    CLOUD = "cloud"


class ScanKind(StrEnum):
    """What ground that was scanned, and not surveyed point by point, is made of."""

    CLOUD = "point cloud"
    GRID = "height grid"


class RodMarks(StrEnum):
    """How a rod in feet is marked."""

    INCHES = "inches"
    TENTHS = "tenths"


class Governs(StrEnum):
    """What keeps a level of the footing from being a course higher.

    One rule alone, at some place: frost, bearing, or the least count of courses; or else the steps,
    by which a neighbour's depth is carried on.
    """

    FROST = "frost"
    BEARING = "bearing"
    LEAST_COURSES = "least courses"
    STEPS = "steps"


class LevelKind(StrEnum):
    """What is set with the rod at a level."""

    TOP_OF_WALL = "top of wall"
    STRING = "string"
    LOWER_STRING = "lower string"
    TOP_OF_FOOTING = "top of footing"
    BOTTOM_OF_FOOTING = "bottom of footing"
    DIG = "dig level"
    TOP_OF_SLAB = "top of slab"
    UNDER_SLAB = "under the slab"
    UNDER_SLAB_STONE = "under the slab's stone"
    TOP_OF_PAD = "top of pad"
    BOTTOM_OF_PAD = "bottom of pad"
    DIG_UNDER_PAD = "dig under pad"


class StakeKind(StrEnum):
    """A stake that stays where it is driven: at a corner, or a hub on a wall's line beyond it."""

    CORNER = "corner"
    HUB = "hub"


class LotPart(StrEnum):
    """What of a building is kept clear of the boundary, and of what stands on the lot."""

    FOOTING = "footing"
    WALL = "wall"
    EAVE = "eave"


class FootingEdge(StrEnum):
    """An edge of a footing.

    A wall has an outer and an inner one; an interior line a left and a right one, seen from its
    first end; a round pad one edge; a square pad four, counted round it.
    """

    OUTER = "outer"
    INNER = "inner"
    LEFT = "left"
    RIGHT = "right"
    ROUND = "0"
    FIRST = "1"
    SECOND = "2"
    THIRD = "3"
    FOURTH = "4"

    @property
    def is_of_pad(self) -> bool:
        """Whether it is a pad's."""
        return self.isdigit()


class PouredFigure(StrEnum):
    """What of a poured footing is held against the plan."""

    OUTER_EDGE = "outer edge"
    INNER_EDGE = "inner edge"
    LEFT_EDGE = "left edge"
    RIGHT_EDGE = "right edge"
    EDGE = "edge"
    WIDTH = "width"
    TOP = "top"
    LEVEL = "level"
    THICKNESS = "thickness"

    @property
    def is_edge(self) -> bool:
        """Whether it is an edge's place."""
        return self in _EDGES.values()

    @classmethod
    def of_edge(cls, edge: FootingEdge) -> PouredFigure:
        """Give the figure that an edge's place is.

        Returns
        -------
        PouredFigure
            All edges of pads are one figure.
        """
        return _EDGES[edge]


_EDGES = {
    FootingEdge.OUTER: PouredFigure.OUTER_EDGE,
    FootingEdge.INNER: PouredFigure.INNER_EDGE,
    FootingEdge.LEFT: PouredFigure.LEFT_EDGE,
    FootingEdge.RIGHT: PouredFigure.RIGHT_EDGE,
    **{edge: PouredFigure.EDGE for edge in FootingEdge if edge.is_of_pad},
}


class OntoPlan(StrEnum):
    """How surveyed points came onto the plan: by the lot, by stakes, or by the footing's edges."""

    LOT = "lot"
    STAKES = "stakes"
    EDGES = "edges"


class SheetKind(StrEnum):
    """The sheets of the set in the order they are carried; each value is what chooses it."""

    START = "start"
    LOT = "lot"
    DIMENSIONS = "dimensions"
    BOARDS = "boards"
    DIG = "dig"
    CARDS = "cards"
    PROFILES = "profiles"
    BEFORE = "before"
    WORK = "work"
    ORDER = "order"


class PointKind(StrEnum):
    """What a named point of a layout is: where it is set out, or what it is a part of."""

    CORNER = "corner"
    PAD = "pad"
    INTERIOR_END = "interior end"
    HUB = "hub"
    BOARD_END = "board end"
    NAIL = "nail"

    @property
    def is_on_board(self) -> bool:
        """Whether it is on a batter board."""
        return self in {PointKind.BOARD_END, PointKind.NAIL}

    @property
    def is_inside(self) -> bool:
        """Whether it is a pad or an end of an interior line, which tapes fix from corners."""
        return self in {PointKind.PAD, PointKind.INTERIOR_END}


class PointUse(StrEnum):
    """What a surveyed point is for: to work from, a corner of the lot, or a shot like any other."""

    CONTROL = "control"
    CORNER = "corner of the lot"
    SHOT = "shot"
