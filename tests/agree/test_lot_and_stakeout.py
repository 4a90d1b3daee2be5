"""A lot on a grid that is not ground: every paper has the same coordinates, lengths and tapes."""

from __future__ import annotations

import csv
import io
import json
import re
import shutil
from collections.abc import Callable
from typing import Any

import ezdxf
import pytest

from staking.measure.lengths import Unit
from tests.agree.conftest import FIXTURES
from tests.agree.papers import Papers
from tests.output.drawn_dimensions import as_on_paper, drawn_text, measured_text

HIGH = """\
job: Field house
units: ft
building:
  rectangle: 36' x 24'
  wall: 8"
  footing: {width: 20", thickness: 10"}
tape: {length: 300'}
site:
  survey: lot.csv
  units: us-ft
  crs: EPSG:2232
  place: {wall: A-B, along: [1, 2], from_first: 60', offset: left 50'}
  boundary: [1, 2, 3, 4]
  bearings: {1-2: N 80 20 E}
  setbacks: {other: 20'}
  prefix: W-
"""
PINS = """\
point,northing_us-ft,easting_us-ft,elevation_us-ft,description
1,1497985.6279,2886645.4823,9284.7,iron pin
2,1498018.9397,2886839.3920,9284.7,iron pin
3,1498164.3719,2886814.4082,9284.7,iron pin
4,1498131.0602,2886620.4984,9284.7,iron pin
"""


@pytest.fixture(scope="module", params=["hillside-lot", "high"])
def lot(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Papers:
    folder = tmp_path_factory.mktemp(request.param)
    if request.param == "high":
        (folder / "job").mkdir()
        (folder / "job" / "lot.csv").write_text(PINS, encoding="utf-8")
        (folder / "job" / "job.yaml").write_text(HIGH, encoding="utf-8")
    else:
        shutil.copytree(FIXTURES / request.param, folder / "job")
    return Papers(job=folder / "job" / "job.yaml", folder=folder / "out")


def site_metres(papers: Papers) -> float:
    return Unit(papers.layout["site_unit"]).metres


def job_metres(papers: Papers) -> float:
    return Unit(papers.layout["unit"]).metres


def staked(papers: Papers) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(papers.run("stakeout", papers.job, "--json").stdout)
    return found


def test_boundary_lines_are_as_long_on_every_paper(lot: Papers) -> None:
    truth = {line["line"]: lot.shown(line["length"]) for line in lot.layout["boundary"]}
    ratio = site_metres(lot) / job_metres(lot)
    in_site = {
        f"{line['from']}-{line['to']}": lot.shown(line["length"] * ratio)
        for line in lot.layout["site"]["boundary"]
    }
    assert in_site == truth
    rows = lot.terminal_table("layout", "Boundary, from the survey")
    assert {row[0]: row[1] for row in rows} == truth
    drawn = ezdxf.readfile(lot.folder / "plan.dxf").modelspace()
    words = [text.dxf.text for text in drawn.query('TEXT[layer=="V-PROP-LINE"]')]
    assert sorted(each.split("  ")[-1] for each in words) == sorted(truth.values())


def test_corners_have_one_northing_and_easting(lot: Papers) -> None:
    prefix = "W-" if "prefix" in lot.job.read_text(encoding="utf-8") else ""
    truth = {
        f"{prefix}{corner['name']}": (corner["northing"], corner["easting"])
        for corner in lot.layout["corners"]
    }
    unit = lot.layout["site_unit"]
    rows = {row["point"]: row for row in csv.DictReader(io.StringIO(lot.file("points.csv")))}
    of_points = {
        name: (float(rows[name][f"northing_{unit}"]), float(rows[name][f"easting_{unit}"]))
        for name in truth
    }
    of_stakeout = {
        each["name"]: (each["northing"], each["easting"]) for each in staked(lot)["points"]
    }
    xml = dict(re.findall(r'<CgPoint name="([^"]*)"[^>]*>([^<]*)<', lot.file("points.xml")))
    drawn = {
        next(a.dxf.text for a in block.attribs if a.dxf.tag == "POINT"): block.dxf.insert
        for block in ezdxf.readfile(lot.folder / "plan.dxf").modelspace().query("INSERT")
        if block.attribs
    }
    for name, (north, east) in truth.items():
        here = pytest.approx((north, east), rel=0, abs=6e-5)
        assert of_points[name] == here
        assert of_stakeout[name] == here
        assert tuple(map(float, xml[name].split()[:2])) == here
        assert (drawn[name].y, drawn[name].x) == here


def test_a_tie_reads_one_thing_in_document_table_and_on_the_card(lot: Papers) -> None:
    corners = {corner["name"] for corner in lot.layout["corners"]}
    ratio = site_metres(lot) / job_metres(lot)
    truth: dict[tuple[str, str], str] = {}
    for tie in staked(lot)["ties"]:
        name = tie["name"].removeprefix("W-")
        if name in corners:
            for point, distance in zip(tie["from"], tie["distances"], strict=True):
                truth[name, point] = lot.shown(distance * ratio)
    assert truth
    table: dict[tuple[str, str], str] = {}
    for row in lot.terminal_table("stakeout", "Two tapes to each stake"):
        if (name := row[0].removeprefix("W-")) in corners:
            table |= {(name, row[1]): row[2], (name, row[3]): row[4]}
    assert table == truth
    known = {point for _, point in truth}
    cards = [
        (row[at].removeprefix("to "), row[at + 1])
        for page in lot.sheet
        if any("Hubs and ties" in row for row in page.rows)
        for row in page.rows
        for at in range(len(row) - 1)
        if row[at].startswith("to ") and row[at].removeprefix("to ") in known
    ]
    assert sorted(cards) == sorted((point, reading) for (_, point), reading in truth.items())


def test_the_drawing_is_stretched_as_the_grid_is_and_says_the_ground(lot: Papers) -> None:
    factor = lot.layout["combined_factor"]
    assert staked(lot)["combined_factor"] == factor
    assert f"{factor:.8f}" in " ".join(lot.layout["warnings"])
    dimensions = ezdxf.readfile(lot.folder / "plan.dxf").modelspace().query("DIMENSION")
    shown: Callable[[float], str] = lot.shown
    walls = {shown(wall["length"]): wall["length"] for wall in lot.layout["walls"]}
    found = [each for each in dimensions if drawn_text(each) in walls]
    assert found
    ratio = job_metres(lot) / site_metres(lot)
    for each in found:
        drawn = each.dxf.defpoint2.distance(each.dxf.defpoint3)
        length = walls[drawn_text(each)] * ratio
        assert as_on_paper(measured_text(each)) == drawn_text(each)
        if abs(drawn - length) < 0.1:
            assert drawn == pytest.approx(length * factor, rel=0, abs=1e-5)
