"""Readings that do not fit: one at a time, with the size of the mistake."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from itertools import combinations
from statistics import NormalDist

import numpy as np

from staking.adjust.misfit_notices import misfit_notices, swapped_notices
from staking.adjust.suspects import Suspect
from staking.frozen import frozen
from staking.network.fitted import Adjusted, FittedNetwork, Measurement
from staking.network.geometry import Floats
from staking.network.solve import solve
from staking.network.unfixed import NotFixedError
from staking.notices import Notice
from staking.units import FOOT, INCH

LIMIT = 3.29
"""A standardised residual beyond this is a mistake: one good reading in a thousand goes there.

W. Baarda, A testing procedure for use in geodetic networks (from memory).
"""

FALSE_ALARM = 0.02
"""Of very many good readings one is named in at most this share of cases (common practice, no
source)."""

TIE = 1e-9
"""Test statistics nearer than this share of themselves are the same."""

ALIKE = 0.95
"""Readings whose standardised residuals correlate above this cannot be told apart (common practice,
no source)."""

SLIPS = (
    (INCH, "a tape held at the 1 in mark", "a tape held an inch past its end"),
    (0.1, "a tape held at the 10 cm mark", "the wrong 10 cm read"),
    (FOOT, "a tape held at the 1 ft mark", "the foot before read"),
    (1.0, "a tape held at the 1 m mark", "the metre before read"),
    (10 * FOOT, "the wrong ten feet read", "the wrong ten feet read"),
    (10.0, "the wrong ten metres read", "the wrong ten metres read"),
)
"""Slips by size, m: what makes a reading long, and short. Common practice, no source."""


@frozen(eq=False)
class Sifted:
    """An adjustment after the search for mistakes.

    Parameters
    ----------
    solution
        The shape by the readings that are kept.
    first
        The shape by all of them.
    adjusted
        Every reading against that shape, in the order given. One that is left out keeps the
        standardised residual and the redundancy number it was named with.
    suspects
        What does not fit, in the order it was found.
    left_out
        Places of the readings that the shape leaves out.
    redundancy
        Of all readings, those left out included.
    notices
        The notices for whoever reads the answer.
    """

    solution: FittedNetwork
    first: FittedNetwork
    adjusted: tuple[Adjusted, ...]
    suspects: tuple[Suspect, ...]
    left_out: frozenset[int]
    redundancy: int
    notices: tuple[Notice, ...]

    @property
    def unclear(self) -> bool:
        """Whether something is off and it cannot be said which reading."""
        return any(not suspect.alone for suspect in self.suspects)

    @property
    def suspected(self) -> frozenset[int]:
        """Places of all readings that are named, alone or together."""
        return frozenset(place for suspect in self.suspects for place in suspect.members)


def sift(
    names: Sequence[str],
    plan: Floats,
    measurements: Sequence[Measurement],
    *,
    usable: Sequence[tuple[str, str]] | None = None,
    anywhere: bool = False,
) -> Sifted:
    """Adjust taped distances and name those that do not fit.

    Parameters
    ----------
    names, plan, measurements, usable, anywhere
        As for `staking.network.solve.solve`.

    Returns
    -------
    Sifted
        The shape without the readings that were named alone.

    Notes
    -----
    Data snooping: the reading with the greatest standardised residual beyond 3.29 (of more than
    twenty readings more: `misfit_limit`) is named, left out, and the rest adjusted anew, as long as
    one is beyond it. The mistake is ``-v / r`` with
    standard error ``sigma / sqrt(r)``: W. Baarda, A testing procedure for use in geodetic
    networks (from memory). Of a reading that is left out it is in the end taken against the shape
    by the others: another wrong one does not spoil it then, nor does a large one.
    `staking.network.unfixed.NotFixedError` comes through when all readings together do not fix the
    shape.
    """
    kept = list(range(len(measurements)))
    solution = first = solve(names, plan, measurements, usable=usable, anywhere=anywhere)
    suspects: list[Suspect] = []
    while len(suspects) < first.redundancy:
        found = _worst(solution, kept)
        if found is None:
            break
        suspects.append(found)
        if not found.alone:
            break
        rest = [place for place in kept if place != found.members[0]]
        try:
            solution = solve(
                names, plan, [measurements[i] for i in rest], usable=usable, anywhere=anywhere
            )
        except NotFixedError:
            break
        kept = rest
    left_out = frozenset(range(len(measurements))) - set(kept)
    adjusted = _against(solution, measurements, kept, suspects)
    suspects = [_resized(each, adjusted, left_out) for each in suspects]
    return Sifted(
        solution=solution,
        first=first,
        adjusted=adjusted,
        suspects=tuple(suspects),
        left_out=left_out,
        redundancy=first.redundancy,
        notices=(
            *swapped_notices(_swapped(adjusted, suspects, left_out)),
            *misfit_notices(measurements, solution, suspects, left_out, first.redundancy),
        ),
    )


def misfit_limit(count: int) -> float:
    """Give what the standardised residuals of good readings stay under.

    Parameters
    ----------
    count
        How many readings there are.

    Returns
    -------
    float
        3.29 up to twenty readings; beyond them more, so that still only in one case of fifty one
        of them passes it.

    Notes
    -----
    The two-sided normal limit at the chance shared among all readings (Bonferroni's inequality).
    """
    return max(LIMIT, NormalDist().inv_cdf(1 - FALSE_ALARM / (2 * max(count, 1))))


def likely_slip(size: float, size_error: float) -> str:
    """Guess what made a reading long or short.

    Parameters
    ----------
    size, size_error
        By how much it reads long, m, and the standard error of that.

    Returns
    -------
    str
        What may have happened, or nothing: where no usual slip lies within two standard errors,
        or more than one does.
    """
    reach = 2 * size_error
    near = [slip for slip in SLIPS if abs(abs(size) - slip[0]) <= reach]
    if len(near) != 1 or reach > near[0][0] / 2:
        return ""
    return near[0][1] if size > 0 else near[0][2]


def first_of_most(sizes: Floats) -> int:
    """Give the first place of the greatest of some sizes, those within a billionth being alike.

    Parameters
    ----------
    sizes
        Shape ``(n,)``, one at least.

    Returns
    -------
    int
        Its place.
    """
    most = float(sizes.max())
    return int(np.flatnonzero(sizes >= most - TIE * max(most, 1.0))[0])


def _worst(solution: FittedNetwork, kept: Sequence[int]) -> Suspect | None:
    tests = np.array([abs(each.standardised) for each in solution.adjusted])
    worst = first_of_most(tests) if len(tests) else 0
    if not len(tests) or tests[worst] <= misfit_limit(len(tests)):
        return None
    each = solution.adjusted[worst]
    alike = np.flatnonzero(np.abs(solution.correlation[worst]) > ALIKE)
    others = [int(i) for i in alike if i != worst and solution.adjusted[i].redundancy > 0]
    size = -each.residual / each.redundancy
    error = each.measurement.standard_error / math.sqrt(each.redundancy)
    return Suspect(
        members=tuple(kept[i] for i in (worst, *others)),
        size=size,
        size_error=error,
        standardised=each.standardised,
        redundancy=each.redundancy,
        slip=likely_slip(size, error),
    )


def _resized(suspect: Suspect, adjusted: Sequence[Adjusted], left_out: frozenset[int]) -> Suspect:
    place = suspect.members[0]
    if place not in left_out:
        return suspect
    size = -adjusted[place].residual
    return replace(suspect, size=size, slip=likely_slip(size, suspect.size_error))


def _swapped(
    adjusted: Sequence[Adjusted], suspects: Sequence[Suspect], left_out: frozenset[int]
) -> list[tuple[Measurement, Measurement]]:
    # two readings that were left out, each of which is what the other should have been
    errors = {each.members[0]: each.size_error for each in suspects}
    alone = sorted(left_out & errors.keys())
    found = []
    for one, other in combinations(alone, 2):
        first, second = adjusted[one], adjusted[other]
        gaps = (
            (first.measurement.distance - second.adjusted, errors[other]),
            (second.measurement.distance - first.adjusted, errors[one]),
        )
        if all(abs(gap) <= LIMIT * error for gap, error in gaps):
            found.append((first.measurement, second.measurement))
    return found


def _against(
    solution: FittedNetwork,
    measurements: Sequence[Measurement],
    kept: Sequence[int],
    suspects: Sequence[Suspect],
) -> tuple[Adjusted, ...]:
    at = {name: place for place, name in enumerate(solution.names)}
    of = dict(zip(kept, solution.adjusted, strict=True))
    named = {suspect.members[0]: suspect for suspect in suspects}
    found = []
    for place, each in enumerate(measurements):
        if place in of:
            found.append(of[place])
            continue
        step = solution.coordinates[at[each.to_name]] - solution.coordinates[at[each.from_name]]
        found.append(left_out_reading(each, step, named[place]))
    return tuple(found)


def left_out_reading(measurement: Measurement, step: Floats, suspect: Suspect) -> Adjusted:
    """Hold a reading that was left out against the shape that the others give.

    Parameters
    ----------
    measurement
        What was read.
    step
        ``(2,)``, from its first point to its second, m.
    suspect
        What was found when it was named.

    Returns
    -------
    Adjusted
        Its residual is the distance of the shape less the reading.
    """
    length = float(np.hypot(step[0], step[1]))
    return Adjusted(
        measurement=measurement,
        adjusted=length,
        residual=length - measurement.distance,
        standardised=suspect.standardised,
        redundancy=suspect.redundancy,
    )
