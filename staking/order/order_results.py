"""What an order consists of: items with their arithmetic, loads, bars, blocks; all in metres."""

from __future__ import annotations

from staking.frozen import frozen
from staking.kinds import ItemRole, OrderGroup
from staking.notices import Area, Length, Notice
from staking.order.drain.arms_on_plan import DrainOnPlan, DrainRun
from staking.order.drain.drain_stations import DrainStation
from staking.order.drain.outlets import DrainOutlet
from staking.order.forms.formwork import Forms
from staking.order.hauled.haul_off import HaulOff
from staking.order.ordered_by import Measured
from staking.order.under_slab.bought_fill import BoughtFill


@frozen(kw_only=False)
class Volume:
    """A volume as it is computed: cubic feet or cubic metres; m3."""

    cubic_metres: float


@frozen(kw_only=False)
class Bulk:
    """A volume as it is ordered: cubic yards or cubic metres; m3."""

    cubic_metres: float


@frozen(kw_only=False)
class Turned:
    """A computed volume turned into what is ordered: cubic feet over 27, cubic yards; m3."""

    cubic_metres: float


@frozen(kw_only=False)
class Carried:
    """A volume carried over from other lines, as `Bulk` but to more places; m3."""

    cubic_metres: float


@frozen(kw_only=False)
class Mass:
    """A mass: pounds or kilograms; kg."""

    kilograms: float


@frozen(kw_only=False)
class UnitMass:
    """A bar's mass by its length: pounds a foot or kilograms a metre; kg/m."""

    kilograms_per_metre: float


@frozen(kw_only=False)
class Share:
    """A share of the whole, written as a percentage."""

    share: float


Figure = (
    str | int | float | Length | Area | Volume | Bulk | Turned | Carried | Mass | UnitMass | Share
)


@frozen
class Working:
    """The arithmetic of one figure: a sentence with gaps and the figures that fill them."""

    text: str
    figures: tuple[tuple[str, Figure], ...] = ()


def working(text: str, /, **figures: Figure) -> Working:
    """Write down how a figure is worked out.

    Parameters
    ----------
    text
        A `str.format` pattern.
    **figures
        What fills its gaps.

    Returns
    -------
    Working
        The line.

    Examples
    --------
    >>> working("{count} x 2 = 6", count=3).figures
    (('count', 3),)
    """
    return Working(text=text, figures=tuple(figures.items()))


@frozen
class Item:
    """One thing to order or to know.

    Parameters
    ----------
    group
        Under which heading it stands.
    what
        In words.
    quantity
        m3, m, m2, kg or how many, as `measured` says; waste included where it says so.
    counted
        What is counted, in the plural; empty for anything else.
    price
        The item's name in a price list; empty for what is not bought by itself.
    up
        Whether it is ordered up to the next quarter of a cubic yard or cubic metre.
    sizes
        What tells items of one name apart.
    role
        What it is besides, where it is looked up; else None.
    """

    group: OrderGroup
    what: str
    quantity: float
    measured: Measured
    arithmetic: Working
    counted: str = ""
    price: str = ""
    up: bool = False
    sizes: tuple[tuple[str, Figure], ...] = ()
    role: ItemRole | None = None


@frozen
class Pour:
    """One casting: the volume ordered, m3, in `count` loads of which the last is `last`, m3.

    `minutes` is how long the loads take one after another.
    """

    what: str
    volume: float
    truck: float
    count: int
    last: float
    minutes: float


@frozen
class PourLevel:
    """The footing at one level: where it is, its bottom, m, and its concrete with waste, m3.

    `total` is what is in place when this level is full, `load` the truck that fills it.
    """

    level: float
    walls: tuple[str, ...]
    volume: float
    total: float
    load: int


@frozen
class Piece:
    """Bars of one length: what they are, where, their size, how long, m, and how many."""

    what: str
    where: str
    size: int
    length: float
    count: int


@frozen
class Stick:
    """One way to cut a bar as bought: the pieces, m, longest first, and for how many bars."""

    count: int
    pieces: tuple[float, ...]
    left: float


@frozen
class CutList:
    """How bars of one size are cut.

    Parameters
    ----------
    size
        The bar's number, or its diameter in millimetres.
    stock
        Length of a bar as bought, m.
    bars
        How many are bought.
    fewest
        No way of cutting needs fewer: `bars` where that is proved, else a bound below it.
    """

    size: int
    stock: float
    bars: int
    fewest: int
    sticks: tuple[Stick, ...]

    @property
    def proved(self) -> bool:
        """Whether no other way of cutting needs fewer bars."""
        return self.bars == self.fewest


@frozen
class CourseBlocks:
    """The block of one wall's course, counted from the top of the wall down.

    `thickness` is the wall's, m. Every block is bought whole but `halves`; `cuts` are those cut
    to a length or a height.
    """

    wall: str
    thickness: float
    course: int
    stretchers: int
    corners: int
    halves: int
    cuts: int

    @property
    def blocks(self) -> int:
        """Whole blocks bought: stretchers, corners and those that are cut."""
        return self.stretchers + self.corners + self.cuts


@frozen
class Bolts:
    """Anchor bolts of one plate: stations from the wall's first corner, m."""

    wall: str
    stations: tuple[float, ...]


@frozen
class DrainLevels:
    """The drain: where it changes, arm by arm, its low points, its arms, and what is drawn."""

    stations: tuple[DrainStation, ...] = ()
    outlets: tuple[DrainOutlet, ...] = ()
    runs: tuple[DrainRun, ...] = ()
    on_plan: DrainOnPlan = DrainOnPlan()


@frozen
class Ordered:
    """A job's whole order.

    Parameters
    ----------
    graded
        Whether footings step with a grade section; else they are level and dug to one depth.
    costs
        Item and cost, in the price list's own money; empty without prices.
    drain
        Empty without a drain, and where it has no levels.
    fill
        What is filled inside the walls; None without a slab.
    haul
        What is carted away; None where no digging is worked out.
    forms
        The forms of the footings; None where they are cast against earth.
    """

    graded: bool
    items: tuple[Item, ...]
    pours: tuple[Pour, ...]
    levels: tuple[PourLevel, ...]
    pieces: tuple[Piece, ...]
    cut_lists: tuple[CutList, ...]
    blocks: tuple[CourseBlocks, ...]
    bolts: tuple[Bolts, ...]
    costs: tuple[tuple[str, float], ...] = ()
    notices: tuple[Notice, ...] = ()
    drain: DrainLevels = DrainLevels()
    fill: BoughtFill | None = None
    haul: HaulOff | None = None
    forms: Forms | None = None
