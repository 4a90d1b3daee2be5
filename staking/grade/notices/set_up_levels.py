"""Benchmark, instrument and stake tops, held against the ground and one another."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from staking.errors import Problem
from staking.frozen import frozen
from staking.grade.graded import LevelMark
from staking.grade.notices.probable_level import probable_level, with_meant
from staking.notices import Length, Notice
from staking.tolerances import ON_LINE
from staking.units import FOOT, INCH, Unit

STAKE_OUT = 5 * FOOT
"""No corner stake stands farther out of the ground, m (common practice, no source)."""

STAKE_UNDER = 6 * INCH
"""Nor farther under the ground that was read beside it, m (common practice, no source)."""

NEAR_GROUND = 5 * FOOT
"""A level that was meant lies this near the ground, m: where a slip is looked for."""


@frozen
class SetUp:
    """What levels are set from, and the ground they are set on; m.

    Parameters
    ----------
    benchmark, instrument
        Elevations of the benchmark and of the line of sight; None where not given.
    read_from
        Elevation of the line of sight that the ground was read from; None without rod readings.
    rod_length
        Of the rod.
    lowest, highest
        Of the existing ground at the walls.
    unit
        The job's.
    """

    benchmark: float | None
    instrument: float | None
    read_from: float | None
    rod_length: float
    lowest: float
    highest: float
    unit: Unit


def set_up_notices(given: SetUp) -> tuple[Notice, ...]:
    """Say where benchmark, instrument and ground do not fit one another.

    Parameters
    ----------
    given
        The levels.

    Returns
    -------
    tuple of Notice
        ``benchmark-far`` where no set-up reads both the benchmark and the ground;
        ``instrument-benchmark`` where the rod on the benchmark cannot be read from the line of
        sight; ``instrument-ground`` where the rod on the ground cannot.
    """
    said: list[Notice] = []
    plausible = (given.lowest - NEAR_GROUND, given.highest + NEAR_GROUND)
    benchmark = given.benchmark
    if benchmark is not None:
        over, under = benchmark - given.highest, given.lowest - benchmark
        if max(over, under) > given.rod_length + ON_LINE:
            said.append(
                with_meant(
                    "benchmark-far",
                    "the benchmark at {level} stands {far} {way} all of the ground at the "
                    "building, farther than the rod of {rod} reaches from one set-up: give both "
                    "from one zero, and check its figure",
                    probable_level(benchmark, *plausible, given.unit),
                    level=Length(benchmark),
                    far=Length(max(over, under)),
                    way="over" if over > under else "under",
                    rod=Length(given.rod_length),
                )
            )
    for sight, what in (
        (given.instrument, "instrument"),
        (given.read_from, "instrument of the rod readings"),
    ):
        if sight is None or said:
            # One wrong level puts the others off as well, and is said once.
            continue
        if benchmark is not None and not (
            -ON_LINE <= sight - benchmark <= given.rod_length + ON_LINE
        ):
            said.append(_against_benchmark(given, what, sight, benchmark))
        elif what == "instrument" and not (
            given.lowest - ON_LINE <= sight <= given.highest + given.rod_length + ON_LINE
        ):
            said.append(
                with_meant(
                    "instrument-ground",
                    "the line of sight at {level} stands {far} {way} all of the ground at the "
                    "building: check instrument: and the elevations of the ground",
                    probable_level(sight, given.highest, given.highest + 6 * FOOT, given.unit),
                    level=Length(sight),
                    far=Length(max(sight - given.highest, given.lowest - sight)),
                    way="over" if sight > given.highest else "under",
                )
            )
    return tuple(said)


def _against_benchmark(given: SetUp, what: str, sight: float, benchmark: float) -> Notice:
    if sight < benchmark:
        text = (
            "the line of sight at {sight} ({what}) stands {far} under the benchmark at "
            "{benchmark}: no rod on it can be read from there; check both, or a set-up farther "
            "down was carried there"
        )
    else:
        text = (
            "the line of sight at {sight} ({what}) stands {far} over the benchmark at {benchmark}, "
            "and the rod is {rod}: check both"
        )
    return with_meant(
        "instrument-benchmark",
        text,
        probable_level(sight, benchmark, benchmark + 6 * FOOT, given.unit),
        sight=Length(sight),
        what=what,
        far=Length(abs(sight - benchmark)),
        benchmark=Length(benchmark),
        rod=Length(given.rod_length),
    )


def unreadable(given: SetUp, marks: Sequence[LevelMark]) -> Problem | None:
    """Refuse an instrument from which the rod can show none of the building's levels.

    Parameters
    ----------
    given
        The levels.
    marks
        What is to be set with the rod.

    Returns
    -------
    Problem or None
        Without lengths; None where a level can be read, or there is no instrument.
    """
    if given.instrument is None or not marks or not all(each.turning_point for each in marks):
        return None
    below = all(each.level > given.instrument for each in marks)
    return Problem(
        message="from this line of sight the rod shows none of the building's levels: "
        + ("all stand above it" if below else "all are farther below it than the rod is long"),
        remedy="check its elevation and the levels: give all from one zero",
        field="instrument",
    )


def stake_top_notices(
    tops: Sequence[tuple[str, float]], ground: Mapping[str, float], unit: Unit
) -> tuple[Notice, ...]:
    """Say which stake tops cannot be where the ground is.

    Parameters
    ----------
    tops
        Corner or pad and the elevation of its stake's top, m.
    ground
        Existing ground at each of them, m; those without are passed over.
    unit
        The job's.

    Returns
    -------
    tuple of Notice
        ``stake-top`` for each.
    """
    said = []
    for name, top in tops:
        here = ground.get(name)
        if here is None or -STAKE_UNDER - ON_LINE <= top - here <= STAKE_OUT + ON_LINE:
            continue
        said.append(
            with_meant(
                "stake-top",
                "the top of the stake at {name}, {top}, stands {far} {way} the ground there at "
                "{ground}: check it, the tapes along the slope come from it",
                probable_level(top, here, here + 3 * FOOT, unit),
                name=name,
                top=Length(top),
                far=Length(abs(top - here)),
                way="over" if top > here else "under",
                ground=Length(here),
            )
        )
    return tuple(said)
