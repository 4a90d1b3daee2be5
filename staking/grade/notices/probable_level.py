"""What a level was probably meant to be: one digit other, two exchanged, inches read for feet."""

from __future__ import annotations

from staking.notices import Length, Notice
from staking.units import FOOT, INCH, Unit

_DIGITS = "0123456789"


def probable_level(value: float, low: float, high: float, unit: Unit) -> float | None:
    """Find the plausible level that a slip of the pen makes of the one given.

    Parameters
    ----------
    value
        The level given, m.
    low, high
        Between which it would be plausible, m.
    unit
        What the job is written in, whose digits are looked at.

    Returns
    -------
    float or None
        The level, m, by the first kind of slip that gives one between `low` and `high`: feet
        written as inches; a digit too many or too few; two neighbouring digits exchanged; one
        digit another; ten, a hundred or a thousand too much or too little. Of several by the same
        kind, the one nearest to the middle. None where no slip explains it.

    Examples
    --------
    >>> from staking.units import FOOT, Unit
    >>> round(probable_level(69 * FOOT, 90 * FOOT, 99 * FOOT, Unit.FT) / FOOT, 6)
    96.0
    """
    size = unit.metres
    kinds = [[value * FOOT / INCH] if unit in {Unit.FT, Unit.US_FT} else []]
    kinds.append([value * 10, value / 10])
    kinds += [[each * size for each in found] for found in _other_digits(value / size, unit)]
    kinds.append([value + way * size * 10**power for power in (1, 2, 3) for way in (-1, 1)])
    middle = (low + high) / 2
    for found in kinds:
        inside = [each for each in found if low <= each <= high]
        if inside:
            return min(inside, key=lambda each: abs(each - middle))
    return None


def with_meant(kind: str, text: str, meant: float | None, /, **values: str | Length) -> Notice:
    """Make a notice that ends with the level that was probably meant, where one is known.

    Parameters
    ----------
    kind, text
        As `staking.notices.notice` takes them.
    meant
        As `probable_level` gives it, m.
    **values
        What fills the gaps in `text`.

    Returns
    -------
    Notice
        A warning.
    """
    gaps = tuple(values.items())
    if meant is None:
        return Notice(kind=kind, text=text, values=gaps)
    return Notice(
        kind=kind, text=text + "; {meant} may be meant", values=(*gaps, ("meant", Length(meant)))
    )


def _other_digits(value: float, unit: Unit) -> tuple[list[float], list[float]]:
    # The digits of whole feet, inches or millimetres, and of metres down to the centimetre.
    scale = 100 if unit is Unit.M else 1
    whole = int(abs(value) * scale + 1e-6)
    rest = abs(value) - whole / scale
    sign = -1.0 if value < 0 else 1.0
    digits = str(whole)
    swapped = [
        digits[:i] + digits[i + 1] + digits[i] + digits[i + 2 :] for i in range(len(digits) - 1)
    ]
    changed = [
        digits[:i] + other + digits[i + 1 :]
        for i in range(len(digits))
        for other in _DIGITS
        if other != digits[i]
    ]

    def number(text: str) -> float:
        return sign * (int(text) / scale + rest)

    return (
        [number(each) for each in swapped if each != digits],
        [number(each) for each in changed],
    )
