"""What a job asks of its order: waste, trucks, steel, block, stone and prices; all in metres."""

from __future__ import annotations

from enum import StrEnum

from staking.frozen import frozen
from staking.kinds import FillKind, Grout
from staking.plan import Point
from staking.units import FOOT, INCH

CUBIC_YARD = (3 * FOOT) ** 3
"""27 cubic feet, m3."""


@frozen
class SteelAsked:
    """The reinforcing of the footings.

    Parameters
    ----------
    bars
        Bars running along each footing.
    size
        The bar's number in eighths of an inch (ASTM A615), 3 to 8, or its diameter in
        millimetres (`laps.MILLIMETRE_BARS`).
    cover
        Concrete at the bottom, at the sides and at the ends, m.
    lap
        Where two bars meet end to end, m.
    lap_rule
        The rule the lap was taken from, or empty where the job gives its length.
    stock
        Length of the bars as bought, m.
    dowels
        Greatest distance between bars up into the wall, m; None where there are no such bars.
    dowel_length
        m; None for the footing's depth above the cover, a hook of 12 diameters and a lap.
    dowel_size
        As `size`; None for the same.
    pad_bars
        Bars each way in each pad.
    """

    bars: int = 2
    size: int = 4
    cover: float = 3 * INCH
    lap: float = 30 * INCH
    lap_rule: str = ""
    stock: float = 20 * FOOT
    dowels: float | None = None
    dowel_length: float | None = None
    dowel_size: int | None = None
    pad_bars: int = 0


@frozen
class BlockAsked:
    """The block of the walls, by nominal sizes with the joint, m.

    Parameters
    ----------
    courses
        Height of the walls where no grade section gives it; None where it is not given.
    grout
        Which cells are filled.
    """

    length: float = 16 * INCH
    height: float = 8 * INCH
    courses: int | None = None
    grout: Grout = Grout.DOWELS


class MortarKind(StrEnum):
    """What a bag of mortar holds: cement that is mixed with sand on site, or all but the water."""

    MASONRY_CEMENT = "masonry cement"
    PREBLENDED = "preblended"


class MortarType(StrEnum):
    """The strength of a mortar, the strongest first (ASTM C270)."""

    M = "M"
    S = "S"
    N = "N"
    O = "O"  # noqa: E741


@frozen
class MortarAsked:
    """The mortar that the block is laid in.

    Parameters
    ----------
    kind
        Whether sand is ordered beside the bags.
    type
        None where the job does not say it, as on a preblended bag that states it itself.
    block_per_bag
        Block of 16 by 8 in laid from one bag of 80 lb (36 kg), as its maker states it; None takes
        `staking.order.mortar.BLOCK_PER_BAG`.
    """

    kind: MortarKind = MortarKind.MASONRY_CEMENT
    type: MortarType | None = MortarType.S
    block_per_bag: float | None = None


LOOSE = {FillKind.SAND: 0.17, FillKind.GRAVEL: 0.21}
"""How much more fill measures loose than compacted (sand: 1.11 loose and 0.95 compacted of 1 in
place, US Army FM 5-434, from memory; sand and gravel: 1.15 and 0.95, an estimating text, example
9-3, as shown by issuhub.com)."""


@frozen
class FillAsked:
    """What is laid under a slab.

    Parameters
    ----------
    kind
        What is bought.
    loose
        How much more it measures loose than compacted, a share.
    spoil
        How deep earth that was dug is laid from the stripped ground up, m, where the building
        department accepts it; 0 for none.
    """

    kind: FillKind = FillKind.SAND
    loose: float = LOOSE[FillKind.SAND]
    spoil: float = 0.0


@frozen
class FormsAsked:
    """The boards of formed footings.

    Parameters
    ----------
    stock
        Length of the boards as bought, m.
    board
        What the boards are called, such as ``2x10``; empty for the lowest that the footing takes.
    height
        How high such a board really is, m; None where `board` is empty.
    """

    stock: float = 12 * FOOT
    board: str = ""
    height: float | None = None


@frozen
class OutletAsked:
    """Where the drain is led to: on the building grid, m, and the elevation there, m."""

    at: Point
    level: float


@frozen
class DrainAsked:
    """The drain beside the footing.

    Parameters
    ----------
    size
        The pipe's nominal size, m; None for stone alone.
    fall
        The most that it falls by the length.
    outlet
        Where it is led to; None where nobody says.
    beside
        How far the near edge of its trench stands from the footing's edge, m.
    """

    size: float | None = 4 * INCH
    fall: float = INCH / 8 / FOOT
    outlet: OutletAsked | None = None
    beside: float = 0.0


@frozen
class OrderAsked:
    """The job's order section.

    Parameters
    ----------
    waste, mortar_waste, swell
        Shares of the whole: 0.05 is 5 %.
    truck, haul
        What a concrete truck and a dump truck carry, m3.
    discharge_limit, minutes_per_load
        Minutes; the limit is the producer's or the ticket's, and None where nobody stated it.
    steel, block
        None where none is ordered.
    wall_height
        Of walls cast in concrete where no grade section gives it, m; None for no such walls.
    pier
        Diameter of a round pier on each pad, m; None for no pier.
    bolt_spacing
        Greatest distance between anchor bolts, m; None for no bolts.
    mortar
        What the block is laid in.
    stone
        Stone under the footings, m; None takes what the dig says.
    drain
        The drain beside the footing; None for none.
    fill
        What is laid under a slab.
    forms
        The boards of formed footings; None where the job does not say.
    prices
        What things cost by the unit they are ordered in, by their names in `order.prices`.
    price_list
        Path of the file they stand in; empty without.
    """

    waste: float = 0.05
    truck: float = 9 * CUBIC_YARD
    haul: float = 10 * CUBIC_YARD
    discharge_limit: float | None = None
    minutes_per_load: float = 30.0
    steel: SteelAsked | None = None
    block: BlockAsked | None = None
    wall_height: float | None = None
    pier: float | None = None
    bolt_spacing: float | None = 6 * FOOT
    mortar: MortarAsked = MortarAsked()
    mortar_waste: float = 0.10
    swell: float = 0.25
    stone: float | None = None
    drain: DrainAsked | None = None
    fill: FillAsked = FillAsked()
    forms: FormsAsked | None = None
    prices: tuple[tuple[str, float], ...] = ()
    price_list: str = ""
