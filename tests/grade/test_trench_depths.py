"""The trench parted by its depth, against depths worked out by hand."""

from __future__ import annotations

from itertools import pairwise

import pytest

from staking.project.resolve import read_and_resolve

FOOT = 0.3048

JOB = """
job: Ramp
units: ft
building:
  rectangle: 40' x 20'
  wall: 8"
  footing: {width: 16", thickness: 8"}
grade:
  ground: {A: 100', B: 104', C: 104', D: 100'}
  benchmark: {name: nail, elevation: 100'}
  top_of_wall: 104' 8"
  frost_depth: 36"
  level: [A-B, B-C, C-D, D-A]
"""


@pytest.fixture(scope="module")
def walls(tmp_path_factory: pytest.TempPathFactory) -> dict[str, object]:
    path = tmp_path_factory.mktemp("ramp") / "job.yaml"
    path.write_text(JOB, encoding="utf-8")
    graded = read_and_resolve(path).layout.grade
    assert graded is not None
    return {each.profile.wall: each for each in graded.walls}


def test_a_level_dig_under_a_ramp_is_parted_every_foot(walls: dict) -> None:
    # The ground rises 4' in 40', one in ten; the dig is level, so it deepens by a foot in 10'.
    wall = walls["A-B"]
    dig = wall.profile.levels[0].bottom / FOOT
    parts = wall.depths
    assert parts[0].start == 0.0
    assert parts[-1].end == pytest.approx(40 * FOOT)
    for before, after in pairwise(parts):
        assert before.end == after.start
        assert after.whole_feet == before.whole_feet + 1
    for part in parts:
        # The deepest place is at the uphill end, cells of 8" reach there; the footing's end lies 4"
        # past the wall's.
        uphill = min(part.end / FOOT, 40.0)
        assert part.deepest / FOOT == pytest.approx(100 + uphill / 10 - dig, abs=0.04)
        assert part.whole_feet == min(int(part.deepest / FOOT + 1e-9), 5)


def test_where_it_is_deep_is_told_alike(walls: dict) -> None:
    for wall in walls.values():
        for limit in (4, 5):
            deep = [e for e in wall.deep if e.limit == pytest.approx(limit * FOOT)]
            parts = [e for e in wall.depths if e.whole_feet >= limit]
            assert bool(deep) == bool(parts)
            if deep:
                assert min(e.start for e in deep) == min(e.start for e in parts)
                assert max(e.deepest for e in deep) == max(e.deepest for e in parts)
