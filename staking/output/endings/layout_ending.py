"""The last lines of the commands that start from a layout: its tapes, its levels, its stakes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.output.endings.six_lines import Ending, files_sentence
from staking.output.first_words import (
    SETTLE_FIRST,
    act_texts,
    broken_texts,
    deepest_text,
    longest_text,
    verdict_text,
)
from staking.output.tables.notice_listings import sentence
from staking.output.tables.work_tables import act_text, near_lines
from staking.output.wording import Words, safe

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from staking.laid_out.first_things import FirstThings
    from staking.laid_out.layout_value import Layout
    from staking.laid_out.staked_out import StakeOut
    from staking.layout.steps.work import WorkPlan
    from staking.plan import Options


def layout_ending(first: FirstThings, options: Options, paths: Sequence[Path] = ()) -> Ending:
    """Say what comes first on a job, and where its files are.

    Parameters
    ----------
    first
        What comes first, as Start here has it.
    options
        How lengths are shown.
    paths
        The files that were written.

    Returns
    -------
    Ending
        The figure is the deepest dig, or the longest diagonal of a job without levels.
    """
    words = Words(options)
    acts = act_texts(first, words)
    return Ending(
        verdict=verdict_text(broken_texts(first.broken, words)),
        first=_first(first, acts[0] if acts else ""),
        figure=_figure(first, words),
        files=files_sentence(paths),
        cautions=True,
    )


def levels_ending(first: FirstThings, options: Options, paths: Sequence[Path] = ()) -> Ending:
    """Say what comes first with the level in hand.

    Parameters
    ----------
    first
        What comes first; its first acts are not used.
    options
        How lengths are shown.
    paths
        The files that were written.

    Returns
    -------
    Ending
        The act is the reading on the benchmark, the figure the deepest dig.
    """
    words = Words(options)
    act = "Give a benchmark under grade:, so that the levels can be set with a rod."
    if first.deepest is not None and first.deepest.benchmark is not None:
        act = (
            f"Read the rod on the benchmark {safe(first.deepest.benchmark)} and write it down; "
            "every level is added to it."
        )
    return Ending(
        verdict=verdict_text(broken_texts(first.broken, words)),
        first=_first(first, act),
        figure=_figure(first, words),
        files=files_sentence(paths),
        cautions=True,
    )


def work_ending(first: FirstThings, layout: Layout, work: WorkPlan) -> Ending:
    """Say how the day begins and how near the stakes come.

    Parameters
    ----------
    first
        What comes first.
    layout
        The layout.
    work
        The order of work.

    Returns
    -------
    Ending
        The figure is how near every stake comes with all the checks.
    """
    words = Words(layout.options)
    acts = act_texts(first, words)
    return Ending(
        verdict=verdict_text(broken_texts(first.broken, words)),
        first=_first(first, acts[0] if acts else ""),
        figure=next(iter(near_lines(layout, work)), ""),
        cautions=True,
    )


def stakeout_ending(first: FirstThings, layout: Layout, found: StakeOut) -> Ending:
    """Say which stake comes first, and how many cannot be reached by two tapes.

    Parameters
    ----------
    first
        What comes first; its acts are the tapes to the first stakes.
    layout
        The layout.
    found
        How it is staked out.

    Returns
    -------
    Ending
        The figure is how many stakes two tapes reach.
    """
    words = Words(layout.options)
    acts = tuple(act_text(each, words) for each in first.acts)
    reached, every = len(found.ties), len(found.points)
    return Ending(
        verdict=verdict_text(broken_texts(first.broken, words)),
        first=_first(first, acts[0] if acts else ""),
        figure=f"Two tapes from known points reach {reached} of {every} stakes and marks.",
        cautions=True,
    )


def _first(first: FirstThings, act: str) -> str:
    return sentence(SETTLE_FIRST) if first.broken else act


def _figure(first: FirstThings, words: Words) -> str:
    if first.deepest is not None:
        text = deepest_text(first.deepest, words)
    elif first.longest is not None:
        text = longest_text(first.longest, words)
    else:
        return ""
    return sentence(text)
