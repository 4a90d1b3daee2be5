"""Feeds the readers of clouds and height grids bytes that a fuzzer makes: see ``one_reader.py``.

Bytes alone seldom make a cloud, so most of the inputs change a few bytes of a small sound one, of
each kind: LAS and LAZ of old and new point formats, with records of the coordinate system, and a
height grid. What such a file ends in must be points or the package's own fault, in little memory.
"""

from __future__ import annotations

import contextlib
import functools
import io
import resource
import struct

import numpy as np
from one_reader import run

WORDS = (
    'PROJCS["a",GEOGCS["NAD83",DATUM["North_American_Datum_1983",SPHEROID["GRS 1980",6378137,'
    '298.257222101]],PRIMEM["Greenwich",0],UNIT["degree",0.0174532925199433]],'
    'PROJECTION["Transverse_Mercator"],PARAMETER["latitude_of_origin",0],'
    'PARAMETER["central_meridian",-93],PARAMETER["scale_factor",0.9996],'
    'PARAMETER["false_easting",500000],PARAMETER["false_northing",0],UNIT["metre",1],'
    'AUTHORITY["EPSG","26915"]]'
)
GRID = b"ncols 4\nnrows 3\nxllcorner 5000\nyllcorner 4000\ncellsize 2\nNODATA_value -9999\n" + (
    b"1 2 3 -9999\n5 6 7 8\n9 10 11 12\n"
)
FORMS = (("1.2", 1, False), ("1.2", 3, True), ("1.3", 4, False), ("1.4", 6, True), ("1.4", 8, True),
         ("1.4", 7, False), ("1.4", 10, True))  # fmt: skip
MOST_MEMORY = 1_500_000
"""kB; an input that takes the process beyond it has made a reader reserve what a file claims."""


@functools.cache
def sound(number: int) -> bytes:
    """Return a small sound file; the last one is a height grid."""
    if number == len(FORMS):
        return GRID
    import laspy
    from laspy.vlrs import VLR

    version, point_format, packed = FORMS[number]
    header = laspy.LasHeader(version=version, point_format=point_format)
    header.scales, header.offsets = np.full(3, 0.01), np.array([500_000.0, 4_650_000.0, 0.0])
    keys = struct.pack("<16H", 1, 1, 0, 3, 1024, 0, 1, 1, 3072, 0, 1, 26915, 4099, 0, 1, 9003)
    header.vlrs.append(VLR("LASF_Projection", 34735, "", keys))
    if number % 2:
        header.vlrs.append(VLR("LASF_Projection", 2112, "", WORDS.encode()))
        header.global_encoding.wkt = version == "1.4"
    cloud = laspy.LasData(header)
    chance = np.random.default_rng(number)
    cloud.x, cloud.y = 500_000 + chance.uniform(0, 9, 40), 4_650_000 + chance.uniform(0, 9, 40)
    cloud.z = chance.uniform(90, 95, 40)
    cloud.classification = np.where(np.arange(40) % 3, 2, 5).astype(np.uint8)
    stream = io.BytesIO()
    cloud.write(stream, do_compress=packed)
    return stream.getvalue()


def file_of(data: bytes) -> bytes:
    """Make a file: the bytes as they are, or a sound one with some of its bytes set or cut off."""
    choice = data[0] % (2 * (len(FORMS) + 1))
    if choice < len(FORMS) + 1:
        made = bytearray(sound(choice))
        for at, value in zip(*[iter(data[1:])] * 2, strict=False):
            # The numbers that matter stand in the head; the rest is reached by the raw inputs.
            made[(at * 7919 + len(made) // 3 * (value & 1)) % len(made)] = value
        return bytes(made)
    if choice < 2 * len(FORMS):
        made = bytearray(sound(choice - len(FORMS)))
        for place in range(1, len(data) - 5, 6):
            at, value = struct.unpack_from("<HI", data, place)
            at %= max(len(made) - 4, 1)
            made[at : at + 4] = struct.pack("<I", value)
        return bytes(made[: len(made) - data[-1] % 8])
    return data[1:]


def read_one(data: bytes) -> None:
    """Read one input as a listing and as the ground of a job."""
    from staking.errors import InputError
    from staking.ground_scan import Window
    from staking.points import SurveySettings
    from staking.survey.cloud.points_from_cloud import parse_cloud, read_cloud_window
    from staking.survey.scanned.points_from_grid import (
        parse_height_grid,
        read_height_grid_window,
    )

    if len(data) < 3:
        return
    content = file_of(data)
    is_grid = content[:4].lower() != b"lasf"
    window = Window(south=4_650_000, north=4_650_009, west=500_000, east=500_009)
    settings = SurveySettings(
        job_unit=(None, "m", "us-ft")[data[1] % 3], crs=(None, None, "EPSG:26915")[data[2] % 3]
    )
    look = SurveySettings(is_listing=True, job_unit=settings.job_unit)
    with contextlib.suppress(InputError):
        (parse_height_grid if is_grid else parse_cloud)(io.BytesIO(content), "fuzzed", look)
    with contextlib.suppress(InputError):
        (read_height_grid_window if is_grid else read_cloud_window)(
            io.BytesIO(content), "fuzzed", settings, window
        )
    if resource.getrusage(resource.RUSAGE_SELF).ru_maxrss > MOST_MEMORY:
        raise MemoryError("the process has grown past what a file of this size can need")


if __name__ == "__main__":
    run(read_one)
