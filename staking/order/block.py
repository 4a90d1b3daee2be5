"""Block by wall and course: stretchers, corners, halves and cuts, from the stepped profile."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

from staking.frozen import frozen
from staking.grade.stepping.wall_network import Strand
from staking.kinds import FootingKind
from staking.order.bond import Cost, WallEnd, bond_ends
from staking.order.order_request import BlockAsked
from staking.order.order_results import CourseBlocks
from staking.order.wall_levels import Levels
from staking.plan import Opening, Plan, reversed_name
from staking.tolerances import ON_LINE, SAME_POINT

Span = tuple[float, float]


@frozen
class CourseFill:
    """One unbroken stretch of a course: whole blocks, halves and cut blocks."""

    whole: int
    halves: int
    cuts: int


def fill_span(start: float, end: float, length: float, *, half_first: bool = False) -> CourseFill:
    """Lay a stretch of a course.

    Parameters
    ----------
    start, end
        Stations, m.
    length
        A block with its joint, m.
    half_first
        Whether the bond wants a half at the start: where a stretch has no corner to set its
        joints off from the course below, as at an opening or at a step.

    Returns
    -------
    CourseFill
        What is left under half a millimetre is ignored. What is left of half a block is laid as a
        half, and anything else is cut from a whole block.
    """
    room = end - start
    if room <= SAME_POINT:
        return CourseFill(whole=0, halves=0, cuts=0)
    halves = 0
    if half_first and room >= length / 2 - SAME_POINT:
        halves, room = 1, room - length / 2
    whole = math.floor((room + SAME_POINT) / length)
    rest = room - whole * length
    if rest <= SAME_POINT:
        return CourseFill(whole=whole, halves=halves, cuts=0)
    if abs(rest - length / 2) <= SAME_POINT:
        return CourseFill(whole=whole, halves=halves + 1, cuts=0)
    return CourseFill(whole=whole, halves=halves, cuts=1)


def wall_thicknesses(plan: Plan) -> dict[str, float]:
    """Give every wall's and interior line's thickness by its name.

    Returns
    -------
    dict
        m.
    """
    found = {wall.name: wall.thickness for each in plan.buildings for wall in each.walls}
    return found | {line.name: line.thickness for line in plan.interior}


def course_blocks(plan: Plan, levels: Levels, block: BlockAsked) -> tuple[CourseBlocks, ...]:
    """Count the block of every wall, course by course.

    Parameters
    ----------
    plan, levels
        The building; stretches without a number of courses have no block.
    block
        Nominal sizes.

    Returns
    -------
    tuple of CourseBlocks
        Walls in the plan's order, then interior lines; courses from the top of the wall down.

    Notes
    -----
    Running bond on nominal lengths, half a block offset in every course. At a corner one wall
    runs through and the other starts its thickness later, by turns; at a corner pointing into
    the building the leading wall runs past it by its neighbour's thickness. So a square corner
    takes half a block off every course. Interior lines butt against the walls they run between.
    Which wall leads at which corner, and from which of its ends a wall is laid, is chosen so that
    the fewest blocks are bought, then cut, then halved.
    """
    thickness = wall_thicknesses(plan)
    laid = {
        strand.name: _LaidWall(
            name=strand.name,
            thickness=thickness[strand.name],
            length=strand.length,
            spans=_spans(strand, levels),
            openings=_openings_on(strand, plan.openings),
            block=block,
        )
        for strand in levels.network.strands
    }
    ends = bond_ends(
        levels.network, thickness, lambda strand, *both: laid[strand.name].cheapest(*both)[0]
    )
    found: list[CourseBlocks] = []
    for strand in levels.network.strands:
        wall = laid[strand.name]
        if strand.kind is FootingKind.WALL:
            found += wall.cheapest(*ends[strand.name])[1]
        else:
            spans = tuple(tuple(butted(s, strand, plan, thickness)) for s in wall.spans)
            found += replace(wall, spans=spans).cheapest(None, None)[1]
    return tuple(found)


def _spans(strand: Strand, levels: Levels) -> tuple[tuple[Span, ...], ...]:
    # What every course covers, from the top course down.
    spans = [
        (stretch.start, stretch.end, stretch.courses)
        for stretch in levels.stretches
        if stretch.strand.name == strand.name and stretch.courses
    ]
    deepest = max((courses for _, _, courses in spans), default=0)
    return tuple(
        tuple(_joined([(a, b) for a, b, courses in spans if courses >= course]))
        for course in range(1, deepest + 1)
    )


@frozen
class _LaidWall:
    """A wall to be laid: what each course covers, from the top, and its openings' stations, m."""

    name: str
    thickness: float
    length: float
    spans: tuple[tuple[Span, ...], ...]
    openings: Sequence[tuple[float, float, float]]
    block: BlockAsked

    def cheapest(
        self, first: WallEnd | None, last: WallEnd | None
    ) -> tuple[Cost, list[CourseBlocks]]:
        """Lay it from either end and take the cheaper; alike they have the same blocks."""
        ways = [self._laid(first, last), self._turned()._laid(last, first)]
        costs = [_cost(way) for way in ways]
        return (costs[0], ways[0]) if costs[0] <= costs[1] else (costs[1], ways[1])

    def _turned(self) -> _LaidWall:
        far = self.length
        return replace(
            self,
            spans=tuple(tuple((far - b, far - a) for a, b in reversed(s)) for s in self.spans),
            openings=[(far - b, far - a, drop) for a, b, drop in self.openings],
        )

    def _laid(self, first: WallEnd | None, last: WallEnd | None) -> list[CourseBlocks]:
        found = []
        for course, spans in enumerate(self.spans, start=1):
            there, corners = list(spans), 0
            if first is not None and last is not None:
                there, corners = _cornered(there, self.length, first, last, course)
            wall = (self.name, self.thickness)
            found.append(_course(wall, course, there, corners, self.openings, self.block))
        return found


def _cost(courses: Sequence[CourseBlocks]) -> Cost:
    halves = sum(each.halves for each in courses)
    return (
        sum(2 * each.blocks for each in courses) + halves,
        sum(each.cuts for each in courses),
        halves,
    )


def _course(
    wall: tuple[str, float],
    course: int,
    spans: Sequence[Span],
    corners: int,
    openings: Sequence[tuple[float, float, float]],
    block: BlockAsked,
) -> CourseBlocks:
    # Joints count from the wall's own start where the course has it, as a corner sets them.
    at_start = [a for a, _ in spans if a < block.length - SAME_POINT]
    phase = at_start[0] if at_start else (course % 2 == 0) * block.length / 2
    full: list[Span] = list(spans)
    low: list[Span] = []
    top, bottom = (course - 1) * block.height, course * block.height
    for start, end, drop in openings:
        if drop <= top + SAME_POINT:
            continue
        if drop < bottom - SAME_POINT:
            low += [(max(a, start), min(b, end)) for a, b in full if a < end and start < b]
        full = [
            part
            for a, b in full
            for part in ((a, min(b, start)), (max(a, end), b))
            if part[1] - part[0] > SAME_POINT
        ]
    fills = [
        fill_span(a, b, block.length, half_first=_half_first(a, phase, block.length))
        for a, b in full
    ]
    whole = sum(fill.whole for fill in fills)
    corners = min(corners, whole)
    cut_low = sum(math.ceil((b - a) / block.length - ON_LINE) for a, b in low)
    return CourseBlocks(
        wall=wall[0],
        thickness=wall[1],
        course=course,
        stretchers=whole - corners,
        corners=corners,
        halves=sum(fill.halves for fill in fills),
        cuts=sum(fill.cuts for fill in fills) + cut_low,
    )


def _half_first(start: float, phase: float, length: float) -> bool:
    # Whether a stretch begins in the middle of a block, joints standing at whole blocks from
    # `phase`.
    off = (start - phase) / length
    return abs(off - math.floor(off) - 0.5) * length <= SAME_POINT


def _cornered(
    spans: Sequence[Span], length: float, first: WallEnd, last: WallEnd, course: int
) -> tuple[list[Span], int]:
    # What a wall's course really spans at its corners, and how many corner blocks it has.
    moved = []
    corners = 0
    for start, end in spans:
        if start <= ON_LINE:
            shift, leads = _shift(first, course)
            start, corners = start - shift, corners + leads
        if end >= length - ON_LINE:
            shift, leads = _shift(last, course)
            end, corners = end + shift, corners + leads
        moved.append((start, end))
    return moved, corners


def _shift(end: WallEnd, course: int) -> tuple[float, int]:
    # How far a course runs past the wall's end, m, and whether its corner block lies there.
    if end.leads_odd is None:
        return 0.0, 0
    leads = end.leads_odd == (course % 2 == 1)
    if end.inside:
        return (end.other if leads else 0.0), int(leads)
    return (0.0 if leads else -end.other), int(leads)


def butted(
    spans: Sequence[Span], strand: Strand, plan: Plan, thickness: Mapping[str, float]
) -> list[Span]:
    """Cut stretches of an interior line where the walls it runs between stand.

    Parameters
    ----------
    spans, strand
        Stations along the line, m.
    plan, thickness
        The building, and its walls' thicknesses by name, m.

    Returns
    -------
    list of tuple
        It starts behind the wall it runs from, or at half the thickness of a line.
    """
    line = next(each for each in plan.interior if each.name == strand.name)
    inner = {each.name for each in plan.interior}

    def back(on: str) -> float:
        turned = reversed_name(on)
        thick = thickness.get(on, thickness.get(turned, 0.0))
        return thick / 2 if on in inner else thick

    low, high = back(line.start_on), strand.length - back(line.end_on)
    cut = [(max(a, low), min(b, high)) for a, b in spans]
    return [(a, b) for a, b in cut if b - a > SAME_POINT]


def _joined(spans: Sequence[Span]) -> list[Span]:
    found: list[Span] = []
    for start, end in sorted(spans):
        if found and start - found[-1][1] <= ON_LINE:
            found[-1] = (found[-1][0], end)
        else:
            found.append((start, end))
    return found


def _openings_on(strand: Strand, openings: Sequence[Opening]) -> list[tuple[float, float, float]]:
    turned = reversed_name(strand.name)
    found = []
    for each in openings:
        if each.wall == strand.name:
            found.append((each.start, each.start + each.width, each.drop))
        elif strand.kind is FootingKind.WALL and each.wall == turned:
            end = strand.length - each.start
            found.append((end - each.width, end, each.drop))
    return found
