"""What is said where a placement names something that is not there."""

from __future__ import annotations

import pytest

from staking.errors import InputError
from staking.plan import Plan
from staking.site.known import Known
from staking.units import Unit


@pytest.mark.parametrize(
    ("count", "listed"),
    [
        (0, "the survey has no point"),
        (8, "use one of 1, 2, 3, 4, 5, 6, 7, 8"),
        (9, "use one of 1, 2, 3, 4, 5, 6, 7, 8 and 1 more"),
        (20, "use one of 1, 2, 3, 4, 5, 6, 7, 8 and 12 more"),
    ],
)
def test_up_to_eight_names_are_listed_and_the_others_counted(count: int, listed: str) -> None:
    points = {str(i): (0.0, float(i)) for i in range(1, count + 1)}
    known = Known(plan=Plan(job="", buildings=()), points=points, unit=Unit.M)
    with pytest.raises(InputError) as caught:
        known.point("99")
    (problem,) = caught.value.problems
    assert problem.message == "there is no point 99 in the survey"
    assert problem.remedy == listed
