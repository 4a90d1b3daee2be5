"""The order section's keys."""

from __future__ import annotations

from typing import Annotated

from pydantic import BeforeValidator, WithJsonSchema

from staking.job.fields import LengthOrZero, PositiveLength, Text, choice
from staking.job.models import Section
from staking.job.order_values import (
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
from staking.order.order_request import MortarKind, MortarType


class SteelKeys(Section):
    """The bars of the footings; `lap` is a length or a rule's name."""

    bars: Number | None = None
    size: Bar | None = None
    cover: PositiveLength | None = None
    lap: Text | None = None
    stock: PositiveLength | None = None
    dowels: Spacing = None
    dowel_length: PositiveLength | None = None
    dowel_size: Bar | None = None
    pad_bars: Number | None = None


class BlockKeys(Section):
    """The block of the walls."""

    length: PositiveLength | None = None
    height: PositiveLength | None = None
    courses: Courses | None = None
    grout: choice("dowels", "all", "no") | None = None  # type: ignore[valid-type]


class MortarKeys(Section):
    """The mortar, in keys of its own: what a bag holds, its type, and how far it goes."""

    kind: choice(*MortarKind) | None = None  # type: ignore[valid-type]
    type: choice(*MortarType) | None = None  # type: ignore[valid-type]
    block_per_bag: BlockPerBag | None = None


class OrderKeys(Section):
    """What is bought."""

    waste: Share | None = None
    truck: Bulk | None = None
    haul: Bulk | None = None
    discharge_limit: Minutes | None = None
    minutes_per_load: Minutes | None = None
    steel: SteelKeys | None = None
    block: BlockKeys | None = None
    wall_height: PositiveLength | None = None
    pier: PositiveLength | None = None
    bolts: Spacing = None
    mortar: Annotated[
        MortarKeys | None, BeforeValidator(spread_mortar), WithJsonSchema(MORTAR_SCHEMA)
    ] = None
    mortar_waste: Share | None = None
    swell: Share | None = None
    stone: LengthOrZero | None = None
    prices: Text | None = None
