"""A job's levels worked out whole, for boards, tables, profiles, sheets and the order.

Elevations and lengths in metres, on the survey's or the benchmark's own zero.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.frozen import frozen
from staking.grade.beyond_walls import SlopeSetback, WaterAtWall
from staking.grade.neighbours import Undercut
from staking.grade.stepped_footing import Alternative, PadLevel, SteppedFooting, WallProfile
from staking.grade.stepping.built_steps import BuiltStep
from staking.grade.stepping.cells import Floats
from staking.grade.stepping.wall_network import Network, Strand
from staking.grade.trench_depth import DeepStretch, TrenchDepth
from staking.kinds import LevelKind, RodMarks, StakeKind
from staking.notices import Notice

if TYPE_CHECKING:
    from staking.grade.run_digs import RunDig
    from staking.grade.stepping.cheapest import GradeRequest


@frozen(eq=False)
class GroundLine:
    """The ground along one wall's outside face, for its profile.

    Parameters
    ----------
    stations
        ``(n,)``, m from the wall's first corner, ascending, ends included.
    existing, finished, undisturbed
        ``(n,)``, elevations, m.
    """

    stations: Floats
    existing: Floats
    finished: Floats
    undisturbed: Floats


@frozen(eq=False)
class GradedWall:
    """One wall or interior line: its levels and steps, its ground, and where it is deep.

    `depths` parts the whole trench by its depth.
    """

    profile: WallProfile
    strand: Strand
    built: tuple[BuiltStep, ...]
    ground: GroundLine
    deep: tuple[DeepStretch, ...]
    depths: tuple[TrenchDepth, ...] = ()


@frozen
class LevelMark:
    """One level to set with the rod.

    Parameters
    ----------
    what
        What is set there.
    where
        Wall, interior line, pad or boards; empty for the whole building.
    start, end
        Stations of the stretch, m, or None.
    level
        Elevation, m.
    add_to_benchmark
        What to add to the rod reading on the benchmark, m; None without a benchmark.
    reading
        The rod reading for the job's height of instrument, m; None where that is not given or
        the rod does not reach.
    turning_point
        Why the rod does not reach; empty where it does.
    down_from_string
        m below the strings; None where the strings have no level.
    """

    what: LevelKind
    where: str
    start: float | None
    end: float | None
    level: float
    add_to_benchmark: float | None
    reading: float | None
    turning_point: str
    down_from_string: float | None


@frozen
class StakeLevel:
    """The ground at a corner stake or a hub, and cut or fill from it to the dig; m.

    Parameters
    ----------
    kind
        At a corner, or a hub.
    name
        The corner; for a hub the corner and the wall it stands on.
    ground
        Existing ground, m; None where the survey does not reach (hubs may stand outside).
    dig
        The dig level at the corner, m.
    cut
        Ground minus dig level, m, positive down; None without ground.
    """

    kind: StakeKind
    name: str
    x: float
    y: float
    ground: float | None
    dig: float
    cut: float | None


@frozen
class BoardLevel:
    """A batter board on sloping ground.

    Parameters
    ----------
    ground
        Existing ground at the board, m; None where it is not known.
    top
        Elevation of the board's top and of the string, m.
    height
        Top above ground, m; negative where the ground stands above the string.
    tier
        Elevation of a lower string tied to a lower board here, m: where this board would stand
        above the job's greatest height, and at the other end of such a string; None elsewhere.
    """

    board: str
    ground: float | None
    top: float
    height: float | None
    tier: float | None = None


@frozen
class LowerString:
    """A second string under one that hangs too high, level from end to end.

    Parameters
    ----------
    string
        The string it hangs under.
    level
        Its elevation, m.
    boards
        The boards at whose stakes its lower boards stand, at the string's start and end; None
        where it ends elsewhere.
    across
        How far from its board, along the string, it ends at a board across the trench, m; None
        where both its ends are at the string's own.
    """

    string: str
    level: float
    boards: tuple[str | None, str | None]
    across: float | None = None


@frozen
class StepChoice:
    """What a footing with so many steps takes.

    Parameters
    ----------
    objective, wall_area
        Wall with the worth of the steps, and the wall alone, m2.
    concrete
        Of the footing, its steps' overlaps with it, without waste, m3.
    dug
        All that is dug, in place: the trench, under the floor beside it, and the drain's own
        trench, m3.
    """

    steps: int
    objective: float
    wall_area: float
    concrete: float
    dug: float


@frozen(eq=False)
class Graded:
    """Everything the grade section gives.

    Parameters
    ----------
    request
        What was asked of the stepped footing, its ground and its network of walls included;
        `walls` stand in the order of the network's strands.
    string
        Elevation of the strings, m, or None.
    benchmark, benchmark_level
        Its name and elevation, m; both None without one.
    instrument
        Height of instrument, m, or None.
    rod, rod_length
        How the rod is marked, ``inches`` or ``tenths``, and its length, m.
    gains
        What another top of wall would save.
    larger_steps
        What steps of two courses would give, or None.
    undercuts
        Digs below a neighbouring footing's line.
    digs
        What is dug under each level stretch and pad.
    stakes, boards
        Levels at corner stakes, hubs and batter boards; `boards` is empty until boards stand.
    greatest_depth
        The deepest dig below existing ground, m.
    lower
        Lower strings, in the order of the strings.
    stake_tops
        Corner or pad and the elevation of its stake's top, m, where the job gives it.
    water
        Grade at each wall against the ground ten feet out, where that is known.
    slopes
        Slopes steeper than one in three near each wall.
    choices
        What each smaller number of steps takes, the footing's own last; empty until it is asked
        for.
    """

    request: GradeRequest
    stepped: SteppedFooting
    walls: tuple[GradedWall, ...]
    pads: tuple[PadLevel, ...]
    string: float | None
    benchmark: str | None
    benchmark_level: float | None
    instrument: float | None
    rod: RodMarks
    rod_length: float
    levels: tuple[LevelMark, ...]
    digs: tuple[RunDig, ...]
    stakes: tuple[StakeLevel, ...]
    boards: tuple[BoardLevel, ...]
    gains: tuple[Alternative, ...]
    larger_steps: Alternative | None
    undercuts: tuple[Undercut, ...]
    greatest_depth: float
    notices: tuple[Notice, ...] = ()
    lower: tuple[LowerString, ...] = ()
    stake_tops: tuple[tuple[str, float], ...] = ()
    water: tuple[WaterAtWall, ...] = ()
    slopes: tuple[SlopeSetback, ...] = ()
    choices: tuple[StepChoice, ...] = ()

    @property
    def network(self) -> Network:
        """The walls as strands, joined at corners and junctions; and the pads."""
        return self.request.network

    def wall(self, name: str) -> GradedWall:
        """Find a wall or interior line by its name in the plan.

        Returns
        -------
        GradedWall
            The wall.

        Raises
        ------
        KeyError
            Where none is named so.
        """
        for each in self.walls:
            if each.profile.wall == name:
                return each
        raise KeyError(name)
