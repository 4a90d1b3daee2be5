"""A laser cloud, or a height grid, as the ground of a job, through every command that takes ground.

The clouds are open samples (tests/data/clouds/SOURCES.md). The surface is held against SciPy's
Delaunay triangles of all ground points of the file as laspy reads them.
"""

from __future__ import annotations

import csv
import json
import shutil
from pathlib import Path

import laspy
import numpy as np
import pytest
from click.testing import CliRunner, Result
from pyproj import CRS, Transformer
from scipy.spatial import Delaunay

from staking.cli import main
from staking.footing.bands import footing_bands
from staking.laid_out.ground_of_scan import from_scans
from staking.project.layout import load_job
from staking.project.lot import load_site
from tests.survey.cloud.made import CLOUDS, hill, write_cloud

JOB = """
job: Cloud shed
units: m
building:
  rectangle: 10 m x 8 m
  wall: 200 mm
  footing: {width: 500 mm, thickness: 250 mm}
site:
  survey: append-bug.laz
  units: m
  place: {corner: A, wall: A-B, north: 6259943, east: 698012, bearing: N 73 00 00 E}
grade:
  ground: survey
  top_of_wall: highest ground + 200 mm
  frost_depth: 600 mm
  course: 200 mm
  max_step: 2
order: {}
"""
US_FT = 1200 / 3937
NEAR_A_BANK = 5
"""The status where the shed stands: by the cloud a bank of a few metres begins at its walls."""


def run(*words: object) -> Result:
    return CliRunner().invoke(main, [str(word) for word in words], catch_exceptions=False)


def write(folder: Path, text: str = JOB, **changes: str) -> Path:
    for old, new in changes.items():
        assert old in text
        text = text.replace(old, new)
    path = folder / "job.yaml"
    path.write_text(text, encoding="utf-8")
    return path


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    for name in ("append-bug.laz", "vegetation_1_3.las", "test1_4.las"):
        shutil.copy(CLOUDS / name, tmp_path / name)
    return tmp_path


@pytest.fixture(scope="module")
def thinned(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Thin the cloud to every eighth of its points."""
    cloud = laspy.read(CLOUDS / "append-bug.laz")
    cloud.points = cloud.points[np.arange(0, len(cloud), 8)]
    path = tmp_path_factory.mktemp("cloud") / "append-bug.laz"
    cloud.write(str(path))
    return path


@pytest.fixture
def thin(thinned: Path, tmp_path: Path) -> Path:
    """Give a folder with the thinned cloud: the whole takes its time at every command."""
    shutil.copy(thinned, tmp_path / "append-bug.laz")
    return tmp_path


def swapped(text: str, *pairs: tuple[str, str]) -> str:
    for old, new in pairs:
        assert old in text
        text = text.replace(old, new)
    return text


def linear(points: np.ndarray, heights: np.ndarray, places: np.ndarray) -> np.ndarray:
    """Interpolate on SciPy's Delaunay triangles, each place looked up in all whose box it is in."""
    corners = Delaunay(points).simplices
    low, high = points[corners].min(axis=1), points[corners].max(axis=1)
    found = []
    for place in places:
        near = corners[((low <= place) & (place <= high)).all(axis=1)]
        a, b, c = (points[near[:, at]] for at in range(3))
        shares = np.linalg.solve(np.stack((b - a, c - a), axis=2), (place - a)[..., None])[..., 0]
        shares = np.column_stack((1.0 - shares.sum(axis=1), shares))
        (inside,) = np.flatnonzero((shares >= 0.0).all(axis=1))
        found.append(shares[inside] @ heights[near[inside]])
    return np.array(found)


@pytest.mark.parametrize(
    ("name", "place", "unit", "metres"),
    [
        ("append-bug.laz", "north: 6259943, east: 698012", "m", 1.0),
        ("test1_4.las", "north: 1816496.8, east: 1694315", "us-ft", US_FT),
    ],
)
def test_the_ground_is_scipys_surface_of_the_ground_points(
    folder: Path, name: str, place: str, unit: str, metres: float
) -> None:
    # The second cloud is a strip 5 ft wide: a hut of 10' x 2' along it.
    narrow = ("rectangle: 10 m x 8 m", "rectangle: 3 m x 0.6 m")
    text = swapped(
        JOB,
        ("survey: append-bug.laz\n  units: m", f"survey: {name}\n  units: {unit}"),
        ("north: 6259943, east: 698012", place),
        *(((narrow), ("N 73 00 00 E", "N 90 00 00 W"), ("wall: 200 mm", "wall: 100 mm"),
           ("width: 500 mm", "width: 150 mm")) if unit != "m" else ()),
    )  # fmt: skip
    job = load_job(write(folder, text))
    assert job.site is not None
    assert job.grade is not None
    site, plan = load_site(job.site, job.plan, job.options)
    assert site.placement is not None
    rings = [band.hull for band in footing_bands(plan)[0]]
    ground, _ = from_scans(site.scans, site.files, site.placement, rings, job.grade)
    corners = np.array(rings).reshape(-1, 2)
    places = np.random.default_rng(50).uniform(corners.min(axis=0), corners.max(axis=0), (50, 2))
    whole = laspy.read(folder / name)
    is_ground = np.asarray(whole.classification) == 2
    x, y, z = (np.asarray(each)[is_ground] * metres for each in (whole.x, whole.y, whole.z))
    middle = np.array([y.mean(), x.mean()])
    wanted = linear(np.column_stack((y, x)) - middle, z, site.to_survey(places) - middle)
    assert np.abs(ground.at(places) - wanted).max() < 0.001


def test_every_command_that_takes_ground_takes_a_cloud(folder: Path) -> None:
    job = write(folder)
    graded = run("grade", job)
    assert graded.exit_code == NEAR_A_BANK, graded.stderr
    assert "steps in all." in graded.stdout
    told = " ".join(graded.stderr.split())
    assert "The ground is scanned, not surveyed: append-bug.laz has " in told
    assert "good for a first idea of the steps, not for the rod" in told
    layout = run("layout", job, "--only", "json,dxf,csv")
    assert layout.exit_code == NEAR_A_BANK, layout.stderr
    assert "The ground is scanned" in " ".join(layout.stderr.split())
    order = run("order", job)
    assert order.exit_code == NEAR_A_BANK, order.stderr
    document = json.loads((folder / "job-layout" / "layout.json").read_text(encoding="utf-8"))
    assert any("the ground is scanned" in each for each in document["warnings"])
    assert document["placed"] is True
    assert document["corners"][0]["northing"] == pytest.approx(6259943, abs=1e-6, rel=0)
    survey = run("survey", folder / "append-bug.laz", "--json")
    assert survey.exit_code == 0
    found = json.loads(survey.stdout)
    assert (found["count"], found["points"], found["crs"]) == (37_805, [], "EPSG:2154")
    assert found["classes"][1] == {"class": 2, "name": "ground", "count": 22_859}


def test_a_cloud_named_in_the_grade_section_gives_the_same_levels(thin: Path) -> None:
    (thin / "pins.csv").write_text(
        "point,northing (m),easting (m),elevation (m)\n1,6259945,698016,97.0\n"
        "2,6259950,698060,\n3,6259990,698060,\n", encoding="utf-8",
    )  # fmt: skip
    listed = run("grade", write(thin), "--json")
    named = run(
        "grade",
        write(thin, swapped(
            JOB,
            ("survey: append-bug.laz", "survey: pins.csv\n  crs: EPSG:2154"),
            ("ground: survey", "ground: {cloud: append-bug.laz}"),
        )),
        "--json",
    )  # fmt: skip
    assert listed.exit_code == named.exit_code == NEAR_A_BANK, named.stderr
    one, other = json.loads(listed.stdout), json.loads(named.stdout)
    for wall, same in zip(one["walls"], other["walls"], strict=True):
        for run_, twin in zip(wall["runs"], same["runs"], strict=True):
            assert run_["dig_level"] == pytest.approx(twin["dig_level"], abs=0.002, rel=0)
    # One level of the survey lies at the cloud, and is held against it.
    assert any("the survey's 1 levels stand" in each for each in other["warnings"])
    assert not any("the survey's" in each and "levels stand" in each for each in one["warnings"])


def test_a_scans_heights_go_to_no_stake(thin: Path) -> None:
    done = run("layout", write(thin), "--only", "csv", "--out", thin / "out")
    assert done.exit_code == NEAR_A_BANK, done.stderr
    with (thin / "out" / "points.csv").open(encoding="utf-8", newline="") as stream:
        rows = list(csv.DictReader(stream))
    assert {"A", "B", "C", "D"} <= {row["point"] for row in rows}
    heights = [text for row in rows for name, text in row.items() if "elevation" in name]
    assert not any(heights)


def test_a_survey_on_another_zero_is_said(thin: Path) -> None:
    (thin / "pins.csv").write_text(
        "point,northing (m),easting (m),elevation (m)\n1,6259945,698016,105.0\n"
        "2,6259948,698020,105.2\n", encoding="utf-8",
    )  # fmt: skip
    job = write(
        thin, swapped(JOB, ("survey: append-bug.laz", "survey: [pins.csv, append-bug.laz]"))
    )
    told = " ".join(run("grade", job).stderr.split())
    assert "The survey's 2 levels stand" in told
    assert "the two count from different zeros, or one is in another unit" in told


def test_a_cloud_in_another_system_is_brought_to_the_lots(tmp_path: Path) -> None:
    # On the border of two zones, the 90th meridian.
    east, north = Transformer.from_crs(4326, 26915, always_xy=True).transform(-90.01, 42.0)
    places = hill(3_000, at=(round(east), round(north)))
    there = Transformer.from_crs(26915, 26916, always_xy=True)
    x, y = there.transform(places[:, 0], places[:, 1])
    text = CRS.from_epsg(26916).to_wkt("WKT1_GDAL")
    write_cloud(tmp_path / "here.las", places, text=CRS.from_epsg(26915).to_wkt("WKT1_GDAL"))
    write_cloud(tmp_path / "other.las", np.column_stack((x, y, places[:, 2])), text=text)
    (tmp_path / "pins.csv").write_text(
        f"point,northing (m),easting (m)\n1,{north:.0f},{east:.0f}\n2,{north:.0f},{east + 9:.0f}\n",
        encoding="utf-8",
    )
    found = []
    for name in ("here.las", "other.las"):
        job = write(tmp_path, swapped(
            JOB,
            ("survey: append-bug.laz", f"survey: [pins.csv, {name}]\n  crs: EPSG:26915"),
            ("north: 6259943, east: 698012", f"north: {north:.0f}, east: {east:.0f}"),
        ))  # fmt: skip
        done = run("grade", job, "--json")
        assert done.exit_code == 0, done.stderr
        found.append(json.loads(done.stdout))
    one, other = found
    levels = [
        [each["dig_level"] for wall in document["walls"] for each in wall["runs"]]
        for document in found
    ]
    assert levels[0] == pytest.approx(levels[1], abs=0.002, rel=0)
    said = "northings and eastings are converted from EPSG:26916 to EPSG:26915"
    assert any(said in each for each in other["warnings"])
    assert not any(said in each for each in one["warnings"])


def test_heights_in_feet_on_a_grid_in_metres(tmp_path: Path) -> None:
    metres = hill(2_000)
    feet = metres * (1, 1, 1 / US_FT)
    write_cloud(tmp_path / "m.las", metres)
    write_cloud(tmp_path / "f.las", feet)
    levels = []
    for ground in ("{cloud: m.las, units: m}", "{cloud: f.las, units: m, heights: us-ft}"):
        job = write(tmp_path, swapped(
            JOB,
            ("survey: append-bug.laz", "survey: m.las"),
            ("north: 6259943, east: 698012", "north: 4650000, east: 500000"),
            ("ground: survey", f"ground: {ground}"),
        ))  # fmt: skip
        done = run("grade", job, "--json")
        assert done.exit_code == 0, done.stderr
        document = json.loads(done.stdout)
        levels.append([each["dig_level"] for wall in document["walls"] for each in wall["runs"]])
    assert levels[0] == pytest.approx(levels[1], abs=0.001, rel=0)


def test_tiles_that_border_on_one_another_are_joined(tmp_path: Path) -> None:
    places = hill(4_000)
    west = places[:, 0] < 500_004
    write_cloud(tmp_path / "whole.las", places)
    write_cloud(tmp_path / "west.laz", places[west])
    write_cloud(tmp_path / "east.laz", places[~west])
    write_cloud(tmp_path / "far.laz", places + np.array([5_000, 0, 0]))
    levels = []
    for files in ("whole.las", "[west.laz, east.laz, far.laz]"):
        job = write(tmp_path, swapped(
            JOB,
            ("survey: append-bug.laz", f"survey: {files}"),
            ("north: 6259943, east: 698012", "north: 4650000, east: 500000"),
        ))  # fmt: skip
        done = run("grade", job, "--json")
        assert done.exit_code == 0, done.stderr
        document = json.loads(done.stdout)
        levels.append([each["dig_level"] for wall in document["walls"] for each in wall["runs"]])
    assert levels[0] == pytest.approx(levels[1], abs=1e-6, rel=0)


def test_a_height_grid_is_ground_too(tmp_path: Path) -> None:
    # A plane that falls 1 in 10 to the east, 95 at easting 500000.
    rows = "\n".join(
        " ".join(f"{95 - 0.1 * (column - 50):.3f}" for column in range(101)) for _ in range(101)
    )
    (tmp_path / "heights.asc").write_text(
        "ncols 101\nnrows 101\nxllcenter 499950\nyllcenter 4649950\ncellsize 1\n" + rows,
        encoding="utf-8",
    )
    job = write(tmp_path, swapped(
        JOB,
        ("survey: append-bug.laz", "survey: heights.asc"),
        ("north: 6259943, east: 698012", "north: 4650000, east: 500000"),
        ("N 73 00 00 E", "N 90 00 00 E"),
        ("top_of_wall: highest ground + 200 mm", "top_of_wall: 96 m"),
    ))  # fmt: skip
    done = run("grade", job, "--json")
    assert done.exit_code == 0, done.stderr
    document = json.loads(done.stdout)
    (wall,) = [each for each in document["walls"] if each["wall"] == "B-C"]
    # The outer footing edge of B-C stands at easting 500010.15, the ground there at 93.985; frost
    # asks for 600 mm, courses of 200 mm from 96 with 250 mm of footing: 10 make 93.75, 12 93.35.
    assert wall["runs"][0]["frost_cover"] == pytest.approx(93.985 - 93.35, abs=1e-3, rel=0)
    assert "heights under the footing" in " ".join(document["warnings"])


@pytest.mark.parametrize(
    ("pairs", "message"),
    [
        ((("  place: {corner: A, wall: A-B, north: 6259943, east: 698012, bearing: N 73 00 00 E"
           "}", ""),
          ("ground: survey", "ground: {A: 95 m, B: 95 m, C: 95 m, D: 95 m}")),
         "site survey: a cloud or a height grid covers a district, and nothing says where in it "
         "the lot is; add place: or boundary: under site:"),
        ((("  place: {corner: A", "  boundary: [1, 2, 3]\n  place: {corner: A"),),
         "site boundary: there is no point 1: the points of {folder}/append-bug.laz have no "
         "names; add the file of the surveyed points to survey: under site:"),
        ((("survey: append-bug.laz", "survey: vegetation_1_3.las"),),
         "{folder}/vegetation_1_3.las: none of the points is classified as ground: there are "
         "10,683 of class 11 (reserved)"),
        ((("north: 6259943", "north: 6249943"),),
         "{folder}/append-bug.laz: there is no ground in this file round the building: it covers "
         "northing 6,259,243 to 6,260,000, easting 698,000 to 699,000 metres, and the building "
         "stands at northing 6,249,948, easting 698,016 in the lot's own system"),
        ((("ground: survey", "ground: {cloud: gone.laz}"),),
         "{folder}/gone.laz: there is no such file"),
        ((("ground: survey", "ground: {cloud: job.yaml}"),),
         "{folder}/job.yaml: this is not a point cloud (LAS, LAZ) and no height grid"),
        ((("  units: m\n  place", "  units: m\n  distances: ground\n  place"),),
         "{folder}/append-bug.laz: the file is a point cloud on the grid, and the job says "
         "distances: ground"),
    ],
)  # fmt: skip
def test_what_is_refused(folder: Path, pairs: tuple[tuple[str, str], ...], message: str) -> None:
    done = run("grade", write(folder, swapped(JOB, *pairs)))
    assert done.exit_code == 3
    assert done.stdout == ""
    assert message.format(folder=folder) in done.stderr


def test_a_cloud_is_no_file_of_stakes_and_is_not_written_anew(folder: Path) -> None:
    job = write(folder)
    cloud = folder / "append-bug.laz"
    for words in (
        ("check", job, "--stakes", cloud),
        ("survey", cloud, "--to", folder / "out.csv"),
    ):
        done = run(*words)
        assert done.exit_code == 3
        assert (
            "this is scanned ground, whose points have no names and are not stakes" in done.stderr
        )
    done = run("survey", cloud, "--to-crs", "EPSG:2154")
    assert done.exit_code == 3
    assert "a point cloud is not converted" in done.stderr
    assert not (folder / "out.csv").exists()


def test_the_cloud_is_never_written_over(thin: Path, thinned: Path) -> None:
    job = write(thin, swapped(JOB, ("ground: survey", "ground: {cloud: points.csv}")))
    (thin / "append-bug.laz").rename(thin / "points.csv")
    text = job.read_text(encoding="utf-8").replace("append-bug.laz", "points.csv")
    job.write_text(text, encoding="utf-8")
    done = run("layout", job, "--only", "csv,json", "--out", thin, "--force")
    assert done.exit_code == 4
    assert (thin / "points.csv").read_bytes() == thinned.read_bytes()
