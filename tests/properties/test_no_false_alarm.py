"""Ordinary jobs, on slopes and uneven ground, hear nothing of slips of the pen."""

from __future__ import annotations

import math
from dataclasses import dataclass

from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from staking.errors import ComputationError
from staking.job.build import parse_job
from staking.project.layout import lay_out_job

SLIPS = {
    "benchmark-far",
    "courses-and-levels",
    "dig-and-levels",
    "dig-over-frost",
    "finished-off",
    "footing-over-ground",
    "height-and-levels",
    "inside-over-slab",
    "inside-under-footing",
    "instrument-benchmark",
    "instrument-ground",
    "level-apart",
    "old-footing-bare",
    "old-footing-deep",
    "old-footing-under-top",
    "old-top",
    "opening-under-slab",
    "reading-slip",
    "reading-worst",
    "setback-fills-the-lot",
    "setbacks-left-out",
    "sill-under-grade",
    "slab-over-wall",
    "slab-under-ground",
    "stake-top",
    "step-off-bond",
    "strings-off",
    "top-over-ground",
    "wall-over-ground",
    "nearly-square",
    "interior-slant",
    "interior-wrong-end",
    "pads-overlap",
}
"""Every notice that names a probable slip."""

FEW = settings(max_examples=40, suppress_health_check=[HealthCheck.too_slow])
Point = tuple[float, float]


@dataclass(frozen=True)
class Hill:
    """Ground in feet: a plane, a hollow or a hump over it, and bumps by place."""

    height: float
    east: float
    north: float
    bend: float
    bumps: tuple[float, ...]

    def at(self, point: Point, number: int) -> float:
        x, y = point
        plane = self.height + self.east * x + self.north * y
        bump = self.bumps[number % len(self.bumps)] / 12
        return plane + self.bend * (x * x + y * y) / 40**2 + bump


HILLS = st.builds(
    Hill,
    height=st.sampled_from((0.0, 100.0, 312.4, 5280.0)),
    east=st.floats(-1 / 7, 1 / 7),
    north=st.floats(-1 / 7, 1 / 7),
    bend=st.floats(-0.5, 0.5),
    bumps=st.lists(st.floats(-2, 2), min_size=5, max_size=12).map(tuple),
)


@st.composite
def outlines(draw: st.DrawFn) -> list[Point]:
    """A rectangle, an L, or a rectangle with a jog of inches, in feet; turned, either way round."""
    w, d = draw(st.integers(14, 36)), draw(st.integers(12, 30))
    points = [(0.0, 0.0), (w, 0.0), (w, d), (0.0, d)]
    shape = draw(st.sampled_from(("rectangle", "ell", "jog")))
    if shape == "ell":
        points = [(0.0, 0.0), (w, 0.0), (w, d), (w - 6.0, d), (w - 6.0, d + 8.0), (0.0, d + 8.0)]
    elif shape == "jog":
        jog = draw(st.integers(3, 30)) / 12
        points = [(0.0, 0.0), (w, 0.0), (w, d), (w - 6.0, d), (w - 6.0, d + jog), (0.0, d + jog)]
    turn = math.radians(draw(st.sampled_from((0.0, 17.0, 90.0))))
    c, s = math.cos(turn), math.sin(turn)
    turned = [(c * x - s * y, s * x + c * y) for x, y in points]
    return turned if draw(st.booleans()) else [turned[0], *reversed(turned[1:])]


@st.composite
def graded_jobs(draw: st.DrawFn) -> str:
    """A job with levels as a careful person writes it, in feet or metres."""
    points, hill = draw(outlines()), draw(HILLS)
    names = "ABCDEFGH"[: len(points)]
    metric = draw(st.booleans())

    def length(feet: float) -> str:
        return f"{feet * 0.3048:.4f} m" if metric else f"{feet:.4f} ft"

    def level(feet: float) -> str:
        # Read to the nearest half inch or centimetre.
        return f"{round(feet * 0.3048, 2):.2f} m" if metric else f"{round(feet * 24) / 24:.4f} ft"

    sides = list(zip(points, points[1:] + points[:1], names, names[1:] + names[:1], strict=True))
    ground = {
        name: hill.at(point, i) for i, (name, point) in enumerate(zip(names, points, strict=True))
    }
    for i, (a, b, first, last) in enumerate(sides):
        if math.dist(a, b) > 10 and draw(st.booleans()):
            middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
            key = f"{first}-{last} at {length(math.dist(a, b) / 2)}"
            ground[key] = hill.at(middle, len(points) + i)
    low, high = min(ground.values()), max(ground.values())
    top = high + draw(st.integers(10, 40)) / 12
    benchmark = draw(st.floats(low - 3, high + 3))
    sight = max(benchmark, top) + draw(st.floats(1, 5))
    # A careful person sets up where the rod on the benchmark and on the ground can be read.
    assume(sight - min(benchmark, low) < 13)
    tops = {name: ground[name] + draw(st.floats(0, 3)) for name in names}
    if draw(st.booleans()):
        readings = f"{{rod: {table({k: level(sight - z) for k, z in ground.items()})}, "
        readings += f"instrument: {level(sight)}}}"
    else:
        readings = table({k: level(z) for k, z in ground.items()})
    corners = ", ".join(
        f"{name}: [{length(x)}, {length(y)}]" for name, (x, y) in zip(names, points, strict=True)
    )
    return f"""job: Invented
units: {"m" if metric else "ft"}
building:
  corners: {{{corners}}}
  wall: 8"
  footing: {{width: 20", thickness: 10"}}
  openings: [{{wall: {names[0]}-{names[1]}, from: 2 ft, width: 3 ft, drop: 8"}}]
  sleeves: [{{wall: {names[0]}-{names[1]}, at: 8 ft, invert: {length(top - 15 / 12)}, size: 4"}}]
  slab: {{top: {length(top - draw(st.integers(0, 8)) / 12)}, thickness: 4", base: 4"}}
boards: {{at: {length(top + draw(st.floats(0, 2)))}}}
grade:
  ground: {readings}
  benchmark: {{name: nail, elevation: {length(benchmark)}}}
  instrument: {length(sight)}
  course: 8"
  module: 8"
  min_run: 32"
  top_of_wall: {length(top)}
  frost_depth: {draw(st.sampled_from((12, 30, 42)))}"
  stake_tops: {table({name: level(z) for name, z in tops.items()})}
"""


def table(values: dict[str, str]) -> str:
    return "{" + ", ".join(f'"{name}": {value}' for name, value in values.items()) + "}"


@FEW
@given(text=graded_jobs())
def test_ordinary_jobs_on_slopes_name_no_slip(text: str) -> None:
    job = parse_job(text, "job.yaml")
    try:
        layout = lay_out_job(job)
    except ComputationError as error:
        # Too steep for steps of one course that far apart: said, and no matter of slips.
        assume("no stepped footing" not in str(error) and "step" not in str(error))
        raise
    assert [each for each in layout.notices if each.kind in SLIPS] == []


@FEW
@given(
    points=outlines(),
    thickness=st.integers(8, 14),
    base=st.sampled_from((0, 4, 6)),
    deeper=st.integers(0, 36),
    courses=st.integers(1, 8),
)
def test_ordinary_jobs_without_levels_name_no_slip(
    points: list[Point], thickness: int, base: int, deeper: int, courses: int
) -> None:
    assume(courses * 8 >= deeper)
    corners = ", ".join(
        f"{name}: [{x:.4f}, {y:.4f}]" for name, (x, y) in zip("ABCDEF", points, strict=False)
    )
    job = parse_job(
        f"""job: Invented
building:
  corners: {{{corners}}}
  wall: 8"
  footing: {{width: 20", thickness: {thickness}"}}
  sleeves: [{{wall: A-B, at: 5', invert: 100', size: 4"}}]
  slab: {{top: 102', thickness: 4", base: 4"}}
boards: {{at: 102' 6"}}
dig: {{depth: {thickness + base + deeper}", base: {base}"}}
order:
  block: {{courses: {courses}}}
""",
        "job.yaml",
    )
    layout = lay_out_job(job)
    assert [each for each in layout.notices if each.kind in SLIPS] == []
