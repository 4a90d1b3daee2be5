"""How a drawing program writes a dimension of the plan once it measures it anew.

The style is the open DXF reference's; what it makes of a measurement is what the job's other papers
write, but for the hyphen between feet and inches (``36'-6 1/2"``) that drawings have.
"""

from __future__ import annotations

import math

from staking.plan import Options, Show
from staking.units import FOOT, INCH

DECIMAL, ARCHITECTURAL = 2, 4
"""$DIMLUNIT: decimals; feet, inches and fractions, a unit of the scaled measurement an inch."""

_UNSTACKED = 2
"""$DIMFRAC: a fraction on one line, as in 1/2."""
_FULL_INCHES = 3
"""$DIMZIN of feet and inches: no feet of 0, but inches of 0."""
_EVERY_DECIMAL = 0
_FIGURES = 12
"""Decimals of a factor: what a quotient of doubles is off by stands behind them."""
_POINT = ord(".")
_DECIMALS = {Show.DECIMAL_FEET: (FOOT, 2, "ft"), Show.METRES: (1.0, 3, "m"),
             Show.MILLIMETRES: (0.001, 0, "mm")}  # fmt: skip
"""Metres of what is shown, decimals, and the word behind them."""


def measured_style(options: Options, metres: float) -> dict[str, float | int | str]:
    """Give the attributes of a dimension style that shows measurements as the job shows lengths.

    Parameters
    ----------
    options
        How lengths are shown, and to what.
    metres
        What a unit of the drawing is on the ground, m. On a grid whose scale is not 1 it differs
        from the unit itself, so that dimensions say the ground's lengths.

    Returns
    -------
    dict
        By the names of the open DXF reference, in lower case.

    Examples
    --------
    >>> style = measured_style(Options(), 0.3048)
    >>> style["dimlunit"], style["dimlfac"], style["dimdec"]
    (4, 12.0, 4)
    """
    if options.show is Show.FEET_INCHES:
        return {
            "dimlunit": ARCHITECTURAL,
            "dimlfac": round(metres / INCH, _FIGURES),
            "dimdec": max(round(math.log2(INCH / options.nearest)), 0),
            "dimrnd": options.nearest / INCH,
            "dimfrac": _UNSTACKED,
            "dimzin": _FULL_INCHES,
            "dimdsep": _POINT,
        }
    shown, decimals, _ = _DECIMALS[options.show]
    return {
        "dimlunit": DECIMAL,
        "dimlfac": round(metres / shown, _FIGURES),
        "dimdec": decimals,
        "dimzin": _EVERY_DECIMAL,
        "dimdsep": _POINT,
    }


def measured_words(show: Show) -> str:
    """Give the text of a dimension that shows what it measures.

    Parameters
    ----------
    show
        How lengths are shown.

    Returns
    -------
    str
        ``<>``, for which a drawing program puts the measurement (open DXF reference, DIMENSION,
        group 1), and the unit behind it. A style could have the unit too, but the library leaves
        that out of the file.
    """
    return "<>" if show is Show.FEET_INCHES else f"<> {_DECIMALS[show][2]}"
