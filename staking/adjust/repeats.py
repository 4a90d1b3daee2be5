"""Which reading to take again before any stake is moved."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from staking.adjust.blunders import ALIKE, Sifted, first_of_most
from staking.adjust.explanations import planned_lengths
from staking.network.fitted import Measurement
from staking.network.geometry import Floats

TIED = 1e-6
"""Test statistics nearer than this are one."""


def to_repeat(
    sifted: Sifted,
    plan: Floats,
    *,
    decided: bool,
    is_square_without: Callable[[Sequence[Measurement]], bool],
) -> tuple[Measurement, ...]:
    """Name the reading that is to be taken again before any stake moves.

    Parameters
    ----------
    sifted
        The adjustment of stakes that are not square.
    plan
        Where the corners stand on the plan, m, shape ``(n, 2)``.
    decided
        Whether the verdict is.
    is_square_without
        Judges the shape by some of the readings.

    Returns
    -------
    tuple of Measurement
        The reading with the largest misfit, where the verdict is not decided or the stakes would be
        square without that reading; of readings that cannot be told apart the one farthest from the
        plan.
    """
    kept = sifted.solution.adjusted
    if not kept:
        return ()
    tapes = [each.measurement for each in kept]
    lengths = planned_lengths(sifted.solution.names, plan, tapes)
    far = np.array([
        abs(m.distance - p) / m.standard_error for m, p in zip(tapes, lengths, strict=True)
    ])
    tests = np.array([abs(each.standardised) for each in kept])
    worst = first_of_most(tests)
    alike = np.abs(sifted.solution.correlation[worst]) > ALIKE
    alike[worst] = True
    if tests[worst] <= TIED:
        # nothing checks anything: the one farthest from the plan
        alike = np.ones(len(tests), dtype=bool)
    wrong = first_of_most(np.where(alike, far, -1.0))
    rest = [each for place, each in enumerate(tapes) if place != wrong]
    if decided and (sifted.redundancy == 0 or not is_square_without(rest)):
        return ()
    return (tapes[wrong],)
