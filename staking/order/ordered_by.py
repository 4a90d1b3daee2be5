"""What things are ordered by: volume, length, area, mass or number."""

from __future__ import annotations

from enum import StrEnum


class Measured(StrEnum):
    """What an item is ordered by."""

    BULK = "bulk"
    LENGTH = "length"
    AREA = "area"
    MASS = "mass"
    COUNT = "count"
