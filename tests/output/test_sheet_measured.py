"""The sheets measured on paper: type, room between words and lines, scales, numbers of pages."""

from __future__ import annotations

import math
import re
import shutil
from io import BytesIO
from itertools import pairwise

import pytest

from staking.kinds import SheetKind
from staking.measure.lengths import format_length
from staking.output.documents.layout_document import layout_document
from staking.output.drawing.drawn_words import extent
from staking.output.sheet.sheet_pdf import write_sheet
from staking.output.wording import Words
from staking.project.layout import load_job
from staking.project.resolve import resolve
from staking.project.sheets import prepare_sheets
from staking.units import Unit
from tests.output.pdf_reading import read_pages
from tests.output.printed_jobs import DEMOS, ROOT, printed, ratio_of

MM = 72 / 25.4
"""Points in a millimetre."""
JOBS = (
    "shed",
    "l-house",
    "twelve-corners",
    "tee-turned",
    "row-of-sheds",
    "addition",
    "long-names",
    *DEMOS,
)
CUT = "comb"
"""A building of 62 corners, 240' long, whose plans are cut along match lines."""
HEAVY = 1.4
"""Walls in plan, boards and frames are drawn at least so wide, points."""
LENGTH = re.compile(r"(?<![\w/.-])(?<!\xb0 )(?<!\d' )(\d+' \d|\d[\d/ ]*\"|\d+\.\d+ m\b|\d+ mm\b)")
"""A length anywhere in a line; those along a scale bar are whole feet and metres."""
SCALED = re.compile(r"1'-0\"|1\" = \d+'|1:\d+|^Benchmark ")
"""What states a scale, or the benchmark's elevation."""
HALF = re.compile(r"(?<!\d)\d+'$|(?<![\d/\"'])\b\d+ \d+$|\d+/$|' \d+ \d+/\d+$")
"""How a line ends that breaks a length."""
WHOLE = re.compile(
    r"(.*scale )?(layout .* )?(1\" = )?\d+'|page \d+ of \d+|page \d+|.*revised [-\d]+"
)
"""What ends so and is whole: a scale, a figure of its bar, the number of a page."""


@pytest.fixture(scope="module", params=[*JOBS, CUT])
def job(request):
    """One job as it is printed."""
    return printed(request.param)


# How many sheets a job of each kind takes at most is the project's own promise.
@pytest.mark.parametrize(
    ("name", "most"), [("shed", 6), ("l-house", 9), ("hillside-lot", 14), ("twelve-corners", 20)]
)
def test_a_job_takes_no_more_paper_than_promised(name, most):
    assert len(printed(name).pages) <= most


def test_no_words_lie_on_one_another_or_leave_the_page(job):
    for at, page in enumerate(job.pages, start=1):
        boxes = [(word, word.box) for word in page.words]
        bounds = [extent(box.corners) for _, box in boxes]
        for i, (word, box) in enumerate(boxes):
            (left, low), (right, high) = bounds[i]
            for x, y in box.corners:
                assert 12 < x < page.width - 12, (at, word)
                assert 12 < y < page.height - 12, (at, word)
            for j in range(i + 1, len(boxes)):
                (left2, low2), (right2, high2) = bounds[j]
                if left < right2 and left2 < right and low < high2 and low2 < high:
                    assert not box.covers(boxes[j][1]), (at, word, boxes[j][0])


def test_no_words_lie_on_a_heavy_line(job):
    for page in job.pages:
        heavy = page.heavy(HEAVY)
        for word in page.words:
            struck = [line for line in heavy if word.box.meets(line)]
            assert not struck, (page.words[0].text, word, struck)


def test_no_type_is_under_8_points(job):
    for page in job.pages:
        for word in page.words:
            assert word.size >= 7.99, word


def test_no_length_that_is_taped_or_read_on_the_rod_is_under_11_points(job):
    # Elevations are read on no rod: what is added to the benchmark's reading stands under them.
    levels = {
        Words(job.layout.options).level(each.level)
        for each in (() if job.layout.grade is None else job.layout.grade.levels)
    }
    # The order is read at a desk and at the supplier's.
    ordered = job.titled("Order") if job.sheets.ordered is not None else []
    for page in job.pages:
        if page in ordered:
            continue
        for word in page.words:
            if word.size < 10.99 and not SCALED.search(word.text) and word.text not in levels:
                assert not LENGTH.search(word.text), word


def test_no_length_and_no_wall_is_broken_over_two_lines(job):
    walls = {wall["name"] for wall in layout_document(job.layout)["walls"]}
    for page in job.pages:
        for word in page.words:
            # Half a length or half a wall's name at the end of a line has its rest in the next.
            assert not HALF.search(word.text) or WHOLE.fullmatch(word.text), word
            assert not any(word.text.endswith(f"{wall.split('-')[0]}-") for wall in walls), word
    assert walls


@pytest.mark.parametrize("title", ["Dimensions", "Boards and tapes"])
def test_every_wall_is_drawn_to_the_scale_that_is_stated(job, title):
    pages = parts_of(job, title)
    ratio = scale_of(pages[0])
    assert all(scale_of(page) == ratio for page in pages)
    runs = [run for page in pages for run, _ in runs_of(page, ratio)]
    metres = Unit(job.layout.options.unit).metres
    # Half a millimetre on paper.
    missed = [
        wall["name"]
        for wall in layout_document(job.layout)["walls"]
        if min(abs(run - wall["length"] * metres) for run in runs) >= 0.0005 * ratio
    ]
    # The front and a wall across from it run through the match line between two parts.
    assert len(missed) <= (len(pages) if job.name == CUT else 0), missed


def parts_of(job, title):
    """The page of a plan, or those of its parts."""
    pages = job.titled(title)
    parts = [page for page in pages if any(", part " in word.text for word in page.words)]
    return parts or pages[:1]


def scale_of(page):
    """Ground over paper, as it is written over the drawing."""
    (scale,) = (
        word.text
        for word in page.words
        if word.text.startswith("scale ") and ";" not in word.text and word.size > 10
    )
    return ratio_of(scale)


def runs_of(page, ratio, lines=None):
    """How long each straight piece is on the ground, m, with its ends on paper."""
    pieces = lines or [piece for line in page.lines for piece in pairwise(line)]
    return [(math.dist(*piece) / MM * ratio / 1000, piece) for piece in pieces]


def match_lines(page):
    """The heavy upright lines with words beside them, by their letters: x on paper, points."""
    found = {}
    for word in page.words:
        if named := re.fullmatch(r"Match line ([A-Z]+): see part \d+", word.text):
            ends = [line for line in page.heavy(HEAVY) if abs(line[0][0] - line[1][0]) < 0.01]
            found[named[1]] = min((x for (x, _), _ in ends), key=lambda x: abs(x - word.x))
    return found


def test_a_plan_of_many_corners_is_cut_into_parts_that_name_one_another():
    for title in ("Dimensions", "Boards and tapes"):
        pages = parts_of(printed(CUT), title)
        assert len(pages) > 1
        for at, page in enumerate(pages, start=1):
            words = [word.text for word in page.words]
            assert f"{title}, part {at} of {len(pages)}" in words
            assert f"Key plan: part {at} of {len(pages)}" in words
            before, after = chr(63 + at), chr(64 + at)
            beside = {f"Match line {before}: see part {at - 1}" for _ in range(at > 1)}
            beside |= {f"Match line {after}: see part {at + 1}" for _ in range(at < len(pages))}
            assert {word for word in words if word.startswith("Match line")} == beside


def test_a_wall_that_a_match_line_cuts_comes_together_from_its_parts():
    job = printed(CUT)
    pages = parts_of(job, "Dimensions")
    ratio = scale_of(pages[0])
    whole = {wall["name"]: wall["length"] * 0.3048 for wall in layout_document(job.layout)["walls"]}
    # The front, 240' long, runs along the foot of every part: its pieces end on the match lines.
    pieces = []
    for page in pages:
        lines = match_lines(page)
        assert lines
        pieces.append(
            max(
                run
                for run, (start, end) in runs_of(page, ratio, page.heavy(HEAVY))
                if abs(start[1] - end[1]) < 0.01
                and sum(min(abs(x - start[0]), abs(x - end[0])) < 0.01 for x in lines.values())
                == len(lines)
            )
        )
    # Half a millimetre on paper for each piece.
    assert abs(sum(pieces) - whole["C1-C2"]) < 0.0005 * ratio * len(pages)


def test_a_long_plan_lies_along_the_sheet_and_takes_no_page_more():
    job = printed("row-of-sheds")
    assert len(job.pages) <= 6
    (page,) = parts_of(job, "Dimensions")
    assert page.width > page.height
    ratio = scale_of(page)
    longest, ends = max(runs_of(page, ratio, page.heavy(HEAVY)))
    assert longest == pytest.approx(90 * 0.3048, rel=0, abs=0.0005 * ratio)
    # Along the sheet, over more than two thirds of its width.
    assert abs(ends[0][1] - ends[1][1]) < 0.01
    assert abs(ends[0][0] - ends[1][0]) > page.width * 2 / 3


def test_every_dimension_of_the_walls_is_written_beside_its_line(job):
    words = [word.text for page in job.titled("Dimensions") for word in page.words]
    options = job.layout.options
    for wall in layout_document(job.layout)["walls"]:
        metres = wall["length"] * Unit(options.unit).metres
        length = format_length(metres, options.show, options.nearest)
        said = {length, f"{wall['name']}: {length}"} if job.name == CUT else {length}
        assert said & set(words), wall["name"]


@pytest.mark.parametrize("name", JOBS)
def test_every_corner_inside_corner_line_and_pad_has_its_card(name):
    job = printed(name)
    plan = job.layout.plan
    corners = [card.name for card in job.cards if card.is_corner]
    assert corners == [c.name for building in plan.buildings for c in building.corners]
    lines = [card.name for card in job.cards if card.kind == "Interior line"]
    assert lines == [line.name for line in plan.interior]
    text = " ".join(card.text for card in job.cards if card.kind in {"Pad", "Pads"})
    assert all(pad.name in text for pad in plan.pads)
    boards = {name for card in job.cards for name in card.boards()}
    assert boards == {board.name for board in job.layout.boards}


def test_no_page_is_taken_for_little():
    job = printed("twelve-corners")
    assert len(job.titled("Dimensions")) == 1
    # The names that the plans show as numbers are then on the first page, all of them.
    named = [*job.layout.plan.corner_points, *(line.name for line in job.layout.plan.interior)]
    named += [pad.name for pad in job.layout.plan.pads]
    said = " ".join(word.text for word in job.pages[0].words)
    assert all(re.search(rf"#\d+ is {name}[,.]", said) for name in named)
    last = job.titled("Order of work")[-1]
    assert len(last.rows) > 10


DRAIN = "  drain: {outlet: {at: [50', -15'], level: 94'}}\n"


@pytest.mark.parametrize("drain", ["", DRAIN])
def test_on_the_dig_no_leader_runs_over_a_figure_and_a_drain_has_its_low_point(drain, tmp_path):
    folder = tmp_path / "job"
    shutil.copytree(ROOT / "fixtures" / "hillside-lot", folder)
    path = folder / "job.yaml"
    path.write_text(path.read_text(encoding="utf-8") + drain, encoding="utf-8")
    sheets = prepare_sheets(resolve(load_job(path)))
    stream = BytesIO()
    write_sheet(sheets, stream, only=(SheetKind.DIG,))
    (page,) = read_pages(stream.getvalue())
    assert ("drain low" in [word.text for word in page.words]) == bool(drain)
    # Leaders are drawn 0.18 mm wide; a figure's own ends beside it.
    leaders = [
        line
        for line, width in zip(page.lines, page.widths, strict=True)
        if len(line) == 2 and width == pytest.approx(0.18 * MM, rel=0, abs=0.01)
    ]
    steps = min(word.y for word in page.words if word.text.startswith("Spoil"))
    figures = [word for word in page.words if word.size > 10.9 and word.y < steps - 40]
    assert len(leaders) > 20
    assert len(figures) > 20
    for word in figures:
        struck = [line for line in leaders if word.box.meets((line[0], line[1]))]
        assert not struck, word
