"""What a job file tells twice in two ways that cannot both be: depths, courses, an old footing."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from staking.job.keys.models import ExistingKeys
from staking.job.tree.faults import Faults
from staking.notices import Length, notice
from staking.plan import Options, Plan
from staking.tolerances import ON_LINE
from staking.units import FOOT

if TYPE_CHECKING:
    from staking.order.order_request import OrderAsked

HIGH_OUT_OF_GROUND = 6 * FOOT
"""A wall that stands farther out of level ground, m, was probably meant lower (common practice, no
source)."""

DEEP_UNDER_TOP = 20 * FOOT
"""No old wall's top stands farther over its footing, m (common practice, no source)."""


def check_contradictions(
    plan: Plan, options: Options, order: OrderAsked | None, faults: Faults
) -> None:
    """Hold the depth of the dig against footings and walls, once the building is known.

    Parameters
    ----------
    plan, options
        The building and the rest of the job.
    order
        What is ordered, or None.
    faults
        Where a dig shallower than a footing is thick, and a wall that would end below the ground,
        are noted as faults, and a footing or a wall that stands far out of it as a notice.
    """
    if options.dig.depth <= 0.0 or faults.touched(("dig",)):
        return
    if _holds_footings(plan, options, faults) and "grade" not in faults.root and order is not None:
        _hold_walls(plan, options, order, faults)


def _thicknesses(plan: Plan) -> dict[str, float]:
    footings = {
        wall.name: wall.footing.thickness
        for building in plan.buildings
        for wall in building.walls
        if wall.existing is None
    }
    footings |= {line.name: line.footing.thickness for line in plan.interior}
    return footings | {f"pad {pad.name}": pad.thickness for pad in plan.pads}


def _holds_footings(plan: Plan, options: Options, faults: Faults) -> bool:
    """Say whether every footing fits into the dig."""
    dig = options.dig
    thick = _thicknesses(plan)
    over = {name: each for name, each in thick.items() if each > dig.depth + ON_LINE}
    most = max(thick.values(), default=0.0)
    if over:
        faults.add(
            ("dig", "depth"),
            f"a dig {faults.length(dig.depth)} deep is shallower than the footing under "
            f"{', '.join(over)} is thick, {faults.length(max(over.values()))}",
            f"make it {faults.length(most + dig.base)} or more, or check the thickness",
        )
        return False
    proud = [name for name, each in thick.items() if each + dig.base > dig.depth + ON_LINE]
    if proud:
        faults.notices.append(
            notice(
                "footing-over-ground",
                "in a dig {depth} deep with {base} of stone in it the footing under {walls} stands "
                "{over} out of the ground; the depth counts to the underside of the stone: "
                "perhaps {meant} is meant",
                depth=Length(dig.depth),
                base=Length(dig.base),
                walls=", ".join(proud),
                over=Length(most + dig.base - dig.depth),
                meant=Length(dig.depth + dig.base),
            )
        )
    return True


def _hold_walls(plan: Plan, options: Options, order: OrderAsked, faults: Faults) -> None:
    """Note walls whose given height does not fit the given depth."""
    walls = [wall for each in plan.buildings for wall in each.walls if wall.existing is None]
    if not walls:
        return
    dig, block = options.dig, order.block
    place: tuple[str, ...]
    if block is not None and block.courses is not None:
        place, height = ("order", "block", "courses"), block.courses * block.height
        what = f"{block.courses} courses of {faults.length(block.height)}"
    elif block is None and order.wall_height is not None:
        place, height = ("order", "wall_height"), order.wall_height
        what = f"walls of {faults.length(height)}"
    else:
        return
    if faults.touched(place):
        return
    thin = min(walls, key=lambda wall: wall.footing.thickness).footing.thickness
    thick = max(walls, key=lambda wall: wall.footing.thickness).footing.thickness
    at_bottom = dig.base - dig.depth
    if at_bottom + thin + height < -ON_LINE:
        needed = dig.depth - dig.base - thin
        if block is not None:
            remedy = f"{math.ceil((needed - ON_LINE) / block.height)} courses reach over it"
        else:
            remedy = f"{faults.length(needed)} reach up to it"
        faults.add(
            place,
            f"{what} on a footing {faults.length(thin)} thick end "
            f"{faults.length(-(at_bottom + thin + height))} below the ground, in a dig "
            f"{faults.length(dig.depth)} deep",
            f"{remedy}; or check depth: under dig:",
        )
    elif at_bottom + thick + height > HIGH_OUT_OF_GROUND + ON_LINE:
        faults.notices.append(
            notice(
                "wall-over-ground",
                "{what} on the footing stand {over} out of the ground in a dig {depth} deep: check "
                "the height of the walls against depth: under dig:",
                what=what,
                over=Length(at_bottom + thick + height),
                depth=Length(dig.depth),
            )
        )


def check_old_levels(keys: ExistingKeys, faults: Faults) -> None:
    """Hold what is given of a standing wall against itself.

    Parameters
    ----------
    keys
        What is known of it.
    faults
        Where a footing that is not under its own wall is noted.
    """
    top, bottom = keys.top, keys.footing_bottom
    if top is None or bottom is None:
        return
    if bottom >= top - ON_LINE:
        faults.add(
            (*keys.place, "footing_bottom"),
            f"the old footing's bottom at {faults.length(bottom)} stands over the top of its own "
            f"wall at {faults.length(top)}",
            "check both: they may be exchanged",
        )
    elif top - bottom > DEEP_UNDER_TOP:
        faults.notices.append(
            notice(
                "old-footing-under-top",
                "the old footing's bottom at {bottom} lies {under} under the top of its own wall "
                "at {top}: check both",
                bottom=Length(bottom),
                under=Length(top - bottom),
                top=Length(top),
            )
        )
