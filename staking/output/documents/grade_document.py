"""The levels as one JSON document: lengths in the job's unit, nothing rounded."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from staking.measure.lengths import Unit
from staking.output.wording import Words, safe

if TYPE_CHECKING:
    from collections.abc import Sequence

    from staking.grade.beyond_walls import SlopeSetback, WaterAtWall
    from staking.grade.graded import BoardLevel, Graded, GradedWall, LevelMark, StakeLevel
    from staking.grade.neighbours import Undercut
    from staking.grade.stepped_footing import Alternative, Level, PadLevel
    from staking.laid_out.layout_value import Layout
    from staking.output.documents.layout_document import Record

SCHEMA = "staking/grade/1"


_YARD = 0.9144


class _GradeScale:
    """Metres to the job's unit."""

    def __init__(self, unit: str) -> None:
        self.metres = Unit(unit).metres
        metric = Unit(unit) in {Unit.M, Unit.MM}
        self.volume_unit = "m3" if metric else "cu yd"
        self._bulk = 1.0 if metric else _YARD**3

    def length(self, metres: float) -> float:
        # As in the layout's document: this only takes the roundings of doubles away.
        return round(metres / self.metres, 10) + 0.0

    def maybe(self, metres: float | None) -> float | None:
        return None if metres is None or not math.isfinite(metres) else self.length(metres)

    def area(self, square_metres: float) -> float:
        return round(square_metres / self.metres**2, 10) + 0.0

    def volume(self, cubic_metres: float) -> float:
        return round(cubic_metres / self._bulk, 10) + 0.0


def grade_document(layout: Layout) -> Record:
    """Build the document of a layout's levels.

    Parameters
    ----------
    layout
        The layout, with levels.

    Returns
    -------
    dict
        Ready for `document_text`; lengths in the job's unit, areas in its square.

    Raises
    ------
    ValueError
        Where the layout has no levels.
    """
    graded = layout.grade
    if graded is None:
        raise ValueError("the layout has no levels")
    scale, words = _GradeScale(layout.options.unit), Words(layout.options)
    base, rules = layout.options.dig.base, graded.request.rules
    return {
        "schema": SCHEMA,
        "job": safe(layout.plan.job),
        "unit": layout.options.unit,
        "objective": scale.area(graded.stepped.objective),
        "wall_area": scale.area(graded.stepped.wall_area(rules.step_cost)),
        "step_cost": scale.area(rules.step_cost),
        "steps": len(graded.stepped.steps),
        "top_of_wall": scale.length(graded.request.top_of_wall),
        "string": scale.maybe(graded.string),
        "benchmark": None
        if graded.benchmark is None
        else {"name": safe(graded.benchmark), "elevation": scale.maybe(graded.benchmark_level)},
        "instrument": scale.maybe(graded.instrument),
        "rod": {"marked": graded.rod, "length": scale.length(graded.rod_length)},
        "greatest_depth": scale.length(graded.greatest_depth),
        "walls": [_wall(wall, graded, base, scale) for wall in graded.walls],
        "pads": [_pad(pad, base, scale) for pad in graded.pads],
        "rods": [_mark(mark, scale) for mark in graded.levels],
        "stakes": [_stake(each, scale) for each in graded.stakes],
        "boards": [_board(each, scale) for each in graded.boards],
        "lower_strings": [
            {
                "string": safe(each.string),
                "level": scale.length(each.level),
                "boards": list(each.boards),
                "across": scale.maybe(each.across),
            }
            for each in graded.lower
        ],
        "deep": [
            {
                "wall": each.wall,
                "limit": scale.length(each.limit),
                "start": scale.length(each.start),
                "end": scale.length(each.end),
                "deepest": scale.length(each.deepest),
            }
            for wall in graded.walls
            for each in wall.deep
        ],
        "undercuts": [_undercut(each, scale) for each in graded.undercuts],
        "water": [_water(each, scale) for each in graded.water],
        "slopes": [_slope(each, scale) for each in graded.slopes],
        "other_ways": _ways(graded, scale),
        "warnings": list(dict.fromkeys(words.notice(each) for each in layout.notices)),
    }


def _undercut(each: Undercut, scale: _GradeScale) -> Record:
    return {
        "dig": each.dig,
        "footing": each.footing,
        "distance": scale.length(each.distance),
        "needed": scale.length(each.needed),
        "deepest": scale.length(each.deepest),
    }


def _water(each: WaterAtWall, scale: _GradeScale) -> Record:
    return {
        "wall": safe(each.wall),
        "station": scale.length(each.station),
        "at_wall": scale.length(each.at_wall),
        "out": scale.length(each.out),
        "fall": scale.length(each.fall),
        "runs_off": each.runs_off,
        "swale": scale.length(each.swale),
        "grade": scale.length(each.grade),
        "top": scale.length(each.top),
    }


def _slope(each: SlopeSetback, scale: _GradeScale) -> Record:
    return {
        "wall": safe(each.wall),
        "what": each.part,
        "distance": scale.length(each.distance),
        "needed": scale.length(each.needed),
        "height": scale.length(each.height),
        "steepness": round(each.steepness, 10) + 0.0,
        "ok": each.is_kept,
    }


def _wall(wall: GradedWall, graded: Graded, base: float, scale: _GradeScale) -> Record:
    profile, rules = wall.profile, graded.request.rules

    def run(level: Level) -> Record:
        return {
            "start": scale.length(level.start),
            "end": scale.length(level.end),
            "courses": level.courses,
            "top_of_footing": scale.length(level.top),
            "bottom_of_footing": scale.length(level.bottom),
            "dig_level": scale.length(level.bottom - base),
            "frost_cover": scale.maybe(level.frost_spare + rules.frost_depth),
            "bearing_cover": scale.maybe(level.bearing_spare + rules.in_ground),
            "governs": {"steps": "step", "least courses": "least_courses"}.get(
                level.governs, level.governs
            ),
        }

    return {
        "wall": profile.wall,
        "length": scale.length(profile.length),
        "top_of_wall": scale.length(profile.bounds.top),
        "runs": [run(level) for level in profile.levels],
        "steps": [
            {
                "at": scale.length(each.step.station),
                "rise": scale.length(each.step.rise),
                "dig_to": scale.length(each.dig_to),
                "overlap": scale.length(each.overlap),
                "down": each.step.down,
                "dig_level": scale.length(each.dig_level),
                "concrete": round(each.concrete / scale.metres**3, 10) + 0.0,
                "face": [[scale.length(value) for value in point] for point in each.face],
            }
            for each in wall.built
        ],
        "ground": _ground(wall, scale),
        "depths": [
            {
                "start": scale.length(each.start),
                "end": scale.length(each.end),
                "deepest": scale.length(each.deepest),
            }
            for each in wall.depths
        ],
    }


def _ground(wall: GradedWall, scale: _GradeScale) -> Record:
    def line(values: Sequence[float]) -> list[float]:
        return [scale.length(value) for value in values]

    return {
        "stations": line(wall.ground.stations.tolist()),
        "existing": line(wall.ground.existing.tolist()),
        "finished": line(wall.ground.finished.tolist()),
    }


def _pad(pad: PadLevel, base: float, scale: _GradeScale) -> Record:
    return {
        "pad": pad.pad,
        "top": scale.length(pad.top),
        "bottom": scale.length(pad.bottom),
        "dig_level": scale.length(pad.bottom - base),
        "pier": scale.length(pad.pier),
        "governs": pad.governs.replace(" ", "_"),
    }


def _mark(mark: LevelMark, scale: _GradeScale) -> Record:
    return {
        "level": scale.length(mark.level),
        "what": mark.what,
        "where": mark.where,
        "start": scale.maybe(mark.start),
        "end": scale.maybe(mark.end),
        "add_to_benchmark": scale.maybe(mark.add_to_benchmark),
        "reading": scale.maybe(mark.reading),
        "turning_point": mark.turning_point,
        "down_from_string": scale.maybe(mark.down_from_string),
    }


def _stake(each: StakeLevel, scale: _GradeScale) -> Record:
    return {
        "kind": each.kind,
        "name": each.name,
        "x": scale.length(each.x),
        "y": scale.length(each.y),
        "ground": scale.maybe(each.ground),
        "dig_level": scale.length(each.dig),
        "cut": scale.maybe(each.cut),
    }


def _board(each: BoardLevel, scale: _GradeScale) -> Record:
    return {
        "board": each.board,
        "ground": scale.maybe(each.ground),
        "top": scale.length(each.top),
        "height": scale.maybe(each.height),
        "tier": scale.maybe(each.tier),
    }


def _ways(graded: Graded, scale: _GradeScale) -> Record:
    cost = graded.request.rules.step_cost

    def way(each: Alternative | None) -> Record | None:
        if each is None:
            return None
        return {
            "steps": each.steps,
            "objective": scale.area(each.objective),
            "wall_area": scale.area(each.wall_area(cost)),
        }

    gains = []
    for each in graded.gains:
        gains.append({
            "top_of_wall": scale.length(graded.request.top_of_wall + float(each.change)),
            "steps": each.steps,
            "objective": scale.area(each.objective),
            "wall_area": scale.area(each.wall_area(cost)),
        })
    return {
        "next_count": way(graded.stepped.next_count),
        "larger_steps": way(graded.larger_steps),
        "tops": gains,
        "volume_unit": scale.volume_unit,
        "fewer_steps": [
            {
                "steps": each.steps,
                "objective": scale.area(each.objective),
                "wall_area": scale.area(each.wall_area),
                "concrete": scale.volume(each.concrete),
                "dug": scale.volume(each.dug),
            }
            for each in graded.choices
        ],
    }
