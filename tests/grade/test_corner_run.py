"""How far steps keep from a corner when the job does not say: past the crossing footing."""

from __future__ import annotations

import math

import pytest

from staking.grade.stepping.step_places import wall_runs
from staking.grade.stepping.step_rules import GradeRules
from staking.grade.stepping.wall_network import build_network
from tests.grade import slopes

INCH = 0.0254


def clear_at_b(degrees: float) -> float:
    """What A-B keeps from B, inches, where the outline turns there by so many degrees."""
    turn = math.radians(degrees)
    points = [(0, 0), (30, 0), (30 + 30 * math.cos(turn), 30 * math.sin(turn)), (0, 40)]
    network = build_network(slopes.outline(points))
    (run,) = (
        each for each in wall_runs(network, GradeRules(frost_depth=1.0)) if each.wall == "A-B"
    )
    at_b = [node for node, _ in network.strand("A-B").nodes].index(network.nodes.index("B"))
    return run.clear[at_b] / INCH


# The footing is 20" wide, 6" of it outside the face, so its inner edge lies 14" inside; the
# overlap is the thickness, 10"; the module is half a block, 8".
@pytest.mark.parametrize(
    ("degrees", "inches"),
    [
        (90, 24),  # 14 + 10
        (30, 40),  # 14 / sin 30 = 28, and 10 are 38: five modules
        (25, 48),  # 14 / 0.4226 = 33.1, and 10 are 43.1: six
        (20, 56),  # 14 / 0.3420 = 40.9, and 10 are 50.9: seven
        (12, 80),  # 14 / 0.2079 = 67.3, and 10 are 77.3: ten
        (9, 16),  # in one line: nothing crosses, and 10 are two modules
    ],
)
def test_a_step_keeps_past_the_footing_that_crosses(degrees: float, inches: float) -> None:
    assert clear_at_b(degrees) == pytest.approx(inches, rel=0, abs=1e-9)
