"""Hypothesis strategies that make valid plans, and the motions that must change nothing.

Every plan is invented: none of its numbers is a check value.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from hypothesis import strategies as st

from staking.plan import (
    Building,
    Corner,
    Existing,
    Footing,
    InteriorLine,
    Opening,
    Pad,
    Plan,
    Point,
    Sleeve,
    StayClear,
    Wall,
)

INCH = 0.0254
FOOT = 0.3048


def corner_names(count: int, first: int = 0) -> list[str]:
    """A ... Z, AA ... as the job file numbers corners by itself."""
    letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
    names = list(letters) + [a + b for a in letters for b in letters]
    return names[first : first + count]


def make_footing(width: float, wall: float, outside: float | None = None) -> Footing:
    """A footing 10 in thick, centred unless `outside` is given; all m."""
    return Footing(
        width=width,
        thickness=10 * INCH,
        outside=(width - wall) / 2 if outside is None else outside,
    )


def make_building(
    points: Sequence[Point],
    *,
    wall: float = 8 * INCH,
    width: float = 20 * INCH,
    first: int = 0,
    name: str | None = None,
    walls: dict[int, tuple[float, float, float | None]] | None = None,
    existing: Sequence[int] = (),
) -> Building:
    """A building of corners (m); `walls` overrides (thickness, width, outside) by position."""
    names = corner_names(len(points), first)
    made = []
    for i, start in enumerate(names):
        thick, wide, outside = (walls or {}).get(i, (wall, width, None))
        made.append(
            Wall(
                start=start,
                end=names[(i + 1) % len(names)],
                thickness=thick,
                footing=make_footing(wide, thick, outside),
                existing=Existing() if i in existing else None,
            )
        )
    corners = tuple(
        Corner(name=n, x=float(x), y=float(y)) for n, (x, y) in zip(names, points, strict=True)
    )
    return Building(name=name, corners=corners, walls=tuple(made))


def plan_of(points: Sequence[Point], **options: object) -> Plan:
    """A plan of one building without anything else; options as in `make_building`."""
    return Plan(job="Invented", buildings=(make_building(points, **options),))  # type: ignore[arg-type]


# Motions ---------------------------------------------------------------------------------


def move_point(point: Point, turn: float, shift: Point, mirror: bool) -> Point:
    """Mirror in the y axis if asked, then turn (rad anticlockwise), then shift (m)."""
    x, y = (-point[0] if mirror else point[0]), point[1]
    c, s = math.cos(turn), math.sin(turn)
    return (c * x - s * y + shift[0], s * x + c * y + shift[1])


def transform_plan(
    plan: Plan, turn: float = 0.0, shift: Point = (0.0, 0.0), mirror: bool = False
) -> Plan:
    """The same plan mirrored, then turned (rad anticlockwise), then shifted (m)."""

    def moved(point: Point) -> Point:
        return move_point(point, turn, shift, mirror)

    buildings = []
    for building in plan.buildings:
        corners = []
        for corner in building.corners:
            x, y = moved(corner.point)
            corners.append(replace(corner, x=x, y=y))
        buildings.append(replace(building, corners=tuple(corners)))
    pads = []
    for pad in plan.pads:
        x, y = moved(pad.point)
        pads.append(replace(pad, x=x, y=y, turn=(-pad.turn if mirror else pad.turn) + turn))
    return replace(
        plan,
        buildings=tuple(buildings),
        interior=tuple(
            replace(line, start=moved(line.start), end=moved(line.end)) for line in plan.interior
        ),
        pads=tuple(pads),
        stay_clear=tuple(
            StayClear(name=shape.name, corners=tuple(moved(p) for p in shape.corners))
            for shape in plan.stay_clear
        ),
    )


def reverse_plan(plan: Plan) -> Plan:
    """The same plan with every outline walked the other way round; stations are turned too."""
    renamed: dict[str, str] = {}
    lengths: dict[str, float] = {}
    buildings = []
    for building in plan.buildings:
        at = {corner.name: corner.point for corner in building.corners}
        walls = []
        for wall in reversed(building.walls):
            turned = replace(wall, start=wall.end, end=wall.start)
            renamed[wall.name] = turned.name
            lengths[wall.name] = math.dist(at[wall.start], at[wall.end])
            walls.append(turned)
        first, *rest = building.corners
        buildings.append(replace(building, corners=(first, *reversed(rest)), walls=tuple(walls)))

    def far(opening: Opening) -> Opening:
        start = lengths[opening.wall] - opening.start - opening.width
        return replace(opening, wall=renamed[opening.wall], start=start)

    def other(sleeve: Sleeve) -> Sleeve:
        station = lengths[sleeve.wall] - sleeve.station
        return replace(sleeve, wall=renamed[sleeve.wall], station=station)

    return replace(
        plan,
        buildings=tuple(buildings),
        interior=tuple(
            replace(
                line,
                start_on=renamed.get(line.start_on, line.start_on),
                end_on=renamed.get(line.end_on, line.end_on),
            )
            for line in plan.interior
        ),
        openings=tuple(far(opening) for opening in plan.openings),
        sleeves=tuple(other(sleeve) for sleeve in plan.sleeves),
    )


# Outlines: lists of points, anticlockwise, m ---------------------------------------------


def inches(low: int, high: int) -> st.SearchStrategy[float]:
    """Whole inches, in m."""
    return st.integers(low, high).map(lambda n: n * INCH)


SIDE = inches(12 * 12, 80 * 12)
"""A side of 12 to 80 ft."""


@st.composite
def rectangle_points(draw: st.DrawFn) -> list[Point]:
    w, d = draw(SIDE), draw(SIDE)
    return [(0.0, 0.0), (w, 0.0), (w, d), (0.0, d)]


@st.composite
def ell_points(draw: st.DrawFn) -> list[Point]:
    a, b, c, d = draw(SIDE), draw(SIDE), draw(SIDE), draw(SIDE)
    return [(0.0, 0.0), (a + b, 0.0), (a + b, c), (a, c), (a, c + d), (0.0, c + d)]


@st.composite
def tee_points(draw: st.DrawFn) -> list[Point]:
    a, b, c, d, e = (draw(SIDE) for _ in range(5))
    w = a + b + c
    return [
        (0.0, 0.0),
        (w, 0.0),
        (w, d),
        (a + b, d),
        (a + b, d + e),
        (a, d + e),
        (a, d),
        (0.0, d),
    ]


@st.composite
def you_points(draw: st.DrawFn) -> list[Point]:
    a, b, c, d, e, f = (draw(SIDE) for _ in range(6))
    w = a + b + c
    return [
        (0.0, 0.0),
        (w, 0.0),
        (w, d + e),
        (a + b, d + e),
        (a + b, d),
        (a, d),
        (a, d + f),
        (0.0, d + f),
    ]


@st.composite
def rectilinear_points(draw: st.DrawFn) -> list[Point]:
    """Columns side by side between a stepped bottom and a stepped top; never self-crossing."""
    count = draw(st.integers(1, 5))
    widths = [draw(SIDE) for _ in range(count)]
    tops = [draw(SIDE) for _ in range(count)]
    bottoms = [-draw(SIDE) for _ in range(count)]
    xs = [0.0]
    for width in widths:
        xs.append(xs[-1] + width)
    points: list[Point] = []
    for i in range(count):
        points += [(xs[i], bottoms[i]), (xs[i + 1], bottoms[i])]
    for i in reversed(range(count)):
        points += [(xs[i + 1], tops[i]), (xs[i], tops[i])]
    kept: list[Point] = []
    for point in points:
        if not kept or math.dist(point, kept[-1]) > INCH / 2:
            kept.append(point)
    return kept


@st.composite
def jogged_points(draw: st.DrawFn) -> list[Point]:
    """A rectangle whose far side steps in or out by a few inches."""
    a, b, d = draw(SIDE), draw(SIDE), draw(SIDE)
    jog = draw(inches(1, 30)) * draw(st.sampled_from((-1, 1)))
    return [(0.0, 0.0), (a + b, 0.0), (a + b, d), (a, d), (a, d + jog), (0.0, d + jog)]


@st.composite
def nearly_in_line_points(draw: st.DrawFn) -> list[Point]:
    """A rectangle with a corner in one side that turns by 0 to about 9 degrees."""
    a, b, d = draw(SIDE), draw(SIDE), draw(SIDE)
    turn = math.radians(draw(st.floats(-9.0, 9.0)))
    reach = a * b / (a + b) * math.tan(turn)
    return [(0.0, 0.0), (a, -reach), (a + b, 0.0), (a + b, d), (0.0, d)]


@st.composite
def convex_points(draw: st.DrawFn) -> list[Point]:
    """Corners on an ellipse, three to eight, acute corners and long thin shapes among them."""
    count = draw(st.integers(3, 8))
    steps = [draw(st.floats(0.5, 2.0)) for _ in range(count)]
    total = sum(steps)
    rx, ry = draw(st.floats(8.0, 20.0)), draw(st.floats(8.0, 20.0))
    angle, points = draw(st.floats(0.0, 1.0)), []
    for step in steps:
        points.append((rx * math.cos(angle), ry * math.sin(angle)))
        angle += 2 * math.pi * step / total
    return points


@st.composite
def acute_points(draw: st.DrawFn) -> list[Point]:
    """A triangle with one corner of 8 to 60 degrees: long mitres, cut below about 29."""
    reach, angle = draw(st.floats(12.0, 30.0)), math.radians(draw(st.floats(8.0, 60.0)))
    lean = draw(st.floats(0.8, 1.2))
    x, y = reach * lean * math.cos(angle), reach * lean * math.sin(angle)
    return [(0.0, 0.0), (reach, 0.0), (x, y)]


OUTLINES = st.one_of(
    rectangle_points(),
    ell_points(),
    tee_points(),
    you_points(),
    rectilinear_points(),
    jogged_points(),
    nearly_in_line_points(),
    convex_points(),
    acute_points(),
)
"""Any simple outline, anticlockwise, m."""

RECTILINEAR = st.one_of(
    rectangle_points(), ell_points(), tee_points(), you_points(), rectilinear_points()
)
"""Outlines whose corners are all square and whose sides are at least a foot or so, m."""


# Plans -----------------------------------------------------------------------------------


@st.composite
def wall_sizes(draw: st.DrawFn) -> tuple[float, float, float | None]:
    """Thickness, footing width, projection outside (None: centred), m."""
    thick = draw(inches(6, 12))
    width = thick + 2 * draw(inches(2, 9))
    outside = draw(st.one_of(st.none(), inches(0, 10)))
    return thick, width, None if outside is None else min(outside, width - thick)


@st.composite
def interior_lines(draw: st.DrawFn, building: Building) -> tuple[InteriorLine, ...]:
    """At most one line across a rectangle, from its first side to its third."""
    if len(building.corners) != 4 or not draw(st.booleans()):
        return ()
    a, b, c, d = (corner.point for corner in building.corners)
    t = draw(st.floats(0.3, 0.7))
    first, third = building.walls[0], building.walls[2]
    return (
        InteriorLine(
            name="line",
            start=(a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])),
            end=(d[0] + t * (c[0] - d[0]), d[1] + t * (c[1] - d[1])),
            start_on=first.name,
            end_on=third.name,
            thickness=8 * INCH,
            footing=make_footing(16 * INCH, 8 * INCH),
        ),
    )


@st.composite
def pads(draw: st.DrawFn, points: Sequence[Point]) -> tuple[Pad, ...]:
    """Up to three pads, square or round, about the outline: clear of it or lapping."""
    xs, ys = [x for x, _ in points], [y for _, y in points]
    made = []
    for i in range(draw(st.integers(0, 3))):
        square = draw(st.booleans())
        made.append(
            Pad(
                name=f"pad{i + 1}",
                x=draw(st.floats(min(xs) - 3, max(xs) + 3)),
                y=draw(st.floats(min(ys) - 3, max(ys) + 3)),
                size=(draw(inches(12, 48)), draw(inches(12, 48))) if square else None,
                diameter=None if square else draw(inches(10, 36)),
                thickness=12 * INCH,
                turn=draw(st.floats(0.0, 1.5)) if square else 0.0,
            )
        )
    return tuple(made)


@st.composite
def plans(
    draw: st.DrawFn,
    outlines: st.SearchStrategy[list[Point]] = OUTLINES,
    *,
    varied: bool = True,
    existing: bool = False,
    inside: bool = True,
) -> Plan:
    """Any valid plan of one building.

    `varied` lets walls and footings differ; `existing` lets up to half of the sides stand
    against a building; `inside` adds interior lines and pads. Outlines run either way round
    and lie turned on the grid.
    """
    points = draw(outlines)
    if draw(st.booleans()):
        points = points[::-1]
    count = len(points)
    sizes: dict[int, tuple[float, float, float | None]] = {}
    if varied:
        common = draw(wall_sizes())
        sizes = dict.fromkeys(range(count), common)
        for i in draw(st.lists(st.integers(0, count - 1), max_size=3, unique=True)):
            sizes[i] = draw(wall_sizes())
    standing = (
        draw(st.lists(st.integers(0, count - 1), max_size=count // 2, unique=True))
        if existing
        else []
    )
    building = make_building(points, walls=sizes, existing=standing)
    plan = Plan(
        job="Invented",
        buildings=(building,),
        interior=draw(interior_lines(building)) if inside else (),
        pads=draw(pads(points)) if inside else (),
    )
    turn = draw(st.sampled_from((0.0, math.pi / 2, 0.3, 1.0, 2.5)))
    return transform_plan(plan, turn) if turn else plan


TURNS = st.floats(-math.pi, math.pi)
SHIFTS = st.tuples(st.floats(-1000.0, 1000.0), st.floats(-1000.0, 1000.0))
