"""The mortar that block is laid in: bags, and the sand that some of them are mixed with."""

from __future__ import annotations

import math

from staking.kinds import OrderGroup
from staking.notices import Notice, Severity, notice
from staking.order.order_request import BlockAsked, MortarAsked, MortarKind, MortarType
from staking.order.order_results import Item, Share, Turned, Volume, working
from staking.order.ordered_by import Measured
from staking.units import FOOT, INCH

BLOCK_PER_BAG = {MortarKind.MASONRY_CEMENT: 35.0, MortarKind.PREBLENDED: 12.5}
"""Block of 16 by 8 in that one bag of 80 lb (36 kg) lays.

Masonry cement mixed with three parts of sand: 35, by "Block-Laying Basics" (hitpages.com); three
bags for 100, by the estimating pages of Shaffer Block and of Baird Concrete. Preblended: 13 by the
data sheet of Quikrete Mortar Mix No. 1102, 12 from memory; the middle is taken.
"""

SAND_PER_BAG = 3 * FOOT**3
"""Sand that one bag of masonry cement is mixed with, m3 ("Block-Laying Basics", hitpages.com)."""

_STRONG = {MortarType.M, MortarType.S}
"""What foundation walls are laid in (IRC R606.2.8.1, from memory)."""


def block_of_a_bag(block: BlockAsked, mortar: MortarAsked) -> float:
    """Give how many blocks one bag lays.

    Parameters
    ----------
    block
        Nominal sizes.
    mortar
        Its kind, and what its maker states.

    Returns
    -------
    float
        A bag goes as far as the joints are long: one bed and one head joint a block. Down to the
        half block.
    """
    each = mortar.block_per_bag
    if each is None:
        each = BLOCK_PER_BAG[mortar.kind]
    each *= 24 * INCH / (block.length + block.height)
    return max(0.5, math.floor(2 * each + 1e-9) / 2)


def mortar_items(
    laid: float, block: BlockAsked, mortar: MortarAsked, waste: float
) -> tuple[Item, ...]:
    """Count the bags, and the sand of those that are mixed with it.

    Parameters
    ----------
    laid
        Blocks laid, a half block as half.
    block, mortar
        What is laid in what.
    waste
        Share added.

    Returns
    -------
    tuple of Item
        What a bag holds stands in its name; nothing without block.
    """
    each = block_of_a_bag(block, mortar)
    bags = math.ceil(laid * (1 + waste) / each - 1e-9)
    if bags <= 0:
        return ()
    mixed = mortar.kind is MortarKind.MASONRY_CEMENT
    grade = f", type {mortar.type}" if mortar.type is not None else ""
    holds = "to be mixed with sand" if mixed else "the sand is in the bag"
    counted = Item(
        group=OrderGroup.BLOCK,
        what=f"{'masonry cement' if mixed else 'preblended mortar'}{grade}, 80 lb (36 kg) bags, "
        f"{holds}",
        quantity=float(bags),
        measured=Measured.COUNT,
        counted="bags",
        arithmetic=working(
            "{laid} blocks + {waste} waste, / {each} a bag = {bags}, rounded up",
            laid=laid,
            waste=Share(waste),
            each=each,
            bags=bags,
        ),
        price="mortar",
    )
    if not mixed:
        return (counted,)
    sand = bags * SAND_PER_BAG
    return (
        counted,
        Item(
            group=OrderGroup.BLOCK,
            what="mason's sand for the mortar, loose",
            quantity=sand,
            measured=Measured.BULK,
            arithmetic=working(
                "{bags} bags x {each} a bag = {sand}, up to the quarter",
                bags=bags,
                each=Volume(SAND_PER_BAG),
                sand=Turned(sand),
            ),
            price="sand",
            up=True,
        ),
    )


def mortar_notices(mortar: MortarAsked) -> tuple[Notice, ...]:
    """Say what the bags are taken to be, and which mortar a code allows.

    Returns
    -------
    tuple of Notice
        ``mortar-type`` where the type is too weak for a foundation wall, ``mortar-shaking`` where
        masonry cement is reckoned with, ``mortar-bag`` for preblended mortar.

    References
    ----------
    International Residential Code, R606.2.8.1 (from memory) and R606.2.8.3 (2018).
    """
    told = []
    if mortar.type is not None and mortar.type not in _STRONG:
        told.append(
            notice(
                "mortar-type",
                "mortar of type {type} is too weak for a foundation wall, which is laid in type M "
                "or S (IRC R606.2.8.1, from memory); write {kind}, type S",
                type=mortar.type.value,
                kind=mortar.kind.value,
            )
        )
    if mortar.kind is MortarKind.MASONRY_CEMENT:
        told.append(
            notice(
                "mortar-shaking",
                "where the ground shakes (seismic design category D0, D1 or D2) a wall that takes "
                "lateral force is not laid in masonry cement, only in type M or S of portland "
                "cement and lime or of mortar cement (IRC R606.2.8.3, 2018); ask the building "
                "department",
                Severity.NOTE,
            )
        )
    elif mortar.block_per_bag is None:
        told.append(
            notice(
                "mortar-bag",
                "preblended mortar is counted at {each} block to a bag of 80 lb (36 kg), as "
                "makers state 12 to 13: read it on the bag, and write it as block_per_bag",
                Severity.NOTE,
                each=BLOCK_PER_BAG[mortar.kind],
            )
        )
    return tuple(told)
