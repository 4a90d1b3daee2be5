"""Lengths and areas written as the job shows them."""

from __future__ import annotations

import math

from staking.measure.rounding import AREA_TIE, decimal_text, whole_steps
from staking.units import FOOT, INCH

FEET_INCHES = "feet-inches"
"""The value of `plan.Show.FEET_INCHES`: named here because importing the plan's data takes longer
than everything else that a quick answer does."""

_DECIMAL = {
    "decimal-feet": (FOOT, 2, "ft"),
    "metres": (1.0, 3, "m"),
    "millimetres": (0.001, 0, "mm"),
}


def format_length(metres: float, show: str = FEET_INCHES, nearest: float = INCH / 16) -> str:
    r"""Write a length as the job shows it.

    Parameters
    ----------
    metres
        The length, m; a negative one gets one minus sign in front. Halves are rounded away from
        nothing.
    show
        A `plan.Show` or its value: feet and inches to the `nearest`, decimal feet to 0.01,
        metres to 0.001, whole millimetres.
    nearest
        What feet and inches are rounded to, m: an inch over a whole number, or whole inches.

    Returns
    -------
    str
        ``24' 6 1/2"``, ``24.54 ft``, ``7.480 m`` or ``7480 mm``.

    Raises
    ------
    ValueError
        When the length is not finite, or `nearest` neither divides an inch nor is whole inches.

    Examples
    --------
    >>> format_length(7.4803)
    '24\' 6 1/2"'
    """
    if not math.isfinite(metres):
        raise ValueError(f"a length of {metres} cannot be written")
    if show == FEET_INCHES:
        return _format_feet_inches(metres, nearest)
    divisor, places, name = _DECIMAL[show]
    count = whole_steps(metres, divisor / 10**places)
    return f"{count / 10**places:.{places}f} {name}"


def _format_feet_inches(metres: float, nearest: float) -> str:
    """Write feet, inches and a reduced fraction, carrying into the next inch and foot."""
    parts = round(INCH / nearest) if nearest > 0 else 0
    if parts >= 1 and abs(parts * nearest - INCH) < 1e-9:
        steps = whole_steps(abs(metres), INCH / parts)
    else:
        whole = round(nearest / INCH)
        if whole < 1 or abs(whole * INCH - nearest) > 1e-9:
            raise ValueError(f"{nearest} m is neither whole inches nor an even part of an inch")
        parts, steps = 1, whole_steps(abs(metres), whole * INCH) * whole
    inches, over = divmod(steps, parts)
    feet, inches = divmod(inches, 12)
    sign = "-" if metres < 0 and steps else ""
    fraction = ""
    if over:
        common = math.gcd(over, parts)
        fraction = f"{over // common}/{parts // common}"
    if fraction and not feet and not inches:
        return f'{sign}{fraction}"'
    text = f'{inches} {fraction}"' if fraction else f'{inches}"'
    return f"{sign}{feet}' {text}" if feet else f"{sign}{text}"


def format_area(square_metres: float, show: str = FEET_INCHES) -> str:
    """Write an area, given in m2: square feet to 0.01 or, for a metric job, m² to 0.01.

    Returns
    -------
    str
        ``269.78 sq ft`` or ``25.06 m²``.

    Raises
    ------
    ValueError
        When the area is not finite.

    Examples
    --------
    >>> format_area(0.557418)
    '6.00 sq ft'
    """
    if not math.isfinite(square_metres):
        raise ValueError(f"an area of {square_metres} cannot be written")
    if show in {"metres", "millimetres"}:
        return f"{decimal_text(square_metres, 2, AREA_TIE)} m²"
    return f"{decimal_text(square_metres / FOOT**2, 2, AREA_TIE)} sq ft"
