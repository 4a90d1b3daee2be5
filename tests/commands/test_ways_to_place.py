"""One shed on one lot, placed and drawn in every way there is: all must stand in one place.

The lot is square to the grid, 100 ft by 120 ft, its first pin at northing 5000, easting 2000; the
shed's A stands 55 ft along line 1-2 and 20 ft into the lot, so that every distance below is a
difference of two whole numbers or the root of two squares.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from staking.cli import main

LOT = """\
point,northing_ft,easting_ft,elevation_ft,description
1,5000.00,2000.00,,iron pin
2,5000.00,2100.00,,iron pin
3,5120.00,2100.00,,iron pin
4,5120.00,2000.00,,iron pin
201,5020.00,2055.00,,stake
202,5020.00,2079.00,,stake
203,5036.00,2079.00,,stake
"""
HEAD = "job: Plum shed\n"
REST = 'wall: 8"\n  footing: {width: 20", thickness: 10"}\n'
DRAWN = f"building:\n  rectangle: 24' x 16'\n  {REST}"
BEARING = "{corner: A, wall: A-B, north: 5020, east: 2055, bearing: N 90 E}"
PLACES = {
    "bearing": BEARING,
    "along": "{wall: A-B, along: [1, 2], from_first: 55', offset: left 20'}",
    "fit": "{fit: {A: 201, B: 202, C: 203}}",
    # The roots of 55² + 20², 45² + 20², 79² + 20² and 21² + 20², to a ten-thousandth.
    "tape": "{tape: {A: {1: 58.5235, 2: 49.2443}, B: {1: 81.4924, 2: 29.0000}}, side: left}",
}
WALLS = {"1-2": 20.0, "2-3": 21.0, "3-4": 84.0, "4-1": 55.0}
SITE = """\
site:
  survey: lot.csv
  units: ft
  place: {place}
  boundary: [1, 2, 3, 4]
  setbacks: {other: 10'}
  overhang: 12"
"""


def document(folder: Path, building: str, place: str = BEARING, units: str = "ft") -> Any:
    (folder / "lot.csv").write_text(LOT, encoding="utf-8")
    job = folder / "job.yaml"
    site = SITE.replace("{place}", place)
    job.write_text(f"{HEAD}units: {units}\n{building}{site}", encoding="utf-8")
    result = CliRunner().invoke(main, ["layout", str(job), "--json"], catch_exceptions=False)
    assert result.exit_code == 0, result.stderr
    return json.loads(result.stdout)


def corner(found: Any, name: str) -> tuple[float, float]:
    (each,) = [each for each in found["corners"] if each["name"] == name]
    return each["northing"], each["easting"]


def clear(found: Any, what: str, foot: float = 1.0) -> dict[str, float]:
    return {
        each["line"]: each["distance"] / foot
        for each in found["clearances"]
        if each["what"] == what
    }


def near(value: Any, within: float = 1e-6) -> Any:
    return pytest.approx(value, rel=0, abs=within)


@pytest.mark.parametrize("way", PLACES)
def test_all_four_ways_to_place_a_building_agree(tmp_path: Path, way: str):
    found = document(tmp_path, DRAWN, PLACES[way])
    # A tape told to a ten-thousandth of a foot leaves twice that and more where tapes cross.
    within = 5e-4 if way == "tape" else 1e-6
    assert corner(found, "A") == near((5020, 2055), within)
    assert corner(found, "C") == near((5036, 2079), within)
    assert clear(found, "wall") == near(WALLS, within)


def test_corners_that_run_clockwise_change_nothing(tmp_path: Path):
    drawn = (
        "building:\n  corners:\n    A: [0, 0]\n    D: [0, 16']\n    C: [24', 16']\n"
        f"    B: [24', 0]\n  {REST}"
    )
    found = document(tmp_path, drawn)
    assert corner(found, "C") == near((5036, 2079))
    assert clear(found, "wall") == near(WALLS)
    assert clear(found, "eave") == near({line: far - 1 for line, far in WALLS.items()})


def test_a_plan_drawn_a_quarter_turn_round_stands_in_the_same_place(tmp_path: Path):
    drawn = (
        "building:\n  corners:\n    A: [100', 50']\n    B: [100', 74']\n    C: [84', 74']\n"
        f"    D: [84', 50']\n  {REST}"
    )
    found = document(tmp_path, drawn)
    assert corner(found, "C") == near((5036, 2079))
    assert clear(found, "footing") == near({line: far - 0.5 for line, far in WALLS.items()})


def test_a_plan_in_metres_stands_in_the_same_place_on_a_survey_in_feet(tmp_path: Path):
    drawn = (
        "building:\n  rectangle: 7.3152 x 4.8768\n  wall: 0.2032\n"
        "  footing: {width: 0.508, thickness: 0.254}\n"
    )
    found = document(tmp_path, drawn, units="m")
    assert (found["unit"], found["site_unit"]) == ("m", "ft")
    assert corner(found, "C") == near((5036, 2079))
    assert clear(found, "wall", 0.3048) == near(WALLS)


def test_a_jog_is_measured_from_where_it_reaches(tmp_path: Path):
    drawn = (
        "building:\n  corners:\n    A: [0, 0]\n    B: [24', 0]\n    C: [24', 16']\n"
        f"    D: [12', 16']\n    E: [12', 20']\n    F: [0, 20']\n  {REST}"
    )
    found = document(tmp_path, drawn)
    assert corner(found, "E") == near((5040, 2067))
    assert clear(found, "wall") == near(WALLS | {"3-4": 80.0})


def test_a_standing_side_has_no_eaves_and_no_footing_past_it(tmp_path: Path):
    drawn = f"building:\n  rectangle: 24' x 16'\n  {REST}  walls: {{D-A: {{existing: true}}}}\n"
    found = document(tmp_path, drawn)
    assert clear(found, "eave") == near({"1-2": 19, "2-3": 20, "3-4": 83, "4-1": 55})
    assert clear(found, "footing")["4-1"] == near(55)


def test_stakes_two_feet_from_the_plan_are_refused_with_status_five(tmp_path: Path):
    (tmp_path / "lot.csv").write_text(LOT.replace("203,5036", "203,5042"), encoding="utf-8")
    job = tmp_path / "job.yaml"
    site = SITE.replace("{place}", PLACES["fit"])
    job.write_text(f"{HEAD}units: ft\n{DRAWN}{site}", encoding="utf-8")
    result = CliRunner().invoke(main, ["layout", str(job)], catch_exceptions=False)
    assert result.exit_code == 5
    assert "the building cannot stand on these stakes" in " ".join(result.stderr.split())
