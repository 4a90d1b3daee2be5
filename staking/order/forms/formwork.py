"""The forms of footings: boards by length, stakes, braces and the room they need."""

from __future__ import annotations

import math

from staking.frozen import frozen
from staking.kinds import FormPart
from staking.units import FOOT, INCH

STAKES_APART = 4 * FOOT
"""Stakes along a form stand no farther apart than this, m (common practice, no source)."""

BRACED = 2
"""Of so many stakes along a form one has a kicker behind it (common practice, no source)."""

KICKER = 2 * FOOT
"""Length of a kicker, from the board's top to its own stake, m (common practice, no source)."""

SPREADER_PAST = 3 * INCH
"""How far a spreader runs past the boards at each end to be nailed, m (common practice, no
source)."""

STAKE_THICKNESS = 1.5 * INCH
"""Of a stake, m (common practice, no source)."""

ROOM = 12 * INCH
"""Board, stake, kicker and room to work beyond a formed edge, m (common practice, no source)."""

ENOUGH = 0.3
"""Room that is taken for as much, m: a foot, or 300 mm."""


@frozen
class FormRun:
    """Alike straight runs of form.

    Parameters
    ----------
    part
        What of the footing they stand at.
    where
        The wall, line or pad.
    length
        Of one, m, with what runs past outside corners.
    past
        What runs past them, m.
    height
        Of the concrete behind it, m.
    board
        What its boards are called.
    rows
        How many boards high it is.
    count
        How many there are.
    """

    part: FormPart
    where: str
    length: float
    past: float
    height: float
    board: str
    rows: int
    count: int

    @property
    def board_length(self) -> float:
        """Board in all of them, m."""
        return self.length * self.rows * self.count


@frozen
class BoardStock:
    """Boards of one kind as they are bought.

    Parameters
    ----------
    board
        What they are called; empty where the job gives their height.
    height
        How high one really is, m.
    stock
        Length as bought, m.
    length
        What is cut from them, m.
    boards
        How many.
    """

    board: str
    height: float
    stock: float
    length: float
    boards: int


@frozen
class RoundForm:
    """Alike forms of round pads: each a tube cut to height, or a ring of bent board.

    Parameters
    ----------
    across
        The pad's diameter, m, which is the form's inside.
    height
        Thickness of the pad, m.
    count
        How many there are.
    """

    across: float
    height: float
    count: int

    @property
    def around(self) -> float:
        """Length of one ring round its inside, m."""
        return math.pi * self.across

    @property
    def tube(self) -> float:
        """Length of tube that all of them are cut from, m."""
        return self.count * self.height


@frozen
class Forms:
    """All forms of a job.

    Parameters
    ----------
    runs
        Every straight run, alike ones together.
    boards
        What is bought, the highest board first.
    stakes
        Along the boards and behind the kickers.
    kickers, spreaders
        How many; a kicker is `KICKER` long.
    spread
        Length of all spreaders, m.
    rounds
        Forms of the pads that no straight board forms, the widest first.
    room
        What the dig leaves beyond the footing's edges at the trench's bottom, m, where least.
    """

    runs: tuple[FormRun, ...]
    boards: tuple[BoardStock, ...]
    stakes: int
    kickers: int
    spreaders: int
    spread: float
    rounds: tuple[RoundForm, ...]
    room: float

    @property
    def brace_length(self) -> float:
        """Kickers and spreaders, m."""
        return self.kickers * KICKER + self.spread
