"""A layout whole: what stands where, what to tape, how deep, and its mark."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from staking.footing.bands_and_outlines import Band, Outline
from staking.frozen import frozen
from staking.laid_out.content_mark import Content, content_mark
from staking.layout.layout_parts import Accuracy, Board, Check, Hub, String
from staking.notices import Notice, Severity
from staking.plan import Options, Plan

if TYPE_CHECKING:
    from staking.grade.graded import Graded
    from staking.site.building_on_lot import BuildingOnLot


@frozen
class Layout:
    """Everything a layout consists of, complete at birth; metres on the building grid.

    Parameters
    ----------
    plan, options
        What the job file says.
    footing, dig
        The footing outline and the dig outline; the very same object where the dig is cut to
        the footing's size.
    footing_bands, dig_bands
        The bands the two outlines were merged from.
    strings, boards, hubs
        What is set up before digging; boards in the order of their numbers.
    checks
        What to tape.
    accuracy
        The 95 % radius to expect at each corner, in the plan's order.
    notices
        The job's own first, then in the order the work is done.
    site
        The building on its lot; None where the job has no survey and gives no deed.
    grade
        The levels; None where the job has no grade section.
    """

    plan: Plan
    options: Options
    footing: Outline
    dig: Outline
    footing_bands: tuple[Band, ...]
    dig_bands: tuple[Band, ...]
    strings: tuple[String, ...]
    boards: tuple[Board, ...]
    hubs: tuple[Hub, ...]
    checks: tuple[Check, ...]
    accuracy: tuple[Accuracy, ...]
    notices: tuple[Notice, ...]
    site: BuildingOnLot | None = None
    grade: Graded | None = None

    @property
    def placed(self) -> bool:
        """Whether the building stands on a lot: on a survey's grid, or that of a deed."""
        return self.site is not None and self.site.placement is not None

    @property
    def surveyed_lot(self) -> BuildingOnLot | None:
        """The lot where a survey ties it to the ground; None for one sketched from its deed."""
        return None if self.site is None or self.site.from_paper else self.site

    @property
    def digs_wider(self) -> bool:
        """Whether what is dug differs from the footing outline."""
        return self.dig is not self.footing

    @property
    def broken(self) -> bool:
        """Whether something that the job itself sets is broken."""
        return any(each.severity is Severity.BROKEN for each in self.notices)

    @property
    def mark(self) -> str:
        """Eight letters of the hash of what stands where, what is taped, and how deep.

        How lengths are shown, the paper, the job's name and a height of instrument do not count.
        """
        return _mark_of(_ThisLayout(self))


class _ThisLayout:
    """A layout that is equal to itself alone."""

    def __init__(self, layout: Layout) -> None:
        self.layout = layout

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _ThisLayout) and other.layout is self.layout

    def __hash__(self) -> int:
        return id(self.layout)


@lru_cache(maxsize=1)
def _mark_of(this: _ThisLayout) -> str:
    # Kept, as every paper carries it.
    layout = this.layout
    return content_mark((
        _of_plan(layout.plan),
        _of_place(layout),
        *(outline.outlines + outline.holes for outline in (layout.footing, layout.dig)),
        [_of_string(each) for each in layout.strings],
        [_of_board(each) for each in layout.boards],
        [(each.corner, each.wall, each.x, each.y) for each in layout.hubs],
        [_of_check(each) for each in layout.checks],
        layout.options.boards.at,
        None if layout.grade is None else _of_levels(layout.grade),
    ))


def _of_plan(plan: Plan) -> Content:
    walls = [wall for building in plan.buildings for wall in building.walls]
    return (
        [(c.name, c.x, c.y) for building in plan.buildings for c in building.corners],
        [
            (
                wall.name,
                wall.thickness,
                wall.footing.width,
                wall.footing.thickness,
                wall.footing.outside,
                wall.existing is not None,
            )
            for wall in walls
        ],
        [
            (line.name, line.start, line.end, line.thickness, line.footing.width)
            for line in plan.interior
        ],
        [(pad.name, pad.x, pad.y, pad.size, pad.diameter, pad.thickness) for pad in plan.pads],
        [(each.wall, each.start, each.width, each.drop) for each in plan.openings],
    )


def _of_place(layout: Layout) -> Content:
    import numpy as np

    if layout.site is None or layout.site.placement is None:
        return None
    points = [c.point for building in layout.plan.buildings for c in building.corners]
    points += [pad.point for pad in layout.plan.pads]
    return [tuple(each) for each in layout.site.to_survey(np.array(points)).tolist()]


def _of_string(string: String) -> Content:
    passes = [(each.name, each.from_start) for each in string.passes]
    return (string.name, string.line, string.start, string.end, string.boards, passes)


def _of_board(board: Board) -> Content:
    marks = [(each.mark, each.wall, each.x, each.y) for each in board.marks]
    return (board.name, board.string, board.end, board.stand_off, board.ends, marks)


def _of_check(check: Check) -> Content:
    ends = (check.kind, check.at, check.from_name, check.to_name)
    return (*ends, check.distance, check.allowed, check.legs)


def _of_levels(levels: Graded) -> Content:
    return (
        [(each.what, each.where, each.start, each.end, each.level) for each in levels.levels],
        levels.benchmark,
        levels.benchmark_level,
        [
            (
                wall.profile.wall,
                [(each.step.station, each.step.rise, each.dig_to) for each in wall.built],
            )
            for wall in levels.walls
        ],
        [(each.board, each.top, each.tier) for each in levels.boards],
        [(each.name, each.dig) for each in levels.stakes],
        [(each.string, each.level, each.boards, each.across) for each in levels.lower],
    )
