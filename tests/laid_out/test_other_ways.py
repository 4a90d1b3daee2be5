"""What another top of wall would take, where not every one of them keeps the rules."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from staking.errors import ComputationError
from staking.grade.stepped_footing import Alternative
from staking.grade.stepping import cheapest
from staking.grade.stepping.cheapest import GradeRequest
from staking.job.build import parse_job
from staking.laid_out.footing_levels import other_ways
from staking.project.layout import lay_out_job

JOB = """job: shed
building: {rectangle: 24' x 16', wall: 8", footing: {width: 20", thickness: 10"}}
grade:
  ground: {A: 100', B: 98', C: 98', D: 100'}
  top_of_wall: 102'
  frost_depth: 42"
"""


def test_where_one_top_keeps_no_rules_the_others_are_told(monkeypatch: pytest.MonkeyPatch) -> None:
    graded = lay_out_job(parse_job(JOB, "shed.yaml")).grade
    assert graded is not None
    told = other_ways(graded).gains
    assert len(told) == 16
    whole = cheapest.top_of_wall_gains

    def refusing(
        request: GradeRequest, shifts: Sequence[float] | None = None
    ) -> tuple[Alternative, ...]:
        if shifts is None or any(abs(shift - 0.0762) < 1e-9 for shift in shifts):  # 3" up
            raise ComputationError("no footing keeps the rules")
        return whole(request, shifts)

    monkeypatch.setattr(cheapest, "top_of_wall_gains", refusing)
    left = other_ways(graded).gains
    assert left == tuple(each for each in told if abs(float(each.change) - 0.0762) > 1e-9)
    assert len(left) == 15
