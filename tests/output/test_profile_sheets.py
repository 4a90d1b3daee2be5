"""The walls in profile on paper: what they say is what was worked out, and nothing lies on it."""

from __future__ import annotations

import re
from io import BytesIO
from itertools import pairwise
from pathlib import Path

import pytest

from staking.kinds import SheetKind
from staking.measure.lengths import format_length
from staking.output.documents.grade_document import grade_document
from staking.output.sheet.sheet_pdf import write_sheet
from staking.project.layout import load_job
from staking.project.resolve import resolve
from staking.project.sheets import prepare_sheets
from staking.units import Unit
from tests.output.pdf_reading import Page, read_pages
from tests.output.profile_reading import TITLE, ReadProfile, read_profiles

ROOT = Path(__file__).resolve().parents[2]
MM = 72 / 25.4

T_HOUSE = """
job: T house
units: m
show: metres
building:
  sides: [N 73 E 4, N 17 W 6, N 73 E 4, N 17 W 5, S 73 W 12, S 17 E 5, N 73 E 4, S 17 E 6]
  wall: 0.2
  footing: {width: 0.5, thickness: 0.25}
paper: A4
boards: {at: 101}
grade:
  ground: {A: 99.2, B: 99.0, C: 99.3, D: 99.1, E: 99.9, F: 100.3, G: 99.9, H: 99.6}
  benchmark: {name: nail in oak, elevation: 100}
  top_of_wall: 100.8
  frost_depth: 0.8
  course: 0.2
  module: 0.2
"""
LONG_SHED = """
job: Long shed
units: ft
building:
  rectangle: 90' x 12'
  wall: 8"
  footing: {width: 16", thickness: 8"}
grade:
  ground: {A: 100', B: FALL', C: FALL', D: 100'}
  benchmark: {name: nail in oak, elevation: 100'}
  top_of_wall: 103'
  frost_depth: 36"
"""
JOBS = {
    "hillside": None,
    "T in metres turned 17 degrees": T_HOUSE,
    "12' x 90' shed": LONG_SHED.replace("FALL", "95"),
    "more runs than go beside one another": LONG_SHED.replace("FALL", "84"),
}
"""Invented jobs on slopes; the demo."""


@pytest.fixture(scope="module", params=JOBS)
def job(request, tmp_path_factory):
    """A job on a slope: its name, layout and the pages of its profiles."""
    path = ROOT / "fixtures" / "hillside-lot" / "job.yaml"
    if JOBS[request.param] is not None:
        path = tmp_path_factory.mktemp("job") / "job.yaml"
        path.write_text(JOBS[request.param], encoding="utf-8")
    resolved = resolve(load_job(path))
    stream = BytesIO()
    write_sheet(prepare_sheets(resolved), stream, only=(SheetKind.PROFILES,))
    return request.param, resolved.layout, read_pages(stream.getvalue())


@pytest.fixture(scope="module")
def walls(job) -> dict[str, ReadProfile]:
    """Every wall as it is read from the pages."""
    return read_profiles(job[2])


def shown(layout, length: float) -> str:
    """A length of the document as the job shows it."""
    options = layout.options
    return format_length(length * Unit(options.unit).metres, options.show, options.nearest)


def on_rod(layout, length: float) -> str:
    """What is added to the benchmark, as it is said."""
    return f"less {shown(layout, -length)}" if length < 0 else shown(layout, length)


def test_every_wall_is_there_in_at_most_two_pages(job, walls):
    _, layout, pages = job
    document = grade_document(layout)
    assert sorted(walls) == sorted(wall["wall"] for wall in document["walls"])
    assert len(pages) <= 2


def test_every_run_has_its_levels_under_its_wall(job, walls):
    _, layout, _ = job
    document = grade_document(layout)
    add = {
        (rod["what"], round(rod["level"], 4)): rod["add_to_benchmark"] for rod in document["rods"]
    }
    for wall in document["walls"]:
        read = walls[wall["wall"]]
        columns = {
            (read.values("courses")[i], read.values("top of footing")[i],
             read.values("top of footing", "add to benchmark")[i], read.values("dig level")[i],
             read.values("dig level", "add to benchmark")[i])
            for i in range(len(wall["runs"]))
        }  # fmt: skip
        assert len(read.values("courses")) == len(wall["runs"])
        for run in wall["runs"]:
            top, dig = run["top_of_footing"], run["dig_level"]
            column = (
                str(run["courses"]), shown(layout, top),
                on_rod(layout, add["top of footing", round(top, 4)]), shown(layout, dig),
                on_rod(layout, add["dig level", round(dig, 4)]),
            )  # fmt: skip
            assert column in columns, (wall["wall"], run)


def test_every_step_says_its_face_and_how_far_it_is_dug(job, walls):
    _, layout, _ = job
    for wall in grade_document(layout)["walls"]:
        read = walls[wall["wall"]]
        faces = [shown(layout, step["at"]) for step in wall["steps"]]
        digs = [shown(layout, step["dig_to"]) for step in wall["steps"]]
        if "run" in dict(read.rows):
            told = read.values("dig from") + read.values("dig to")
            assert set(digs) <= set(told)
            assert set(faces) <= set(read.values("face"))
            continue
        assert [each for each in read.stations if each.startswith("face ")] == sorted(
            (f"face {each}" for each in faces), key=read.stations.index
        )
        assert sorted(each for each in read.stations if each.startswith("dig to ")) == sorted(
            f"dig to {each}" for each in digs
        )


def test_no_word_lies_on_another_and_none_is_small(job, walls):
    _, _, pages = job
    figure = re.compile(r".*(\d'|\d\"|\d m)")
    for page in pages:
        words = [word for word in page.words if word.y < page.height - 19 * MM]
        words = [word for word in words if word.y > 16 * MM]
        for at, word in enumerate(words):
            assert word.size >= 7.99, word
            for other in words[at + 1 :]:
                assert not word.box.covers(other.box), (word, other)
            if abs(word.turn) > 1 and figure.match(word.text):
                assert word.size >= 10.99, word
    for wall in walls.values():
        for heading, values in wall.rows:
            if heading not in {"courses", "run", "top of footing", "dig level"}:
                assert all(word.size >= 10.99 for word in values), heading


def test_names_and_titles_stand_off_the_drawing(job):
    _, _, pages = job
    for page in pages:
        for word in page.words:
            if TITLE.fullmatch(word.text):
                assert not any(
                    word.box.meets(part) for line in page.lines for part in pairwise(line)
                ), word


def _scale(text: str) -> float:
    """Ground over paper, as it is said."""
    if match := re.match(r"1:(\d+),", text):
        return float(match[1])
    if match := re.match(r"(\d+)/(\d+)\" = 1'-0\"", text):
        return 12 * int(match[2]) / int(match[1])
    match = re.match(r"1\" = (\d+)'", text)
    assert match is not None, text
    return 12 * float(match[1])


def test_walls_are_as_long_and_as_high_as_their_scale_says(job, walls):
    _, layout, pages = job
    unit = Unit(layout.options.unit).metres
    heights = {wall.profile.wall: wall.profile for wall in layout.grade.walls}
    lengths = {wall["name"]: wall["length"] * unit for wall in _lengths(layout)}
    checked = 0
    for page in pages:
        for name, profile in heights.items():
            said = _said_under(page, name)
            if said is None:
                continue
            ratio = _scale(said.text)
            stretched = re.search(r"stretched (\d+) times", said.text)
            stretch = int(stretched[1]) if stretched else 1
            wide = lengths[name] * 1000 / ratio
            low = min(level.top for level in profile.levels)
            high = (profile.bounds.top - low) * 1000 / ratio * stretch
            sizes = [_size(line) for line in page.lines if _near(line, said, page)]
            assert any(
                abs(width - wide) < 0.5 and abs(height - high) < 0.5 for width, height in sizes
            ), (name, said.text)
            checked += 1
    assert checked == len(heights)


def _lengths(layout):
    from staking.output.documents.layout_document import layout_document

    document = layout_document(layout)
    return [*document["walls"], *document["interior"]]


def _said_under(page: Page, name: str):
    """The line with the scale, right under a wall's title."""
    for word in page.words:
        match = TITLE.fullmatch(word.text)
        if match and match[1] == name:
            under = [
                each for each in page.words if abs(each.x - word.x) < 1 and each.y < word.y - 1
            ]
            return max(under, key=lambda each: each.y)
    return None


def _near(line, said, page: Page) -> bool:
    """Whether a line begins lower than a title and right of where it begins."""
    return all(x > said.x - 1 and y < said.y for x, y in line) and len(line) > 4


def _size(line) -> tuple[float, float]:
    """Width and height of what a line bounds, mm."""
    xs, ys = zip(*line, strict=True)
    return (max(xs) - min(xs)) / MM, (max(ys) - min(ys)) / MM
