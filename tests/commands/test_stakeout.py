"""``staking stakeout`` and the lot in ``staking layout``, as they are typed."""

from __future__ import annotations

import csv
import json
import math
from collections.abc import Callable
from pathlib import Path

import jsonschema
import pytest
from click.testing import CliRunner, Result

from staking.cli import main
from tests.commands.printed import widest

LOT = """\
point,northing_ft,easting_ft,elevation_ft,description
1,5000.00,2000.00,100.1,iron pin
2,5000.00,2100.00,99.2,iron pin
3,5120.00,2100.00,103.3,iron pin
4,5120.00,2000.00,104.0,iron pin
101,5100.00,2010.00,102.2,house corner
102,5100.00,2040.00,102.0,house corner
103,5118.00,2040.00,102.0,house corner
104,5118.00,2010.00,102.0,house corner
31,4990.00,2070.00,98.0,paint mark
32,5070.00,2070.00,98.0,paint mark
"""
JOB = """\
job: Plum shed
units: ft
building:
  rectangle: 24' x 16'
  wall: 8"
  footing: {width: 20", thickness: 10"}
site:
  survey: lot.csv
  place: {corner: A, wall: A-B, north: 5020, east: 2055, bearing: N 90 E}
  boundary: [1, 2, 3, 4]
  setbacks: {1-2: 19', other: 10'}
  overhang: 12"
  stay_clear: [{name: house, through: [101, 102, 103, 104]}]
  buried: [{name: gas line, through: [31, 32], hand_dig: 24"}]
"""
ROOT = Path(__file__).parents[2]

Run = Callable[..., Result]


@pytest.fixture
def job(tmp_path: Path) -> Path:
    (tmp_path / "lot.csv").write_text(LOT, encoding="utf-8")
    path = tmp_path / "shed.yaml"
    path.write_text(JOB, encoding="utf-8")
    return path


def edit(job: Path, old: str, new: str) -> None:
    text = job.read_text(encoding="utf-8")
    assert old in text
    job.write_text(text.replace(old, new), encoding="utf-8")


@pytest.fixture
def run() -> Run:
    def invoke(*words: object) -> Result:
        return CliRunner().invoke(main, [str(word) for word in words], catch_exceptions=False)

    return invoke


def near(value: float) -> object:
    return pytest.approx(value, rel=0, abs=1e-6)


def test_every_corner_has_two_tapes_that_reach_it(job: Path, run: Run) -> None:
    result = run("stakeout", job, "--json")
    assert result.exit_code == 0, result.stderr
    document = json.loads(result.stdout)
    assert (document["schema"], document["site_unit"]) == ("staking/stakeout/2", "ft")
    places = {each["name"]: each for each in document["points"]}
    assert (places["C"]["northing"], places["C"]["easting"]) == (near(5036), near(2079))
    known = {row["point"]: row for row in csv.DictReader(LOT.splitlines())}
    ties = {each["name"]: each for each in document["ties"]}
    assert set("ABCD") <= set(ties)
    for name, tie in ties.items():
        for point, distance in zip(tie["from"], tie["distances"], strict=True):
            north = places[name]["northing"] - float(known[point]["northing_ft"])
            east = places[name]["easting"] - float(known[point]["easting_ft"])
            assert distance == near(math.hypot(north, east))
            assert distance <= 100
            assert point not in {"31", "32"}  # paint on the grass is not a known point
    assert document["shots"] == []


def test_an_instrument_gets_angle_right_and_distance(job: Path, run: Run) -> None:
    result = run("stakeout", job, "--setup", "1", "--backsight", "4", "--json")
    assert result.exit_code == 0, result.stderr
    document = json.loads(result.stdout)
    shot = next(each for each in document["shots"] if each["name"] == "A")
    # 4 lies due north of 1, and A 20 north and 55 east of it.
    assert shot["angle_right"] == near(math.degrees(math.atan2(55, 20)))
    assert shot["distance"] == near(math.hypot(20, 55))
    delta = next(each for each in document["deltas"] if each["name"] == "A")
    assert (delta["from"], delta["north"], delta["east"]) == ("1", near(20), near(55))


def test_no_tape_and_no_line_of_sight_goes_through_the_neighbours_house(
    job: Path, run: Run
) -> None:
    from shapely import LineString, Polygon

    edit(job, "north: 5020, east: 2055", "north: 5090, east: 2055")
    edit(job, "setbacks: {1-2: 19', other: 10'}", "setbacks: {other: 1'}")
    edit(job, "units: ft\n", "units: ft\ntape: {length: 200'}\n")
    result = run("stakeout", job, "--setup", "4", "--backsight", "1", "--json")
    document = json.loads(result.stdout)
    known = {
        row["point"]: (float(row["easting_ft"]), float(row["northing_ft"]))
        for row in csv.DictReader(LOT.splitlines())
    }
    house = Polygon([known[name] for name in ("101", "102", "103", "104")]).buffer(-0.01)
    places = {each["name"]: (each["easting"], each["northing"]) for each in document["points"]}
    taped = [(tie["name"], point) for tie in document["ties"] for point in tie["from"]]
    assert {"101", "102", "103", "104"} & {point for _, point in taped}
    for name, point in taped:
        assert not LineString([places[name], known[point]]).intersects(house), (name, point)
    # The house stands between 4, the lot's corner behind it, and the stakes to its right.
    hidden = [
        name for name, place in places.items() if LineString([place, known["4"]]).intersects(house)
    ]
    assert "A" in hidden
    (told,) = [each for each in document["warnings"] if "hides" in each]
    assert told.startswith("what stands there hides A")
    assert "from 4: set up on another point for them" in told


def test_north_and_east_exchanged_are_refused(job: Path, run: Run) -> None:
    rows = [line.split(",", 3) for line in LOT.splitlines()[1:]]
    lot = LOT.splitlines()[0] + "".join(
        f"\n{name},{60_000 + float(north):.2f},{90_000 + float(east):.2f},{rest}"
        for name, north, east, rest in rows
    )
    (job.parent / "lot.csv").write_text(lot, encoding="utf-8")
    edit(job, "north: 5020, east: 2055", "north: 92055, east: 65020")
    for command in ("layout", "stakeout"):
        result = run(command, job)
        assert result.exit_code == 3
        assert "among them with north and east exchanged" in result.stderr
        assert "give the northing as north: and the easting as east:" in result.stderr


def test_a_building_miles_off_its_survey_ends_with_status_five(job: Path, run: Run) -> None:
    edit(job, "north: 5020", "north: 50200")
    result = run("layout", job)
    assert result.exit_code == 5
    said = " ".join(result.stderr.split())
    # From the building's middle at 50208, 2067 to point 3 at 5120, 2100.
    assert "The building stands 45088' 0 1/8\" from the nearest surveyed point" in said


def test_a_second_file_in_another_unit_is_named(job: Path, run: Run) -> None:
    (job.parent / "rover.csv").write_text(
        "point,northing_m,easting_m\nR1,1530.1,612.4\nR2,1536.2,618.5\n", encoding="utf-8"
    )
    edit(job, "survey: lot.csv", "survey: [lot.csv, rover.csv]")
    edit(job, "  place:", "  units: ft\n  place:")
    result = run("layout", job, "--only", "csv")
    assert result.exit_code == 0
    said = " ".join(result.stderr.split())
    assert "rover.csv: the file says metres and you gave international feet" in said
    # The rover's points are read 1530 ft north and not 1530 m, 5020 ft.
    assert "from the building" not in said
    text = "point,northing,easting\nR1,50201.1,20124.4\nR2,50202.2,20123.5\n"
    (job.parent / "rover.csv").write_text(text, encoding="utf-8")
    said = " ".join(run("layout", job, "--only", "csv").stderr.split())
    assert "The nearest point of rover.csv lies" in said
    assert "look for another unit or another coordinate system in that file" in said


def test_a_building_outside_the_area_of_its_system_ends_with_status_five(
    job: Path, run: Run
) -> None:
    edit(job, "  survey: lot.csv", "  survey: lot.csv\n  crs: EPSG:2248")
    result = run("layout", job)
    assert result.exit_code == 5
    said = " ".join(result.stderr.split())
    assert "Broken - The building does not stand where EPSG:2248 is used" in said


def test_tables_are_readable_at_eighty_columns(job: Path, run: Run) -> None:
    result = run("stakeout", job, "--setup", "1", "--backsight", "2")
    assert result.exit_code == 0, result.stderr
    assert "Two tapes to each stake" in result.stdout
    assert "Set up on 1, nothing on 2" in result.stdout
    assert widest(result.stdout) <= 80


@pytest.mark.parametrize(
    ("words", "status", "sentence"),
    [
        (["--setup", "1"], 2, "an instrument needs both points; give --backsight as well"),
        (["--setup", "1", "--backsight", "1"], 2, "the set-up and the backsight are one point"),
        (["--setup", "1", "--backsight", "1O1"], 3, "there is no point 1O1 in"),
    ],
)
def test_points_that_cannot_serve_are_refused(
    job: Path, run: Run, words: list[str], status: int, sentence: str
) -> None:
    result = run("stakeout", job, *words)
    assert result.exit_code == status
    assert sentence in " ".join(result.stderr.split())
    assert result.stdout == ""


def test_a_job_without_a_survey_cannot_be_staked_out(tmp_path: Path, run: Run) -> None:
    path = tmp_path / "shed.yaml"
    path.write_text(JOB.split("site:", maxsplit=1)[0], encoding="utf-8")
    result = run("stakeout", path)
    assert result.exit_code == 3
    assert "staking out needs the building on a survey" in result.stderr


def test_the_layout_gives_site_coordinates_clearances_and_hand_digging(job: Path, run: Run) -> None:
    result = run("layout", job, "--json")
    assert result.exit_code == 0, result.stderr
    document = json.loads(result.stdout)
    schema = ROOT / "docs" / "layout.schema.json"
    jsonschema.validate(document, json.loads(schema.read_text(encoding="utf-8")))
    assert (document["placed"], document["site_unit"]) == (True, "ft")
    corner = document["corners"][2]
    assert (corner["northing"], corner["easting"]) == (near(5036), near(2079))
    assert [each["bearing"] for each in document["walls"]] == [near(v) for v in (90, 0, 270, 180)]
    assert all(each["northing"] is not None for each in document["boards"] + document["hubs"])
    clear = {(each["line"], each["what"]): each for each in document["clearances"]}
    assert [clear["1-2", what]["distance"] for what in ("eave", "wall", "footing")] == [
        near(19),
        near(20),
        near(19.5),
    ]
    assert clear["2-3", "wall"]["distance"] == near(21)
    assert all(each["ok"] for each in clear.values())
    # The line is 15 ft along A-B, hand-dug 2 ft each side; it ends 34 ft past A-B, in C-D's reach.
    stretches = {each["wall"]: (each["from"], each["to"]) for each in document["hand_dig"]}
    assert stretches == {"A-B": (near(13), near(17)), "C-D": (near(7), near(11))}
    assert any("dig there by hand" in told for told in document["warnings"])


def test_a_setback_not_kept_ends_with_status_five_and_everything_written(
    job: Path, run: Run
) -> None:
    edit(job, "1-2: 19'", "1-2: 19' 9\"")
    result = run("layout", job)
    assert result.exit_code == 5
    said = " ".join(result.stderr.split())
    assert "The eave comes within 19' 0\" of the boundary line 1-2" in said
    assert "the wall comes" not in said.lower()
    folder = job.with_name("shed-layout")
    assert sorted(path.name for path in folder.iterdir()) == [
        ".staking.json",
        "layout.json",
        "page.html",
        "plan.dxf",
        "plan.svg",
        "points.csv",
        "points.xml",
        "sheet.pdf",
    ]


def test_points_go_back_in_the_columns_and_the_unit_of_the_survey(job: Path, run: Run) -> None:
    rows = [line.split(",") for line in LOT.splitlines()[1:]]
    lot = "".join(f"{n},{float(e) * 12:.2f},{float(y) * 12:.2f}\n" for n, y, e, *_ in rows)
    (job.parent / "lot.csv").write_text(lot, encoding="utf-8")
    edit(job, "  survey: lot.csv", "  survey: lot.csv\n  units: in\n"
         "  columns: [point, easting, northing]")  # fmt: skip
    edit(job, "north: 5020, east: 2055", "north: 60240, east: 24660")
    result = run("layout", job, "--only", "csv")
    assert result.exit_code == 0, result.stderr
    with (job.with_name("shed-layout") / "points.csv").open(encoding="utf-8", newline="") as file:
        header, *points = csv.reader(file)
    assert header == ["point", "easting_in", "northing_in", "description", "layout"]
    assert points[0][:4] == ["A", "24660.000", "60240.000", "corner"]


def test_what_is_written_reads_back(job: Path, run: Run) -> None:
    from staking.survey.read import read_survey

    assert run("layout", job, "--only", "csv,xml").exit_code == 0
    folder = job.with_name("shed-layout")
    for name in ("points.csv", "points.xml"):
        again = read_survey(folder / name)
        assert again.unit == "ft"
        at = list(again.names).index("C")
        assert again.northing[at] == pytest.approx(5036 * 0.3048, rel=0, abs=1e-4)
        assert again.easting[at] == pytest.approx(2079 * 0.3048, rel=0, abs=1e-4)


def test_latitude_and_longitude_need_a_coordinate_system(job: Path, run: Run) -> None:
    result = run("layout", job, "--only", "gpx")
    assert result.exit_code == 3
    assert "points.gpx needs the building placed in a coordinate system" in result.stderr
    assert not job.with_name("shed-layout").exists()


def test_strings_keep_off_a_house_known_by_its_surveyed_corners(job: Path, run: Run) -> None:
    edit(job, "north: 5020, east: 2055", "north: 5078, east: 2015")
    edit(job, "setbacks: {1-2: 19', other: 10'}", "setbacks: {other: 0}")
    document = json.loads(run("layout", job, "--json").stdout)
    # A-D runs north from (5078, 2015), its D at 5094, 6 ft short of the house's wall.
    string = next(each for each in document["strings"] if each["name"] == "A-D")
    reach = max(string["start"][1], string["end"][1])
    assert reach <= 22 + 1e-9


def test_a_point_that_is_missing_names_the_nearest_and_one_that_occurs_twice_is_refused(
    job: Path, run: Run
) -> None:
    edit(job, "boundary: [1, 2, 3, 4]", "boundary: [01, 2, 3, 4]")
    edit(job, "setbacks: {1-2: 19', other: 10'}", "setbacks: {other: 10'}")
    with (job.parent / "lot.csv").open("a", encoding="utf-8") as file:
        file.write("3,5120.50,2100.00,103.3,iron pin\n4,5120.00,2000.00,104.0,again\n")
    result = run("layout", job)
    assert result.exit_code == 3
    said = " ".join(result.stderr.split())
    assert "site boundary: there is no point 01 in" in said
    assert "did you mean 1?" in said
    assert "point 3 occurs twice, 0.500 ft apart" in said
    assert "line 4 and" in said
    assert "point 4" not in said


def test_a_boundary_out_of_order_is_refused(job: Path, run: Run) -> None:
    edit(job, "boundary: [1, 2, 3, 4]", "boundary: [1, 3, 2, 4]")
    edit(job, "setbacks: {1-2: 19', other: 10'}", "setbacks: {other: 10'}")
    result = run("layout", job)
    assert result.exit_code == 3
    assert "the boundary crosses itself: 1-3 and 2-4 meet" in result.stderr


def test_with_a_coordinate_system_everything_is_written_and_lies_in_the_same_place(
    job: Path, run: Run
) -> None:
    from staking.survey.read import read_survey

    rows = [line.split(",") for line in LOT.splitlines()[1:]]
    metres = "".join(
        f"{n},{4_395_000 + float(y):.3f},{498_000 + float(e):.3f},{float(z):.3f},{d}\n"
        for n, y, e, z, d in rows
    )
    header = "point,northing_m,easting_m,elevation_m,description\n"
    (job.parent / "lot.csv").write_text(header + metres, encoding="utf-8")
    edit(job, "  survey: lot.csv", "  survey: lot.csv\n  units: m\n  crs: EPSG:32617")
    edit(job, "north: 5020, east: 2055", "north: 4400020, east: 500055")
    result = run("layout", job)
    assert result.exit_code == 0, result.stderr
    folder = job.with_name("shed-layout")
    assert sorted(path.name for path in folder.iterdir()) == [
        ".staking.json",
        "layout.json",
        "page.html",
        "plan.dxf",
        "plan.svg",
        "points.csv",
        "points.geojson",
        "points.gpx",
        "points.xml",
        "sheet.pdf",
    ]
    corner = json.loads((folder / "layout.json").read_text(encoding="utf-8"))["corners"][2]
    # 16 ft and 24 ft on the ground; on the grid 0.9996 x (1 - 101.4 m / 6,371 km) of them.
    factor = 0.9996 * (1 - 101.4 / 6_371_000)
    assert corner["northing"] == pytest.approx(4_400_020 + 16 * 0.3048 * factor, rel=0, abs=1e-5)
    assert corner["easting"] == pytest.approx(500_055 + 24 * 0.3048 * factor, rel=0, abs=1e-5)
    for name in ("points.csv", "points.xml", "points.geojson"):
        again = read_survey(folder / name)
        at = list(again.names).index("C")
        assert again.northing[at] == pytest.approx(corner["northing"], rel=0, abs=2e-4)
        assert again.easting[at] == pytest.approx(corner["easting"], rel=0, abs=2e-4)
    # On the central meridian the scale is 0.9996; 101.4 m up takes 16 parts in a million more.
    said = " ".join(result.stderr.split())
    assert "scale 0.99960000 times elevation factor 0.9999" in said


def test_distances_in_the_tables_are_on_the_ground(job: Path, run: Run) -> None:
    rows = [line.split(",") for line in LOT.splitlines()[1:]]
    metres = "".join(
        f"{n},{4_395_000 + float(y):.3f},{498_000 + float(e):.3f},0,{d}\n" for n, y, e, _, d in rows
    )
    header = "point,northing_m,easting_m,elevation_m,description\n"
    (job.parent / "lot.csv").write_text(header + metres, encoding="utf-8")
    edit(job, "units: ft", "units: m\nshow: metres")
    edit(job, "24' x 16'", "20 m x 16 m")
    edit(job, "site:", "tape: {length: 100}\nsite:")
    edit(job, "  survey: lot.csv", "  survey: lot.csv\n  crs: EPSG:32617")
    edit(job, "north: 5020, east: 2055", "north: 4400050, east: 500050")
    edit(job, "setbacks: {1-2: 19', other: 10'}", "setbacks: {other: 1}")
    result = run("stakeout", job, "--setup", "1", "--backsight", "2")
    assert result.exit_code == 0, result.stderr
    # 50 m by 50 m on the grid is 70.7107 m; on the ground, over 0.9996, 70.7390 m.
    (line,) = [
        each for each in result.stdout.split("Set up on 1")[1].splitlines() if each.startswith("A ")
    ][:1]
    assert line.split()[-2:] == ["70.739", "m"]
    document = json.loads(run("stakeout", job, "--setup", "1", "--backsight", "2", "--json").stdout)
    shot = next(each for each in document["shots"] if each["name"] == "A")
    assert shot["distance"] == pytest.approx(math.hypot(50, 50) / 0.9996, rel=0, abs=1e-5)
    assert document["combined_factor"] == pytest.approx(0.9996, rel=0, abs=1e-8)
