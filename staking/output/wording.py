"""Numbers into words: the one place where a computed length becomes text.

Everything shown goes through here, so that a job in feet and inches never shows a metre and text
that came from the job file can do no harm to the terminal it is shown on.
"""

from __future__ import annotations

import math
import unicodedata
from typing import TYPE_CHECKING

from staking.kinds import RodMarks
from staking.measure.lengths import (
    FOOT,
    INCH,
    format_angle,
    format_area,
    format_bearing,
    format_length,
)
from staking.measure.rounding import decimal_text
from staking.notices import Angle, Area, AtLeast, Azimuth, Fine, Length
from staking.plan import Show

if TYPE_CHECKING:
    from staking.notices import Notice, Value
    from staking.plan import Options

_FINEST = {
    Show.FEET_INCHES: INCH / 32,
    Show.DECIMAL_FEET: 0.3048 / 1000,
    Show.METRES: 0.001,
    Show.MILLIMETRES: 0.001,
}
"""The step a tolerance is rounded down to, m: 1/32", a thousandth of a foot, a millimetre."""

_SHOWN = {Show.DECIMAL_FEET: 0.01 * FOOT, Show.METRES: 0.001, Show.MILLIMETRES: 0.001}
"""The least step a length is shown in, m, where the job does not say it."""

_NOTHING = 1e-7
"""What a computed length may be off by itself, m; the roundings of doubles leave far less."""

_UNSEEN = frozenset({"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"})
"""Unicode categories that steer a terminal or the reading direction instead of showing."""


class Words:
    """The words of one job: lengths as its options want them shown.

    Parameters
    ----------
    options
        The job's options; `show` and `nearest` are used.

    Examples
    --------
    >>> from staking.plan import Options
    >>> print(Words(Options()).length(0.3048 * 24 + 0.0254 * 6.5))
    24' 6 1/2"
    """

    def __init__(self, options: Options) -> None:
        self.show = options.show
        self.nearest = options.nearest

    def length(self, metres: float) -> str:
        """Write a length.

        Parameters
        ----------
        metres
            The length, m; negative ones keep their sign.

        Returns
        -------
        str
            To the nearest that the job asks for.
        """
        return format_length(metres, self.show, self.nearest)

    def level(self, metres: float) -> str:
        """Write an elevation.

        Parameters
        ----------
        metres
            The elevation, m.

        Returns
        -------
        str
            As lengths are written; in a job in millimetres in metres to the third decimal, as
            drawings and staffs have it (common practice, no source).
        """
        if self.show is Show.MILLIMETRES:
            return format_length(metres, Show.METRES, self.nearest)
        return self.length(metres)

    def on_rod(self, metres: float, marked: RodMarks) -> str:
        """Write a reading of the rod, or what is added to one, as the rod is marked.

        Parameters
        ----------
        metres
            The reading or what is added, m.
        marked
            How the rod is marked.

        Returns
        -------
        str
            A rod in inches is read in inches, whatever else of a job in feet is written in
            tenths, and the other way round; in a metric job as lengths are written.
        """
        if self.show in {Show.METRES, Show.MILLIMETRES}:
            return self.length(metres)
        show = Show.DECIMAL_FEET if marked is RodMarks.TENTHS else Show.FEET_INCHES
        return format_length(metres, show, self.nearest)

    def added(self, metres: float, marked: RodMarks) -> str:
        """Write what is added to the reading on the benchmark.

        Parameters
        ----------
        metres
            What is added, m; negative above the benchmark.
        marked
            How the rod is marked, as for `on_rod`.

        Returns
        -------
        str
            What is to be taken off says so in a word, since a sign is overlooked in the mud.
        """
        if self.on_rod(metres, marked) == self.on_rod(0.0, marked):
            return self.on_rod(0.0, marked)
        sign = "less " if metres < 0 else ""
        return f"{sign}{self.on_rod(abs(metres), marked)}"

    def allowed(self, metres: float) -> str:
        """Write what may be out: rounded down, since a tolerance never grows by rounding.

        Parameters
        ----------
        metres
            The tolerance, m, not negative.

        Returns
        -------
        str
            To 1/32" (or a thousandth of a foot, or a millimetre), and never nothing at all.
        """
        finest = _FINEST[self.show]
        # The billionth keeps a tolerance of exactly n steps from falling to n - 1.
        steps = max(1, math.floor(metres / finest + 1e-9))
        if self.show is Show.DECIMAL_FEET:
            # Lengths stop at the hundredth, where a small tolerance would grow or vanish.
            return f"{steps / 1000:.3f} ft"
        return format_length(steps * finest, self.show, finest)

    def at_least(self, metres: float) -> str:
        """Write what has to be kept: rounded up, so that who keeps what is written keeps it.

        Parameters
        ----------
        metres
            The length or elevation, m.

        Returns
        -------
        str
            To the next step that lengths are shown in.
        """
        step = _SHOWN.get(self.show, self.nearest)
        return self.length(math.ceil(metres / step - 1e-6) * step)

    def fine(self, metres: float) -> str:
        """Write how near something comes, finer than lengths are shown.

        Parameters
        ----------
        metres
            The radius or error, m.

        Returns
        -------
        str
            To the nearest 1/32", thousandth of a foot or tenth of a millimetre.
        """
        match self.show:
            case Show.FEET_INCHES:
                return format_length(metres, self.show, INCH / 32)
            case Show.DECIMAL_FEET:
                return f"{decimal_text(metres / FOOT, 3)} ft"
            case Show.METRES:
                return f"{decimal_text(metres, 4)} m"
            case Show.MILLIMETRES:
                return f"{decimal_text(metres * 1000, 1)} mm"

    def area(self, square_metres: float) -> str:
        """Write an area.

        Parameters
        ----------
        square_metres
            The area, m2.

        Returns
        -------
        str
            In square feet or square metres, as the job is shown.
        """
        return format_area(square_metres, self.show)

    def angle(self, radians: float) -> str:
        """Write an angle.

        Parameters
        ----------
        radians
            The angle, rad.

        Returns
        -------
        str
            In degrees, minutes and seconds.
        """
        return format_angle(radians)

    def notice(self, notice: Notice) -> str:
        """Write out a notice.

        Parameters
        ----------
        notice
            The notice with its quantities.

        Returns
        -------
        str
            One sentence without a final stop, safe for a terminal.
        """
        gaps = {name: self._value(value) for name, value in notice.values}
        return safe(notice.text.format(**gaps))

    def _noticed(self, metres: float) -> str:
        """Write a length in a sentence, where a small one never reads as nothing at all."""
        text = self.length(metres)
        if abs(metres) > _NOTHING and text == self.length(0.0):
            return f"under {self.length(_SHOWN.get(self.show, self.nearest))}"
        return text

    def _value(self, value: Value) -> str:
        match value:
            case Length(metres=metres):
                return self._noticed(metres)
            case AtLeast(metres=metres):
                return self.at_least(metres)
            case Fine(metres=metres):
                return self.fine(metres)
            case Area(square_metres=square_metres):
                return self.area(square_metres)
            case Angle(radians=radians):
                return self.angle(radians)
            case Azimuth(radians=radians):
                return format_bearing(radians)
            case float():
                return f"{value:g}"
            case _:
                return safe(str(value))


def safe(text: str) -> str:
    r"""Make text from outside harmless: nothing in it can steer a terminal or break a line.

    Parameters
    ----------
    text
        Text from a job file, a file name or an error.

    Returns
    -------
    str
        The text with white space of every kind as one space each and every other character
        that does not show as a question mark.

    Examples
    --------
    >>> safe("a\x1b[31m red\nbarn")
    'a?[31m red barn'
    """
    if text.isascii() and text.isprintable():
        return text
    return "".join(map(_safe_character, text))


def _safe_character(character: str) -> str:
    if character.isspace():
        return " "
    return "?" if unicodedata.category(character) in _UNSEEN else character
