"""The weigh section read whole: tops of wall, moves and limits."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from staking.job.keys.weigh_keys import DoorKeys, LimitKeys, MoveKeys, TopRangeKeys, WeighKeys
from staking.job.tree.section_check import check_section
from staking.job.tree.sections import section_of
from staking.plan import reversed_name
from staking.tolerances import ON_LINE
from staking.weigh.weigh_request import (
    DoorAsked,
    FloorLimits,
    MoveAsked,
    SewerAsked,
    TopsAsked,
    WeighAsked,
)

if TYPE_CHECKING:
    from staking.job.tree.faults import Faults
    from staking.job.tree.source import Branch
    from staking.plan import Plan


def read_weigh(root: Branch, faults: Faults) -> WeighAsked | None:
    """Read the weigh section.

    Parameters
    ----------
    root, faults
        The whole file, and where faults are noted.

    Returns
    -------
    WeighAsked or None
        None where the job has no such section.
    """
    if "weigh" not in root:
        return None
    keys = check_section(WeighKeys, section_of(root, "weigh", faults), faults)
    return WeighAsked(
        tops=None if keys.top_of_wall is None else _tops(keys.top_of_wall, faults),
        move=MoveAsked() if keys.move is None else _move(keys.move),
        limits=FloorLimits() if keys.limits is None else _limits(keys.limits, faults),
    )


def check_weigh(asked: WeighAsked, plan: Plan, faults: Faults) -> None:
    """Note doors in walls that the building has not.

    Parameters
    ----------
    asked
        What was read.
    plan
        The building.
    faults
        Where faults are noted.
    """
    walls = [wall.name for building in plan.buildings for wall in building.walls]
    for number, door in enumerate(asked.limits.doors):
        if door.wall not in walls and reversed_name(door.wall) not in walls:
            faults.add(
                ("weigh", "limits", "doors", number, "wall"),
                f"there is no wall {door.wall}",
                f"the walls are {', '.join(walls)}",
            )


def _tops(keys: TopRangeKeys, faults: Faults) -> TopsAsked | None:
    if keys.to < keys.from_ - ON_LINE:
        faults.add(
            ("weigh", "top_of_wall"),
            f"it ends at {faults.length(keys.to)}, under {faults.length(keys.from_)}, where it "
            "begins",
            "write the lower one after from:",
        )
        return None
    return TopsAsked(lowest=keys.from_, highest=keys.to, step=keys.by)


def _move(keys: MoveKeys) -> MoveAsked:
    default = MoveAsked()
    turn_step = default.turn_step if not keys.turn_step else math.radians(keys.turn_step)
    return MoveAsked(
        north=keys.north or 0.0,
        east=keys.east or 0.0,
        turn=math.radians(keys.turn or 0.0),
        step=keys.step or default.step,
        turn_step=turn_step,
    )


def _limits(keys: LimitKeys, faults: Faults) -> FloorLimits:
    lowest, highest = keys.lowest, keys.highest
    if lowest is not None and highest is not None and highest < lowest - ON_LINE:
        faults.add(
            ("weigh", "limits", "highest"),
            f"{faults.length(highest)} is under the lowest, {faults.length(lowest)}",
            "exchange the two",
        )
    sewer = keys.sewer
    return FloorLimits(
        lowest=lowest,
        highest=highest,
        gutter=keys.gutter,
        gutter_run=keys.gutter_run,
        sewer=None
        if sewer is None
        else SewerAsked(
            invert=sewer.invert, run=sewer.run, fall=sewer.fall, below=sewer.below or 0.0
        ),
        doors=tuple(map(_door, keys.doors)),
    )


def _door(keys: DoorKeys) -> DoorAsked:
    if keys.riser is None:
        return DoorAsked(wall=keys.wall, risers=keys.risers)
    return DoorAsked(wall=keys.wall, risers=keys.risers, riser=keys.riser)
