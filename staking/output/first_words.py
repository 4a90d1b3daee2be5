"""What comes first on a job in words: the same on Start here and in the terminal's last lines."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.output.tables.notice_listings import notice_sentence, sentence
from staking.output.tables.work_tables import act_text
from staking.output.wording import Words, safe

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from staking.laid_out.first_things import DeepestDig, FirstThings
    from staking.layout.layout_parts import Check
    from staking.notices import Notice


NOTHING_BROKEN = "Every limit set in the job is kept"
"""The verdict of a job that breaks nothing, without its stop."""

SETTLE_FIRST = "settle this before anything is staked or dug"
"""What to do where something is broken."""


def broken_texts(broken: Iterable[Notice], words: Words) -> tuple[str, ...]:
    """Write out what is broken, each sentence once."""
    return tuple(dict.fromkeys(notice_sentence(each, words) for each in broken))


def act_texts(first: FirstThings, words: Words) -> tuple[str, ...]:
    """Write out the first acts, each a sentence."""
    return tuple(act_text(each, words) for each in first.acts)


def benchmark_text(deepest: DeepestDig, words: Words) -> str | None:
    """Name the benchmark and its level; None where the job gives none."""
    if deepest.benchmark is None or deepest.benchmark_level is None:
        return None
    return f"Benchmark {safe(deepest.benchmark)}, elevation {words.level(deepest.benchmark_level)}"


def deepest_text(deepest: DeepestDig, words: Words) -> str:
    """Give the deepest dig level and what is added to the reading on the benchmark for it."""
    said = f"Deepest dig level {words.level(deepest.level)}"
    if deepest.add is None:
        return said
    return f"{said}: add {words.added(deepest.add, deepest.rod)} to the reading on the benchmark"


def longest_text(longest: Check, words: Words) -> str:
    """Give what the tape must read on the longest diagonal."""
    ends = f"{safe(longest.from_name)} - {safe(longest.to_name)}"
    return (
        f"Longest diagonal {ends}: the tape reads {words.length(longest.distance)}, "
        f"give or take {words.allowed(longest.allowed)}"
    )


def verdict_text(broken: Sequence[str]) -> str:
    """Say in a sentence whether anything is broken, and the first of it."""
    if not broken:
        return sentence(NOTHING_BROKEN)
    if len(broken) == 1:
        return f"BROKEN: {broken[0]}"
    return f"BROKEN, {len(broken)} things, all of them above: {broken[0]}"
