"""Units of length: how long each is, by exact factors."""

from __future__ import annotations

from enum import StrEnum

FOOT = 0.3048
"""The international foot, m, exactly (85 FR 62698, 5 October 2020)."""

INCH = 0.0254
"""A twelfth of the international foot, m, exactly."""

US_SURVEY_FOOT = 1200 / 3937
"""The U.S. survey foot, m (85 FR 62698): deprecated since 2022, alive in old plane coordinates."""


class Unit(StrEnum):
    """A unit of length by its name in the job file."""

    FT = "ft"
    US_FT = "us-ft"
    IN = "in"
    M = "m"
    MM = "mm"

    @property
    def metres(self) -> float:
        """How long one is, m."""
        return _METRES[self.value]

    @property
    def plural(self) -> str:
        """What several are called in a sentence."""
        return _PLURALS[self.value]


_METRES = {"ft": FOOT, "us-ft": US_SURVEY_FOOT, "in": INCH, "m": 1.0, "mm": 0.001}
_PLURALS = {
    "ft": "feet",
    "us-ft": "US survey feet",
    "in": "inches",
    "m": "metres",
    "mm": "millimetres",
}
