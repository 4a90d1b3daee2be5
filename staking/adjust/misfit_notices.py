"""The notices about readings that do not fit, and about those that nothing checks."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from staking.network.fitted import FittedNetwork, Measurement
from staking.notices import Length, Notice, Severity, notice

if TYPE_CHECKING:
    from staking.adjust.suspects import Suspect


def chi_squared_limit(freedom: int) -> float:
    """Give what a sum of squares of good readings stays under in 99 cases of 100.

    Parameters
    ----------
    freedom
        The redundancy, one or more.

    Returns
    -------
    float
        The 99 % point of the chi-squared distribution, within 2 percent.

    Notes
    -----
    E. B. Wilson and M. M. Hilferty, The distribution of chi-square, 1931 (from memory).
    """
    part = 2 / (9 * freedom)
    return float(freedom * (1 - part + 2.326348 * math.sqrt(part)) ** 3)


def pair_of(measurement: Measurement) -> str:
    """Name a measurement by its two corners, as it was given."""
    return f"{measurement.from_name}-{measurement.to_name}"


def swapped_notices(pairs: Iterable[tuple[Measurement, Measurement]]) -> list[Notice]:
    """Tell of readings that stand in each other's place.

    Parameters
    ----------
    pairs
        The pairs of readings that look exchanged.

    Returns
    -------
    list of Notice
        One notice for each pair.
    """
    return [
        notice(
            "readings-swapped",
            "{one} and {other} look swapped: each reads what the other should; write them the "
            "other way round and check again",
            Severity.WARNING,
            one=pair_of(one),
            other=pair_of(other),
        )
        for one, other in pairs
    ]


def misfit_notices(
    measurements: Sequence[Measurement],
    solution: FittedNetwork,
    suspects: Sequence[Suspect],
    left_out: frozenset[int],
    redundancy: int,
) -> tuple[Notice, ...]:
    """Tell of what does not fit, of what nothing checks, and of readings that disagree as a whole.

    Parameters
    ----------
    measurements, solution
        The readings, and the shape by those that are kept.
    suspects, left_out
        What was named, and the places of the readings that are left out.
    redundancy
        Of all readings.

    Returns
    -------
    tuple of Notice
        The notices for whoever reads the answer.
    """
    told = [suspect_notice(measurements, suspect, left_out, redundancy) for suspect in suspects]
    if redundancy == 0:
        told.append(
            notice(
                "nothing-checks",
                "there are just enough readings to fix the shape: it is worked out, but nothing "
                "checks it, and a tape read a foot out would not show; tape one more distance",
            )
        )
    unchecked = [pair_of(each.measurement) for each in solution.adjusted if each.redundancy <= 0]
    if redundancy > 0 and unchecked:
        told.append(
            notice(
                "reading-not-checked",
                "{pairs}: no other reading checks this; read it twice",
                pairs=", ".join(dict.fromkeys(unchecked)),
            )
        )
    factor = solution.variance_factor
    if (
        factor is not None
        and solution.redundancy > 0
        and factor * solution.redundancy > chi_squared_limit(solution.redundancy)
        and not any(not suspect.alone for suspect in suspects)
    ):
        told.append(
            notice(
                "readings-disagree",
                "the readings disagree about {times} times as much as the tape's error allows: "
                "pull and hold it more carefully, or give the job a larger tape error",
                times=f"{math.sqrt(factor):.1f}",
            )
        )
    return tuple(told)


def suspect_notice(
    measurements: Sequence[Measurement],
    suspect: Suspect,
    left_out: frozenset[int],
    redundancy: int = 2,
) -> Notice:
    """Name a reading that does not fit, or several of which one, nobody knows which, does not.

    Parameters
    ----------
    measurements
        The readings.
    suspect
        What was found.
    left_out
        Places of the readings that are left out.
    redundancy
        Of all readings.

    Returns
    -------
    Notice
        The notices about it.
    """
    pairs = [pair_of(measurements[place]) for place in suspect.members]
    if redundancy == 1 and not suspect.alone:
        return notice(
            "something-is-off",
            "something is off: with one reading to spare nothing says which of {pairs} is wrong; "
            "read them again, or tape one more distance",
            pairs=", ".join(pairs),
        )
    if not suspect.alone:
        return notice(
            "cannot-tell-apart",
            "one of {pairs} does not fit, and the readings cannot say which; read them again",
            pairs=", ".join(pairs),
        )
    way = "long" if suspect.size > 0 else "short"
    guess = ": {slip}?" if suspect.slip else ";"
    after = (
        " what follows leaves it out; read it again"
        if suspect.members[0] in left_out
        else (" read it again")
    )
    values: dict[str, str | Length] = {"pair": pairs[0], "size": Length(abs(suspect.size))}
    if suspect.slip:
        values["slip"] = suspect.slip
    return notice(
        "reading-does-not-fit",
        "{pair} reads about {size} " + way + guess + after,
        Severity.WARNING,
        **values,
    )
