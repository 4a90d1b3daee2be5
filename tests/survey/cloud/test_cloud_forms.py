from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from staking.errors import InputError
from staking.ground_scan import Window
from staking.points import SurveySettings
from staking.survey.read import read_survey
from staking.survey.scanned import kept_window
from staking.survey.scanned.read_scan import read_scan
from tests.survey.cloud.made import hill, patched, write_cloud

METRES = SurveySettings(unit="m")
LOOK = SurveySettings(unit="m", is_listing=True)
HERE = Window(south=4_649_990, north=4_650_010, west=499_990, east=500_010)


@pytest.mark.parametrize("suffix", [".las", ".laz"])
@pytest.mark.parametrize(
    ("version", "point_format"),
    [("1.2", 0), ("1.2", 1), ("1.2", 2), ("1.2", 3), ("1.3", 4), ("1.3", 5), ("1.4", 0),
     ("1.4", 6), ("1.4", 7), ("1.4", 8), ("1.4", 9), ("1.4", 10)],
)  # fmt: skip
def test_every_version_and_point_format_is_read(
    tmp_path: Path, version: str, point_format: int, suffix: str
) -> None:
    places = hill()
    kinds = np.where(np.arange(len(places)) % 4 == 0, 5, 2)
    path = write_cloud(
        tmp_path / f"tile{suffix}", places, kinds, version=version, point_format=point_format
    )
    found = read_scan(path, METRES, HERE)
    ground = np.round(places[kinds == 2], 3)
    rows = np.column_stack((found.easting, found.northing, found.elevation))
    assert np.abs(rows - ground).max() < 1e-6
    scan = read_survey(path, LOOK).scan
    assert scan is not None
    assert [(each.code, each.count) for each in scan.classes] == [(2, 300), (5, 100)]
    assert (f"LAS {version} point cloud" in found.format, "LAZ" in found.format) == (
        True,
        suffix == ".laz",
    )


@pytest.mark.parametrize("point_format", [1, 6])
def test_points_not_to_be_used_are_left_out_and_counted(tmp_path: Path, point_format: int) -> None:
    withheld = np.arange(400) % 10 == 0
    path = write_cloud(tmp_path / "tile.las", hill(), point_format=point_format, withheld=withheld)
    found = read_scan(path, METRES, HERE)
    assert found.count == 360
    assert found.scan is not None
    assert (found.scan.count, found.scan.ground, found.scan.withheld) == (400, 360, 40)
    assert [each.kind for each in found.notices][-1] == "points-withheld"
    listed = read_survey(path, LOOK)
    assert listed.scan is not None
    assert (listed.scan.ground, listed.scan.withheld) == (360, 40)


def test_many_parts_of_a_file_give_what_one_gives(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from staking.survey.cloud import cloud_points

    path = write_cloud(tmp_path / "tile.laz", hill())
    whole = read_scan(path, METRES, HERE)
    monkeypatch.setattr(cloud_points, "PART", 7)
    parts = read_scan(path, METRES, HERE)
    assert np.array_equal(whole.easting, parts.easting)
    assert np.array_equal(whole.elevation, parts.elevation)


def test_where_points_are_too_many_the_margin_shrinks(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = write_cloud(tmp_path / "tile.las", hill(4_000))
    monkeypatch.setattr(kept_window, "MOST_KEPT", 1_500)
    found = read_scan(path, METRES, HERE)
    assert found.scan is not None
    # 60 m, halved until no more than 1,500 of 4,000 points lie in the window: 15 m round 20 x 20 m
    # hold a quarter of the 100 x 100 m.
    assert found.scan.margin == 15.0
    assert 800 < found.count < 1_200
    assert np.abs(found.easting - 500_000).max() <= 25.0
    monkeypatch.setattr(kept_window, "MOST_KEPT", 500)
    with pytest.raises(InputError, match="over 500 ground points lie at the building"):
        read_scan(path, METRES, HERE)


def test_a_window_in_feet_keeps_the_margin_of_200_feet(tmp_path: Path) -> None:
    feet = hill(at=(0.0, 0.0)) / 0.3048
    path = write_cloud(tmp_path / "tile.las", feet)
    found = read_scan(
        path, SurveySettings(unit="ft"), Window(south=-40, north=-40, west=-40, east=-40)
    )
    rows = feet * 0.3048
    assert found.count == int(((rows[:, 0] <= 20) & (rows[:, 1] <= 20)).sum())
    assert found.unit == "ft"
    assert "heights-unit" in [each.kind for each in found.notices]


def test_heights_in_another_unit_than_the_grid(tmp_path: Path) -> None:
    path = write_cloud(tmp_path / "tile.las", hill())
    in_feet = read_scan(path, SurveySettings(unit="m", heights="ft"), HERE)
    in_metres = read_scan(path, METRES, HERE)
    assert in_feet.elevation == pytest.approx(in_metres.elevation * 0.3048, abs=1e-9, rel=0)
    assert in_feet.scan is not None
    assert in_feet.scan.heights_unit == "ft"


def test_a_head_that_gives_another_extent_is_said(tmp_path: Path) -> None:
    path = write_cloud(tmp_path / "tile.las", hill())
    data = bytearray(path.read_bytes())
    data[179:187] = np.float64(700_000.0).tobytes()  # the greatest x
    path.write_bytes(data)
    said = [each.kind for each in read_survey(path, LOOK).notices]
    assert "extent-doubtful" in said


def test_a_tile_beside_the_lot_gives_no_points(tmp_path: Path) -> None:
    path = write_cloud(tmp_path / "tile.laz", hill())
    far = Window(south=4_651_000, north=4_651_010, west=499_990, east=500_010)
    assert read_scan(path, METRES, far).count == 0


def test_a_cloud_is_no_survey_of_stakes(tmp_path: Path) -> None:
    path = write_cloud(tmp_path / "tile.las", hill())
    with pytest.raises(InputError, match="this is scanned ground, whose points have no names"):
        read_survey(path, METRES)


def test_points_of_another_version_are_refused(tmp_path: Path) -> None:
    path = patched(write_cloud(tmp_path / "tile.las", hill()), 25, "<B", 5)
    with pytest.raises(InputError, match=r"says that it is LAS 1\.5; 1\.2, 1\.3 and 1\.4 are read"):
        read_scan(path, METRES, HERE)
