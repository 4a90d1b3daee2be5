"""The record's drawing: read back, on its layers, measured where it was measured."""

from __future__ import annotations

import io
import math
from pathlib import Path

import pytest

from staking.checked.poured_record import Record
from staking.output.drawing.record_drawing import MEASURED, OUT, WITHIN, write_record_dxf
from staking.output.tables.record_tables import deviation_text, limits_table, overview
from staking.points import SurveySettings
from staking.project.record import record_job
from staking.project.resolve import read_and_resolve

ROOT = Path(__file__).parents[2]
BARN = """\
job: Pear barn
units: ft
building:
  rectangle: 36' x 24'
  wall: 8"
  footing: {width: 20", thickness: 10"}
dig: {cast: forms}
"""
BOOK = """\
wall,at,outer,inner,top
A-B,2ft,6in,14in,99ft
A-B,30ft,5.5in,14.25in,99.02ft
"""


@pytest.fixture
def record(tmp_path: Path) -> Record:
    job, book = tmp_path / "barn.yaml", tmp_path / "poured.csv"
    job.write_text(BARN, encoding="utf-8")
    book.write_text(BOOK, encoding="utf-8")
    return record_job(read_and_resolve(job), [book], SurveySettings(), top=99 * 0.3048)


def test_the_drawing_reads_back_without_a_fault(record: Record) -> None:
    import ezdxf

    stream = io.StringIO()
    write_record_dxf(record, stream)
    document = ezdxf.read(io.StringIO(stream.getvalue()))
    assert not document.audit().errors
    space = document.modelspace()
    lines = [list(each.vertices()) for each in space.query(f'LWPOLYLINE[layer=="{MEASURED}"]')]
    assert len(lines) == 2
    outer = min(lines, key=lambda line: line[0][1])
    assert outer[0] == pytest.approx((2.0, -0.5), rel=0, abs=1e-9)
    assert outer[1] == pytest.approx((30.0, -5.5 / 12), rel=0, abs=1e-9)
    footing = space.query('LWPOLYLINE[layer=="S-FNDN-FTNG"]')
    assert len(footing) == 2


def test_what_is_out_stands_on_its_own_layer(record: Record) -> None:
    import ezdxf

    stream = io.StringIO()
    write_record_dxf(record, stream)
    space = ezdxf.read(io.StringIO(stream.getvalue())).modelspace()
    assert [each.dxf.text for each in space.query(f'TEXT[layer=="{OUT}"]')] == ['-1/2"']
    within = {each.dxf.text for each in space.query(f'TEXT[layer=="{WITHIN}"]')}
    assert within == {'0"', '+1/4"', 'T 0"', 'T +1/4"'}


def test_a_placed_footing_is_drawn_on_the_surveys_grid(tmp_path: Path) -> None:
    import shutil

    import ezdxf

    shutil.copytree(ROOT / "fixtures" / "hillside-lot", tmp_path / "lot")
    book = tmp_path / "poured.csv"
    book.write_text("wall,at,outer\nA-B,2ft,6in\nA-B,30ft,6in\n", encoding="utf-8")
    record = record_job(read_and_resolve(tmp_path / "lot" / "job.yaml"), [book], SurveySettings())
    stream = io.StringIO()
    write_record_dxf(record, stream)
    space = ezdxf.read(io.StringIO(stream.getvalue())).modelspace()
    (line,) = space.query(f'LWPOLYLINE[layer=="{MEASURED}"]')
    start = next(iter(line.vertices()))
    # 2 ft from A toward B and 6 in outside: A is at 590152.3, 1640308.8, A-B runs S 75 30 E
    bearing = math.radians(104.5)
    foot = 0.3048 * 3937 / 1200
    east = 1640308.8 + foot * (2 * math.sin(bearing) + 0.5 * math.sin(bearing + math.pi / 2))
    north = 590152.3 + foot * (2 * math.cos(bearing) + 0.5 * math.cos(bearing + math.pi / 2))
    assert start == pytest.approx((east, north), rel=0, abs=1e-4)


def test_a_deviation_is_said_in_the_words_of_the_site(record: Record) -> None:
    options = record.layout.options
    said = [deviation_text(each, options) for each in record.poured.deviations if not each.good]
    assert said == ['A-B at 30\' 0": the outer edge lies 1/2" short (allowed 3/8")']


def test_the_overview_marks_what_is_out(record: Record) -> None:
    (row,) = overview(record).rows
    assert row == ("A-B", '-1/2" !', '-1/4"', '+1/4"', '-1/4"', "", "outer edge at 30' 0\"", "out")


def test_every_limit_used_names_who_says_so(record: Record) -> None:
    assert {row[0] for row in limits_table(record).rows} == {"edge", "width", "top", "level"}
    assert all(row[3] for row in limits_table(record).rows)
