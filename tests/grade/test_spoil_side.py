"""On which side of the building the spoil is laid."""

from __future__ import annotations

import pytest

from staking.grade.dig_on_plan import SPOIL_BACK, SpoilSide, spoil_side
from staking.job.build import parse_job
from staking.project.layout import lay_out_job

FOOT, INCH = 0.3048, 0.0254


def side(a: float, b: float, c: float, d: float, walls: str = "") -> SpoilSide:
    """Return the side of a building of 32' by 24', A-B running east, by its ground in feet."""
    text = (
        "job: shed\nbuilding: {rectangle: 32' x 24', wall: 8\", footing: "
        f'{{width: 20", thickness: 10"}}{walls}}}\n'
        f"grade:\n  ground: {{A: {a}, B: {b}, C: {c}, D: {d}}}\n"
        "  top_of_wall: 104'\n  frost_depth: 42\"\n"
    )
    layout = lay_out_job(parse_job(text, "shed.yaml"))
    assert layout.grade is not None
    found = spoil_side(layout.plan, layout.grade)
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("ground", "wall", "out"),
    [
        ((98, 98, 100, 100), "A-B", (0.0, -1.0)),
        ((100, 98, 98, 100), "B-C", (1.0, 0.0)),
        ((100, 100, 98, 98), "C-D", (0.0, 1.0)),
        ((98, 100, 100, 98), "D-A", (-1.0, 0.0)),
        # Mostly one way, a little the other: the wall that looks most nearly down the slope.
        ((100.0, 98.5, 98.0, 99.5), "B-C", (1.0, 0.0)),
    ],
)
def test_spoil_lies_below_the_building(
    ground: tuple[float, float, float, float], wall: str, out: tuple[float, float]
) -> None:
    found = side(*ground)
    assert (found.wall, found.falls) == (wall, True)
    assert found.out == pytest.approx(out, rel=0, abs=1e-9)
    # The line runs along the wall, behind its footing (6" out of the wall) and what keeps clear.
    back = 6 * INCH + SPOIL_BACK
    walls = {"A-B": 0.0, "B-C": 32 * FOOT, "C-D": 24 * FOOT, "D-A": 0.0}
    for x, y in found.ends:
        assert x * out[0] + y * out[1] == pytest.approx(walls[wall] + back, rel=0, abs=1e-9)


def test_on_level_ground_it_lies_along_a_longest_wall() -> None:
    found = side(100, 100, 100, 100)
    assert (found.wall, found.falls) == ("A-B", False)


def test_no_spoil_is_laid_in_a_standing_building() -> None:
    found = side(98, 98, 100, 100, ", walls: {A-B: {existing: yes}}")
    assert found.wall in {"B-C", "D-A"}
