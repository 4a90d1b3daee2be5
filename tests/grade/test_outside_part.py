"""Frost where the inside is heated is judged from the ground outside the wall's face alone."""

from __future__ import annotations

import pytest

from staking.grade.stepping.cells import Patch, outside_part
from staking.grade.stepping.wall_network import build_network
from tests.grade import slopes

INCH = 0.0254


def test_the_part_outside_a_wall_lies_between_its_face_and_the_footings_edge() -> None:
    # A-B runs along x with the building to its left: the footing reaches 6" out, to y = -6",
    # and 14" in, to y = 14"; of that the strip from y = -6" to the face at 0 lies outside.
    strand = build_network(slopes.outline(slopes.rectangle(24, 16))).strand("A-B")
    ring = ((0.0, -6 * INCH), (2.0, -6 * INCH), (2.0, 14 * INCH), (0.0, 14 * INCH))
    found = outside_part(strand, Patch(wall="A-B", start=0.0, end=2.0, ring=ring))
    across = [y / INCH for _, y in found.ring]
    assert (min(across), max(across)) == pytest.approx((-6, 0), rel=0, abs=1e-9)
    assert sorted({round(x, 9) for x, _ in found.ring}) == [0.0, 2.0]


def test_a_patch_that_lies_inside_leaves_the_face_itself() -> None:
    strand = build_network(slopes.outline(slopes.rectangle(24, 16))).strand("A-B")
    ring = ((0.0, 2 * INCH), (2.0, 2 * INCH), (2.0, 14 * INCH), (0.0, 14 * INCH))
    found = outside_part(strand, Patch(wall="A-B", start=0.0, end=2.0, ring=ring))
    assert [y for _, y in found.ring] == pytest.approx([0.0, 0.0], rel=0, abs=1e-9)
