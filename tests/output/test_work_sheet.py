"""The order of work on its sheet: every step, the first tapes as pictures, on one page."""

from __future__ import annotations

import re
from io import BytesIO
from pathlib import Path

import pytest

from staking.kinds import SheetKind, WorkKind, WorkPart
from staking.output.documents.work_document import work_document
from staking.output.sheet.sheet_pdf import write_sheet
from staking.output.tables.work_on_paper import ELSEWHERE, paper_steps
from staking.output.tables.work_tables import act_text
from staking.output.wording import Words
from staking.project.layout import load_job
from staking.project.resolve import resolve
from staking.project.sheets import prepare_sheets
from tests.output.pdf_reading import read_pages

ROOT = Path(__file__).resolve().parents[2]
MM = 72 / 25.4

HEAD = 'building:\n  rectangle: 24\' x 16\'\n  wall: 8"\n  footing: {width: 16", thickness: 8"}\n'
DEED = (
    "job: Corner lot\n" + HEAD + "site:\n  boundary:\n"
    "    deed: [N 88 30 15 E 120.00', S 1 20 E 95.50', S 88 45 W 121.10', N 0 41 W 95.00']\n"
    "  place: {wall: A-B, along: [4, 3], from_first: 30', offset: left 30'}\n"
)
JOBS = {"hillside": None, "shed": "job: Shed\n" + HEAD, "lot from its deed alone": DEED}
"""The demo; invented jobs."""


@pytest.fixture(scope="module", params=JOBS)
def job(request, tmp_path_factory):
    """A job: what its sheets show, and the pages of its order of work."""
    path = ROOT / "fixtures" / "hillside-lot" / "job.yaml"
    if JOBS[request.param] is not None:
        path = tmp_path_factory.mktemp("job") / "job.yaml"
        path.write_text(JOBS[request.param], encoding="utf-8")
    sheets = prepare_sheets(resolve(load_job(path)))
    stream = BytesIO()
    write_sheet(sheets, stream, only=(SheetKind.WORK,))
    return sheets, read_pages(stream.getvalue())


def test_it_takes_one_page(job):
    _, pages = job
    assert len(pages) == 1


def test_it_begins_days_before_and_goes_on_part_by_part(job):
    sheets, pages = job
    parts = [row[0] for page in pages for row in page.rows if row[0] in set(WorkPart)]
    assert parts[0] == "Days before"
    assert parts == [part for part in WorkPart if part in {e.part for e in sheets.work.steps}]


def test_every_step_is_there_by_its_number_or_in_the_row_of_its_kind(job):
    sheets, pages = job
    numbers = set()
    for cell in (row[0] for page in pages for row in page.rows):
        if match := re.fullmatch(r"(\d+)(?:-(\d+))?", cell.strip()):
            numbers |= set(range(int(match[1]), int(match[2] or match[1]) + 1))
    assert numbers == set(range(1, len(sheets.work.steps) + 1))


def test_what_is_drawn_together_is_what_other_sheets_hold(job):
    sheets, _ = job
    words = Words(sheets.layout.options)
    short = paper_steps(sheets.layout, sheets.work, short=True)
    whole = paper_steps(sheets.layout, sheets.work, short=False)
    kept = {each.text for each in whole} & {each.text for each in short}
    brief = {act_text(each.brief, words) for each in sheets.work.steps if each.brief is not None}
    assert {each.text for each in short} - kept <= set(ELSEWHERE.values()) | brief
    assert all(each.text in kept for each in whole if each.part in {"Days before", "Paint"})
    assert all(each.text in kept for each in whole if "across the trench" in each.text)


def test_a_stake_in_fewer_words_has_the_tapes_of_the_whole_sentence(job):
    sheets, _ = job
    words = Words(sheets.layout.options)
    said = [each for each in sheets.work.steps if each.kind is WorkKind.STAKE]
    assert all(each.brief is not None for each in said)
    for each in said:
        whole, brief = act_text(each.says, words), act_text(each.brief, words)
        assert len(brief) <= len(whole)
        for _, _, distance in each.tapes:
            assert words.length(distance) in whole
            assert words.length(distance) in brief


def test_the_tapes_of_the_pictures_are_those_of_the_steps_in_large_type(job):
    sheets, pages = job
    words = Words(sheets.layout.options)
    document = work_document(sheets.layout, sheets.work)
    steps = {step["number"]: step["text"] for step in document["steps"]}
    drawn = [w for page in pages for w in page.words if w.y > page.height - 65 * MM]
    captions = [w for w in drawn if w.text.startswith("step")]
    assert captions
    said = " ".join(steps[int(number)] for w in captions for number in re.findall(r"\d+", w.text))
    figure = re.compile(r"\d+' \d+( \d+/\d+)?\"")
    figures = [w for w in drawn if figure.fullmatch(w.text)]
    assert len(figures) >= len(captions)
    for word in figures:
        assert word.text in said, word
        assert word.size >= 10.99, word
    assert words.length(sheets.work.base.length) in steps[8]


def test_no_word_of_the_sheet_lies_on_another_and_none_is_under_eight_points(job):
    _, pages = job
    for page in pages:
        words = [word for word in page.words if 12 * MM < word.y < page.height - 19 * MM]
        for at, word in enumerate(words):
            assert word.size >= 7.99, word
            for other in words[at + 1 :]:
                assert not word.box.covers(other.box), (word, other)
