"""Quantities of an order in words: yards or metres, to be redone on a calculator."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from staking.measure import FOOT, Unit
from staking.notices import Area, Length
from staking.order.laps import POUND
from staking.order.results import (
    Bulk,
    Item,
    Mass,
    Measured,
    Share,
    Turned,
    UnitMass,
    Volume,
    Working,
)
from staking.output.wording import safe

if TYPE_CHECKING:
    from staking.order.results import Figure
    from staking.plan import Options

_YARD = (3 * FOOT) ** 3
_SLACK = 0.005


class OrderWords:
    """The words of one job's order: decimal feet and cubic yards, or metres.

    Parameters
    ----------
    options
        The job's options; its unit decides.
    """

    def __init__(self, options: Options) -> None:
        self.metric = Unit(options.unit) in {Unit.M, Unit.MM}

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
            Lengths in decimal feet or metres: a calculator takes no inches.
        """
        match value:
            case Length(metres=m):
                return f"{plain(m, 4)} m" if self.metric else f"{plain(m / FOOT, 4)} ft"
            case Area(square_metres=a):
                return f"{a:.2f} m2" if self.metric else f"{a / FOOT**2:.2f} sq ft"
            case Volume(cubic_metres=v):
                return f"{v:.4f} m3" if self.metric else f"{v / FOOT**3:.2f} cu ft"
            case Turned(cubic_metres=v):
                if self.metric:
                    return f"{v:.2f} m3"
                return f"{v / FOOT**3:.2f} cu ft / 27 = {self.bulk(v)}"
            case Bulk(cubic_metres=v):
                return self.bulk(v)
            case Mass(kilograms=k):
                return f"{k:.1f} kg" if self.metric else f"{k / POUND:.1f} lb"
            case UnitMass(kilograms_per_metre=k):
                return f"{k:.3f} kg/m" if self.metric else f"{k / POUND * FOOT:.3f} lb/ft"
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
            In cubic yards or cubic metres, to the hundredth.
        """
        if self.metric:
            return f"{cubic_metres:.2f} m3"
        return f"{cubic_metres / _YARD:.2f} cu yd"

    def quantity(self, item: Item) -> tuple[str, str]:
        """Give an item's quantity and its unit.

        Returns
        -------
        tuple of str
            Concrete and grout are rounded up to the quarter, never down; lengths and masses up
            to a whole one.
        """
        value, unit = self.value(item)
        if item.measured is Measured.COUNT:
            return plain(value, 3), unit
        if item.measured is Measured.BULK:
            return f"{_up(value, 4) if item.up else value:.2f}", unit
        return f"{_up(value, 1):.0f}", unit

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


def plain(value: float, places: int) -> str:
    """Write a number without trailing zeros.

    Returns
    -------
    str
        Rounded to so many places.
    """
    text = f"{value:.{places}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text


def _up(value: float, parts: int) -> float:
    # What is no more than half a hundredth over reads as nothing over in the arithmetic.
    return math.ceil(value * parts - _SLACK * parts) / parts
