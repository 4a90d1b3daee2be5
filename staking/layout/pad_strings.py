"""Strings over pads: every row of the job file, and pads in line with each other and a wall."""

from __future__ import annotations

import itertools
import math

import numpy as np

from staking.kinds import StringKind, StringLine
from staking.layout.keep_clear import InTheWay
from staking.layout.layout_parts import Pass
from staking.layout.marks import pad_marks, reach_along
from staking.layout.strings import BuildingLine, blocked_gap
from staking.plan import Pad, Plan, Point
from staking.tolerances import ON_LINE, SAME_POINT


def pad_lines(plan: Plan, ground: InTheWay) -> list[BuildingLine]:
    """Find the strings over pads.

    A row gets one under its own name. So do two or more pads whose centres lie within half a
    millimetre of one line parallel to a wall, under the names of the first and the last; a set
    that lies whole within a larger one is served by the larger one's string.

    Parameters
    ----------
    plan
        The building.
    ground
        What is in the way on it; a line is parted where something stands between two pads.

    Returns
    -------
    list of BuildingLine
        Ordered by name.
    """
    found: list[tuple[frozenset[str], str | None]] = []
    rows: dict[str, list[str]] = {}
    for pad in plan.pads:
        if pad.row is not None:
            rows.setdefault(pad.row, []).append(pad.name)
    found += [(frozenset(own), name) for name, own in sorted(rows.items())]
    for direction in _wall_directions(plan):
        found += [(names, None) for names in _in_line(plan.pads, direction)]
    by_name = {pad.name: pad for pad in plan.pads}
    kept: list[tuple[frozenset[str], str | None]] = []
    for names, row in sorted(found, key=lambda item: (-len(item[0]), item[1] is None)):
        if len(names) > 1 and not any(names <= other for other, _ in kept):
            kept.append((names, row))
    lines: list[BuildingLine] = []
    for names, row in kept:
        lines += _lines_of([by_name[name] for name in sorted(names)], row, ground)
    return sorted(lines, key=lambda line: line.name)


def _wall_directions(plan: Plan) -> list[Point]:
    # Give each distinct direction of a wall once, whichever way the wall runs.
    directions: dict[tuple[float, float], Point] = {}
    for building in plan.buildings:
        for side in building.sides:
            ux, uy = side.along
            if (round(ux, 6), round(uy, 6)) < (0.0, 0.0):
                ux, uy = -ux, -uy
            directions.setdefault((round(ux, 6), round(uy, 6)), (ux, uy))
    return list(directions.values())


def _in_line(pads: tuple[Pad, ...], direction: Point) -> list[frozenset[str]]:
    # Give the sets of two or more pads on one line along the direction.
    if len(pads) < 2:
        return []
    off = np.array([pad.y * direction[0] - pad.x * direction[1] for pad in pads])
    order = np.argsort(off, kind="stable")
    breaks = np.flatnonzero(np.diff(off[order]) > SAME_POINT) + 1
    return [
        frozenset(pads[i].name for i in group)
        for group in np.split(order, breaks)
        if len(group) > 1
    ]


def _lines_of(pads: list[Pad], row: str | None, ground: InTheWay) -> list[BuildingLine]:
    # Make the string over pads in line, in parts where something stands between them.
    first, last = _farthest(pads)
    length = math.hypot(last.x - first.x, last.y - first.y)
    if length <= SAME_POINT:
        return []
    direction = ((last.x - first.x) / length, (last.y - first.y) / length)
    places = {
        pad.name: (pad.x - first.x) * direction[0] + (pad.y - first.y) * direction[1]
        for pad in pads
    }
    ordered = sorted(pads, key=lambda pad: (round(places[pad.name] / ON_LINE), pad.name))
    parts = [[ordered[0]]]
    for before, pad in itertools.pairwise(ordered):
        gap = (places[before.name], places[pad.name])
        if blocked_gap(ground, first.point, direction, gap) is None:
            parts[-1].append(pad)
        else:
            parts.append([pad])
    whole = len(parts) == 1
    return [_line_of(part, row if whole else None, direction) for part in parts if len(part) > 1]


def _farthest(pads: list[Pad]) -> tuple[Pad, Pad]:
    # Give the two pads at the ends of a line, the one that sorts first first.
    x = np.array([pad.x for pad in pads])
    y = np.array([pad.y for pad in pads])
    # In whole steps of the point tolerance, so that rounding does not choose between equals.
    far = int(np.argmax(np.round(np.hypot(x - x[0], y - y[0]) / ON_LINE)))
    other = int(np.argmax(np.round(np.hypot(x - x[far], y - y[far]) / ON_LINE)))
    one, two = pads[far], pads[other]
    return (one, two) if one.name < two.name else (two, one)


def _line_of(pads: list[Pad], row: str | None, direction: Point) -> BuildingLine:
    if pads[-1].name < pads[0].name:
        pads = pads[::-1]
        direction = (-direction[0], -direction[1])
    first, last = pads[0], pads[-1]
    stations = [(pad.x - first.x) * direction[0] + (pad.y - first.y) * direction[1] for pad in pads]
    return BuildingLine(
        name=row if row is not None else f"{first.name}-{last.name}",
        line=StringLine.CENTRE,
        kind=StringKind.PADS,
        walls=tuple(pad.name for pad in pads),
        origin=first.point,
        direction=direction,
        length=stations[-1],
        ends=(first.name, last.name),
        meets=(first.name, last.name),
        beyond=(reach_along(first, direction), reach_along(last, direction)),
        passes=tuple(
            Pass(name=pad.name, is_pad=True, from_start=place)
            for pad, place in zip(pads, stations, strict=True)
        ),
        marks=pad_marks(pads, direction),
    )
