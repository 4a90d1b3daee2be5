"""The keys of a coordinate system in a cloud's record, as pictures of the ground have them.

References
----------
OGC GeoTIFF Standard 1.1 (OGC 19-008r4), 7.1 (the directory of keys) and annex B (their numbers).
"""

from __future__ import annotations

import struct

from staking.frozen import frozen

DIRECTORY = 34735
"""Number of the record that holds the directory."""

_MODEL, _LATITUDES, _GRID, _UNIT = 1024, 2048, 3072, 3076
_VERTICAL, _HEIGHTS = 4096, 4099

_UNITS = {9001: "m", 9002: "ft", 9003: "us-ft"}
"""Units by their code in the EPSG register."""


@frozen
class GeoKeys:
    """What the keys of a coordinate system say; None where one is not there.

    Parameters
    ----------
    code
        ``EPSG:2154`` of the grid, or of latitude and longitude where there is no grid.
    is_geographic
        Whether they speak of latitude and longitude and of no grid.
    unit, heights_unit
        By the name in the job file.
    vertical
        The code of the elevation datum.
    """

    code: str | None
    is_geographic: bool
    unit: str | None
    vertical: int | None
    heights_unit: str | None


def read_keys(data: bytes) -> GeoKeys:
    """Read the directory of keys.

    Parameters
    ----------
    data
        What the record holds.

    Returns
    -------
    GeoKeys
        Keys whose values stand elsewhere, all of them texts and long numbers, are passed over.
    """
    keys = {}
    if len(data) >= 8:
        (count,) = struct.unpack_from("<H", data, 6)
        entries = data[8 : 8 + 8 * count]
        for number, place, _, value in struct.iter_unpack("<4H", entries[: len(entries) // 8 * 8]):
            if place == 0:
                keys[number] = value
    grid, latitudes = _code(keys.get(_GRID)), _code(keys.get(_LATITUDES))
    is_geographic = grid is None and (
        keys.get(_MODEL) == 2
        or (latitudes is not None and _GRID not in keys and keys.get(_MODEL) != 1)
    )
    vertical = keys.get(_VERTICAL)
    return GeoKeys(
        code=grid or (latitudes if is_geographic else None),
        is_geographic=is_geographic,
        unit=_UNITS.get(keys.get(_UNIT, 0)),
        vertical=vertical if vertical is not None and 1024 <= vertical <= 32766 else None,
        heights_unit=_UNITS.get(keys.get(_HEIGHTS, 0)),
    )


def _code(value: int | None) -> str | None:
    # Other numbers mean: none, private, or defined by keys of its own.
    return f"EPSG:{value}" if value is not None and 1024 <= value <= 32766 else None
