"""Surveyed points as comma-delimited text, under a heading that states the unit.

Names and descriptions are written as they are: `=1+1` may well be a field code, and a prefix
against spreadsheets would change it for every other reader.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, TextIO

from staking.output.points.stake_points import fixed
from staking.units import Unit

if TYPE_CHECKING:
    from staking.points import SurveyPoints

DECIMALS = {Unit.FT: 4, Unit.US_FT: 4, Unit.IN: 3, Unit.M: 5, Unit.MM: 2}
"""Decimals of a coordinate: finer than any survey, in each unit."""

_BARE = re.compile(r"[A-Za-z0-9_.](?:[A-Za-z0-9_. +/()-]*[A-Za-z0-9_.+/()-])?", re.ASCII)
_BREAKS = re.compile("[\0\r\n\v\f\x1c-\x1e\x85\u2028\u2029]+")
"""What a reader may take for the end of a line."""


def write_survey_csv(points: SurveyPoints, stream: TextIO) -> None:
    """Write points as UTF-8 comma-delimited text in the survey's unit.

    Parameters
    ----------
    points
        The survey. Lines and surfaces are left out.
    stream
        A text stream opened with ``newline=""``.
    """
    unit = Unit(points.unit)
    decimals = DECIMALS[unit]
    heading = [f"{what}_{unit.value}" for what in ("northing", "easting", "elevation")]
    stream.write(f"point,{','.join(heading)},description\n")
    rows = zip(
        points.names,
        (points.northing / unit.metres).tolist(),
        (points.easting / unit.metres).tolist(),
        (points.elevation / unit.metres).tolist(),
        points.descriptions,
        strict=True,
    )
    for name, northing, easting, elevation, description in rows:
        level = "" if elevation != elevation else fixed(elevation, decimals)
        stream.write(
            f"{quoted_cell(name)},{fixed(northing, decimals)},{fixed(easting, decimals)},"
            f"{level},{quoted_cell(description)}\n"
        )


def quoted_cell(text: str) -> str:
    """Return text as one cell on one line, quoted where a comma-delimited file needs it.

    Parameters
    ----------
    text
        A name or a description.

    Returns
    -------
    str
        The cell; line ends in the text become a blank.

    Examples
    --------
    >>> print(quoted_cell('12" oak, dead'))
    "12"" oak, dead"
    """
    line = _BREAKS.sub(" ", text)
    if not line or _BARE.fullmatch(line):
        return line
    return '"' + line.replace('"', '""') + '"'
