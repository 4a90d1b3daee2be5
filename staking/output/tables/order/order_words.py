"""Quantities of an order in words: yards or metres, to be redone on a calculator."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from staking.measure.lengths import FOOT, INCH, Unit
from staking.measure.rounding import AREA_TIE, TIE, decimal_text, up_to_steps, whole_steps
from staking.notices import Area, Length
from staking.order.bars.laps import POUND
from staking.order.order_results import (
    Bulk,
    Carried,
    Item,
    Mass,
    Share,
    Turned,
    UnitMass,
    Volume,
    Working,
)
from staking.order.ordered_by import Measured
from staking.order.prices import bought
from staking.output.wording import safe

if TYPE_CHECKING:
    from staking.order.order_results import Figure
    from staking.plan import Options

_YARD = (3 * FOOT) ** 3
_EXACT = 1e-6
_HIDDEN = 5e-5
_SHORT = 10.0


class OrderWords:
    """The words of one job's order: decimal feet and cubic yards, or metres.

    Parameters
    ----------
    options
        The job's options; its unit decides.
    """

    def __init__(self, options: Options) -> None:
        self.metric = Unit(options.unit) in {Unit.M, Unit.MM}
        self.area = "m2" if self.metric else "sq ft"

    def arithmetic(self, working: Working) -> str:
        """Write out the arithmetic of one figure.

        Returns
        -------
        str
            One line, safe for a terminal.
        """
        gaps = {name: self.figure(value) for name, value in working.figures}
        return safe(working.text.format(**gaps))

    def figure(self, value: Figure) -> str:
        """Write one figure.

        Returns
        -------
        str
            With so many places that the line comes out as printed: lengths and areas with
            seven figures; short lengths of whole inches as inches over 12.
        """
        match value:
            case Length(metres=m):
                return f"{significant(m)} m" if self.metric else _feet(m / FOOT)
            case Area(square_metres=a):
                each = a if self.metric else a / FOOT**2
                return f"{significant(each, AREA_TIE)} {self.area}"
            case Volume(cubic_metres=v):
                each = v if self.metric else v / FOOT**3
                return f"{significant(each, AREA_TIE)} {'m3' if self.metric else 'cu ft'}"
            case Turned(cubic_metres=v):
                if self.metric:
                    return self.bulk(v)
                return f"{decimal_text(v / FOOT**3, 2, AREA_TIE)} cu ft / 27 = {self.bulk(v)}"
            case Bulk(cubic_metres=v):
                return self.bulk(v)
            case Carried(cubic_metres=v):
                each = v if self.metric else v / _YARD
                return f"{plain(each, 4, AREA_TIE)} {'m3' if self.metric else 'cu yd'}"
            case Mass(kilograms=k):
                each = k if self.metric else k / POUND
                return f"{decimal_text(each, 1)} {'kg' if self.metric else 'lb'}"
            case UnitMass(kilograms_per_metre=k):
                each = k if self.metric else k / POUND * FOOT
                return f"{plain(each, 6)} {'kg/m' if self.metric else 'lb/ft'}"
            case Share(share=share):
                return f"{plain(share * 100, 2)} %"
            case float():
                return plain(value, 3)
            case _:
                return safe(str(value))

    def bulk(self, cubic_metres: float) -> str:
        """Write a volume as it is ordered.

        Returns
        -------
        str
            In cubic yards or cubic metres, to the hundredth; to four places where the hundredth
            would read as a whole quarter that it is over.
        """
        value, unit = (cubic_metres, "m3") if self.metric else (cubic_metres / _YARD, "cu yd")
        hundredths = whole_steps(value, 0.01, AREA_TIE)
        hidden = hundredths % 25 == 0 and value - hundredths / 100 > _HIDDEN
        return f"{decimal_text(value, 4 if hidden else 2, AREA_TIE)} {unit}"

    def compared(self, cubic_metres: float) -> str:
        """Write a volume that is held against others, not ordered.

        Returns
        -------
        str
            In cubic yards or cubic metres, always to the hundredth.
        """
        value, unit = (cubic_metres, "m3") if self.metric else (cubic_metres / _YARD, "cu yd")
        return f"{decimal_text(value, 2, AREA_TIE)} {unit}"

    def quantity(self, item: Item) -> tuple[str, str]:
        """Give an item's quantity and its unit.

        Returns
        -------
        tuple of str
            Concrete, grout and stone are rounded up to the quarter, never down; lengths and
            masses up to a whole one.
        """
        value, unit = self.value(item)
        if item.measured is Measured.COUNT:
            return plain(value, 3), unit
        if item.measured is Measured.BULK:
            volume = bought(item, metric=self.metric) / (1.0 if self.metric else _YARD)
            return decimal_text(volume, 2), unit
        return str(up_to_steps(value, 1.0)), unit

    def value(self, item: Item) -> tuple[float, str]:
        """Give an item's quantity as a number in the job's own unit, not rounded.

        Returns
        -------
        tuple
            The number and ``cu yd``, ``m3``, ``ft``, ``m``, ``lb``, ``kg``, or what is counted.
        """
        metric = self.metric
        match item.measured:
            case Measured.BULK:
                return (item.quantity, "m3") if metric else (item.quantity / _YARD, "cu yd")
            case Measured.LENGTH:
                return (item.quantity, "m") if metric else (item.quantity / FOOT, "ft")
            case Measured.AREA:
                return (item.quantity, "m2") if metric else (item.quantity / FOOT**2, "sq ft")
            case Measured.MASS:
                return (item.quantity, "kg") if metric else (item.quantity / POUND, "lb")
            case Measured.COUNT:
                return item.quantity, item.counted


def significant(value: float, tie: float = TIE) -> str:
    """Write a number with seven figures, without trailing zeros.

    Parameters
    ----------
    value
        The number.
    tie
        What it may be off a tie, in its own unit; areas, and volumes that come of them, are off
        by more than lengths.

    Returns
    -------
    str
        No exponent; at most nine places.
    """
    before = math.floor(math.log10(abs(value))) if value else 0
    return plain(value, min(9, max(0, 6 - before)), tie)


def _feet(feet: float) -> str:
    # A third of a foot has no end in decimals: what is short and in whole parts of an inch is
    # divided by 12 in the line itself.
    inches = feet * 12
    ends = abs(feet - round(feet, 3)) * FOOT < TIE
    # Sixteenths that were worked out are off by a hair; other parts count where they are exact.
    whole = (
        abs(inches - round(inches * 16) / 16) * INCH < TIE
        or abs(inches * 1e4 - round(inches * 1e4)) < _EXACT
    )
    if not ends and feet < _SHORT and whole:
        return f"{plain(inches, 4)} in / 12"
    return f"{significant(feet)} ft"


def plain(value: float, places: int, tie: float = TIE) -> str:
    """Write a number without trailing zeros.

    Parameters
    ----------
    value, places
        The number, and to how many places it is rounded.
    tie
        What it may be off a tie.

    Returns
    -------
    str
        Rounded to so many places.
    """
    text = decimal_text(value, places, tie)
    return text.rstrip("0").rstrip(".") if "." in text else text
