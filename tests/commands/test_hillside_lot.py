"""The demo lot as a new user takes it: what is there, where the building stands, what is written.

The survey is invented, and so are its figures; what is checked is that every file says the same.
"""

from __future__ import annotations

import csv
import itertools
import json
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import ezdxf
import numpy as np
import pytest
from click.testing import CliRunner, Result

from staking.cli import main
from staking.survey.read import read_survey
from tests.commands.printed import widest

DEMO = Path(__file__).parents[2] / "fixtures" / "hillside-lot"
US_FT = 1200 / 3937
MADE = shutil.ignore_patterns("job-*")  # what someone laid out beside the job

Run = Callable[..., Result]


def run(*words: object) -> Result:
    return CliRunner().invoke(main, [str(word) for word in words], catch_exceptions=False)


@pytest.fixture
def lot(tmp_path: Path) -> Path:
    return Path(shutil.copytree(DEMO, tmp_path / "lot", ignore=MADE))


@pytest.fixture(scope="module")
def laid_out(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the demo with its survey as a drawing and its layout beside it."""
    folder = Path(shutil.copytree(DEMO, tmp_path_factory.mktemp("demo") / "lot", ignore=MADE))
    survey = run("survey", folder / "lot.csv", "--to", folder / "lot.dxf")
    assert survey.exit_code == 0, survey.stderr
    layout = run("layout", folder / "job.yaml")
    assert layout.exit_code == 0, layout.stderr
    return folder


def edit(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")


def surveyed() -> dict[str, tuple[float, float]]:
    """Return easting and northing of every point as the survey has them, in its feet."""
    with (DEMO / "lot.csv").open(encoding="utf-8", newline="") as file:
        next(file)
        return {row[0]: (float(row[2]), float(row[1])) for row in csv.reader(file)}


def staked(folder: Path) -> dict[str, tuple[float, float]]:
    """Return easting and northing of every stake as points.csv has them."""
    with (folder / "job-layout" / "points.csv").open(encoding="utf-8", newline="") as file:
        return {
            row["point"]: (float(row["easting_us-ft"]), float(row["northing_us-ft"]))
            for row in csv.DictReader(file)
        }


def nearest(point: tuple[float, float], places: np.ndarray) -> float:
    return float(np.hypot(*(places - point).T).min())


def test_one_command_shows_the_survey_within_eighty_columns():
    result = run("survey", DEMO / "lot.csv")
    assert result.exit_code == 0
    assert widest(result.stdout) <= 80
    assert "148" in result.stdout
    assert "iron pin, lot corner" in result.stdout


def test_notes_are_readable_and_no_difference_reads_as_nothing(lot: Path):
    told = run("layout", lot / "job.yaml", "--only", "csv").stderr
    assert widest(told) <= 80
    words = " ".join(told.split())
    assert 'that is under 1/16" nearer together' in words
    assert 'by 0"' not in words
    assert "all turned 0° 20' 00\" clockwise against it" in words
    assert "Boards 1 to 14 stand farther out" in words


def test_the_drawing_lies_over_the_surveys_drawing(laid_out: Path):
    survey = ezdxf.readfile(laid_out / "lot.dxf")
    plan = ezdxf.readfile(laid_out / "job-layout" / "plan.dxf")
    # 21 is the U.S. survey foot in both.
    assert (survey.header["$INSUNITS"], plan.header["$INSUNITS"]) == (21, 21)
    shots = np.array([e.dxf.location.vec2 for e in survey.modelspace().query("POINT")])
    assert len(shots) == 148
    marks = np.array([
        e.dxf.location.vec2 for e in plan.modelspace().query('POINT[layer=="V-CTRL"]')
    ])
    points = surveyed()
    for name in ("BM1", "11", "12", "13"):
        assert nearest(points[name], shots) < 1e-6, name
        assert nearest(points[name], marks) < 1e-6, name
    (ring,) = plan.modelspace().query('LWPOLYLINE[layer=="V-PROP-LINE"]')
    for at, name in zip(ring.get_points("xy"), "1234", strict=True):
        assert at == pytest.approx(points[name], rel=0, abs=1e-6)


def test_corners_of_the_drawing_are_those_of_the_points_file(laid_out: Path):
    plan = ezdxf.readfile(laid_out / "job-layout" / "plan.dxf").modelspace()
    walls = np.concatenate([
        np.array(each.get_points("xy")) for each in plan.query('LWPOLYLINE[layer=="S-FNDN-WALL"]')
    ])
    stakes = staked(laid_out)
    for corner in "ABCDEF":
        # points.csv has four decimals.
        assert nearest(stakes[corner], walls) < 1e-4, corner


@pytest.mark.parametrize("name", ["points.csv", "points.xml", "points.geojson"])
def test_what_is_written_reads_back(laid_out: Path, name: str):
    again = read_survey(laid_out / "job-layout" / name)
    stakes = staked(laid_out)
    assert again.unit == "us-ft"
    assert list(again.names) == list(stakes)
    found = np.stack((again.easting, again.northing), axis=1) / US_FT
    np.testing.assert_allclose(found, list(stakes.values()), rtol=0, atol=1e-4)
    with (laid_out / "job-layout" / "points.csv").open(encoding="utf-8", newline="") as stream:
        levels = [float(row["elevation_us-ft"]) for row in csv.DictReader(stream)]
    np.testing.assert_allclose(again.elevation / US_FT, levels, rtol=0, atol=1e-4)
    # The lot falls from 106 to 92 ft round the building, and the strings hang at 103' 8".
    assert 92 < min(levels) < max(levels) < 106
    assert again.descriptions[0] == "corner"


def test_the_document_and_the_points_file_agree(laid_out: Path):
    document = json.loads((laid_out / "job-layout" / "layout.json").read_text(encoding="utf-8"))
    stakes = staked(laid_out)
    for corner in document["corners"]:
        there = (corner["easting"], corner["northing"])
        assert there == pytest.approx(stakes[corner["name"]], rel=0, abs=1e-4)


def test_no_tape_runs_through_the_neighbours_house_and_few_are_carried_over(lot: Path):
    from shapely import LineString, Polygon

    result = run("stakeout", lot / "job.yaml", "--setup", "11", "--backsight", "12", "--json")
    assert result.exit_code == 0
    document = json.loads(result.stdout)
    known = {
        row["point"]: (float(row["easting_usft"]), float(row["northing_usft"]))
        for row in csv.DictReader((lot / "lot.csv").read_text(encoding="utf-8").splitlines())
    }
    house = Polygon([known[name] for name in ("101", "102", "103", "104")]).buffer(-0.01)
    places = {each["name"]: (each["easting"], each["northing"]) for each in document["points"]}
    for tie in document["ties"]:
        for point in tie["from"]:
            tape = LineString([places[tie["name"]], known[point]])
            assert not tape.intersects(house), (tie["name"], point)
    pairs = [tuple(tie["from"]) for tie in document["ties"]]
    changes = sum(a != b for a, b in itertools.pairwise(pairs))
    # Each stake by its own best pair would carry the tapes over some sixty times.
    assert changes < len(pairs) / 4
    assert all(45 <= tie["swing"] <= 135 for tie in document["ties"])


def test_a_setback_broken_is_status_five(lot: Path):
    edit(lot / "job.yaml", "1-2: 25'", "1-2: 46'")
    result = run("layout", lot / "job.yaml", "--only", "csv")
    assert result.exit_code == 5
    assert "boundary line 1-2" in " ".join(result.stderr.split())


def test_a_point_that_is_not_there_names_the_nearest(lot: Path):
    edit(lot / "job.yaml", "through: [31, 32, 33, 34]", "through: [31, 32, 33, BM11]")
    result = run("layout", lot / "job.yaml")
    assert result.exit_code == 3
    assert "there is no point BM11" in " ".join(result.stderr.split())
    assert "did you mean BM1?" in " ".join(result.stderr.split())


def test_a_name_that_occurs_twice_may_not_be_used(lot: Path):
    with (lot / "lot.csv").open("a", encoding="utf-8") as file:
        file.write("2,590089.322,1640364.103,91.59,typed twice\n")
    result = run("layout", lot / "job.yaml")
    assert result.exit_code == 3
    assert "point 2 occurs twice, 1.000 us-ft apart" in " ".join(result.stderr.split())
    assert not (lot / "job-layout").exists()


def test_the_wrong_foot_is_told_against_the_file_and_against_the_grid(lot: Path):
    edit(lot / "job.yaml", "units: us-ft", "units: ft")
    result = run("layout", lot / "job.yaml", "--only", "csv")
    # What the job tells of the file counts, so that nothing is broken; it is told all the same.
    assert result.exit_code == 0
    told = " ".join(result.stderr.split())
    assert "The file says U.S. survey feet and you gave international feet" in told
    assert "read as international feet and EPSG:5646 is in U.S. survey feet" in told


@pytest.mark.parametrize("how", ["columns", "labels"])
def test_swapped_columns_are_caught_by_the_area_of_the_grid(lot: Path, how: str):
    if how == "columns":
        edit(lot / "job.yaml", "  units: us-ft", "  units: us-ft\n  columns: "
             "[point, easting, northing, elevation, description]")  # fmt: skip
    edit(lot / "lot.csv", "northing_usft,easting_usft",
         "y,x" if how == "columns" else "easting_usft,northing_usft")  # fmt: skip
    result = run("layout", lot / "job.yaml")
    assert result.exit_code == 3
    told = " ".join(result.stderr.split())
    assert "lies outside the area of EPSG:5646 and the other way round inside" in told


def test_metres_for_feet_stand_where_the_grid_is_not_used(lot: Path):
    edit(lot / "lot.csv", "_usft", "")
    edit(lot / "job.yaml", "units: us-ft", "units: m")
    result = run("stakeout", lot / "job.yaml")
    # The top of the wall, in feet, is below all of that ground too.
    assert result.exit_code == 3
    told = " ".join(result.stderr.split())
    assert "site crs: the lot does not lie where EPSG:5646 is used" in told


def test_stakes_far_from_any_fit_end_with_status_five(lot: Path):
    edit(
        lot / "job.yaml",
        "place: {corner: A, wall: A-B, north: 590152.3, east: 1640308.8, bearing: S 75 30 00 E}",
        "place: {fit: {A: 11, B: 12, C: 13}}",
    )
    result = run("layout", lot / "job.yaml", "--only", "csv")
    assert result.exit_code == 5
    told = " ".join(result.stderr.split())
    assert "the building cannot stand on these stakes" in told


def levels(folder: Path, *words: object) -> dict[str, Any]:
    result = run("grade", folder / "job.yaml", "--json", *words)
    assert result.exit_code == 0, result.stderr
    loaded: dict[str, Any] = json.loads(result.stdout)
    return loaded


def test_the_footing_steps_with_the_surveyed_ground(lot: Path):
    found = levels(lot)
    walls = {wall["wall"]: wall for wall in found["walls"]}
    assert [step["at"] for step in walls["A-B"]["steps"]] == pytest.approx(
        [11 + 4 / 12, 17 + 4 / 12], rel=0, abs=1e-7
    )
    # Walls that meet have their footing's top in common, and so has the line between them.
    tops = {
        (name, end): wall["runs"][end]["top_of_footing"]
        for name, wall in walls.items()
        for end in (0, -1)
    }
    for before, after in ("A-B", "B-C"), ("B-C", "C-D"), ("C-D", "D-E"), ("F-A", "A-B"):
        assert tops[before, -1] == pytest.approx(tops[after, 0], rel=0, abs=1e-9)
    for wall in walls.values():
        for level in wall["runs"]:
            assert level["frost_cover"] >= 3 - 1e-6
            assert level["bearing_cover"] >= 1 - 1e-6
            under = [
                ground
                for at, ground in zip(
                    wall["ground"]["stations"], wall["ground"]["existing"], strict=True
                )
                if level["start"] - 1e-9 <= at <= level["end"] + 1e-9
            ]
            # The line along the face lies within the footing, so it has the cover too.
            assert level["bottom_of_footing"] <= min(under) - 3 + 1e-6


def test_what_is_added_to_the_benchmark_comes_from_its_surveyed_elevation(lot: Path):
    found = levels(lot, "--reading-on-benchmark", "5-2-3/8")
    assert found["benchmark"]["name"] == "BM1"
    elevation = 100.96 * US_FT / 0.3048
    assert found["benchmark"]["elevation"] == pytest.approx(elevation, rel=0, abs=1e-6)
    for mark in found["rods"]:
        assert mark["level"] + mark["add_to_benchmark"] == pytest.approx(elevation, rel=0, abs=1e-6)
        if mark["reading"] is not None:
            assert mark["reading"] - mark["add_to_benchmark"] == pytest.approx(
                5 + 2.375 / 12, rel=0, abs=1e-6
            )


def test_tall_boards_get_a_lower_string(lot: Path):
    found = levels(lot)
    boards = {each["board"]: each for each in found["boards"]}
    tall = {name for name, each in boards.items() if each["height"] > 5}
    assert tall
    carried = set()
    for lower in found["lower_strings"]:
        ends = [boards[name] for name in lower["boards"] if name is not None]
        assert all(each["tier"] - each["ground"] <= 5 + 1e-9 for each in ends)
        # A lower string is pulled for a tall board at one of its ends, or at both.
        assert {each["board"] for each in ends} & tall
        carried |= {each["board"] for each in ends}
    assert tall <= carried


def test_tall_boards_are_told_once(lot: Path):
    told = " ".join(run("grade", lot / "job.yaml", "--json").stderr.split())
    assert told.count("set a lower pair of boards there") == 1
    assert "Boards 1, 2, 3, 4, 13 would stand over 5' 0\" above the ground" in told


def test_a_benchmark_that_is_not_in_the_survey_is_named(lot: Path):
    edit(lot / "job.yaml", "point: BM1", "point: BM9")
    result = run("grade", lot / "job.yaml")
    assert result.exit_code == 3
    assert "job.yaml, line 37, grade benchmark point: there is no point BM9 in" in result.stderr
    assert "did you mean BM1?" in result.stderr
    assert not (lot / "job-layout").exists()


def test_a_benchmark_without_an_elevation_is_named(lot: Path):
    edit(lot / "job.yaml", "point: BM1", "point: 101")
    result = run("grade", lot / "job.yaml")
    assert result.exit_code == 3
    assert "point 101 has no elevation in the survey" in result.stderr


def test_two_elevations_at_one_place_name_their_points(lot: Path):
    text = (lot / "lot.csv").read_text(encoding="utf-8")
    (shot,) = (line for line in text.splitlines() if line.startswith("252,"))
    twice = shot.replace("252,", "X252,").replace(",98.25,", ",98.75,")
    assert twice != shot
    (lot / "lot.csv").write_text(f"{text}{twice}\n", encoding="utf-8")
    result = run("grade", lot / "job.yaml")
    assert result.exit_code == 4
    assert "point 252 (" in result.stderr
    assert f"lot.csv, line {1 + len(text.splitlines())}): two" in result.stderr
    assert "point X252 (" in result.stderr
    assert "two elevations at one place" in result.stderr


def test_points_all_in_one_line_are_named(lot: Path):
    lines = (lot / "lot.csv").read_text(encoding="utf-8").splitlines()
    kept = [line.split(",") for line in lines[1:]]
    # All that have an elevation lose it but for three in a line through the house.
    for row in kept:
        row[3] = {"11": "97.87", "12": "94.01"}.get(row[0], "")
    kept.append(["M1", "590125.5585", "1640312.3785", "95.9", "ground"])
    text = "\n".join([lines[0], *(",".join(row) for row in kept)]) + "\n"
    (lot / "lot.csv").write_text(text, encoding="utf-8")
    edit(lot / "job.yaml", "benchmark: {point: BM1}", "benchmark: {point: 11}")
    result = run("grade", lot / "job.yaml")
    assert result.exit_code == 4
    assert "points 11, 12, M1: " in result.stderr
    assert "in one line" in result.stderr


def test_a_building_beyond_the_surveyed_ground_is_told_how_far(lot: Path):
    edit(lot / "job.yaml", "north: 590152.3, east: 1640308.8", "north: 590092.3, east: 1640408.8")
    result = run("grade", lot / "job.yaml")
    assert result.exit_code == 4
    assert "outside the surveyed ground" in result.stderr


def test_a_surface_in_the_survey_is_the_ground(lot: Path):
    plain = levels(lot)
    points = surveyed()
    with (lot / "lot.csv").open(encoding="utf-8", newline="") as file:
        next(file)
        heights = {row[0]: float(row[3]) for row in csv.reader(file) if row[3]}
    names = list(heights)
    places = np.array([points[name] for name in names])
    from scipy.spatial import Delaunay

    # Numbers that no point of the survey has.
    faces = Delaunay(places - places.mean(axis=0)).simplices + 9001
    (lot / "ground.xml").write_text(
        '<?xml version="1.0"?>\n<LandXML xmlns="http://www.landxml.org/schema/LandXML-1.2" '
        'version="1.2"><Units><Imperial linearUnit="USSurveyFoot" areaUnit="squareFoot" '
        'volumeUnit="cubicYard" temperatureUnit="fahrenheit" pressureUnit="inHG"/></Units>'
        '<Surfaces><Surface name="EG"><Definition surfType="TIN"><Pnts>'
        + "".join(
            f'<P id="{i}">{n:.3f} {e:.3f} {heights[name]:.2f}</P>'
            for i, (name, (e, n)) in enumerate(zip(names, places.tolist(), strict=True), start=9001)
        )
        + "</Pnts><Faces>"
        + "".join(f"<F>{a} {b} {c}</F>" for a, b, c in faces.tolist())
        + "</Faces></Definition></Surface></Surfaces></LandXML>\n",
        encoding="utf-8",
    )
    edit(lot / "job.yaml", "survey: lot.csv", "survey: [lot.csv, ground.xml]")
    result = run("grade", lot / "job.yaml", "--json")
    assert result.exit_code == 0, result.stderr
    assert "The ground is the surface EG of" in " ".join(result.stderr.split())
    found = json.loads(result.stdout)
    assert found["objective"] == pytest.approx(plain["objective"], rel=0, abs=1e-9)
    for one, other in zip(found["walls"], plain["walls"], strict=True):
        assert one["runs"] == other["runs"]


def test_ground_past_the_survey_is_taken_from_the_nearest_only_where_asked(lot: Path):
    edit(lot / "job.yaml", "north: 590152.3, east: 1640308.8", "north: 590092.3, east: 1640408.8")
    refused = run("grade", lot / "job.yaml")
    assert refused.exit_code == 4
    assert "job.yaml, line " in refused.stderr
    assert "grade ground: the footing reaches" in refused.stderr
    edit(lot / "job.yaml", "  strip: 6", "  beyond: nearest\n  strip: 6")
    result = run("grade", lot / "job.yaml")
    said = " ".join(result.stderr.split())
    assert result.exit_code in {0, 5}
    assert "taken as high as the nearest surveyed ground: check it before digging" in said
    assert "check them with the rod before cutting stakes" in said
    assert "not known" not in result.stdout
