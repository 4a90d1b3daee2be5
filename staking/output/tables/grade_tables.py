"""Levels in tables: where to step, what the rod must read, how high the boards stand."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from staking.grade.setting_out.level_groups import levels_by_place
from staking.grade.stepping.built_steps import UPHILL
from staking.grade.stepping.step_rules import PLAIN
from staking.kinds import RodMarks, StakeKind
from staking.output.blocks import Block, BlockTopic, Column, Listing, Table
from staking.output.cautions import LAYOUT_CAUTIONS
from staking.output.tables.beyond_walls_tables import slopes_table, water_table
from staking.output.tables.other_levels import (
    choices_table,
    other_ways_lines,
    slope_tape_table,
    tops_table,
)
from staking.output.wording import Words, safe
from staking.plan import Show

if TYPE_CHECKING:
    from staking.grade.graded import Graded, GradedWall, LowerString
    from staking.laid_out.layout_value import Layout


def grade_blocks(layout: Layout) -> tuple[Block, ...]:
    """Set out the levels of a layout as tables.

    Parameters
    ----------
    layout
        The layout; one without levels gives nothing.

    Returns
    -------
    tuple of Table or Listing
        What to read from top to bottom; parts with nothing in them are left out.
    """
    graded = layout.grade
    if graded is None:
        return ()
    words = Words(layout.options)
    blocks: list[Block] = [
        _levels(layout, graded, words),
        _steps(graded, words),
        _cover(graded, words),
        _pads(graded, words),
        _rod(layout, graded),
        _stakes(graded, words),
        _boards(graded, words),
        _lower_strings(graded, words),
        _deep(graded, words),
        water_table(graded, words),
        slopes_table(graded, words),
        Listing(title="Other ways", lines=other_ways_lines(graded, words)),
        choices_table(graded.choices, layout.options),
        tops_table(graded, words),
        slope_tape_table(layout.checks, dict(graded.stake_tops), words),
        Listing(title="Before you dig", lines=LAYOUT_CAUTIONS, topic=BlockTopic.CAUTIONS),
    ]
    return tuple(
        block for block in blocks if (block.rows if isinstance(block, Table) else block.lines)
    )


def _levels(layout: Layout, graded: Graded, words: Words) -> Table:
    base = layout.options.dig.base

    def rows(wall: GradedWall) -> list[tuple[str, ...]]:
        return [
            (
                safe(wall.profile.wall) if i == 0 else "",
                words.length(level.start),
                words.length(level.end),
                str(level.courses),
                words.level(level.top),
                words.level(level.bottom - base),
                level.governs,
            )
            for i, level in enumerate(wall.profile.levels)
        ]

    count = len(graded.stepped.steps)
    return Table(
        title=f"{safe(layout.plan.job)}: levels of the footing, from each wall's first corner",
        columns=(
            Column(heading="wall"),
            Column(heading="from", right=True),
            Column(heading="to", right=True),
            Column(heading="courses", right=True),
            Column(heading="footing top", right=True),
            Column(heading="dig level", right=True),
            Column(heading="governs"),
        ),
        rows=tuple(row for wall in graded.walls for row in rows(wall)),
        note=f"{count} step{'' if count == 1 else 's'} in all.",
    )


def _steps(graded: Graded, words: Words) -> Table:
    rows = []
    for wall in graded.walls:
        for each in wall.built:
            step = each.step
            rows.append((
                safe(step.wall),
                words.length(step.station),
                "down" if step.down else "up",
                words.length(step.rise),
                words.length(each.dig_to),
                words.level(each.dig_level),
                words.length(each.overlap),
            ))
    return Table(
        title="Steps: dig the lower level past the face, into the bank",
        columns=(
            Column(heading="wall"),
            Column(heading="face at", right=True),
            Column(heading="goes"),
            Column(heading="rise", right=True),
            Column(heading="dig to", right=True),
            Column(heading="at level", right=True),
            Column(heading="overlap", right=True),
        ),
        rows=tuple(rows),
        note=f"Stations are from the wall's first corner{_from_where(graded)}. A face may stand up "
        f"to {words.allowed(UPHILL)} uphill of its station, never downhill, or it breaks the bond."
        f"{_held_to(graded)}",
    )


def _held_to(graded: Graded) -> str:
    """Name the published rule that the steps keep, with its source."""
    rule = graded.request.rules.rule
    if rule is PLAIN:
        return ""
    return f" Steps keep {rule.name}: {rule.source}."


def _from_where(graded: Graded) -> str:
    """Say from which wall the stations of the interior lines in the table run."""
    stepped = {wall.profile.wall for wall in graded.walls if wall.built}
    lines = [line for line in graded.request.plan.interior if line.name in stepped]
    return "".join(f", of {safe(line.name)} from {safe(line.start_on)}" for line in lines)


def _cover(graded: Graded, words: Words) -> Table:
    rules = graded.request.rules

    def cover(spare: float, depth: float) -> str:
        return words.length(spare + depth) if math.isfinite(spare) else "heated"

    return Table(
        title="Cover of the footing's bottom, at the tightest place",
        columns=(
            Column(heading="wall"),
            Column(heading="from", right=True),
            Column(heading="to", right=True),
            Column(heading="bottom", right=True),
            Column(heading="below grade", right=True),
            Column(heading="in the ground", right=True),
        ),
        rows=tuple(
            (
                safe(wall.profile.wall) if i == 0 else "",
                words.length(level.start),
                words.length(level.end),
                words.level(level.bottom),
                cover(level.frost_spare, rules.frost_depth),
                cover(level.bearing_spare, rules.in_ground),
            )
            for wall in graded.walls
            for i, level in enumerate(wall.profile.levels)
        ),
        note=f"Asked for: {words.length(rules.frost_depth)} below finished grade for frost, "
        f"{words.length(rules.in_ground)} in undisturbed ground.",
    )


def _pads(graded: Graded, words: Words) -> Table:
    return Table(
        title="Pads",
        columns=(
            Column(heading="pad"),
            Column(heading="top", right=True),
            Column(heading="bottom", right=True),
            Column(heading="pier", right=True),
            Column(heading="governs"),
        ),
        rows=tuple(
            (
                safe(pad.pad),
                words.level(pad.top),
                words.level(pad.bottom),
                words.length(pad.pier),
                pad.governs,
            )
            for pad in graded.pads
        ),
    )


_SHORT = {
    "top of footing": "footing top",
    "bottom of footing": "its bottom",
    "dig level": "dig",
    "top of pad": "pad top",
    "bottom of pad": "its bottom",
    "dig under pad": "pad dig",
    "top of slab": "slab top",
}
"""Levels as the table names them."""


class _RodWords:
    """Lengths as the rod is marked: inches and tenths side by side where the job is in feet."""

    def __init__(self, layout: Layout, graded: Graded) -> None:
        self._words = Words(layout.options)
        self._metric = layout.options.show in {Show.METRES, Show.MILLIMETRES}
        self._marked = graded.rod

    def length(self, metres: float | None) -> str:
        if metres is None:
            return ""
        if self._metric:
            return self._words.length(metres)
        read = self._words.on_rod(metres, self._marked)
        other = self._words.on_rod(
            metres, RodMarks.INCHES if self._marked is RodMarks.TENTHS else RodMarks.TENTHS
        )
        return f"{read} ({other})".replace(" ft", "")

    def added(self, metres: float | None) -> str:
        if metres is None or self._words.added(metres, self._marked).startswith("less ") is False:
            return self.length(metres)
        return f"less {self.length(-metres)}"


def _rod(layout: Layout, graded: Graded) -> Table:
    words, rod = Words(layout.options), _RodWords(layout, graded)
    groups = levels_by_place(graded.levels, on_stone=layout.options.dig.base > 0)
    reads = graded.instrument is not None
    columns = [
        Column(heading="what"),
        Column(heading="level", right=True),
        *([Column(heading="add", right=True)] if graded.benchmark else []),
        *([Column(heading="rod reads", right=True)] if reads else []),
        *([Column(heading="off string", right=True)] if graded.string is not None else []),
        Column(heading="where"),
    ]
    rows = tuple(
        (
            _SHORT.get(mark.what, mark.what),
            words.level(mark.level),
            *((rod.added(mark.add_to_benchmark),) if graded.benchmark else ()),
            *(((rod.length(mark.reading) or "turn"),) if reads else ()),
            *((words.length(mark.down_from_string or 0.0),) if graded.string is not None else ()),
            safe(", ".join(where)) or "all",
        )
        for mark, where in groups
    )
    return Table(
        title="What the rod must read",
        topic=BlockTopic.ROD,
        columns=tuple(columns),
        rows=rows,
        note=_rod_note(graded, words),
    )


def _rod_note(graded: Graded, words: Words) -> str:
    said = []
    if graded.benchmark is not None and graded.benchmark_level is not None:
        said.append(
            f"Benchmark: {safe(graded.benchmark)}, {words.level(graded.benchmark_level)}. Read "
            "the rod there; that reading and the figure added make what it must read at the level."
        )
    if graded.instrument is not None:
        said.append(f"Line of sight at {words.level(graded.instrument)}.")
    turning = list(dict.fromkeys(mark.turning_point for mark in graded.levels))
    if any(turning):
        said.append(f"turn: the rod does not reach; {' or '.join(why for why in turning if why)}.")
    return " ".join(said)


def _stakes(graded: Graded, words: Words) -> Table:
    def cut(value: float | None) -> str:
        if value is None:
            return "not known"
        return f"{'cut' if value >= 0 else 'fill'} {words.length(abs(value))}"

    return Table(
        title="From the ground at each stake to the dig",
        columns=(
            Column(heading="stake"),
            Column(heading="ground", right=True),
            Column(heading="dig level", right=True),
            Column(heading="cut or fill", right=True),
        ),
        rows=tuple(
            (
                safe(f"{'corner' if each.kind is StakeKind.CORNER else 'hub'} {each.name}"),
                "" if each.ground is None else words.level(each.ground),
                words.level(each.dig),
                cut(each.cut),
            )
            for each in graded.stakes
        ),
    )


def _boards(graded: Graded, words: Words) -> Table:
    known = [each for each in graded.boards if each.height is not None]
    tiers = any(each.tier is not None for each in graded.boards)
    return Table(
        title="Boards, all tops level with the strings",
        columns=(
            Column(heading="board"),
            Column(heading="ground", right=True),
            Column(heading="top", right=True),
            Column(heading="above ground", right=True),
            *((Column(heading="lower string", right=True),) if tiers else ()),
        ),
        rows=tuple(
            (
                each.board,
                "" if each.ground is None else words.level(each.ground),
                words.level(each.top),
                "" if each.height is None else words.length(each.height),
                *(("" if each.tier is None else words.level(each.tier),) if tiers else ()),
            )
            for each in known
        ),
    )


def _lower_strings(graded: Graded, words: Words) -> Table:
    def ends(lower: LowerString) -> tuple[str, str]:
        tied = tuple("its mark" if name is None else f"board {name}" for name in lower.boards)
        if lower.across is None:
            return tied[0], tied[1]
        across = f"across the trench, {words.length(lower.across)} along"
        board = next(f"board {name}" for name in lower.boards if name is not None)
        return board, across

    return Table(
        title="Lower strings, level from end to end",
        columns=(
            Column(heading="under string"),
            Column(heading="at", right=True),
            Column(heading="below", right=True),
            Column(heading="from"),
            Column(heading="to"),
        ),
        rows=tuple(
            (
                safe(each.string),
                words.level(each.level),
                words.length((graded.string or 0.0) - each.level),
                *ends(each),
            )
            for each in graded.lower
        ),
        note="Each end is a lower board; plumb down from the string above to set its nails.",
    )


def _deep(graded: Graded, words: Words) -> Table:
    return Table(
        title="Deep trench",
        columns=(
            Column(heading="wall"),
            Column(heading="at least", right=True),
            Column(heading="from", right=True),
            Column(heading="to", right=True),
            Column(heading="deepest", right=True),
        ),
        rows=tuple(
            (
                safe(each.wall),
                words.length(each.limit),
                words.length(each.start),
                words.length(each.end),
                words.length(each.deepest),
            )
            for wall in graded.walls
            for each in wall.deep
        ),
    )
