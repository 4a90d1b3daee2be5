"""Small lengths and differences in words: half as fine as what is read, with a sign."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.measure.lengths import INCH, format_length
from staking.plan import Show

if TYPE_CHECKING:
    from staking.plan import Options


def fine(metres: float, options: Options) -> str:
    """Write a small length: what lies below the tape's own step still tells.

    Parameters
    ----------
    metres
        The length, m.
    options
        The job's options.

    Returns
    -------
    str
        To 1/32" in feet and inches, elsewhere as the job is shown.
    """
    if options.show is Show.FEET_INCHES:
        return format_length(metres, options.show, INCH / 32)
    return format_length(metres, options.show, options.nearest)


def signed(metres: float, options: Options) -> str:
    """Write a difference with its sign.

    Parameters
    ----------
    metres
        The difference, m.
    options
        The job's options.

    Returns
    -------
    str
        As `fine`, with + or - before it; without either where it reads as nothing.
    """
    text = fine(abs(metres), options)
    if text == fine(0.0, options):
        return text
    return f"{'+' if metres > 0 else '-'}{text}"
