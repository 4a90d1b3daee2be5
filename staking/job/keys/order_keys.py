"""The order section's keys."""

from __future__ import annotations

from typing import Annotated

from pydantic import BeforeValidator, WithJsonSchema

from staking.job.keys.fields import GridPoint, Length, LengthOrZero, PositiveLength, Text, choice
from staking.job.keys.models import Section, key
from staking.job.keys.order_values import (
    MORTAR_SCHEMA,
    Bar,
    BlockPerBag,
    Bulk,
    Courses,
    Minutes,
    Number,
    Share,
    Spacing,
    spread_mortar,
)
from staking.job.keys.pipe_falls import Fall
from staking.kinds import FillKind, Grout
from staking.order.order_request import MortarKind, MortarType


class SteelKeys(Section):
    """The bars of the footings; `lap` is a length or a rule's name."""

    bars: Number | None = key("bars along each footing")
    size: Bar | None = key("the bar's number, or its diameter such as 12 mm")
    cover: PositiveLength | None = key("concrete under, beside and at the ends of the bars")
    lap: Text | None = key("where two bars meet: a length, or a rule such as 48 diameters")
    stock: PositiveLength | None = key("length of the bars as bought")
    dowels: Spacing = key("farthest distance between bars up into the wall, or no")
    dowel_length: PositiveLength | None = key("length of those bars")
    dowel_size: Bar | None = key("number of those bars")
    pad_bars: Number | None = key("bars each way in each pad")


class BlockKeys(Section):
    """The block of the walls."""

    length: PositiveLength | None = key("nominal, with the joint")
    height: PositiveLength | None = key("nominal, with the joint")
    courses: Courses | None = key("height of the walls, where no grade gives it")
    grout: choice(*Grout) | None = key("which cells are filled")  # type: ignore[valid-type]


class MortarKeys(Section):
    """The mortar, in keys of its own: what a bag holds, its type, and how far it goes."""

    kind: choice(*MortarKind) | None = key("what a bag holds")  # type: ignore[valid-type]
    type: choice(*MortarType) | None = key("type of the mortar")  # type: ignore[valid-type]
    block_per_bag: BlockPerBag | None = key("how many block one bag lays")


class OutletKeys(Section):
    """Where the drain is led to."""

    at: GridPoint = key("its place on the building grid", must=True)
    level: Length = key("its elevation", must=True)


class DrainKeys(Section):
    """The drain beside the footing."""

    size: Spacing = key("the pipe's nominal size, or no where stone alone drains")
    fall: Fall | None = key('the most that it falls, such as 1/8" per ft or 1%')
    outlet: OutletKeys | None = key("where it is led to")
    beside: LengthOrZero | None = key("how far its trench's near edge stands from the footing")


class FillKeys(Section):
    """What is laid under a slab."""

    kind: choice(*FillKind) | None = key("what is bought")  # type: ignore[valid-type]
    loose: Share | None = key("how much more it measures loose than compacted")
    spoil: LengthOrZero | None = key("how deep earth that was dug is laid first, where accepted")


class FormsKeys(Section):
    """The boards of formed footings; `board` is what they are called, or their real height."""

    stock: PositiveLength | None = key("length of the boards as bought")
    board: Text | None = key("what they are called, such as 2x10, or how high they really are")


class OrderKeys(Section):
    """What is bought."""

    waste: Share | None = key("added to concrete and grout")
    truck: Bulk | None = key("what a concrete truck carries")
    haul: Bulk | None = key("what a dump truck carries")
    discharge_limit: Minutes | None = key("how long after batching a load must be out")
    minutes_per_load: Minutes | None = key("how long the crew takes to empty a truck")
    steel: SteelKeys | None = key("the bars of the footings")
    block: BlockKeys | None = key("the block of the walls")
    wall_height: PositiveLength | None = key(
        "height of walls cast in concrete, where no grade gives it"
    )
    pier: PositiveLength | None = key("diameter of a round pier on each pad")
    bolts: Spacing = key("farthest distance between anchor bolts, or no")
    mortar: Annotated[
        MortarKeys | None, BeforeValidator(spread_mortar), WithJsonSchema(MORTAR_SCHEMA)
    ] = key("what the mortar is made of")
    mortar_waste: Share | None = key("added to mortar")
    swell: Share | None = key("how much more room dug earth takes")
    stone: LengthOrZero | None = key("stone under the footings")
    drain: DrainKeys | None = key("the drain beside the footing")
    fill: FillKeys | None = key("what is laid under a slab")
    forms: FormsKeys | None = key("the boards of formed footings")
    prices: Text | None = key("a price list, a file beside the job")
