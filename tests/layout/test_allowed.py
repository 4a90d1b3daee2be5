from __future__ import annotations

import pytest

from staking.errors import ComputationError
from staking.kinds import CheckKind
from staking.layout.allowed import PRESETS, allowed_difference, allowed_notices
from staking.plan import ToleranceRules

FOOT = 0.3048
INCH = 0.0254


def test_presets_bear_the_names_of_their_published_sources() -> None:
    assert list(PRESETS) == ["small building", "ISO 4463-1 position points"]
    assert all(preset.source for preset in PRESETS.values())


def test_sides_over_a_hundred_feet_are_allowed_in_proportion() -> None:
    assert allowed_difference(ToleranceRules(), CheckKind.SIDE, 200 * FOOT) == pytest.approx(
        INCH / 2, abs=1e-12
    )


def test_ten_feet_exactly_takes_the_larger_allowance_whatever_the_last_digit() -> None:
    for length in (10 * FOOT, 10 * FOOT - 1e-12):
        assert allowed_difference(ToleranceRules(), CheckKind.SIDE, length) == pytest.approx(
            INCH / 4, abs=1e-12
        )


@pytest.mark.parametrize(
    "kind", [CheckKind.DIAGONAL, CheckKind.TIE, CheckKind.RIGHT_ANGLE, CheckKind.ANGLE]
)
def test_ties_and_triangles_take_the_rule_of_diagonals(kind: CheckKind) -> None:
    assert allowed_difference(ToleranceRules(), kind, 50 * FOOT) == pytest.approx(
        0.375 * INCH, abs=1e-12
    )


def test_nothing_finer_is_allowed_than_lengths_are_read() -> None:
    # 3/4" in 100 ft of the 5 11/16" across legs of 4" is 0.004", which no tape shows.
    rules = ToleranceRules()
    for step in (INCH / 16, 0.001):
        assert allowed_difference(rules, CheckKind.ANGLE, 5.6875 * INCH, step) == step
    assert allowed_difference(rules, CheckKind.ANGLE, 25 * FOOT, INCH / 16) == pytest.approx(
        0.1875 * INCH, abs=1e-12
    )


def test_the_job_overrides_each_rule_singly() -> None:
    rules = ToleranceRules(side=0.004)
    assert allowed_difference(rules, CheckKind.SIDE, 5.0) == 0.004
    assert allowed_difference(rules, CheckKind.POINT, 5.0) == pytest.approx(INCH / 4, abs=1e-12)
    rules = ToleranceRules(diagonal_per_length=0.001, stake=0.003)
    assert allowed_difference(rules, CheckKind.TIE, 5.0) == pytest.approx(0.005, abs=1e-12)
    assert allowed_difference(rules, CheckKind.POINT, 5.0) == 0.003
    assert allowed_difference(rules, CheckKind.SIDE, 5.0) == pytest.approx(INCH / 4, abs=1e-12)


def test_an_unknown_preset_is_refused_with_the_known_ones() -> None:
    with pytest.raises(ComputationError, match="barn names no tolerances; the presets are small"):
        allowed_difference(ToleranceRules(preset="barn"), CheckKind.SIDE, 5.0)


def test_where_a_published_rule_is_applied_otherwise_it_is_said() -> None:
    assert allowed_notices(ToleranceRules()) == ()
    (told,) = allowed_notices(ToleranceRules(preset="ISO 4463-1 position points"))
    assert "from the control point; on sides and diagonals between corners" in told.text
    assert "applied by us" in told.text
    assert "applied by us" in PRESETS["small building"].source
    assert "5-leg of a 3-4-5" in PRESETS["small building"].source
