"""What a builder needs before anything else: what is broken, the first acts, the deepest dig.

Start here on paper and the last lines in the terminal say the same, from this one value.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from staking.frozen import frozen
from staking.kinds import CheckKind, LevelKind, RodMarks, WorkKind
from staking.laid_out.layout_value import Layout
from staking.laid_out.lot_figures import TapeArc
from staking.layout.layout_parts import Check
from staking.layout.steps.work import WorkPlan
from staking.notices import Length, Notice, Severity, notice

ACTS = 3
"""How many of the first acts are kept; the order of work has the others."""


@frozen
class DeepestDig:
    """The lowest level that is dug to, and how the rod finds it.

    Parameters
    ----------
    level
        The level, m.
    add
        What is added to the reading on the benchmark, m; None without a benchmark.
    rod
        How the rod is marked.
    benchmark, benchmark_level
        The benchmark's name and its level, m; None where the job gives none.
    """

    level: float
    add: float | None
    rod: RodMarks
    benchmark: str | None
    benchmark_level: float | None


@frozen
class FirstThings:
    """What comes before everything else on a job.

    Parameters
    ----------
    broken
        What breaks something that the job itself sets, each said once.
    acts
        The first acts of the day, at most `ACTS`.
    deepest
        The deepest dig; None for a job without levels.
    longest
        The longest diagonal that is taped; None where none is.
    """

    broken: tuple[Notice, ...]
    acts: tuple[Notice, ...] = ()
    deepest: DeepestDig | None = None
    longest: Check | None = None


def first_things(
    layout: Layout, work: WorkPlan | None = None, arcs: Sequence[TapeArc] = ()
) -> FirstThings:
    """Find what comes before everything else on a job.

    Parameters
    ----------
    layout
        The layout.
    work
        The order of work; None where there is no outline to set out.
    arcs
        The two tapes from known points to each of the first stakes; none where the building is
        not placed, and the order of work then begins with its own base line.

    Returns
    -------
    FirstThings
        Complete.
    """
    return FirstThings(
        broken=broken_of(layout.notices),
        acts=tuple(_acts(work, arcs))[:ACTS],
        deepest=_deepest(layout),
        longest=_longest(layout),
    )


def broken_of(notices: Sequence[Notice]) -> tuple[Notice, ...]:
    """Choose the notices that say what is broken, each of them once."""
    return tuple(dict.fromkeys(each for each in notices if each.severity is Severity.BROKEN))


def _acts(work: WorkPlan | None, arcs: Sequence[TapeArc]) -> Iterator[Notice]:
    if work is None:
        return
    tapes: dict[str, list[TapeArc]] = {}
    for arc in arcs:
        tapes.setdefault(arc.stake, []).append(arc)
    for stake, own in tapes.items():
        yield stake_by_tapes(stake, [(arc.known, arc.distance) for arc in own])
    for step in work.steps:
        # What holds for every step is not an act, and a stake that is tied to known points stands.
        if step.kind is not WorkKind.RULE and not tapes.keys() & {*step.names[:1]}:
            yield step.says


def stake_by_tapes(stake: str, tapes: Sequence[tuple[str, float]]) -> Notice:
    """Say where a stake is driven.

    Parameters
    ----------
    stake
        Its name.
    tapes
        From which known point a tape is pulled, and what it reads, m.

    Returns
    -------
    Notice
        The act.
    """
    gaps: dict[str, str | Length] = {}
    for at, (known, distance) in enumerate(tapes):
        gaps |= {f"known{at}": known, f"tape{at}": Length(distance)}
    said = " and ".join(f"{{tape{at}}} from {{known{at}}}" for at in range(len(tapes)))
    text = f"drive stake {{stake}} where the tapes read {said}"
    return notice("first-tapes", text, Severity.NOTE, stake=stake, **gaps)


def _deepest(layout: Layout) -> DeepestDig | None:
    graded = layout.grade
    if graded is None:
        return None
    digs = [each for each in graded.levels if each.what is LevelKind.DIG]
    if not digs:
        return None
    lowest = min(digs, key=lambda each: each.level)
    return DeepestDig(
        level=lowest.level,
        add=lowest.add_to_benchmark,
        rod=graded.rod,
        benchmark=graded.benchmark,
        benchmark_level=graded.benchmark_level,
    )


def _longest(layout: Layout) -> Check | None:
    taped = [each for each in layout.checks if each.kind is CheckKind.DIAGONAL]
    return max(taped, key=lambda each: each.distance, default=None)
