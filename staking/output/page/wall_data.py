"""The walls from the side for the page: ground, footing, dig and runs, as values to draw."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from staking.grade.setting_out.rods import add_to_benchmark
from staking.output.profile.side_parts import Seen
from staking.output.profile.side_shapes import wall_shapes
from staking.output.profile.side_words import end_names
from staking.output.wording import Words, safe

if TYPE_CHECKING:
    from collections.abc import Iterable

    from staking.grade.graded import Graded, GradedWall
    from staking.laid_out.layout_value import Layout
    from staking.plan import Point


def walls_data(layout: Layout) -> list[dict[str, Any]]:
    """Set out every wall and interior line with levels.

    Parameters
    ----------
    layout
        The layout.

    Returns
    -------
    list of dict
        Stations from the left end as it is seen and elevations, m; a run is its stretch, its
        courses, the footing's top and the dig level, each an elevation and what is added to the
        reading on the benchmark. Empty for a job without levels.
    """
    graded = layout.grade
    if graded is None:
        return []
    return [_wall(layout, graded, wall) for wall in graded.walls if wall.profile.levels]


def _wall(layout: Layout, graded: Graded, wall: GradedWall) -> dict[str, Any]:
    words, base = Words(layout.options), layout.options.dig.base
    shapes, seen = wall_shapes(graded, wall, layout.plan, base), Seen.of(wall.strand)
    first, last = (safe(each) for each in end_names(graded, wall))
    ends = (first, last) if seen.left else (last, first)

    def level(elevation: float) -> list[Any]:
        add = add_to_benchmark(graded.benchmark_level, elevation)
        added = "" if add is None else words.added(add, graded.rod)
        return [round(elevation, 6), words.level(elevation), added]

    def chain(points: Iterable[Point] | None) -> list[list[float]] | None:
        if points is None:
            return None
        return [[round(x, 3), round(y, 3)] for x, y in map(seen.at, points)]

    return {
        "name": safe(wall.profile.wall),
        "length": words.length(wall.profile.length),
        "from": first,
        "ends": list(ends),
        "low": round(shapes.low, 3),
        "high": round(shapes.high, 3),
        "wall": chain(shapes.wall),
        "footing": chain(shapes.footing),
        "dig": chain(shapes.dig),
        "ground": chain(shapes.finished),
        "existing": chain(shapes.existing),
        "frost": chain(shapes.frost),
        "string": None if graded.string is None else round(graded.string, 3),
        "runs": [
            {
                "from": words.length(each.start),
                "to": words.length(each.end),
                "middle": round(seen.across((each.start + each.end) / 2), 3),
                "courses": each.courses,
                "top": level(each.top),
                "dig": level(each.bottom - base),
            }
            for each in wall.profile.levels
        ],
        "steps": [
            {
                "at": words.length(built.step.station),
                "goes": "down" if built.step.down else "up",
                "rise": words.length(built.step.rise),
                "digTo": words.length(built.dig_to),
            }
            for built in wall.built
        ],
        "deep": [
            {
                "from": words.length(each.start),
                "to": words.length(each.end),
                "limit": words.length(each.limit),
                "deepest": words.length(each.deepest),
            }
            for each in wall.deep
        ],
    }
