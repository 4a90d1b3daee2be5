"""What changed from one layout to the next: boards, nails, tapes and levels, in plain words."""

from __future__ import annotations

import math
from collections.abc import Mapping

from staking.frozen import frozen
from staking.notices import Length, Notice, Severity, notice
from staking.plan import Point

SAME = 0.0005
"""What two layouts may differ by and count as one, m: a third of a sixteenth of an inch."""

_NAMED = 8
"""So many are named; of more their number is given."""


@frozen
class BoardMemory:
    """A board: at which end of which string, where (m), and its nails' offsets by name, m."""

    at: str
    place: Point
    nails: Mapping[str, float]


@frozen
class Memory:
    """What a layout says, as it is kept for the next one; lengths in m.

    Parameters
    ----------
    mark
        Its mark; empty where it was written without one.
    boards
        By number, in order.
    tapes
        Kind and ends of each check, and what the tape reads.
    levels
        Wall and station of each run of footing, and its dig level; None where none are known.
    """

    mark: str
    boards: Mapping[str, BoardMemory]
    tapes: Mapping[str, float]
    levels: Mapping[tuple[str, float], float] | None = None


def layout_changes(before: Memory, now: Memory) -> tuple[Notice, ...]:
    """Say what changed since the last layout.

    Parameters
    ----------
    before, now
        The last layout and this one.

    Returns
    -------
    tuple of Notice
        A sentence each for boards, nails, tapes and levels; one alone where nothing changed.
    """
    levels = _levels(before, now)
    if before.mark == now.mark and not levels:
        return (
            notice(
                "layout-unchanged",
                "nothing has changed: layout {mark}",
                Severity.NOTE,
                mark=now.mark,
            ),
        )
    said = [*_boards(before, now), *_nails(before, now), *_tapes(before, now)]
    said += levels
    if not said:
        text = "boards, nails, tapes and levels are the same; something else of the layout is not"
        said = [notice("layout-same-figures", text, Severity.NOTE)]
    return tuple(said)


def _boards(before: Memory, now: Memory) -> list[Notice]:
    old = {each.at: name for name, each in before.boards.items()}
    new = {each.at: name for name, each in now.boards.items()}
    said: list[Notice] = []
    renumbered = [
        f"{old[at]} is now {name}" for at, name in new.items() if old.get(at, name) != name
    ]
    if renumbered:
        said.append(
            notice(
                "boards-renumbered",
                "boards have other numbers: {boards}",
                boards=_listed(renumbered),
            )
        )
    far = {
        name: math.dist(before.boards[old[at]].place, now.boards[name].place)
        for at, name in new.items()
        if at in old
    }
    moved = [name for name, each in far.items() if each > SAME]
    if moved:
        stand = "stands" if len(moved) == 1 else "stand"
        said.append(
            notice(
                "boards-moved",
                f"{{boards}} {stand} elsewhere, by up to {{far}}",
                boards=_numbered(moved),
                far=Length(max(far.values())),
            )
        )
    added = [name for at, name in new.items() if at not in old]
    gone = [name for at, name in old.items() if at not in new]
    for kind, names, what in (("boards-new", added, "new"), ("boards-gone", gone, "gone")):
        if names:
            verb = "is" if len(names) == 1 else "are"
            text = f"{{boards}} {verb} {what}"
            said.append(notice(kind, text, boards=_numbered(names)))
    return said


def _nails(before: Memory, now: Memory) -> list[Notice]:
    # by where a board stands, so that a board with another number is still the same board
    old = {each.at: each.nails for each in before.boards.values()}
    changed = [
        name
        for name, each in now.boards.items()
        if each.at in old and not _same(old[each.at], each.nails)
    ]
    if not changed:
        return []
    return [
        notice(
            "nails-changed",
            "nails have other offsets on {boards}: set them anew",
            boards=_numbered(changed),
        )
    ]


def _same(old: Mapping[str, float], new: Mapping[str, float]) -> bool:
    return old.keys() == new.keys() and all(abs(old[key] - new[key]) <= SAME for key in new)


def _tapes(before: Memory, now: Memory) -> list[Notice]:
    changed = {
        tape: length
        for tape, length in now.tapes.items()
        if tape in before.tapes and abs(before.tapes[tape] - length) > SAME
    }
    said: list[Notice] = []
    if changed:
        said.append(
            notice(
                "tapes-changed",
                "other lengths are to be read on {tapes}",
                tapes=_listed(list(changed)),
            )
        )
    added = [tape for tape in now.tapes if tape not in before.tapes]
    gone = [tape for tape in before.tapes if tape not in now.tapes]
    if added or gone:
        parts = [f"new {_listed(added)}"] if added else []
        parts += [f"no longer {_listed(gone)}"] if gone else []
        said.append(
            notice(
                "tapes-others",
                "other pairs are taped: {tapes}",
                tapes="; ".join(parts),
            )
        )
    return said


def _levels(before: Memory, now: Memory) -> list[Notice]:
    if before.levels is None or now.levels is None:
        return []
    far = {
        run: abs(before.levels[run] - level)
        for run, level in now.levels.items()
        if run in before.levels and abs(before.levels[run] - level) > SAME
    }
    others = {wall for wall, _ in before.levels.keys() ^ now.levels.keys()}
    said: list[Notice] = []
    if far:
        said.append(
            notice(
                "levels-changed",
                "other dig levels than in the grade.json here, by up to {far}, on {walls}",
                walls=_listed(list(dict.fromkeys(wall for wall, _ in far))),
                far=Length(max(far.values())),
            )
        )
    if others:
        said.append(
            notice(
                "runs-changed",
                "the footing steps elsewhere than in the grade.json here, on {walls}",
                walls=_listed(sorted(others)),
            )
        )
    return said


def _listed(names: list[str]) -> str:
    if len(names) > _NAMED:
        return f"{', '.join(names[:_NAMED])} and {len(names) - _NAMED} more"
    return ", ".join(names)


def _numbered(names: list[str]) -> str:
    # numbers that follow on one another are told as "1 to 14"
    runs: list[list[str]] = []
    for name in sorted(names, key=_number):
        if runs and _number(name) == _number(runs[-1][-1]) + 1:
            runs[-1].append(name)
        else:
            runs.append([name])
    parts = [f"{run[0]} to {run[-1]}" if len(run) > 2 else ", ".join(run) for run in runs]
    return f"{'board' if len(names) == 1 else 'boards'} {_listed(parts)}"


def _number(name: str) -> int:
    return int(name) if name.isdigit() else 0
