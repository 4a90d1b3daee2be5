"""Clouds made in a test, with laspy, and broken by hand."""

from __future__ import annotations

import struct
from pathlib import Path

import laspy
import numpy as np
from laspy.vlrs import VLR

CLOUDS = Path(__file__).parents[2] / "data" / "clouds"

GROUND = 2


def write_cloud(
    path: Path,
    places: np.ndarray,
    kinds: np.ndarray | int = GROUND,
    *,
    version: str = "1.4",
    point_format: int = 6,
    scale: float = 0.001,
    keys: dict[int, int] | None = None,
    text: str | None = None,
    withheld: np.ndarray | None = None,
    says_wkt: bool = True,
) -> Path:
    """Write x, y, z as a cloud; LAZ by its suffix."""
    header = laspy.LasHeader(version=version, point_format=point_format)
    header.scales = np.full(3, scale)
    header.offsets = np.floor(places.min(axis=0)) if len(places) else np.zeros(3)
    if keys is not None:
        entries = b"".join(struct.pack("<4H", key, 0, 1, value) for key, value in keys.items())
        data = struct.pack("<4H", 1, 1, 0, len(keys)) + entries
        header.vlrs.append(VLR("LASF_Projection", 34735, "", data))
    if text is not None:
        header.vlrs.append(VLR("LASF_Projection", 2112, "", text.encode() + b"\0"))
        header.global_encoding.wkt = says_wkt
    cloud = laspy.LasData(header)
    cloud.x, cloud.y, cloud.z = places.T
    cloud.classification = np.broadcast_to(np.asarray(kinds, dtype=np.uint8), len(places)).copy()
    if withheld is not None:
        cloud.withheld = withheld
    cloud.write(str(path))
    return path


def hill(count: int = 400, *, at: tuple[float, float] = (500_000.0, 4_650_000.0)) -> np.ndarray:
    """Return x, y, z of a rough slope of 100 by 100 round a place."""
    chance = np.random.default_rng(3)
    flat = chance.uniform(-50.0, 50.0, (count, 2))
    level = 200.0 + 0.1 * flat[:, 0] + chance.normal(0.0, 0.02, count)
    return np.column_stack((flat + at, level))


def patched(path: Path, at: int, form: str, *values: int) -> Path:
    """Write other numbers into a file."""
    data = bytearray(path.read_bytes())
    struct.pack_into(form, data, at, *values)
    path.write_bytes(data)
    return path
