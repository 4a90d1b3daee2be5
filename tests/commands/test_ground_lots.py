"""Five lots whose pins and buildings are right on the ground, and what every command says of them.

Pins, stakes and footing edges are made with the geodesic on GRS 80 (`pyproj.Geod`): a distance on
the ground at a height ``h`` is the geodesic's times ``1 + h / 6,371,000 m``. They are written in
the coordinates that a surveyor would hand over, so that only the program can know that a grid
distance is not ground distance.
"""

from __future__ import annotations

import csv
import json
import math
import re
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result
from pyproj import CRS, Geod, Transformer

from staking.cli import main

GRS80 = Geod(a=6378137.0, rf=298.257222101)
RADIUS = 6_371_000.0
FOOT, SURVEY_FOOT = 0.3048, 1200 / 3937
SIXTEENTH = 0.0254 / 16

Place = tuple[float, float]


@dataclass(frozen=True)
class Lot:
    """Where a lot is, how high, and how its survey is written; `crs` None for degrees."""

    name: str
    latitude: float
    longitude: float
    height: float
    crs: str | None
    unit: float = 1.0
    unit_name: str = "m"

    def degrees(self, place: Place) -> Place:
        """Give latitude and longitude of a place so far east and north on the ground, m."""
        far = math.hypot(*place) / (1 + self.height / RADIUS)
        azimuth = math.degrees(math.atan2(place[0], place[1]))
        lon, lat, _ = GRS80.fwd(self.longitude, self.latitude, azimuth, far)
        return lat, lon

    def written(self, place: Place) -> tuple[str, str, str]:
        """Give the two coordinates and the elevation as the survey file has them."""
        lat, lon = self.degrees(place)
        level = f"{self.height / self.unit:.3f}"
        if self.crs is None:
            return f"{lat:.9f}", f"{lon:.9f}", level
        north, east = self.grid(place)
        return f"{north / self.unit:.4f}", f"{east / self.unit:.4f}", level

    def grid(self, place: Place) -> Place:
        """Give northing and easting, m."""
        system = CRS(self.crs or "EPSG:32615")
        metres = system.axis_info[0].unit_conversion_factor
        lat, lon = self.degrees(place)
        onto = Transformer.from_crs(system.geodetic_crs, system, always_xy=True)
        east, north = onto.transform(lon, lat)
        return north * metres, east * metres


LOTS = [
    Lot("UTM, central meridian", 42.0, -93.0, 280.0, "EPSG:26915"),
    Lot("UTM, edge of its zone", 41.9, -90.05, 190.0, "EPSG:26915"),
    Lot("state plane, sea level", 38.98, -76.49, 3.0, "EPSG:2248", SURVEY_FOOT, "us-ft"),
    Lot("state plane, 2,830 m", 39.2, -105.9, 2830.0, "EPSG:2232", SURVEY_FOOT, "us-ft"),
    Lot("degrees", 42.03, -92.4, 310.0, None),
]

PINS = {"1": (0.0, 0.0), "2": (58.0, 9.0), "3": (51.0, 54.0), "4": (-7.0, 45.0)}
"""East and north on the ground, m, of the lot's corners."""

LENGTH, WIDTH = 60 * FOOT, 40 * FOOT
TURN = math.radians(17)
CORNER = (15.0, 14.0)
"""Where the building stands: turned 17 degrees, corner A there, m."""


def on_the_lot(x: float, y: float) -> Place:
    """Give east and north on the ground of a point of the building, m."""
    cos, sin = math.cos(TURN), math.sin(TURN)
    return CORNER[0] + x * cos - y * sin, CORNER[1] + x * sin + y * cos


CORNERS = {
    "A": on_the_lot(0, 0),
    "B": on_the_lot(LENGTH, 0),
    "C": on_the_lot(LENGTH, WIDTH),
    "D": on_the_lot(0, WIDTH),
}


def edges() -> dict[str, Place]:
    """Give points on all footing edges: 6" outside the faces and 14" inside, m east and north."""
    out, in_ = 6 * 0.0254, 14 * 0.0254
    found = {}
    for number, part in enumerate((0.1, 0.5, 0.9)):
        x, y = LENGTH * part, WIDTH * part
        for wall, outer, inner in (
            ("A-B", (x, -out), (x, in_)),
            ("B-C", (LENGTH + out, y), (LENGTH - in_, y)),
            ("C-D", (x, WIDTH + out), (x, WIDTH - in_)),
            ("D-A", (-out, y), (in_, y)),
        ):
            found[f"{wall} outer edge {number}"] = on_the_lot(*outer)
            found[f"{wall} inner edge {number}"] = on_the_lot(*inner)
    return found


def write(path: Path, lot: Lot, places: dict[str, Place]) -> Path:
    header: Iterable[str] = (
        ("point", "latitude", "longitude", "elevation")
        if lot.crs is None
        else ("point", f"northing_{lot.unit_name}", f"easting_{lot.unit_name}",
              f"elevation_{lot.unit_name}")
    )  # fmt: skip
    with path.open("w", encoding="utf-8", newline="") as stream:
        writer = csv.writer(stream)
        writer.writerow(header)
        writer.writerows((name, *lot.written(place)) for name, place in places.items())
    return path


def job(folder: Path, lot: Lot, place: str, more: str = "") -> Path:
    write(folder / "lot.csv", lot, PINS)
    crs = f"\n  crs: {lot.crs}" if lot.crs else ""
    path = folder / "house.yaml"
    path.write_text(
        "job: Field house\nunits: ft\nbuilding:\n  rectangle: 60' x 40'\n  wall: 8\"\n"
        '  footing: {width: 20", thickness: 10"}\ndig: {cast: forms}\n'
        "tape: {length: 300'}\n"
        f"site:\n  survey: lot.csv\n  units: {lot.unit_name}{crs}\n  place: {place}\n"
        f"  boundary: [1, 2, 3, 4]\n  setbacks: {{other: 20'}}\n{more}",
        encoding="utf-8",
    )
    return path


def taped(corner: str, pin: str) -> str:
    """Give what a tape on the ground reads, to the sixteenth, as a job file takes it."""
    sixteenths = round(math.dist(CORNERS[corner], PINS[pin]) / SIXTEENTH)
    feet, rest = divmod(sixteenths, 192)
    return f"{feet}' {rest // 16} {rest % 16}/16\""


BY_TAPE = (
    "{tape: {"
    + ", ".join(
        f"{corner}: {{{one}: {taped(corner, one)}, {two}: {taped(corner, two)}}}"
        for corner, one, two in (("A", "1", "2"), ("B", "1", "2"))
    )
    + "}, side: left}"
)


def run(*words: object) -> Result:
    line = [str(word) for word in words]
    return CliRunner(env={"COLUMNS": "200"}).invoke(main, line, catch_exceptions=False)


def document(*words: object, status: int = 0) -> dict[str, Any]:
    result = run(*words, "--json")
    assert result.exit_code == status, result.stderr
    loaded: dict[str, Any] = json.loads(result.stdout)
    return loaded


def along(lot: Lot) -> str:
    # A-B along no line of the lot, but at the bearing the grid has between two corner stakes.
    (n1, e1), (n2, e2) = (lot.grid(CORNERS[name]) for name in "AB")
    bearing = math.degrees(math.atan2(e2 - e1, n2 - n1))
    return (
        f"{{corner: A, wall: A-B, north: {n1 / lot.unit:.5f}, east: {e1 / lot.unit:.5f}, "
        f"bearing: N {bearing:.7f} E}}"
    )


@pytest.fixture(params=LOTS, ids=[lot.name for lot in LOTS])
def lot(request: pytest.FixtureRequest) -> Lot:
    found: Lot = request.param
    return found


def test_boundary_lengths_are_the_geodesics_at_the_height_of_the_lot(
    lot: Lot, tmp_path: Path
) -> None:
    found = document("layout", job(tmp_path, lot, along(lot)))
    rows = [row.split(",") for row in (tmp_path / "lot.csv").read_text().splitlines()[1:]]
    if lot.crs is None:
        places = [(float(row[1]), float(row[2])) for row in rows]
    else:
        system = CRS(lot.crs)
        back = Transformer.from_crs(system, system.geodetic_crs, always_xy=True)
        metres = system.axis_info[0].unit_conversion_factor
        places = [
            back.transform(float(row[2]) * lot.unit / metres, float(row[1]) * lot.unit / metres)[
                ::-1
            ]
            for row in rows
        ]
    for i, line in enumerate(found["boundary"]):
        (lat1, lon1), (lat2, lon2) = places[i], places[(i + 1) % 4]
        far = GRS80.inv(lon1, lat1, lon2, lat2)[2] * (1 + lot.height / RADIUS)
        assert line["length"] * FOOT == pytest.approx(far, rel=0, abs=SIXTEENTH / 4), line


def test_perfect_stakes_move_nothing(lot: Lot, tmp_path: Path) -> None:
    path = job(tmp_path, lot, along(lot))
    stakes = write(tmp_path / "stakes.csv", lot, CORNERS)
    found = document("check", path, "--stakes", stakes)
    assert (found["square"], found["decided"], found["advice"]) == (True, True, [])
    placed = document("check", path, "--stakes", stakes, "--hold", "place")
    assert placed["advice"] == []
    for corner in placed["corners"]:
        move = math.hypot(corner["move_x"], corner["move_y"]) * FOOT
        assert move < SIXTEENTH / 4, corner


def test_stakes_in_degrees_are_on_the_ground_without_a_lot(tmp_path: Path) -> None:
    lot = LOTS[-1]
    text = job(tmp_path, lot, along(lot)).read_text(encoding="utf-8")
    alone = tmp_path / "alone.yaml"
    alone.write_text(text[: text.index("site:")], encoding="utf-8")
    found = document("check", alone, "--stakes", write(tmp_path / "stakes.csv", lot, CORNERS))
    assert (found["square"], found["advice"]) == (True, [])
    # On the grid of its UTM zone A-B would read 60 ft x 0.99956, 5/16" short.
    (side,) = [each for each in found["after"] if {each["from"], each["to"]} == {"A", "B"}]
    assert side["distance"] == pytest.approx(60, rel=0, abs=1e-3)


def test_a_perfect_footing_is_in_tolerance(lot: Lot, tmp_path: Path) -> None:
    path = job(tmp_path, lot, along(lot))
    poured = write(tmp_path / "poured.csv", lot, edges())
    found = document("record", path, poured)
    deviations = [each["off"] for each in found["figures"]]
    assert found["good"]
    assert len(deviations) >= 24
    assert max(map(abs, deviations)) * FOOT < SIXTEENTH


def test_two_true_tapes_place_the_building_where_it_belongs(lot: Lot, tmp_path: Path) -> None:
    found = document("layout", job(tmp_path, lot, BY_TAPE))
    for corner in found["corners"]:
        north, east = lot.grid(CORNERS[corner["name"]])
        off = math.dist(
            (corner["northing"] * lot.unit, corner["easting"] * lot.unit), (north, east)
        )
        assert off < SIXTEENTH, corner


def test_layout_and_stakeout_print_one_distance_for_a_pair(lot: Lot, tmp_path: Path) -> None:
    path = job(tmp_path, lot, "{wall: A-B, along: [1, 2], from_first: 40', offset: left 20'}")
    told = " ".join(run("layout", path).stderr.split())
    table = run("stakeout", path, "--setup", "1", "--backsight", "2").stdout
    for corner in "AB":
        found = re.search(rf"Tape to check corner {corner}: (.*?) to 1, ", told)
        assert found is not None, told
        shots = table.split("Set up on 1")[1].splitlines()
        (shot,) = [line for line in shots if line.startswith(f"{corner} ")][:1]
        assert re.split(r"\s{2,}", shot.strip())[-1] == found[1]


JOG = 24 + 1 / 3
OUTLINES = {
    "clockwise": ("ft", {"A": (0, 0), "B": (0, 24), "C": (36, 24), "D": (36, 0)}, ""),
    "metres": ("m", {"A": (0, 0), "B": (11, 0), "C": (11, 7.2), "D": (0, 7.2)}, ""),
    "jog of 4 inches": (
        "ft",
        {"A": (0, 0), "B": (36, 0), "C": (36, 24), "D": (20, 24), "E": (20, JOG), "F": (0, JOG)},
        "",
    ),
    "against a standing building": (
        "ft",
        {"A": (0, 0), "B": (36, 0), "C": (36, 24), "D": (0, 24)},
        "  walls: {C-D: {existing: true}}\n",
    ),
}  # fmt: skip


@pytest.mark.parametrize("shape", OUTLINES)
def test_every_shape_that_is_right_on_the_ground_moves_nothing(shape: str, tmp_path: Path) -> None:
    lot = LOTS[3]
    unit, corners, more = OUTLINES[shape]
    metres = {"ft": FOOT, "m": 1.0}[unit]
    places = {name: on_the_lot(x * metres, y * metres) for name, (x, y) in corners.items()}
    path = job(tmp_path, lot, along(lot))
    first, second = list(corners)[:2]
    (n1, e1), (n2, e2) = lot.grid(places[first]), lot.grid(places[second])
    bearing = math.degrees(math.atan2(e2 - e1, n2 - n1)) % 360
    text = path.read_text(encoding="utf-8")
    written = ", ".join(f"{name}: [{x}, {y}]" for name, (x, y) in corners.items())
    text = text.replace("rectangle: 60' x 40'", f"corners: {{{written}}}")
    text = text.replace("units: ft", f"units: {unit}").replace("dig:", f"{more}dig:")
    line = text[text.index("  place: ") :].splitlines()[0]
    text = text.replace(
        line,
        f"  place: {{corner: A, wall: A-B, north: {n1 / lot.unit:.5f}, "
        f"east: {e1 / lot.unit:.5f}, bearing: {bearing:.7f}}}",
    )
    path.write_text(text.replace("setbacks: {other: 20'}", "setbacks: {other: 1 ft}"), "utf-8")
    stakes = write(tmp_path / "stakes.csv", lot, places)
    found = document("check", path, "--stakes", stakes, "--hold", "place")
    assert (found["square"], found["advice"]) == (True, [])
    for corner in found["corners"]:
        assert math.hypot(corner["move_x"], corner["move_y"]) * metres < SIXTEENTH / 4
    # The building's corners stand in the survey's coordinates where the geodesic puts them.
    for corner in document("layout", path)["corners"]:
        there = (corner["northing"] * lot.unit, corner["easting"] * lot.unit)
        assert math.dist(there, lot.grid(places[corner["name"]])) < SIXTEENTH / 4
