"""Clouds that lie about their size, or break off: refused in words, in little time and memory."""

from __future__ import annotations

import contextlib
import resource
import struct
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from staking.errors import InputError
from staking.ground_scan import Window
from staking.points import SurveySettings
from staking.survey.read import read_survey
from staking.survey.scanned.read_scan import read_scan
from tests.survey.cloud.made import CLOUDS, hill, patched, write_cloud

METRES = SurveySettings(unit="m")
HERE = Window(south=4_649_990, north=4_650_010, west=499_990, east=500_010)
BILLION = 1_000_000_000
MEGA = 1_000_000


def cloud(folder: Path, suffix: str = ".las", point_format: int = 6) -> Path:
    version = "1.4" if point_format > 5 else "1.2"
    return write_cloud(folder / f"tile{suffix}", hill(), version=version, point_format=point_format)


def first_point(path: Path) -> int:
    return int(struct.unpack_from("<I", path.read_bytes(), 96)[0])


def chunk_table(path: Path) -> int:
    return int(struct.unpack_from("<q", path.read_bytes(), first_point(path))[0])


def refusal(path: Path) -> str:
    """Return what a cloud is refused with, by a look and by a job; both in little time and room."""
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    start = time.process_time()
    said = []
    for work in (
        lambda: read_survey(path, SurveySettings(unit="m", is_listing=True)),
        lambda: read_scan(path, METRES, HERE),
    ):
        with pytest.raises(InputError) as caught:
            work()
        said.append(str(caught.value))
    assert time.process_time() - start < 5.0
    assert resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before < 100_000  # kB
    assert said[0] == said[1]
    return said[0].removeprefix(f"{path}: ")


@pytest.mark.parametrize(
    ("form", "at", "value", "wanted"),
    [
        ("<I", 96, 0xFFFFFFFF, "the head of this point cloud says that the points begin at byte "
         "4,294,967,295, and the file has"),
        ("<I", 96, 10, "the points of this cloud cannot begin at byte 10"),
        ("<I", 100, 0xFFFFFFFF, "the head of this point cloud says that 4,294,967,295 records "
         "follow it"),
        ("<H", 94, 65535, "the head of this point cloud says that it has 65,535 bytes"),
        ("<Q", 247, BILLION, "the head says that there are 1,000,000,000 points, and the file has "
         "room for 400"),
        ("<Q", 247, 2**64 - 1, "the head says that there are 18,446,744,073,709,551,615 points"),
        ("<H", 105, 65535, "the head says that there are 400 points, and the file has room for 0"),
        ("<H", 105, 3, "a point of format 6 has 30 bytes, and the head says 3"),
        ("<B", 104, 11, "the points are of format 11, which LAS 1.4 does not have"),
        ("<I", 243, 7_000_000, "the head says that 7,000,000 records begin at byte 0"),
        ("<d", 131, float("nan"), "the scales and offsets in the head make no coordinates"),
        ("<d", 131, 0.0, "the scales and offsets in the head make no coordinates"),
        ("<d", 131, 1e300, "points lie farther off than any place on the earth"),
    ],
)  # fmt: skip
def test_a_head_that_lies_is_refused(
    tmp_path: Path, form: str, at: int, value: int, wanted: str
) -> None:
    path = patched(cloud(tmp_path), at, form, value)
    if value == 1e300:
        with pytest.raises(InputError, match=wanted):
            read_survey(path, SurveySettings(unit="m", is_listing=True))
        return
    assert refusal(path).startswith(wanted)


def test_a_head_of_four_gigabytes_is_refused(tmp_path: Path) -> None:
    path = cloud(tmp_path)
    patched(path, 96, "<I", 4_000_000_000)
    with path.open("r+b") as stream:  # a file with a hole: it has the size and takes no room
        stream.truncate(4_100_000_000)
    assert refusal(path) == (
        "the points of this cloud cannot begin at byte 4,000,000,000; get the file anew; a "
        "download may have been cut short"
    )


@pytest.mark.parametrize("point_format", [1, 6])
def test_a_billion_claimed_points_in_a_compressed_file_are_refused(
    tmp_path: Path, point_format: int
) -> None:
    path = cloud(tmp_path, ".laz", point_format)
    at, form = (247, "<Q") if point_format == 6 else (107, "<I")
    assert refusal(patched(path, at, form, BILLION)).startswith(
        "the head says that there are 1,000,000,000 points, and the table of chunks speaks of 1 "
        "chunks in"
    )


@pytest.mark.parametrize("chunks", [2, 0, 0xFFFFFFFF])
def test_a_table_that_speaks_of_other_chunks_is_refused(tmp_path: Path, chunks: int) -> None:
    path = cloud(tmp_path, ".laz")
    patched(path, chunk_table(path) + 4, "<I", chunks)
    assert f"the table of chunks speaks of {chunks:,} chunks" in refusal(path)


@pytest.mark.parametrize("claimed", [100, BILLION])
def test_as_many_chunks_as_claimed_points_need_room_in_the_file(
    tmp_path: Path, claimed: int
) -> None:
    path = cloud(tmp_path, ".laz")
    chunks = claimed // 50_000
    patched(path, 247, "<Q", claimed)
    patched(path, chunk_table(path) + 4, "<I", chunks)
    assert refusal(path).startswith(f"the head says that there are {claimed:,} points, and the tab")


def test_a_layer_longer_than_its_chunk_is_refused(tmp_path: Path) -> None:
    path = cloud(tmp_path, ".laz")
    patched(path, first_point(path) + 8 + 30 + 4, "<I", 0xFFFFFFF0)
    assert refusal(path).startswith("chunk 1 of 1 of the compressed points does not hold what it")


def chunk_size(path: Path) -> int:
    """Return where the record of the compression has the points of a chunk."""
    return path.read_bytes().index(b"laszip encoded") - 2 + 54 + 12


def test_a_record_of_the_compression_that_lies_is_refused(tmp_path: Path) -> None:
    path = cloud(tmp_path, ".laz")
    patched(path, chunk_size(path), "<I", 0)
    assert refusal(path).startswith("the points are compressed in a way that does not go with fo")


def test_a_chunk_of_four_billion_claimed_points_reserves_nothing(tmp_path: Path) -> None:
    # It holds 400 as the head says, whatever a full one would hold.
    path = cloud(tmp_path, ".laz")
    patched(path, chunk_size(path), "<I", 0xFFFFFFFE)
    assert read_scan(path, METRES, HERE).count == 400


@pytest.mark.parametrize("name", ["append-bug.laz", "simple.copc.laz", "test1_4.las"])
def test_a_file_cut_short_anywhere_is_refused(tmp_path: Path, name: str) -> None:
    whole = (CLOUDS / name).read_bytes()
    path = tmp_path / name
    for size in [
        1,
        4,
        100,
        226,
        374,
        400,
        *(int(len(whole) * s) for s in np.linspace(0.02, 0.99, 25)),
    ]:
        path.write_bytes(whole[:size])
        for work in _works(path):
            with pytest.raises(InputError) as caught:
                work()
            assert "\n" not in str(caught.value)


def _works(path: Path) -> tuple[Callable[[], object], ...]:
    window = Window(south=0, north=1, west=0, east=1)
    return (
        lambda: read_survey(path, SurveySettings(unit="m", is_listing=True)),
        lambda: read_scan(path, SurveySettings(unit="m", crs="EPSG:2154"), window),
    )


@pytest.mark.parametrize("name", ["append-bug.laz", "simple.copc.laz"])
def test_bytes_turned_about_give_points_or_a_refusal_and_never_another_fault(
    tmp_path: Path, name: str
) -> None:
    whole = (CLOUDS / name).read_bytes()
    chance = np.random.default_rng(11)
    path = tmp_path / name
    for _ in range(60):
        data = bytearray(whole)
        for at in chance.integers(0, len(data), 4).tolist():
            data[at] = int(chance.integers(0, 256))
        path.write_bytes(data)
        for work in _works(path):
            with contextlib.suppress(InputError):
                work()
