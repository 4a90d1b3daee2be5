"""The order of work for two people and one tape: what it consists of. Metres, radians."""

from __future__ import annotations

from staking.frozen import frozen
from staking.kinds import WorkKind, WorkPart
from staking.layout.steps.base_line import BaseLine
from staking.layout.steps.corner_setting import CornerSetting
from staking.layout.steps.fourth_stake import FourthStake
from staking.notices import Notice


@frozen
class Squaring:
    """The large rectangle, squared before the rest is added.

    Parameters
    ----------
    diagonals
        Its two diagonals as pairs of corners.
    length
        What both read, m.
    held, moved
        The side that stays, and the corners opposite it.
    allowed
        What each diagonal may be out by, m.
    difference, slide
        For this much between the two readings the moved corners both slide this far, m.
    """

    diagonals: tuple[tuple[str, str], tuple[str, str]]
    length: float
    held: tuple[str, str]
    moved: tuple[str, str]
    allowed: float
    difference: float
    slide: float


@frozen
class WorkStep:
    """One thing to do.

    Parameters
    ----------
    part
        The part of the work it belongs to.
    kind
        What is done.
    names
        The corners, strings, lines or pads concerned.
    tapes
        What is taped: from, to and the distance, m.
    says
        The sentence; *hook* is the one who holds the tape's end, *reel* the one who reads it.
    brief
        The same in fewer words, for a page where the rule of hook and reel stands before it; None
        where the sentence is short already.
    """

    part: WorkPart
    kind: WorkKind
    names: tuple[str, ...]
    tapes: tuple[tuple[str, str, float], ...]
    says: Notice
    brief: Notice | None = None


@frozen
class Expected:
    """How near one stake comes, 19 times in 20, m; None where it is not fixed or not known.

    Parameters
    ----------
    corner
        The corner.
    chosen
        With the chosen checks taped and adjusted.
    least
        With the least set of distances.
    squared_off
        With 3-4-5 alone, each wall squared off the one before.
    """

    corner: str
    chosen: float | None
    least: float | None
    squared_off: float | None


@frozen
class LeastTapes:
    """The fewest distances for a wanted radius, m.

    Parameters
    ----------
    wanted
        The radius that no stake is to pass.
    tapes
        From, to and the distance; empty where the radius is out of reach.
    at_least
        No fewer than this do.
    usable
        How many distances can be taped at all.
    whole
        The greatest radius with all of them; None where even they do not fix the shape.
    """

    wanted: float
    tapes: tuple[tuple[str, str, float], ...]
    at_least: int
    usable: int
    whole: float | None

    @property
    def reached(self) -> bool:
        """Whether the radius can be reached."""
        return bool(self.tapes)

    @property
    def exact(self) -> bool:
        """Whether it is proved that no fewer distances do."""
        return self.reached and len(self.tapes) <= self.at_least


@frozen
class WorkPlan:
    """The whole order of work, complete at birth.

    Parameters
    ----------
    base
        Where it starts.
    settings
        How each corner is set, in order, the temporary stake among them.
    squaring
        The large rectangle of the base line's building, or None where it has none.
    other_squarings
        The large rectangles of the other buildings.
    fourth
        The temporary stake that makes a rectangle of three corners; None where four
        corners make one, or none is large enough.
    steps
        Everything to do, in order.
    expected
        How near each stake comes, in the plan's order.
    least
        The fewest distances for the wanted radius; None for plans of very many corners.
    chosen
        How many distances the chosen checks tape from corner to corner.
    notices
        What is to be told beside the layout's own.
    """

    base: BaseLine
    settings: tuple[CornerSetting, ...]
    squaring: Squaring | None
    other_squarings: tuple[Squaring, ...]
    fourth: FourthStake | None
    steps: tuple[WorkStep, ...]
    expected: tuple[Expected, ...]
    least: LeastTapes | None
    chosen: int
    notices: tuple[Notice, ...]
