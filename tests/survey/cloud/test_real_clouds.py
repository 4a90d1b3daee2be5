"""Open sample clouds, against the counts, extents and systems that laspy 2.7.0 finds in them.

The files are listed in tests/data/clouds/SOURCES.md with their counts by class, which were taken
from the files with laspy, whole and at once.
"""

from __future__ import annotations

import laspy
import numpy as np
import pytest

from staking.errors import InputError
from staking.ground_scan import Window
from staking.points import SurveySettings
from staking.survey.read import read_survey
from staking.survey.scanned.read_scan import read_scan
from tests.survey.cloud.made import CLOUDS

LOOK = SurveySettings(is_listing=True)
US_FT = 1200 / 3937


def kinds(name: str, unit: str | None = None) -> list[str]:
    points = read_survey(CLOUDS / name, SurveySettings(is_listing=True, unit=unit))
    return [each.kind for each in points.notices]


@pytest.mark.parametrize(
    ("name", "form", "crs", "unit", "heights", "classes"),
    [
        ("append-bug.laz", "LAS 1.4 point cloud, compressed (LAZ)", "EPSG:2154", "m", "m",
         {1: 355, 2: 22_859, 3: 929, 4: 1_816, 5: 9_974, 17: 1_333, 65: 539}),
        ("simple.copc.laz", "LAS 1.4 point cloud, compressed (LAZ)", "EPSG:2991", "m", "us-ft",
         {1: 789, 2: 276}),
        ("test1_4.las", "LAS 1.4 point cloud", "EPSG:2903", "us-ft", "us-ft", {2: 1_000}),
    ],
)  # fmt: skip
def test_counts_classes_and_systems_of_open_clouds(
    name: str, form: str, crs: str, unit: str, heights: str, classes: dict[int, int]
) -> None:
    points = read_survey(CLOUDS / name, LOOK)
    scan = points.scan
    assert scan is not None
    assert (points.format, points.crs, points.unit, scan.heights_unit) == (form, crs, unit, heights)
    assert {each.code: each.count for each in scan.classes} == classes
    assert scan.count == sum(classes.values())
    assert scan.ground == classes[2]
    assert points.count == 0
    # laspy reads the same file whole.
    whole = laspy.read(CLOUDS / name)
    assert scan.extent is not None
    flat, up = (US_FT if each == "us-ft" else 1.0 for each in (unit, heights))
    for ends, values, metres in (
        (scan.extent[0], whole.y, flat),
        (scan.extent[1], whole.x, flat),
        (scan.extent[2], whole.z, up),
    ):
        assert ends == pytest.approx(
            (np.min(values) * metres, np.max(values) * metres), abs=1e-6, rel=0
        )


def test_the_systems_in_words_are_those_of_the_register() -> None:
    # EPSG:2154, RGF93 v1 / Lambert-93; EPSG:2903, NAD83(HARN) / New Mexico Central (ftUS), in the
    # EPSG register. The file of the second rounds its false easting and bears no valid datum shift.
    assert read_survey(CLOUDS / "append-bug.laz", LOOK).crs == "EPSG:2154"
    assert read_survey(CLOUDS / "test1_4.las", LOOK).crs == "EPSG:2903"


def test_a_cloud_whose_record_has_the_wrong_unit_is_doubted() -> None:
    # Its numbers are feet and its record says metres: read so it lies in Canada.
    assert "system-doubtful" in kinds("simple.copc.laz")
    assert "system-doubtful" not in kinds("simple.copc.laz", "us-ft")
    place = Window(south=258_400, north=259_400, west=194_000, east=195_000)
    with pytest.raises(
        InputError,
        match=r"northing 851,218, easting 637,301 metres is not a place in the area of EPSG:2991 "
        r"\(NAD83 / Oregon LCC \(m\)\); the same numbers in US survey feet or feet are one",
    ):
        read_scan(CLOUDS / "simple.copc.laz", SurveySettings(), place)
    told = SurveySettings(unit="ft", heights="us-ft")
    assert read_scan(CLOUDS / "simple.copc.laz", told, place).count > 100


def test_a_unit_of_heights_that_contradicts_itself_is_said() -> None:
    # Its record says UNIT["US survey foot",1.0].
    assert "heights-unit-doubtful" in kinds("test1_4.las")


def test_a_cloud_without_ground_is_shown_and_is_no_ground() -> None:
    with pytest.raises(InputError, match="nothing says in which unit northing and easting are"):
        read_survey(CLOUDS / "vegetation_1_3.las", LOOK)
    metres = SurveySettings(is_listing=True, unit="m")
    scan = read_survey(CLOUDS / "vegetation_1_3.las", metres).scan
    assert scan is not None
    assert [(each.code, each.count) for each in scan.classes] == [(11, 10_683)]
    assert "no-ground-class" in kinds("vegetation_1_3.las", "m")
    here = Window(south=-55_975, north=-55_970, west=-98_450, east=-98_448)
    with pytest.raises(
        InputError,
        match=r"none of the points is classified as ground: there are 10,683 of class 11 "
        r"\(reserved\); what is not ground may be grass, trees and roofs; get the file with its "
        "ground classified",
    ):
        read_scan(CLOUDS / "vegetation_1_3.las", SurveySettings(unit="m"), here)


def test_the_ground_points_in_a_window_are_those_that_laspy_gives() -> None:
    whole = laspy.read(CLOUDS / "append-bug.laz")
    window = Window(south=6_259_940, north=6_259_950, west=698_010, east=698_030)
    found = read_scan(CLOUDS / "append-bug.laz", SurveySettings(), window)
    x, y, z = (np.asarray(each) for each in (whole.x, whole.y, whole.z))
    near = (np.abs(x - 698_020) <= 70) & (np.abs(y - 6_259_945) <= 65)
    wanted = near & (np.asarray(whole.classification) == 2)
    assert found.count == int(wanted.sum()) > 10_000
    assert np.array_equal(found.easting, x[wanted])
    assert np.array_equal(found.northing, y[wanted])
    assert np.array_equal(found.elevation, z[wanted])
    assert found.scan is not None
    assert found.scan.margin == 60.0
    assert set(found.names) == {""}
