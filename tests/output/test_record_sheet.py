"""The record as a sheet: what it is at its head, corners by name, figures with their sources."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path

import pytest

from staking.output.record_paper.record_sheet import OWN, write_record_sheet
from staking.output.tables.record_tables import figures_table
from staking.points import SurveySettings
from staking.project.record import record_job
from staking.project.resolve import read_and_resolve
from tests.output.pdf_reading import read_pages

ROOT = Path(__file__).parents[2]
MM = 72 / 25.4
METRIC = """\
job: Kelter
units: mm
show: millimetres
building:
  rectangle: 11000 x 7300
  wall: 200
  footing: {width: 500, thickness: 250}
dig: {cast: forms}
paper: A4
"""
BOOK = "wall,at,outer,inner\nA-B,600,150,350\nA-B,9000,140,352\nC-D,600,150,350\n"


@pytest.fixture(scope="module", params=["orchard-workshop", "metric"])
def record(request, tmp_path_factory):
    """The demo's record; an invented one in millimetres."""
    if request.param == "metric":
        folder = tmp_path_factory.mktemp("job")
        job, book = folder / "job.yaml", folder / "poured.csv"
        job.write_text(METRIC, encoding="utf-8")
        book.write_text(BOOK, encoding="utf-8")
        return record_job(read_and_resolve(job), [book], SurveySettings())
    job = ROOT / "fixtures" / request.param / "job.yaml"
    book = job.with_name("poured.csv")
    return record_job(read_and_resolve(job), [book], SurveySettings(), top=99 * 0.3048)


@pytest.fixture(scope="module")
def pages(record):
    """Its pages."""
    stream = BytesIO()
    write_record_sheet(record, stream)
    return read_pages(stream.getvalue())


def test_it_says_at_its_head_what_it_is_and_is_not(pages):
    assert OWN == "The builder's own measurements, not a survey or certificate."
    rows = [row[-1] for row in pages[0].rows]
    assert rows.index("Record of the poured footing") < rows.index(OWN) < 4
    assert any("Measured on ____" in row for row in rows)


def test_every_corner_has_its_name_on_the_drawing(record, pages):
    drawn = [word.text for word in pages[0].words]
    for building in record.layout.plan.buildings:
        for corner in building.corners:
            assert drawn.count(corner.name) == 1, corner.name


def test_every_figure_stands_with_the_source_of_its_limit(record, pages):
    rows = [row for page in pages for row in page.rows]
    text = " ".join(" ".join(row) for row in rows)
    sources = list(dict.fromkeys(each.limit.source for each in record.poured.deviations))
    for row, each in zip(figures_table(record).rows, record.poured.deviations, strict=True):
        number = str(sources.index(each.limit.source) + 1)
        cells = [cell for cell in row[:-1] if cell]
        assert any(
            [cell.strip() for cell in found[at : at + len(cells)]] == cells
            and number in [cell.strip() for cell in found[at + len(cells) : at + len(cells) + 2]]
            for found in rows
            for at in range(len(found))
        ), row
    for source in sources:
        assert source[:40] in text


def test_no_words_lie_on_one_another_and_none_is_under_eight_points(pages):
    for page in pages:
        words = [word for word in page.words if 12 * MM < word.y < page.height - 19 * MM]
        for at, word in enumerate(words):
            assert word.size >= 7.99, word
            for other in words[at + 1 :]:
                assert not word.box.covers(other.box), (word, other)


def test_the_same_record_gives_the_same_bytes(record):
    first, second = BytesIO(), BytesIO()
    write_record_sheet(record, first)
    write_record_sheet(record, second)
    assert first.getvalue() == second.getvalue()
