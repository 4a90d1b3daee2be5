"""Which ways of compressing points are taken, and which are refused before anything is unpacked.

Numbers and versions of the parts of a point: the open specification of LASzip's record (LASzip,
``laszip.hpp``, LGPL and Apache-2.0), from memory: parts 0 and 6 to 9, those of the formats 0 to 5,
in versions 1 and 2; parts 10 to 14, those of the layered formats 6 to 10, in versions 3 and 4.
"""

from __future__ import annotations

import struct
from pathlib import Path

import laspy
import numpy as np
import pytest

from staking.errors import InputError
from staking.survey.cloud.compressed_chunks import check_compressed
from staking.survey.cloud.las_header import read_head
from tests.survey.cloud.made import hill, patched, write_cloud

PARTS = {
    0: (6,), 1: (6, 7), 2: (6, 8), 3: (6, 7, 8), 4: (6, 7, 9), 5: (6, 7, 8, 9),
    6: (10,), 7: (10, 11), 8: (10, 12), 9: (10, 13), 10: (10, 12, 13),
}  # fmt: skip
LONG_HEAD = 34
"""Bytes of the record before its parts, of 6 bytes each: number, size and version."""


def compressed(folder: Path, point_format: int, own_bytes: int = 0) -> Path:
    version = "1.4" if point_format > 5 else "1.3"
    path = folder / f"tile{point_format}.laz"
    write_cloud(path, hill(), version=version, point_format=point_format)
    if own_bytes:
        cloud = laspy.read(path)
        cloud.add_extra_dim(laspy.ExtraBytesParams("own", f"{own_bytes}u1"))
        cloud.own = np.arange(400 * own_bytes, dtype=np.uint8).reshape(400, own_bytes)
        cloud.write(str(path))
    return path


def parts_at(path: Path) -> int:
    """Return where the parts of the record begin."""
    return path.read_bytes().index(b"laszip encoded") - 2 + 54 + LONG_HEAD


def is_taken(path: Path) -> bool:
    with path.open("rb") as stream:
        head = read_head(stream, str(path))
        try:
            return check_compressed(stream, head)
        except InputError as error:
            if "compressed in a way that does not go with format" not in str(error):
                raise
            return False


@pytest.mark.parametrize("own_bytes", [0, 2])
@pytest.mark.parametrize("point_format", range(11))
def test_every_part_of_a_point_is_taken_in_its_two_versions_only(
    tmp_path: Path, point_format: int, own_bytes: int
) -> None:
    path = compressed(tmp_path, point_format, own_bytes)
    whole, at = path.read_bytes(), parts_at(path)
    parts = PARTS[point_format]
    if own_bytes:
        parts = (*parts, 14 if point_format > 5 else 0)
    for i, number in enumerate(parts):
        assert struct.unpack_from("<H", whole, at + 6 * i) == (number,)
        for version in range(6):
            path.write_bytes(whole)
            patched(path, at + 6 * i + 4, "<H", version)
            assert is_taken(path) == (version in ((3, 4) if number > 9 else (1, 2)))


@pytest.mark.parametrize("point_format", [3, 10])
def test_a_part_of_another_size_is_refused(tmp_path: Path, point_format: int) -> None:
    path = compressed(tmp_path, point_format)
    whole, at = path.read_bytes(), parts_at(path)
    for i in range(len(PARTS[point_format])):
        (size,) = struct.unpack_from("<H", whole, at + 6 * i + 2)
        for other in (size - 1, size + 1):
            path.write_bytes(whole)
            patched(path, at + 6 * i + 2, "<H", other)
            assert not is_taken(path)


@pytest.mark.parametrize(("point_format", "other"), [(1, 3), (7, 2)])
def test_points_in_layers_are_of_the_formats_from_6_on(
    tmp_path: Path, point_format: int, other: int
) -> None:
    path = compressed(tmp_path, point_format)
    assert is_taken(path)
    patched(path, parts_at(path) - LONG_HEAD, "<H", other)
    assert not is_taken(path)
