"""Warnings as values: what the user must be told, with its numbers still numbers.

The core never turns a length into text, because only the output knows whether the job is in
feet and inches or in metres. A notice therefore carries a sentence with named gaps and the
quantities that fill them; ``output/wording.py`` writes it out.
"""

from __future__ import annotations

from enum import StrEnum

from staking.frozen import frozen


@frozen(kw_only=False)
class Length:
    """A length in a notice, m."""

    metres: float


@frozen(kw_only=False)
class AtLeast:
    """A length or an elevation that is kept when it is kept as written: written rounded up, m."""

    metres: float


@frozen(kw_only=False)
class Fine:
    """A length in a notice that is written finer than others: a limit or an error, m."""

    metres: float


@frozen(kw_only=False)
class Area:
    """An area in a notice, m2."""

    square_metres: float


@frozen(kw_only=False)
class Angle:
    """An angle in a notice, rad."""

    radians: float


@frozen(kw_only=False)
class Azimuth:
    """A direction in a notice, rad clockwise from north."""

    radians: float


Value = str | int | float | Length | AtLeast | Fine | Area | Angle | Azimuth


class Severity(StrEnum):
    """How much a notice weighs.

    ``broken`` says that something the job itself sets is broken, which ends the command with
    status 5; ``warning`` wants a decision; ``note`` states what was assumed or moved.
    """

    NOTE = "note"
    WARNING = "warning"
    BROKEN = "broken"


class NoticeKind(StrEnum):
    """The kinds of notice that something is done with beyond saying them.

    A notice of any other kind carries a short name of its own.
    """

    SPIKE = "spike"
    HAND_DIG = "hand-dig"
    BOARD_TIER = "board-tier"
    READINGS_APART = "readings-apart"
    OUTSIDE_ITS_SYSTEM = "crs-area"
    SETBACK_UNPROVEN = "setback-unproven"
    FIT_STAKE = "fit-stake"
    PROJECTED = "projected"
    US_SIZES = "us-sizes"
    STRING_ON_BUILDING = "string-on-building"
    GRADE_OVER_TOP = "grade-over-top"
    GRADE_NEAR_TOP = "grade-near-top"
    WATER_UPHILL = "water-uphill"
    SLOPE_ABOVE = "slope-above"
    SLOPE_BELOW = "slope-below"
    SLOPE_OVER_45 = "slope-over-45"
    TRENCH_WAY_OUT = "trench-way-out"
    TRENCH_PROTECTION = "trench-protection"


@frozen
class Notice:
    """One thing that the user is to know.

    Parameters
    ----------
    kind
        A short name for tests and for grouping, such as ``mitre-cut``.
    text
        The sentence, a `str.format` pattern whose names are the keys of `values`, without a
        final stop. Literal braces are doubled.
    values
        Pairs of name and value that fill the gaps.
    severity
        How much it weighs.
    """

    kind: str
    text: str
    values: tuple[tuple[str, Value], ...] = ()
    severity: Severity = Severity.WARNING


def notice(
    kind: str, text: str, /, severity: Severity = Severity.WARNING, **values: Value
) -> Notice:
    """Make a notice from keyword values.

    Parameters
    ----------
    kind, text, severity
        As in `Notice`.
    **values
        What fills the gaps in `text`.

    Returns
    -------
    Notice
        The notice.

    Examples
    --------
    >>> notice("mitre-cut", "the mitre at {corner} is cut", corner="A").values
    (('corner', 'A'),)
    """
    return Notice(kind=kind, text=text, values=tuple(values.items()), severity=severity)
