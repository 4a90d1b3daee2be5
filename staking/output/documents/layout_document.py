"""The layout as one JSON document: lengths in the job's unit, nothing rounded."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from staking.measure.lengths import Unit
from staking.output.documents.deed_document import deed_record, misclosure_record
from staking.output.documents.site_document import (
    SiteGrid,
    boundary_records,
    clearance_records,
    hand_dig_records,
    kept_off_records,
    site_record,
)
from staking.output.wording import Words, safe

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from staking.footing.bands_and_outlines import Outline
    from staking.laid_out.layout_value import Layout
    from staking.layout.layout_parts import Board, Check, String
    from staking.plan import InteriorLine, Options, Pad, Plan, Point, Wall

SCHEMA = "staking/layout/1"

Record = dict[str, Any]


class _LayoutScale:
    """Metres to the job's unit."""

    def __init__(self, options: Options) -> None:
        self.metres = Unit(options.unit).metres

    def length(self, metres: float) -> float:
        # Ten decimals are a hundred times finer than an atom in any unit: this only turns
        # 23.999999999999996 back into the 24 that was typed, and a negative nothing into 0.
        return round(metres / self.metres, 10) + 0.0

    def area(self, square_metres: float) -> float:
        return round(square_metres / self.metres**2, 10) + 0.0

    def point(self, point: Point) -> list[float]:
        return [self.length(point[0]), self.length(point[1])]

    def outline(self, outline: Outline) -> Record:
        return {
            "outlines": [[self.point(each) for each in ring] for ring in outline.outlines],
            "holes": [[self.point(each) for each in ring] for ring in outline.holes],
            "area": self.area(outline.area),
        }


def layout_document(layout: Layout, pairs: Iterable[Check] = ()) -> Record:
    """Build the document of a layout.

    Parameters
    ----------
    layout
        The layout.
    pairs
        The full table of pairs, where it was asked for.

    Returns
    -------
    dict
        Ready for `document_text`; lengths in the job's unit, areas in its square.
    """
    scale, words, plan = _LayoutScale(layout.options), Words(layout.options), layout.plan
    grid = SiteGrid(layout.site)
    deed = None if layout.site is None else layout.site.deed
    tops = {} if layout.grade is None else dict(layout.grade.stake_tops)
    lower = {} if layout.grade is None else {e.board: e.tier for e in layout.grade.boards}
    document: Record = {
        "schema": SCHEMA,
        "job": safe(plan.job),
        "unit": layout.options.unit,
        "site_unit": None if layout.site is None else layout.site.unit,
        "placed": layout.placed,
        "mark": layout.mark,
        "corners": _corners(plan, scale, grid),
        "walls": _walls(plan, scale, grid),
        "interior": [_interior(line, scale) for line in plan.interior],
        "pads": [{**_pad(pad, scale), **grid.place(pad.point)} for pad in plan.pads],
        "paint": scale.outline(layout.footing),
        "dig": scale.outline(layout.dig),
        "strings": [_string(string, scale) for string in layout.strings],
        "boards": [_board(board, scale, grid, lower.get(board.name)) for board in layout.boards],
        "checks": [_check(check, scale, tops) for check in layout.checks],
        "hubs": [
            {
                "corner": hub.corner,
                "wall": hub.wall,
                "x": scale.length(hub.x),
                "y": scale.length(hub.y),
                **grid.place((hub.x, hub.y)),
            }
            for hub in layout.hubs
        ],
        "accuracy": [
            {
                "corner": each.corner,
                "radius95": None if each.radius95 is None else scale.length(each.radius95),
            }
            for each in layout.accuracy
        ],
        "combined_factor": None if layout.site is None else layout.site.combined_factor,
        "boundary": boundary_records(layout, scale.length),
        "misclosure": None if deed is None else misclosure_record(deed.walked, scale.length),
        "deed": None if deed is None else deed_record(deed, scale.length, scale.area),
        "clearances": clearance_records(layout, scale.length),
        "keep": kept_off_records(layout, scale.length),
        "hand_dig": hand_dig_records(layout, scale.length),
        "warnings": list(dict.fromkeys(words.notice(each) for each in layout.notices)),
    }
    if layout.site is not None:
        document["site"] = site_record(layout.site)
    table = [_check(check, scale, tops) for check in pairs]
    if table:
        document["pairs"] = table
    return document


def _corners(plan: Plan, scale: _LayoutScale, grid: SiteGrid) -> list[Record]:
    return [
        {
            "name": corner.name,
            "x": scale.length(corner.x),
            "y": scale.length(corner.y),
            **grid.place(corner.point),
        }
        for building in plan.buildings
        for corner in building.corners
    ]


def _walls(plan: Plan, scale: _LayoutScale, grid: SiteGrid) -> list[Record]:
    def record(wall: Wall, start: Point, end: Point) -> Record:
        return {
            "name": wall.name,
            "from": wall.start,
            "to": wall.end,
            "length": scale.length(math.dist(start, end)),
            "thickness": scale.length(wall.thickness),
            "footing_width": scale.length(wall.footing.width),
            "footing_thickness": scale.length(wall.footing.thickness),
            "outside_projection": scale.length(wall.footing.outside),
            "existing": wall.existing is not None,
            "bearing": grid.bearing(start, end),
        }

    walls = []
    for building in plan.buildings:
        walls += [record(side.wall, side.start, side.end) for side in building.sides]
    return walls


def _interior(line: InteriorLine, scale: _LayoutScale) -> Record:
    return {
        "name": line.name,
        "from": scale.point(line.start),
        "to": scale.point(line.end),
        "length": scale.length(math.dist(line.start, line.end)),
        "thickness": scale.length(line.thickness),
        "footing_width": scale.length(line.footing.width),
        "footing_thickness": scale.length(line.footing.thickness),
    }


def _pad(pad: Pad, scale: _LayoutScale) -> Record:
    return {
        "name": pad.name,
        "x": scale.length(pad.x),
        "y": scale.length(pad.y),
        "size": None if pad.size is None else scale.point(pad.size),
        "diameter": None if pad.diameter is None else scale.length(pad.diameter),
        "thickness": scale.length(pad.thickness),
        "turn": round(math.degrees(pad.turn), 10) + 0.0,
    }


def _string(string: String, scale: _LayoutScale) -> Record:
    return {
        "name": string.name,
        "line": string.line,
        "start": scale.point(string.start),
        "end": scale.point(string.end),
        "length": scale.length(string.length),
        "boards": list(string.boards),
        "passes": [
            {
                "pad" if each.is_pad else "corner": each.name,
                "from_start": scale.length(each.from_start),
            }
            for each in string.passes
        ],
    }


def _board(board: Board, scale: _LayoutScale, grid: SiteGrid, lower: float | None) -> Record:
    return {
        "name": board.name,
        "string": board.string,
        "end": board.end,
        "x": scale.length(board.x),
        "y": scale.length(board.y),
        "stand_off": scale.length(board.stand_off),
        "clear": scale.length(board.clear),
        "lower_string": None if lower is None else scale.length(lower),
        "ends": [scale.point(end) for end in board.ends],
        **grid.place((board.x, board.y)),
        "marks": [
            {
                "mark": mark.mark,
                "wall": mark.wall,
                "offset": scale.length(mark.offset),
                "x": scale.length(mark.x),
                "y": scale.length(mark.y),
            }
            for mark in board.marks
        ],
    }


def _check(check: Check, scale: _LayoutScale, tops: Mapping[str, float]) -> Record:
    from staking.grade.setting_out.slope_tape import slope_tapes

    (taped,) = slope_tapes((check,), tops) if tops else (None,)
    slope = None if taped is None else taped.slope
    return {
        "kind": check.kind,
        "at": check.at,
        "from": check.from_name,
        "to": check.to_name,
        "distance": scale.length(check.distance),
        "allowed": scale.length(check.allowed),
        "legs": None if check.legs is None else list(map(scale.length, check.legs)),
        "slope_distance": None if slope is None else scale.length(slope),
    }
