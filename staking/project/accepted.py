"""The conductor of `staking check --accept`: a job file anew, and what the building becomes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from staking.errors import ComputationError

if TYPE_CHECKING:
    from pathlib import Path

    from staking.checked.stakes_checked import Checked
    from staking.project.resolve import Resolved


@dataclass(frozen=True, slots=True, kw_only=True)
class Became:
    """A length that changes, m: a wall's, or how far past its last corner a board stands."""

    name: str
    before: float | None
    after: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Accepted:
    """The stakes as they stand, as a job.

    Parameters
    ----------
    text
        The job file with their corners.
    walls, boards
        Lengths of walls, and stand-offs of boards, before and after; None where there is none.
    blocks
        Whole blocks of each wall, before and after; empty without an order section.
    out
        Pads and ends of interior lines that stand off where the new job has them.
    """

    text: str
    walls: tuple[Became, ...]
    boards: tuple[Became, ...]
    blocks: tuple[tuple[str, int, int], ...]
    out: tuple[str, ...] = ()


def accept_stakes(resolved: Resolved, checked: Checked, path: Path) -> Accepted:
    """Take the stakes as they stand.

    Parameters
    ----------
    resolved
        The job.
    checked
        Its check.
    path
        The job file, whose text is kept but for its corners.

    Returns
    -------
    Accepted
        The new text, read again, and what differs.

    Raises
    ------
    ComputationError
        When the readings do not say where every corner stands.
    """
    from staking.adjust.targets import targets_of
    from staking.adjust.verdict import points_out
    from staking.job.as_staked import with_corners
    from staking.job.build import parse_job
    from staking.job.source import read_text
    from staking.measure.lengths import Unit
    from staking.project.resolve import resolve

    _refuse(checked)
    stands = {each.corner: (each.x, each.y) for each in checked.accepted}
    buildings = [
        [(corner.name, stands[corner.name]) for corner in building.corners]
        for building in resolved.plan.buildings
    ]
    text = with_corners(read_text(path), buildings, Unit(resolved.options.unit))
    after = resolve(parse_job(text, str(path)))
    return Accepted(
        text=text,
        walls=_changed(_walls(resolved), _walls(after)),
        boards=_changed(_boards(resolved), _boards(after)),
        blocks=_blocks(resolved, after),
        out=points_out(checked.verdict, stands, targets_of(after.plan)),
    )


def _refuse(checked: Checked) -> None:
    corners = {c.name for building in checked.plan.buildings for c in building.corners}
    missing = [name for name in checked.untaped if name in corners]
    if missing:
        raise ComputationError(
            f"the stakes cannot be taken as they stand: nothing was taped to {', '.join(missing)}"
        )
    if checked.judged.waits:
        raise ComputationError(
            "the stakes cannot be taken as they stand: the readings do not say where that is"
        )


def _walls(resolved: Resolved) -> dict[str, float]:
    sides = (each for each in resolved.checks if each.kind == "side")
    return {f"{each.from_name}-{each.to_name}": each.distance for each in sides}


def _boards(resolved: Resolved) -> dict[str, float]:
    return {
        f"{board.name}, {board.string} beyond {board.end}": board.stand_off
        for board in resolved.layout.boards
    }


def _changed(before: dict[str, float], after: dict[str, float]) -> tuple[Became, ...]:
    names = dict.fromkeys((*before, *after))
    return tuple(
        Became(name=name, before=before.get(name), after=after.get(name)) for name in names
    )


def _blocks(resolved: Resolved, after: Resolved) -> tuple[tuple[str, int, int], ...]:
    from staking.project.order import order_job

    if resolved.job.order is None:
        return ()
    counts: list[dict[str, int]] = []
    for each in (resolved, after):
        found: dict[str, int] = {}
        for course in order_job(each).blocks:
            found[course.wall] = found.get(course.wall, 0) + course.blocks
        counts.append(found)
    return tuple(
        (wall, counts[0].get(wall, 0), counts[1].get(wall, 0))
        for wall in dict.fromkeys((*counts[0], *counts[1]))
    )
