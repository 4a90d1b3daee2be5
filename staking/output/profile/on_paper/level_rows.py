"""The levels of a wall's runs as rows of text, a column for each run."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.frozen import frozen
from staking.grade.setting_out.rods import add_to_benchmark, down_from_string

if TYPE_CHECKING:
    from staking.grade.graded import Graded, GradedWall
    from staking.grade.stepped_footing import Level
    from staking.output.wording import Words


@frozen
class LevelRow:
    """One row of the levels.

    Parameters
    ----------
    heading
        What it gives.
    values
        For each run.
    taped
        Whether it is taped or read on the rod, and so written large.
    """

    heading: str
    values: tuple[str, ...]
    taped: bool


def level_rows(
    graded: Graded, levels: tuple[Level, ...], words: Words, base: float
) -> tuple[LevelRow, ...]:
    """Write the levels of a wall's runs.

    Parameters
    ----------
    graded
        All levels.
    levels
        The runs, in the order of their columns.
    words
        Writes lengths.
    base
        Stone under the footing, m.

    Returns
    -------
    tuple of LevelRow
        Courses; then for the top of the footing and for the dig the level, what is added to the
        benchmark's reading and how far it is down from the string, where these are known.
    """
    rows = [_row("courses", [str(each.courses) for each in levels], taped=False)]
    for heading, heights in (
        ("top of footing", [each.top for each in levels]),
        ("dig level", [each.bottom - base for each in levels]),
    ):
        rows.append(_row(heading, [words.level(each) for each in heights], taped=False))
        added = [add_to_benchmark(graded.benchmark_level, each) for each in heights]
        on_rod = [words.added(each, graded.rod) for each in added if each is not None]
        if len(on_rod) == len(added):
            rows.append(_row("add to benchmark", on_rod, taped=True))
        if graded.string is not None:
            down = [words.length(down_from_string(graded.string, each)) for each in heights]
            rows.append(_row("down from string", down, taped=True))
    return tuple(rows)


def numbered_rows(
    wall: GradedWall, levels: tuple[Level, ...], words: Words
) -> tuple[LevelRow, ...]:
    """Give the runs of a wall numbers, where their levels do not go under them.

    Parameters
    ----------
    wall
        The wall.
    levels
        Its runs, in the order of their columns.
    words
        Writes lengths.

    Returns
    -------
    tuple of LevelRow
        The number; the stations of the faces at both ends; the stations between which it is dug,
        past the faces where it is the lower one.
    """
    dug = {each.start: [each.start, each.end] for each in levels}
    in_order = sorted(levels, key=lambda each: each.start)
    for built, before, after in zip(wall.built, in_order, in_order[1:], strict=False):
        if built.step.down:
            dug[after.start][0] = built.dig_to
        else:
            dug[before.start][1] = built.dig_to
    numbers = [str(number) for number in range(1, len(levels) + 1)]
    return (
        _row("run", numbers, taped=False),
        _row("face", [words.length(each.start) for each in levels], taped=True),
        _row("to face", [words.length(each.end) for each in levels], taped=True),
        _row("dig from", [words.length(dug[each.start][0]) for each in levels], taped=True),
        _row("dig to", [words.length(dug[each.start][1]) for each in levels], taped=True),
    )


def _row(heading: str, values: list[str], *, taped: bool) -> LevelRow:
    return LevelRow(heading=heading, values=tuple(values), taped=taped)
