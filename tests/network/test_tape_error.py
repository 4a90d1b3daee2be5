from __future__ import annotations

import numpy as np
import pytest

from staking.errors import ComputationError
from staking.network.tape_error import permissible_error, standard_error
from staking.plan import Tape


def test_one_standard_error_holds_at_every_distance() -> None:
    tape = Tape(error=0.003)
    assert standard_error(tape, 25.0) == 0.003
    assert standard_error(tape, np.array([1.0, 30.0])).tolist() == [0.003, 0.003]


def test_a_class_counts_before_the_one_error() -> None:
    # 2.3 mm over the root of 3
    assert standard_error(Tape(error=0.003, grade="II"), 10.0) == pytest.approx(
        0.001327906, abs=1e-9
    )


def test_rounding_in_the_last_digit_adds_no_metre() -> None:
    assert permissible_error("I", 10.0 + 1e-12) == permissible_error("I", 10.0)
    assert permissible_error("I", 10.001) > permissible_error("I", 10.0)


def test_an_array_keeps_its_shape() -> None:
    errors = standard_error(Tape(error=None, grade="III"), np.array([[10.0, 30.0]]))
    assert errors.shape == (1, 2)
    assert errors[0, 0] < errors[0, 1]


def test_an_unknown_class_is_refused() -> None:
    with pytest.raises(
        ComputationError, match="IV is not a tape class; the classes are I, II, III"
    ):
        standard_error(Tape(grade="IV"), 5.0)


@pytest.mark.parametrize("error", [None, 0.0, -0.001])
def test_a_tape_without_any_error_is_refused(error: float | None) -> None:
    with pytest.raises(ComputationError, match="neither a class nor an error above 0"):
        standard_error(Tape(error=error), 5.0)
