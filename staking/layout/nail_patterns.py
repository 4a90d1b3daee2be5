"""Which boards carry the same nails, how far they stand, and one board seen from its front."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Sequence

from staking.frozen import frozen
from staking.kinds import StringLine
from staking.layout.layout_parts import Board, Mark, String

_ALIKE = 6
"""Decimals of a metre to which lengths are alike."""


@frozen
class BoardNail:
    """One nail.

    Parameters
    ----------
    mark
        What it is for; several things at one place with a comma between.
    walls
        The walls it is for, where another nail of the board is for the same of another wall.
    offset
        How far outside its string's line it is, m.
    """

    mark: str
    walls: tuple[str, ...]
    offset: float


@frozen
class NailPattern:
    """Boards with the same nails.

    Parameters
    ----------
    boards
        Their names, in the order of the layout.
    line
        What their strings follow; it tells outside from inside, or right from left.
    nails
        From the outermost to the innermost.
    """

    boards: tuple[str, ...]
    line: StringLine
    nails: tuple[BoardNail, ...]


@frozen
class BoardFront:
    """One board as it is seen from the building.

    Parameters
    ----------
    board
        Its name.
    length
        From end to end, m.
    nails
        Each with its place from the board's left end, m.
    string
        Where the string's line crosses, from the left end, m.
    """

    board: str
    length: float
    nails: tuple[tuple[float, BoardNail], ...]
    string: float


@frozen
class BoardsAlike:
    """What boards have in common, the exceptions apart.

    Parameters
    ----------
    stand_off
        How far most boards stand past the corner their string passes, m.
    others
        The boards that stand otherwise.
    patterns
        The boards by their nails, most boards first.
    front
        One board of the first pattern.
    """

    stand_off: float
    others: tuple[Board, ...]
    patterns: tuple[NailPattern, ...]
    front: BoardFront


def boards_alike(boards: Sequence[Board], strings: Sequence[String]) -> BoardsAlike | None:
    """Sort boards by what they have in common.

    Parameters
    ----------
    boards, strings
        The layout's.

    Returns
    -------
    BoardsAlike or None
        None where there are no boards.
    """
    if not boards:
        return None
    lines = {string.name: string for string in strings}
    found: dict[tuple[object, ...], list[Board]] = {}
    for board in boards:
        nails = tuple((nail.mark, nail.walls, round(nail.offset, _ALIKE)) for nail in _nails(board))
        found.setdefault((lines[board.string].line, nails), []).append(board)
    alike = sorted(found.values(), key=lambda each: -len(each))
    usual = Counter(
        round(board.stand_off, _ALIKE) for board in boards if not board.far_face
    ).most_common(1)
    stand_off = usual[0][0] if usual else boards[0].stand_off
    return BoardsAlike(
        stand_off=next(
            (b.stand_off for b in boards if round(b.stand_off, _ALIKE) == stand_off), stand_off
        ),
        others=tuple(
            board
            for board in boards
            if board.far_face or round(board.stand_off, _ALIKE) != stand_off
        ),
        patterns=tuple(
            NailPattern(
                boards=tuple(board.name for board in group),
                line=lines[group[0].string].line,
                nails=_nails(group[0]),
            )
            for group in alike
        ),
        front=board_front(alike[0][0], lines[alike[0][0].string]),
    )


def board_front(board: Board, string: String) -> BoardFront:
    """Look at a board from the building.

    Parameters
    ----------
    board
        The board.
    string
        Its string.

    Returns
    -------
    BoardFront
        The places along it from its left end.
    """
    first, last = board.ends
    inner = string.end if string.boards[0] == board.name else string.start
    # Facing from the building out, the left end is the one on the left hand.
    away = (board.x - inner[0], board.y - inner[1])
    along = (last[0] - first[0], last[1] - first[1])
    if away[0] * along[1] - away[1] * along[0] > 0:
        first, last = last, first
    length = math.dist(first, last)
    unit = ((last[0] - first[0]) / length, (last[1] - first[1]) / length)

    def station(x: float, y: float) -> float:
        return (x - first[0]) * unit[0] + (y - first[1]) * unit[1]

    return BoardFront(
        board=board.name,
        length=length,
        nails=tuple(
            sorted(
                ((_place(board, nail, station), nail) for nail in _nails(board)),
                key=lambda each: each[0],
            )
        ),
        string=station(board.x, board.y),
    )


def _place(board: Board, nail: BoardNail, station: Callable[[float, float], float]) -> float:
    mark = next(
        each for each in board.marks if round(each.offset, _ALIKE) == round(nail.offset, _ALIKE)
    )
    return station(mark.x, mark.y)


def _nails(board: Board) -> tuple[BoardNail, ...]:
    # What is nailed at one place is one nail; walls are named where a name would mean two nails.
    places: dict[float, list[Mark]] = {}
    for mark in board.marks:
        places.setdefault(round(mark.offset, _ALIKE), []).append(mark)
    # A dig line either side of the one wall is told apart by its side alone.
    held: dict[str, set[frozenset[str]]] = {}
    for marks in places.values():
        for name in {mark.mark for mark in marks}:
            walls_here = frozenset(mark.wall for mark in marks if mark.mark == name)
            held.setdefault(name, set()).add(walls_here)
    nails = []
    for marks in places.values():
        names = tuple(dict.fromkeys(mark.mark for mark in marks))
        walls: dict[str, None] = {}
        if any(len(held[name]) > 1 for name in names):
            walls = dict.fromkeys(mark.wall for mark in marks)
        nails.append(BoardNail(mark=", ".join(names), walls=tuple(walls), offset=marks[0].offset))
    return tuple(sorted(nails, key=lambda nail: -nail.offset))
