"""The order of work on a layout, and how near each stake comes."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from staking.errors import ComputationError
from staking.kinds import CheckKind, SettingMethod, StakeKind, StringKind, WorkPart
from staking.notices import Notice, Severity, notice
from staking.tolerances import ON_LINE, SAME_POINT
from staking.units import INCH

if TYPE_CHECKING:
    from collections.abc import Mapping

    import numpy as np
    from numpy.typing import NDArray

    from staking.laid_out.layout_value import Layout
    from staking.laid_out.staked_out import StakeOut
    from staking.layout.steps.base_line import BaseLine, PlacedOnLot
    from staking.layout.steps.corner_setting import CornerSetting
    from staking.layout.steps.early_steps import BeforeTheDay
    from staking.layout.steps.fourth_stake import FourthStake
    from staking.layout.steps.work import Expected, LeastTapes, Squaring, WorkPlan, WorkStep
    from staking.network.geometry import Floats, PairDistances
    from staking.network.least_set import LeastSet
    from staking.plan import Building, Options

FEET = frozenset({"ft", "us-ft", "in"})
"""Units whose jobs are told how far to slide for half an inch; the others for a centimetre."""


def plan_work(
    layout: Layout, radius: float | None = None, staked: StakeOut | None = None
) -> WorkPlan:
    """Put the work in order for two people and one tape.

    Parameters
    ----------
    layout
        The layout.
    radius
        The 95 % radius wanted at every stake, m; by default what the tolerances allow a stake.
    staked
        Two tapes to each stake; None where the building is not placed or too few points are
        known.

    Returns
    -------
    WorkPlan
        The base line, how each corner is set, every step in order, how near each stake comes, and
        the fewest distances for the wanted radius.

    Raises
    ------
    ComputationError
        When the job has no outline, or the radius is not above zero.

    Notes
    -----
    Corners of the large rectangle are set before the others, and it is squared by its diagonals
    as soon as they stand.
    """
    from staking.layout.steps.base_line import choose_base_line
    from staking.layout.steps.work import WorkPlan

    plan = layout.plan
    if not plan.buildings:
        raise ComputationError("the job has no outline, so there is no order of work")
    if radius is not None and not 0 < radius < math.inf:
        raise ComputationError("a radius is a length above zero")
    network = _TapeNetwork(layout)
    base = choose_base_line(plan, _ground(layout), _placed(layout))
    settings, squaring, others, extra = _stakes(layout, network, base)
    squarings = others if squaring is None else (squaring, *others)
    found = network.least(_stake_allowed(layout) if radius is None else radius)
    return WorkPlan(
        base=base,
        settings=settings,
        squaring=squaring,
        other_squarings=others,
        fourth=extra,
        steps=_steps(layout, (base, _on_lot(layout, base, staked)), settings, squarings, extra),
        expected=_expected(layout, network, base, found),
        least=None if found is None else _least_tapes(network, found),
        chosen=sum(check.in_network for check in layout.checks),
        notices=_notices(settings),
    )


def base_line(layout: Layout) -> tuple[str, str]:
    """Give the line from which the order of work starts: what is held where nobody says.

    Parameters
    ----------
    layout
        The layout.

    Returns
    -------
    tuple
        Its first corner, then its second.
    """
    from staking.layout.steps.base_line import choose_base_line

    base = choose_base_line(layout.plan, _ground(layout), _placed(layout))
    return base.first, base.second


def _stakes(
    layout: Layout, network: _TapeNetwork, base: BaseLine
) -> tuple[tuple[CornerSetting, ...], Squaring | None, tuple[Squaring, ...], FourthStake | None]:
    # how each stake is set, and the rectangles that are squared on the way
    import numpy as np

    from staking.layout.steps.corner_setting import SettingOut
    from staking.layout.steps.fourth_stake import fourth_stake

    rectangle, extra = network.rectangle(base.first), None
    if not rectangle:
        extra = fourth_stake(layout.plan, base)
    if extra is not None:
        rectangle = extra.rectangle
    places, usable = network.with_stake(extra)
    points = np.array(list(places.values()))
    setting_out = SettingOut(tuple(places), points, usable, dict(_squarable(layout)))
    settings = setting_out.run((base.first, base.second), rectangle)
    outlines = ([corner.name for corner in b.corners] for b in layout.plan.buildings)
    first, *others = (
        _squaring(places, each, settings, layout.options)
        for each in (rectangle, *(network.rectangle(c[0]) for c in outlines if base.first not in c))
    )
    return settings, first, tuple(each for each in others if each is not None), extra


class _TapeNetwork:
    """All corners sorted by name, every distance between them, and which can be taped."""

    def __init__(self, layout: Layout) -> None:
        import numpy as np

        from staking.layout.checks import all_pairs
        from staking.network.geometry import all_distances

        self.plan = layout.plan
        listed = sorted((c.name, c.point) for b in layout.plan.buildings for c in b.corners)
        self.names = tuple(name for name, _ in listed)
        places = np.array([place for _, place in listed], dtype=float)
        # at site coordinates the last digits would be lost
        self.middle: Floats = places.mean(axis=0)
        self.points: Floats = places - self.middle
        self.reach = layout.options.tape.length
        self.distances: PairDistances = all_distances(self.points, layout.options.tape)
        pairs = all_pairs(layout.plan, layout.options)
        self.usable: NDArray[np.bool_] = np.array([p.in_network for p in pairs], dtype=bool)

    def with_stake(
        self, extra: FourthStake | None
    ) -> tuple[dict[str, tuple[float, float]], NDArray[np.bool_]]:
        """Give all stakes' places, and between which two a tape can be stretched."""
        import numpy as np

        from staking.layout.sight import is_in_sight

        count = len(self.names)
        table = np.zeros((count + 1,) * 2, dtype=bool)
        table[self.distances.first, self.distances.second] = self.usable
        places = {
            name: (float(x), float(y)) for name, (x, y) in zip(self.names, self.points, strict=True)
        }
        if extra is None:
            table = table[:count, :count]
            return places, table | table.T
        here = np.array(extra.point) - self.middle
        far = np.hypot(*(self.points - here).T)
        ends = np.broadcast_to(here + self.middle, (count, 2))
        clear = is_in_sight(self.plan, self.points + self.middle, ends)
        table[:count, count] = clear & (far <= self.reach + ON_LINE) & (far > SAME_POINT)
        places[extra.name] = (float(here[0]), float(here[1]))
        return places, table | table.T

    def pair(self, row: int) -> tuple[str, str]:
        """Name the two ends of a distance."""
        return (
            self.names[int(self.distances.first[row])],
            self.names[int(self.distances.second[row])],
        )

    def rectangle(self, corner: str) -> tuple[str, ...]:
        """Name the corners of the large rectangle of a corner's building, in order round it."""
        import numpy as np

        from staking.lines import signed_area
        from staking.network.rectangles import largest_rectangle

        building = next(
            b for b in self.plan.buildings if corner in {each.name for each in b.corners}
        )
        own = {each.name for each in building.corners}
        members = np.array([name in own for name in self.names])
        within = np.flatnonzero(
            self.usable & members[self.distances.first] & members[self.distances.second]
        )
        area = abs(signed_area(building.ring))
        found = largest_rectangle(self.points, self.distances, within, area)
        if found is None:
            return ()
        (a, c), (b, d) = self.pair(found[0]), self.pair(found[1])
        return (a, b, c, d)

    def least(self, wanted: float) -> LeastSet | None:
        """Find the fewest distances for a radius; None beyond what takes about a second."""
        from staking.layout.braces import MANY
        from staking.network.least_set import least_set

        if len(self.names) > MANY:
            return None
        return least_set(self.distances, self.usable, wanted)


def _ground(layout: Layout) -> dict[str, float]:
    graded = layout.grade
    if graded is None:
        return {}
    return {
        stake.name: stake.ground
        for stake in graded.stakes
        if stake.kind is StakeKind.CORNER and stake.ground is not None
    }


def _placed(layout: Layout) -> tuple[str, str] | None:
    # the two corners that the survey places, in the order in which the job names them
    from staking.site.site_request import PlaceAlong, PlaceByBearing, PlaceByFit, PlaceByTape

    if layout.site is None or not layout.placed:
        return None
    walls = [(w.start, w.end) for b in layout.plan.buildings for w in b.walls]
    both = {f"{a}-{b}": (a, b) for a, b in walls} | {f"{b}-{a}": (b, a) for a, b in walls}
    match layout.site.asked.place:
        case PlaceByBearing(corner=corner, wall=wall):
            pair = both.get(wall)
            if pair is not None and corner == pair[1]:
                pair = (pair[1], pair[0])
            return pair
        case PlaceAlong(wall=wall):
            return both.get(wall)
        case PlaceByTape(corners=(one, other)):
            return (one.corner, other.corner)
        case PlaceByFit(pairs=pairs):
            named = {corner for corner, _ in pairs}
            return next((pair for pair in walls if set(pair) <= named), None)
        case _:
            return None


def _squarable(layout: Layout) -> list[tuple[str, tuple[str, str]]]:
    from staking.layout.steps.work_lines import corner_walls

    taped = {check.at for check in layout.checks if check.legs is not None}
    return [(corner, beside) for corner, beside in corner_walls(layout.plan) if corner in taped]


def _squaring(
    places: Mapping[str, tuple[float, float]],
    rectangle: tuple[str, ...],
    settings: tuple[CornerSetting, ...],
    options: Options,
) -> Squaring | None:
    from staking.layout.allowed import allowed_difference
    from staking.layout.steps.work import Squaring

    standing = [each.corner for each in settings if each.method is not SettingMethod.OUT_OF_REACH]
    if not rectangle or not set(rectangle) <= set(standing):
        return None

    def far(one: str, other: str) -> float:
        return math.dist(places[one], places[other])

    # held: the side whose corners stood first
    first = min(rectangle, key=standing.index)
    place = rectangle.index(first)
    beside = [rectangle[place - 1], rectangle[(place + 1) % 4]]
    second = min(beside, key=standing.index)
    opposite = rectangle[(place + 2) % 4]
    last = next(name for name in beside if name != second)
    length, side = far(first, opposite), far(first, second)
    difference = INCH / 2 if options.unit in FEET else 0.01
    return Squaring(
        diagonals=((first, opposite), (second, last)),
        length=length,
        held=(first, second),
        moved=(opposite, last),
        allowed=allowed_difference(options.tolerances, CheckKind.DIAGONAL, length, options.step),
        difference=difference,
        slide=difference * length / (2 * side),
    )


def _on_lot(layout: Layout, base: BaseLine, staked: StakeOut | None) -> PlacedOnLot | None:
    from staking.layout.steps.base_line import KnownTapes, PlacedOnLot

    if layout.site is None or not layout.placed:
        return None
    ties = {} if staked is None else {tie.name: tie for tie in staked.ties}

    def tapes(corner: str) -> KnownTapes | None:
        tie = ties.get(corner)
        if tie is None:
            return None
        one, other = (tie.first, tie.first_distance), (tie.second, tie.second_distance)
        return KnownTapes(tapes=(one, other), side=tie.side)

    return PlacedOnLot(
        first=tapes(base.first), second=tapes(base.second), from_paper=layout.site.from_paper
    )


def _before(layout: Layout) -> BeforeTheDay:
    from staking.layout.steps.early_steps import WHITE_MARGIN, WHITE_MARGIN_METRIC, BeforeTheDay

    site = layout.site
    return BeforeTheDay(
        margin=WHITE_MARGIN if layout.options.unit in FEET else WHITE_MARGIN_METRIC,
        pins=() if site is None else tuple(each.name for each in site.boundary),
        from_paper=site is not None and site.from_paper,
        buried=() if site is None else tuple(each.name for each in site.buried),
        benchmark=None if layout.grade is None else layout.grade.benchmark,
    )


def _steps(
    layout: Layout,
    base: tuple[BaseLine, PlacedOnLot | None],
    settings: tuple[CornerSetting, ...],
    squarings: tuple[Squaring, ...],
    extra: FourthStake | None,
) -> tuple[WorkStep, ...]:
    from staking.layout.steps import work_lines
    from staking.layout.steps.early_steps import early_steps
    from staking.layout.steps.work_steps import stake_steps

    plan, options = layout.plan, layout.options
    graded = layout.grade
    level = options.boards.at if graded is None or graded.string is None else graded.string
    levels = () if graded is None else graded.boards
    heights = {e.board: e.height for e in levels if e.height is not None and e.height > 0}
    tiers = {each.board: each.tier for each in levels if each.tier is not None}
    return (
        *early_steps(_before(layout)),
        *stake_steps(base[0], settings, squarings, extra, layout.checks, options, base[1]),
        *work_lines.board_steps(layout.strings, layout.boards, level, heights, tiers),
        *work_lines.string_steps(
            layout.strings,
            layout.hubs,
            (StringKind.WALL,),
            WorkPart.STRINGS,
            () if graded is None else graded.lower,
        ),
        *work_lines.check_steps(layout.checks),
        *work_lines.line_steps(plan, layout.strings, layout.checks),
        *work_lines.pad_steps(plan, layout.strings, layout.checks),
        *work_lines.paint_steps(plan, options, digs_wider=layout.digs_wider),
    )


def _stake_allowed(layout: Layout) -> float:
    from staking.layout.allowed import allowed_difference

    sides = [check.distance for check in layout.checks if check.kind is CheckKind.SIDE]
    options = layout.options
    return allowed_difference(options.tolerances, CheckKind.POINT, max(sides), options.step)


def _expected(
    layout: Layout, network: _TapeNetwork, base: BaseLine, found: LeastSet | None
) -> tuple[Expected, ...]:
    from staking.layout.steps.work import Expected

    least: dict[str, float] = {}
    if found is not None and found.reached:
        least = dict(zip(network.names, found.radii, strict=True))
    chosen = {each.corner: each.radius95 for each in layout.accuracy}
    walked: dict[str, float] = {}
    for building in layout.plan.buildings:
        walked |= _walked(layout, building, base)
    return tuple(
        Expected(
            corner=corner.name,
            chosen=chosen.get(corner.name),
            least=least.get(corner.name),
            squared_off=walked.get(corner.name),
        )
        for building in layout.plan.buildings
        for corner in building.corners
    )


def _walked(layout: Layout, building: Building, base: BaseLine) -> dict[str, float]:
    import numpy as np

    from staking.network.corner_to_corner import CornerTriangle, walked_radii95

    names = [corner.name for corner in building.corners]
    taped = {
        check.at: CornerTriangle(legs=check.legs, across=check.distance)
        for check in layout.checks
        if check.legs is not None
    }
    points = np.array(building.ring, dtype=float)
    runs = np.linalg.norm(np.roll(points, -1, axis=0) - points, axis=1)
    ends = {base.first, base.second}
    start = next(
        (i for i, wall in enumerate(building.walls) if {wall.start, wall.end} == ends),
        int(np.argmax(runs)),
    )
    radii = walked_radii95(
        points - points.mean(axis=0),
        start,
        [taped.get(name) for name in names],
        layout.options.tape,
    )
    return {} if radii is None else dict(zip(names, radii, strict=True))


def _least_tapes(network: _TapeNetwork, found: LeastSet) -> LeastTapes:
    from staking.layout.steps.work import LeastTapes

    return LeastTapes(
        wanted=found.wanted,
        tapes=tuple(
            (*network.pair(row), float(network.distances.length[row])) for row in found.taken
        ),
        at_least=found.at_least,
        usable=found.usable,
        whole=found.whole,
    )


def _notices(settings: tuple[CornerSetting, ...]) -> tuple[Notice, ...]:
    told = []
    flat = sorted((s for s in settings if s.flat), key=lambda s: math.sin(s.swing or 0.0))
    if flat:
        told.append(
            notice(
                "flat-swing",
                "the tapes to {corners} meet at a flat or a sharp angle, those to {worst} at "
                "{swing}: a small error moves such a stake far, so prove it by its checks at once",
                corners=", ".join(each.corner for each in flat),
                worst=flat[0].corner,
                swing=f"{math.degrees(flat[0].swing or 0.0):.0f}°",
            )
        )
    lost = [each.corner for each in settings if each.method is SettingMethod.OUT_OF_REACH]
    if lost:
        told.append(
            notice(
                "stake-out-of-reach",
                "no two stakes fix {corners} with this tape: take a longer one, or have them set "
                "by instrument",
                Severity.WARNING,
                corners=", ".join(lost),
            )
        )
    return tuple(told)
