"""The ground from readings at corners and along walls."""

from __future__ import annotations

import numpy as np
import pytest

from staking.errors import ComputationError
from staking.grade.stepping.cells import Patch, cell_edges, cell_patches
from staking.grade.stepping.wall_network import build_network
from staking.grade.terrain.ground_readings import ground_from_readings
from tests.grade import slopes

FOOT = 0.3048


def test_readings_run_straight_between_points() -> None:
    network = build_network(
        slopes.outline(slopes.rectangle(24, 16), [("cross", (12, 0), (12, 16))])
    )
    corners = {"A": 10.0, "B": 9.0, "C": 9.5, "D": 10.5}
    ground, told = ground_from_readings(network, corners, [("B-A", 12 * FOOT, 9.1)])
    strand = network.strand("A-B")
    patches = cell_patches(strand, cell_edges(strand, 8 * 0.0254))
    lowest = ground.lowest(patches)
    assert lowest[0] == pytest.approx(10 - 0.9 / 18, abs=1e-9)
    assert lowest.min() == pytest.approx(9.0, abs=1e-9)
    cross = network.strand("cross")
    middle = ground.lowest([Patch(wall="cross", start=0.0, end=0.0, ring=(cross.start,))])
    assert middle[0] == pytest.approx(9.1, abs=1e-9)
    assert {dict(notice.values)["wall"] for notice in told} >= {"A-B", "B-C"}


def test_ground_falling_across_a_wall_is_said_where_nothing_is_read_at_the_edge() -> None:
    network = build_network(slopes.outline(slopes.rectangle(24, 16)))

    def told(fall: float) -> list[tuple[object, float]]:
        # Corners of a plane that falls along x; the footing reaches 6" past the faces.
        heights = {"A": 30.0, "D": 30.0, "B": 30 - 24 * FOOT * fall, "C": 30 - 24 * FOOT * fall}
        said = [
            dict(n.values) for n in ground_from_readings(network, heights)[1] if "fall" in n.text
        ]
        return [(one["wall"], one["fall"].metres / FOOT) for one in said]  # type: ignore[union-attr]

    assert told(1 / 13) == []
    assert told(1 / 12) == [("B-C", pytest.approx(0.5 / 12, abs=1e-9))]
    assert told(-1 / 4) == [("D-A", pytest.approx(0.5 / 4, abs=1e-9))]


def test_the_ground_is_known_between_readings_only() -> None:
    network = build_network(slopes.outline(slopes.rectangle(24, 16)))
    ground, _ = ground_from_readings(network, {"A": 10.0, "B": 9.0, "C": 9.0, "D": 10.0})
    heights = ground.at(np.array([(12 * FOOT, 8 * FOOT), (24 * FOOT, 0.0), (25 * FOOT, 0.0)]))
    assert heights[:2] == pytest.approx([9.5, 9.0], abs=1e-9)
    assert np.isnan(heights[2])


def test_a_pad_off_the_building_stands_on_what_was_read_at_it() -> None:
    network = build_network(slopes.outline(slopes.rectangle(24, 16)))
    corners = {"A": 10.0, "B": 9.0, "C": 9.0, "D": 10.0}
    ring = tuple((x * FOOT, y * FOOT) for x, y in ((8, -9), (11, -9), (11, -6), (8, -6)))
    pad = Patch(wall="P1", start=0.0, end=0.0, ring=ring)
    bare, _ = ground_from_readings(network, corners)
    with pytest.raises(ComputationError, match="P1: it lies outside the readings; read the ground"):
        bare.lowest([pad])
    ground, _ = ground_from_readings(network, corners, pads=[(ring, 8.25)])
    assert ground.lowest([pad]) == pytest.approx([8.25], abs=1e-9)
    assert ground.highest([pad]) == pytest.approx([8.25], abs=1e-9)
    # Halfway from the wall's middle to the pad the ground is between the two.
    between = ground.at(np.array([(9.5 * FOOT, -3 * FOOT)]))[0]
    assert 8.25 < between < 10.0
    assert not ground.is_beyond(np.array([(9.5 * FOOT, -8 * FOOT)])).any()


@pytest.mark.parametrize(
    ("corners", "along", "match"),
    [
        ({"A": 1.0, "B": 1.0, "C": 1.0}, [], "no reading at D"),
        (dict.fromkeys("ABCD", 1.0), [("A-B", 9.0, 1.0)], "past the wall's end"),
        (dict.fromkeys("ABCD", 1.0), [("A-B", 0.0, 1.2)], "two elevations at one place on A-B"),
        (dict.fromkeys("ABCD", 1.0), [("A-Q", 0.0, 1.2)], "there is no wall A-Q"),
    ],
)
def test_readings_that_cannot_serve_are_refused(
    corners: dict[str, float], along: list[tuple[str, float, float]], match: str
) -> None:
    network = build_network(slopes.outline(slopes.rectangle(24, 16)))
    with pytest.raises(ComputationError, match=match):
        ground_from_readings(network, corners, along)
