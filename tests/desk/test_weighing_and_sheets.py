"""Rows compared and sheets shown by the desk, against the command line's own."""

from __future__ import annotations

import io
import json
import time
from multiprocessing import active_children
from pathlib import Path

import pytest
from click.testing import CliRunner
from PIL import Image
from pypdf import PdfReader

from staking.cli import main
from staking.desk.weighing import Weighing
from tests.desk.conftest import SHED, Running, Start

SLOPE = """\
job: Plum shed   # on the bank
units: ft
building:
  rectangle: 32' x 24'
  wall: 8"
  footing: {width: 20", thickness: 10"}
  slab: {top: 103' 8", thickness: 4", base: 4"}
grade:
  ground: {A: 102', B: 100' 6", C: 100', D: 101' 8"}
  top_of_wall: 104'      # the drive
  frost_depth: 36"
  benchmark: {name: nail in oak, elevation: 100'}
weigh:
  top_of_wall: {from: 103' 4", to: 104', by: 4"}
order:
  block: {length: 16", height: 8"}
"""


def weighed(running: Running, text: str) -> dict:
    assert running.post("/weigh", {"text": text}).status == 200
    end = time.monotonic() + 120
    while time.monotonic() < end:
        told = running.ask("GET", "/weighing").told
        if not told["running"]:
            return told
        time.sleep(0.1)
    raise AssertionError("the rows never came")


def test_rows_are_those_of_the_command_and_a_row_is_taken_as_it_takes_it(start: Start) -> None:
    running = start(SLOPE)
    told = weighed(running, SLOPE)
    assert (told["done"], told["total"], told["faults"]) == (3, 3, [])
    run = CliRunner()
    done = run.invoke(main, ["weigh", str(running.path)])
    assert done.exit_code == 0, done.output
    picture = (running.path.parent / "job-layout/weigh.svg").read_text(encoding="utf-8")
    assert told["picture"] == picture
    assert [each["row"] for each in told["rows"]] == [1, 2, 3]
    cells = [row for block in told["blocks"] if "rows" in block for row in block["rows"]]
    rows = json.loads((running.path.parent / "job-layout/weigh.json").read_text("utf-8"))["rows"]
    steps = [row[2].rstrip("*") for row in cells[:3]]
    assert steps == [str(each["steps"]) for each in rows]

    taken = running.post("/take", {"text": SLOPE, "row": 1}).told
    assert running.path.read_text(encoding="utf-8") == SLOPE
    done = run.invoke(main, ["weigh", str(running.path), "--take", "1"])
    assert done.exit_code == 0, done.output
    assert taken["text"] == running.path.read_text(encoding="utf-8")
    assert "top_of_wall: 103' 4\"      # the drive" in taken["text"]


def test_no_process_outlives_the_desk(tmp_path: Path) -> None:
    many = SLOPE.replace("from: 103' 4\", to: 104', by: 4\"", "from: 103', to: 106', by: 1/4\"")
    path = tmp_path / "job.yaml"
    weighing = Weighing(path)
    weighing.start(many)
    end = time.monotonic() + 60
    while not active_children() and time.monotonic() < end:
        time.sleep(0.02)
    began = active_children()
    assert began, "no rows were worked out beside one another"
    weighing.close()
    assert not active_children()
    assert all(not each.is_alive() for each in began)
    assert weighing.told["running"] is False
    assert weighing.told["faults"] == []


def test_a_row_of_other_answers_is_not_taken(start: Start) -> None:
    running = start(SLOPE)
    for row in (1, 0, 99):
        assert running.post("/take", {"text": SLOPE, "row": row}).status == 422
    weighed(running, SLOPE)
    asked = running.post("/take", {"text": SLOPE.replace('36"', '42"'), "row": 1})
    assert asked.status == 422
    assert "compare them anew" in asked.told["error"]
    for row in (0, 99, -1):
        assert running.post("/take", {"text": SLOPE, "row": row}).status == 422
    assert running.post("/take", {"text": SLOPE, "row": "1"}).status == 400


def test_what_cannot_be_weighed_is_told_in_the_readers_words(running: Running) -> None:
    told = weighed(running, SHED)
    assert "blocks" not in told
    assert ["no grade section" in each["text"] for each in told["faults"]] == [True]
    told = weighed(running, SHED.replace('8"', "wide"))
    assert told["faults"][0]["place"] == ["building", "wall"]


def test_a_newer_comparison_takes_the_place_of_the_one_at_work(start: Start) -> None:
    running = start(SLOPE)
    running.post("/weigh", {"text": SLOPE})
    told = weighed(running, SLOPE.replace("to: 104'", "to: 103' 4\""))
    assert (told["done"], told["total"]) == (1, 1)
    assert [each["row"] for each in told["rows"]] == [1]


def test_each_sheet_is_shown_as_its_page_is_printed(running: Running) -> None:
    assert running.ask("GET", "/sheets").told == {"titles": [], "old": False}
    assert running.ask("GET", "/sheet/1").status == 404
    running.post("/make", {"kinds": ["pdf"]})
    told = running.ask("GET", "/sheets").told
    pages = PdfReader(running.path.parent / "job-layout/sheet.pdf").pages
    assert len(told["titles"]) == len(pages)
    assert told["titles"][0] == "Start here"
    for number, page in enumerate(pages, 1):
        asked = running.ask("GET", f"/sheet/{number}")
        assert (asked.status, asked.headers["Content-Type"]) == (200, "image/png")
        picture = Image.open(io.BytesIO(asked.body))
        box = page.mediabox
        assert picture.width == 1100
        assert picture.height == pytest.approx(1100 * float(box.height / box.width), rel=0, abs=1)
        assert min(picture.convert("L").tobytes()) < 80  # something is printed on it
    for name in ("0", "99", "-1", "1.5", "%D9%A3", "../job.yaml", "9" * 40):
        assert running.ask("GET", f"/sheet/{name}").status == 404


def test_sheets_of_an_older_job_file_are_said_to_be_old(running: Running) -> None:
    running.post("/make", {"kinds": ["pdf"]})
    assert running.ask("GET", "/sheets").told["old"] is False
    time.sleep(0.02)
    mark = running.ask("GET", "/job").told["mark"]
    running.post("/save", {"text": SHED.replace("36'", "30'"), "mark": mark})
    assert running.ask("GET", "/sheets").told["old"] is True


def test_a_broken_file_of_sheets_is_told(running: Running, tmp_path: Path) -> None:
    running.post("/make", {"kinds": ["pdf"]})
    (tmp_path / "job-layout/sheet.pdf").write_bytes(b"%PDF-1.4\n")
    for path in ("/sheets", "/sheet/1"):
        asked = running.ask("GET", path)
        assert asked.status == 422
        assert asked.told["error"] == "sheet.pdf cannot be shown; make the sheets anew"
