"""Batter boards on a slope: how high each stands, and the lower strings where one is too high."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence

import numpy as np
import numpy.typing as npt

from staking.grade.graded import BoardLevel
from staking.layout.layout_parts import Board, String
from staking.notices import Length, Notice, NoticeKind, Severity, notice
from staking.tolerances import ON_LINE
from staking.units import FOOT, INCH

Floats = npt.NDArray[np.float64]

GroundAt = Callable[[Floats], Floats]
"""Elevations, m, at places ``(k, 2)`` on the building grid; not-a-number where unknown."""

TIER = 8 * INCH
"""Lower strings hang whole multiples of this below the others, m, unless a course is given (common
practice, no source)."""

LEAST = FOOT
"""A lower string hangs at least this high over the ground, m, to be worked under (common practice,
no source)."""

PROBE = FOOT
"""The ground under a string is looked at this often, m, at the least."""


def board_levels(
    boards: Sequence[Board],
    ground_at: GroundAt,
    string_level: float,
    max_height: float,
    course: float = TIER,
) -> tuple[tuple[BoardLevel, ...], tuple[Notice, ...]]:
    """Give the height of every batter board above the ground.

    Parameters
    ----------
    boards
        As they stand, in any order.
    ground_at
        The existing ground; not-a-number where it is not known.
    string_level
        Elevation of the strings and of the boards' tops, m.
    max_height
        The greatest height a board may have above the ground, m.
    course
        Lower strings hang whole courses below the others, m.

    Returns
    -------
    tuple
        A level for each board, in the order given, and ``board-tier`` notes for those that would
        stand too high, ``ground-above-string`` warnings, and one ``board-ground-unknown`` note.
        A height is measured from the lowest ground under the board. A tier is the highest level
        in whole courses below the string at which the board stands no higher than `max_height`;
        boards that belong to one corner take the lower tier of the two, so that their lower
        strings cross at one level, unless the ground leaves it less than a foot.

    Raises
    ------
    ValueError
        Where `max_height` or `course` is not above zero.
    """
    if not (max_height > 0 and course > 0):
        raise ValueError("max_height and course must be above zero")
    if not boards:
        return (), ()
    places = np.array([place for board in boards for place in ((board.x, board.y), *board.ends)])
    under = ground_at(places).reshape(len(boards), 3)
    known = np.logical_not(np.isnan(under).all(axis=1))
    low = np.where(known, np.nan_to_num(under, nan=np.inf).min(axis=1), np.nan)
    high = np.where(known, np.nan_to_num(under, nan=-np.inf).max(axis=1), np.nan)
    tiers = _tiers(boards, string_level - low, max_height, course)
    levels = tuple(
        BoardLevel(
            board=board.name,
            ground=float(low[i]) if known[i] else None,
            top=string_level,
            height=string_level - float(low[i]) if known[i] else None,
            tier=None if board.name not in tiers else string_level - tiers[board.name] * course,
        )
        for i, board in enumerate(boards)
    )
    told = _told(levels, course, max_height)
    for board, above in zip(boards, (high - string_level).tolist(), strict=True):
        if above > ON_LINE:
            told.append(
                notice(
                    "ground-above-string",
                    "the ground at board {board} stands {above} above the string; raise the "
                    "strings or cut the ground there",
                    board=board.name,
                    above=Length(above),
                )
            )
    return levels, tuple(told)


def _tiers(
    boards: Sequence[Board], heights: Floats, max_height: float, course: float
) -> dict[str, int]:
    # Courses below the strings for the boards that would stand too high, the same at one corner.
    needed: dict[str, int] = {}
    at_corner: dict[str, int] = {}
    for board, height in zip(boards, heights.tolist(), strict=True):
        if height > max_height + ON_LINE:
            count = math.ceil((height - max_height - ON_LINE) / course)
            needed[board.name] = count
            at_corner[board.end] = max(at_corner.get(board.end, 0), count)
    shared: dict[str, int] = {}
    for board, height in zip(boards, heights.tolist(), strict=True):
        if board.name in needed:
            lower = at_corner[board.end]
            clear = height - lower * course >= LEAST - ON_LINE
            shared[board.name] = lower if clear else needed[board.name]
    return shared


def _told(levels: Sequence[BoardLevel], course: float, max_height: float) -> list[Notice]:
    told = []
    for level in levels:
        if level.tier is None or level.height is None or level.ground is None:
            continue
        told.append(
            notice(
                NoticeKind.BOARD_TIER,
                "board {board} would stand {height} above the ground, over {limit}: set a lower "
                "pair of boards there, its string {below} below the others ({courses} courses) "
                "and {low} above the ground, and plumb down from the string above",
                severity=Severity.NOTE,
                board=level.board,
                height=Length(level.height),
                limit=Length(max_height),
                below=Length(level.top - level.tier),
                courses=round((level.top - level.tier) / course),
                low=Length(level.tier - level.ground),
            )
        )
    unknown = [level.board for level in levels if level.ground is None]
    if unknown:
        told.append(
            notice(
                "board-ground-unknown",
                "the ground is not known at {boards}; there the heights of boards are left out",
                severity=Severity.NOTE,
                boards=f"board{'s' if len(unknown) > 1 else ''} {', '.join(unknown)}",
            )
        )
    return told


def strings_on_ground(
    strings: Sequence[String], ground_at: GroundAt, levels: Mapping[str, float]
) -> tuple[Notice, ...]:
    """Say where the ground stands above a string between its boards.

    Parameters
    ----------
    strings
        As they are pulled.
    ground_at
        The existing ground.
    levels
        Elevation of each string by its name, m; strings without one are passed over.

    Returns
    -------
    tuple of Notice
        A ``ground-on-string`` warning for each string that would lie on the ground, at the
        highest place found. The ground is looked at every foot.
    """
    told = []
    for string in strings:
        level = levels.get(string.name)
        if level is None:
            continue
        count = max(math.ceil(string.length / PROBE), 1) + 1
        share = np.linspace(0.0, 1.0, count)
        places = np.outer(1 - share, string.start) + np.outer(share, string.end)
        above = np.nan_to_num(ground_at(places) - level, nan=-np.inf)
        worst = int(above.argmax())
        if above[worst] > ON_LINE:
            told.append(
                notice(
                    "ground-on-string",
                    "the ground stands {above} above string {string} at {station} from its "
                    "start; raise the strings or cut the ground there",
                    string=string.name,
                    above=Length(float(above[worst])),
                    station=Length(float(share[worst]) * string.length),
                )
            )
    return tuple(told)
