"""One building, written in five ways: ``staking order`` prints the same lines."""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from staking.cli import main

# Invented: an L with a jog, walls between two bonds, on a slope read at its corners.
CORNERS = {
    "A": (0.0, 0.0),
    "B": (28 + 4 / 12, 0.0),
    "C": (28 + 4 / 12, 18.0),
    "D": (12 + 4 / 12, 18.0),
    "E": (12 + 4 / 12, 18 + 8 / 12),
    "F": (0.0, 18 + 8 / 12),
}
GROUND = {"A": 99.0, "B": 98.0, "C": 98.0, "D": 98.5, "E": 98.5, "F": 99.0}
METRES = {"ft": 0.3048, "us-ft": 1200 / 3937, "in": 0.0254, "m": 1.0, "mm": 0.001}
Point = tuple[float, float]


def job(unit: str, moved: Callable[[Point], Point] = lambda p: p, *, back: bool = False) -> str:
    """The building in a unit, its points moved, its corners walked the other way round."""

    def inside(feet: float) -> str:
        return f"{feet * 0.3048 / METRES[unit]:.12f}".rstrip("0").rstrip(".")

    def length(inches: float) -> str:
        return inside(inches / 12)

    names = list(CORNERS)
    if back:
        names = [names[0], *reversed(names[1:])]
    places = {name: moved(CORNERS[name]) for name in names}
    corners = "\n".join(
        f"    {name}: [{inside(x)}, {inside(y)}]" for name, (x, y) in places.items()
    )
    ground = ", ".join(f"{name}: {inside(z)}" for name, z in GROUND.items())
    slab = f"slab: {{top: {inside(101)}, thickness: {length(4)}, base: {length(4)}}}"
    return f"""job: One barn
units: {unit}
building:
  corners:
{corners}
  wall: {length(8)}
  footing: {{width: {length(20)}, thickness: {length(10)}}}
  # {slab}
boards: {{stand_off: {inside(4)}, clearance: {inside(4)}}}
dig: {{bucket: {length(24)}, base: {length(4)}}}
# formed: {{overdig: {inside(1)}, base: {length(4)}, bank: 0.5, cast: forms}}
tape: {{length: {inside(100)}, error: {length(1 / 8)}}}
grade:
  ground: {{{ground}}}
  strip: {length(6)}
  top_of_wall: {inside(101)}
  frost_depth: {length(24)}
  in_ground: {length(12)}
  course: {length(8)}
  min_run: {length(32)}
  module: {length(8)}
  step_cost: 6 sq ft
order:
  truck: 9 cu yd
  haul: 10 cu yd
  stone: {length(4)}
  bolts: {inside(6)}
  steel: {{bars: 2, size: 4, cover: {length(3)}, lap: {length(30)}, stock: {inside(20)},
    dowels: {length(48)}}}
  block: {{length: {length(16)}, height: {length(8)}}}
  # fill: {{kind: gravel, spoil: {length(6)}}}
  # forms: {{stock: {inside(16)}, board: {length(9.25)}}}
"""


def filled(text: str) -> str:
    """The same with a slab on gravel, its footing cast in forms."""
    for key in ("slab", "fill", "forms"):
        text = text.replace(f"  # {key}:", f"  {key}:")
    kept = [line for line in text.splitlines() if not line.startswith("dig:")]
    return "\n".join(kept).replace("# formed:", "dig:") + "\n"


def ordered(folder: Path, text: str) -> list[dict[str, Any]]:
    path = folder / "job.yaml"
    path.write_text(text, encoding="utf-8")
    ran = CliRunner().invoke(main, ["order", str(path), "--json"])
    assert ran.exit_code in (0, 5), ran.stderr
    return json.loads(ran.stdout)["items"]


def line(item: dict[str, Any]) -> tuple[Any, ...]:
    return item["what"], item["order"], item["unit"], item["arithmetic"]


def turned(point: Point) -> Point:
    c, s = math.cos(math.radians(17)), math.sin(math.radians(17))
    return c * point[0] - s * point[1] + 3.0, s * point[0] + c * point[1] - 7.0


def mirrored(point: Point) -> Point:
    return -point[0], point[1]


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("inches", job("in")),
        ("survey feet", job("us-ft")),
        ("turned", job("ft", turned)),
        ("mirrored", job("ft", mirrored)),
        ("turned and mirrored", job("in", lambda p: turned(mirrored(p)))),
    ],
)
def test_the_order_is_the_same_line_for_line(tmp_path: Path, name: str, text: str) -> None:
    wanted = [line(item) for item in ordered(tmp_path, job("ft"))]
    assert [line(item) for item in ordered(tmp_path, text)] == wanted


@pytest.mark.parametrize("unit", ["m", "mm"])
def test_a_metric_job_takes_the_same(tmp_path: Path, unit: str) -> None:
    factors = {"cu yd": 0.9144**3, "ft": 0.3048, "lb": 0.45359237}
    feet, metric = ordered(tmp_path, job("ft")), ordered(tmp_path, job(unit))
    assert [item["what"] for item in metric] == [item["what"] for item in feet]
    for one, other in zip(feet, metric, strict=True):
        amount = one["quantity"] * factors.get(one["unit"], 1.0)
        assert other["quantity"] == pytest.approx(amount, rel=0, abs=1e-6), one["what"]


@pytest.mark.parametrize("fall", [{}, {"B": 96.0, "C": 96.5}, {"E": 95.0, "F": 95.5, "D": 95.5}])
def test_the_outline_walked_back_takes_the_same_on_a_slope(
    tmp_path: Path, fall: dict[str, float], monkeypatch: pytest.MonkeyPatch
) -> None:
    for name, level in fall.items():
        monkeypatch.setitem(GROUND, name, level)
    wanted = [line(item) for item in ordered(tmp_path, job("ft"))]
    assert [line(item) for item in ordered(tmp_path, job("ft", back=True))] == wanted


def test_the_outline_walked_back_takes_the_same_on_level_ground(tmp_path: Path) -> None:
    def level(text: str) -> str:
        head, _, rest = text.partition("grade:\n")
        tail = rest[rest.index("order:\n") :].replace("  block: {", "  block: {courses: 12, ")
        return head.replace("dig: {", "dig: {depth: 4, ") + tail

    wanted = [line(item) for item in ordered(tmp_path, level(job("ft")))]
    assert [line(item) for item in ordered(tmp_path, level(job("ft", back=True)))] == wanted


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("inches", job("in")),
        ("survey feet", job("us-ft")),
        ("turned", job("ft", turned)),
        ("mirrored", job("ft", mirrored)),
        ("walked back", job("ft", back=True)),
        ("turned, mirrored and walked back", job("in", lambda p: turned(mirrored(p)), back=True)),
    ],
)
def test_fill_and_forms_are_the_same_line_for_line(tmp_path: Path, name: str, text: str) -> None:
    wanted = [line(item) for item in ordered(tmp_path, filled(job("ft")))]
    for what in ("gravel under the slab, loose", "spoil to cart, loose", "stakes for forms"):
        assert what in [each[0] for each in wanted]
    assert [line(item) for item in ordered(tmp_path, filled(text))] == wanted


def test_fill_and_forms_of_a_metric_job_are_the_same(tmp_path: Path) -> None:
    factors = {"cu yd": 0.9144**3, "ft": 0.3048, "lb": 0.45359237}
    feet, metric = (ordered(tmp_path, filled(job(unit))) for unit in ("ft", "m"))
    assert [item["what"] for item in metric] == [item["what"] for item in feet]
    for one, other in zip(feet, metric, strict=True):
        amount = one["quantity"] * factors.get(one["unit"], 1.0)
        assert other["quantity"] == pytest.approx(amount, rel=0, abs=1e-6), one["what"]
