"""A corner's levels and the first step each way, for its half page."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.kinds import StakeKind
from staking.output.blocks import Column, Table

if TYPE_CHECKING:
    from staking.grade.graded import Graded, GradedWall
    from staking.grade.stepped_footing import Level
    from staking.laid_out.layout_value import Layout
    from staking.output.wording import Words
    from staking.plan import Wall


def level_table(layout: Layout, corner: str, walls: tuple[Wall, ...], words: Words) -> Table | None:
    """Set out the levels at a corner.

    Parameters
    ----------
    layout
        The layout.
    corner
        Its name.
    walls
        The walls that meet there.
    words
        The job's words.

    Returns
    -------
    Table or None
        Ground, footing top and dig level by the rod and from the string; None without grade.
    """
    graded = layout.grade
    if graded is None:
        return None
    rows: list[tuple[str, str, str]] = []
    stake = next(
        (e for e in graded.stakes if e.kind is StakeKind.CORNER and e.name == corner), None
    )
    if stake is not None and stake.ground is not None:
        rows.append(("ground now", *_rod(graded, stake.ground, words)))
    base = layout.options.dig.base
    seen: dict[tuple[float, float, int], list[str]] = {}
    for wall, level in _levels_at(graded, corner, walls):
        seen.setdefault((level.top, level.bottom - base, level.courses), []).append(wall)
    for (top, dig, courses), of in seen.items():
        named = f" {', '.join(of)}" if len(seen) > 1 else ""
        rows.append((f"footing top{named}", *_rod(graded, top, words)))
        rows.append((f"dig level{named}", *_rod(graded, dig, words)))
        rows.append((f"courses up{named}", str(courses), ""))
    if not rows:
        return None
    heads = ("level" if graded.benchmark_level is None else "benchmark plus", "below string")
    # Without a height of the boards nothing is told from the string.
    shown = 2 if graded.string is None else 3
    return Table(
        title="Levels",
        columns=(Column(heading=""), *(Column(heading=each, right=True) for each in heads))[:shown],
        rows=tuple(row[:shown] for row in rows),
    )


def _rod(graded: Graded, level: float, words: Words) -> tuple[str, str]:
    down = ""
    if graded.benchmark_level is None:
        add = words.level(level)
    else:
        add = words.on_rod(graded.benchmark_level - level, graded.rod)
    if graded.string is not None:
        down = words.length(graded.string - level)
    return add, down


def _levels_at(graded: Graded, corner: str, walls: tuple[Wall, ...]) -> list[tuple[str, Level]]:
    found = []
    for wall in walls:
        each = _graded_wall(graded, wall)
        if each is not None and each.profile.levels:
            at_start = each.profile.wall.split("-", maxsplit=1)[0] == corner
            found.append((wall.name, each.profile.levels[0 if at_start else -1]))
    return found


def _graded_wall(graded: Graded, wall: Wall) -> GradedWall | None:
    try:
        return graded.wall(wall.name)
    except KeyError:
        return None


def step_table(layout: Layout, corner: str, walls: tuple[Wall, ...], words: Words) -> Table | None:
    """Set out the first step along each wall from a corner.

    Parameters
    ----------
    layout
        The layout.
    corner
        Its name.
    walls
        The walls that meet there.
    words
        The job's words.

    Returns
    -------
    Table or None
        Face and dig-to measured from the corner; None where nothing steps.
    """
    if layout.grade is None:
        return None
    rows = []
    for wall in walls:
        each = _graded_wall(layout.grade, wall)
        if each is None or not each.built:
            continue
        at_start = each.profile.wall.split("-", maxsplit=1)[0] == corner
        built = each.built[0 if at_start else -1]
        far = each.profile.length

        def from_here(station: float, far: float = far, at_start: bool = at_start) -> str:
            return words.length(station if at_start else far - station)

        other = wall.end if wall.start == corner else wall.start
        rows.append((
            f"toward {other}",
            "down" if built.step.down == at_start else "up",
            words.length(built.step.rise),
            from_here(built.step.station),
            from_here(built.dig_to),
        ))
    if not rows:
        return None
    return Table(
        title="First step each way, from here",
        columns=(
            Column(heading=""),
            Column(heading="goes"),
            Column(heading="rise", right=True),
            Column(heading="face at", right=True),
            Column(heading="dig to", right=True),
        ),
        rows=tuple(rows),
    )
