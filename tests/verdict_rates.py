"""How often the verdicts of ``staking check`` are right, on many random plans: run by hand.

``python -m tests.verdict_rates [PLANS]`` prints five rates; see DEVELOPERS.md.
"""

from __future__ import annotations

import sys

import numpy as np

from tests.verdicts import (
    case,
    finds_a_stake,
    is_called_square,
    is_square_moved_as_seen,
    is_square_within_two_rounds,
    jogged_case,
    rounded_readings_are_left_alone,
)


def main(plans: int = 500) -> None:
    """Print how often each holds."""
    rng = np.random.default_rng(1)
    cases = [case(rng) for _ in range(plans)]
    alone = sum(rounded_readings_are_left_alone(each) for each in cases)
    square = sum(is_called_square(each, rng) for each in cases for _ in range(4))
    found = sum(finds_a_stake(each, rng) for each in cases for _ in range(2))
    rounds = sum(is_square_within_two_rounds(each, rng) for each in cases)
    seen = sum(is_square_moved_as_seen(jogged_case(rng), rng) for _ in range(plans))
    for text, count, of in (
        ("readings as planned, rounded, are square, decided and move nothing", alone, plans),
        ("perfect buildings read with one standard error are square", square, 4 * plans),
        ("a stake 2.5 limits off is found and named", found, 2 * plans),
        ("moved as advised: square within two rounds", rounds, plans),
        (
            'jogs of 3" to 6", stakes 2" to 5" off, moved by sight: square in two rounds',
            seen,
            plans,
        ),
    ):
        print(f"{text}: {count} of {of} ({100 * count / of:.1f} %)")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
