"""What a layout consists of: strings, boards with their marks, checks, hubs. All in metres."""

from __future__ import annotations

from staking.frozen import frozen
from staking.kinds import CheckKind, StringKind, StringLine
from staking.plan import Point


@frozen
class Pass:
    """A corner (or pad) that a string passes, and how far from the string's start, m."""

    name: str
    is_pad: bool
    from_start: float


@frozen
class String:
    """A line pulled from board to board.

    Parameters
    ----------
    name
        ``A-B`` from its first to its last corner; an interior line's or pad row's name.
    line
        Which line of them it follows.
    kind
        What it is pulled for.
    walls
        Names of the walls (or the interior line, or the pads) it stands for.
    start, end
        Where it is tied, m.
    boards
        Names of the boards at start and end; None where it is tied to a mark on a standing
        building, or where no board could be placed.
    """

    name: str
    line: StringLine
    kind: StringKind
    walls: tuple[str, ...]
    start: Point
    end: Point
    length: float
    boards: tuple[str | None, str | None]
    passes: tuple[Pass, ...]


@frozen
class Mark:
    """A nail or kerf on a board; `offset` along the board from the string, m.

    Positive away from the wall's building; to the right of from-to on interior and pad strings.
    """

    mark: str
    wall: str
    offset: float
    x: float
    y: float


@frozen
class Board:
    """A batter board: numbered name, where it stands, its two ends and its marks, m.

    `end` is the last corner (or line, or pad) on its string before the board, and `past` what a
    builder finds there: the same, but on an interior line the wall or line that it ends on, since
    the line itself has two ends. `stand_off` is the distance along the string past it (past the
    last outside face crossed, where the string runs through the building, which `far_face`
    tells), `clear` the true distance to the nearest thing dug.
    """

    name: str
    string: str
    end: str
    past: str
    x: float
    y: float
    stand_off: float
    clear: float
    ends: tuple[Point, Point]
    marks: tuple[Mark, ...]
    far_face: bool = False


@frozen
class Check:
    """Something to tape.

    `distance` is across `legs` for a right angle and an angle, whose corner is `at` and whose
    first leg runs from `at` toward `from_name`. `allowed` is the difference the tolerances allow.
    `in_network` is False for a side longer than the tape and for checks that are not corner to
    corner.
    """

    kind: CheckKind
    at: str | None
    from_name: str
    to_name: str
    distance: float
    allowed: float
    legs: tuple[float, float] | None = None
    in_network: bool = True


@frozen
class Hub:
    """An offset stake on the extended line of `wall` past `corner`, m."""

    corner: str
    wall: str
    x: float
    y: float


@frozen
class Accuracy:
    """The 95 % radius to expect at a corner with the given tape, m; None when not determined."""

    corner: str
    radius95: float | None
