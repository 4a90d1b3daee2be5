"""The conductor: what is worked out, from what, in which order."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from staking.errors import InputError
from staking.job.build import Job
from staking.layout.layout_parts import Check
from staking.notices import Severity, notice
from staking.output.documents.grade_document import grade_document
from staking.output.documents.layout_document import layout_document
from staking.plan import Dig
from staking.project.layout import lay_out_job, load_job, pair_table
from staking.project.resolve import resolve

SHED = """\
job: Plum shed
units: ft
building:
  rectangle: 24' x 16'
  wall: 8"
  footing: {width: 20", thickness: 10"}
"""


@pytest.fixture
def shed(tmp_path: Path) -> Job:
    path = tmp_path / "shed.yaml"
    path.write_text(SHED, encoding="utf-8")
    return load_job(path)


def test_a_job_that_is_not_there_is_bad_input(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"no\.yaml"):
        load_job(tmp_path / "no.yaml")


def test_a_rectangle_gets_its_outline_strings_boards_hubs_and_checks(shed: Job) -> None:
    layout = lay_out_job(shed)
    # The footing's edges stand 6" out and 14" in: 25 by 17 ft less 21' 8" by 13' 8".
    assert layout.footing.area / 0.3048**2 == pytest.approx(
        25 * 17 - (21 + 8 / 12) * (13 + 8 / 12), abs=1e-9
    )
    assert [string.name for string in layout.strings] == ["A-B", "A-D", "B-C", "C-D"]
    assert [board.name for board in layout.boards] == [str(n) for n in range(1, 9)]
    assert len(layout.hubs) == 8
    assert [each.corner for each in layout.accuracy] == ["A", "B", "C", "D"]
    diagonals = [each for each in layout.checks if each.kind == "diagonal"]
    assert [(each.from_name, each.to_name) for each in diagonals] == [("A", "C"), ("B", "D")]
    # The hypotenuse of 24 and 16 is the root of 832.
    assert [each.distance / 0.3048 for each in diagonals] == pytest.approx([832**0.5] * 2, abs=1e-9)


def test_a_trench_cut_to_size_has_one_outline(shed: Job) -> None:
    layout = lay_out_job(shed)
    assert layout.dig is layout.footing
    assert not layout.digs_wider


def test_a_bucket_narrower_than_the_footing_changes_nothing(shed: Job) -> None:
    narrow = replace(shed, options=replace(shed.options, dig=Dig(bucket=12 * 0.0254)))
    assert not lay_out_job(narrow).digs_wider


def test_overdig_makes_a_second_outline(shed: Job) -> None:
    wide = replace(shed, options=replace(shed.options, dig=Dig(overdig=6 * 0.0254)))
    layout = lay_out_job(wide)
    assert layout.digs_wider
    # 6" more each side of the same walls.
    assert layout.dig.area / 0.3048**2 == pytest.approx(
        26 * 18 - (20 + 8 / 12) * (12 + 8 / 12), abs=1e-9
    )


def test_what_the_job_file_noticed_comes_first_and_nothing_is_told_twice(shed: Job) -> None:
    first = notice("later", "told by the job")
    layout = lay_out_job(replace(shed, notices=(first, first)))
    assert layout.notices[0] is first
    assert layout.notices.count(first) == 1
    assert not layout.broken


def test_a_broken_notice_makes_a_broken_layout(shed: Job) -> None:
    told = notice("over", "told", severity=Severity.BROKEN)
    assert lay_out_job(replace(shed, notices=(told,))).broken


def test_the_pair_table_holds_every_pair_of_corners(shed: Job) -> None:
    table: tuple[Check, ...] = pair_table(lay_out_job(shed))
    assert {frozenset((each.from_name, each.to_name)) for each in table} == {
        frozenset(pair) for pair in ("AB", "AC", "AD", "BC", "BD", "CD")
    }


ROOT = Path(__file__).resolve().parents[1]


@pytest.fixture
def lot(tmp_path: Path) -> Path:
    """The hillside lot in a folder of its own: a survey, levels, steps and an order."""
    return Path(shutil.copytree(ROOT / "fixtures" / "hillside-lot", tmp_path / "lot")) / "job.yaml"


def changed(path: Path, old: str, new: str) -> Job:
    text = path.read_text(encoding="utf-8")
    assert text.count(old) == 1
    path.write_text(text.replace(old, new), encoding="utf-8")
    return load_job(path)


def test_other_boards_leave_the_lot_and_the_levels_as_they_were(lot: Path) -> None:
    before = resolve(load_job(lot))
    job = changed(lot, "boards: {at: 103' 8\"}", "boards: {at: 103' 8\", stand_off: 6'}")
    after, anew = resolve(job, before=before), resolve(job)
    assert after.there is before.there
    assert layout_document(after.layout) == layout_document(anew.layout)
    assert grade_document(after.layout) == grade_document(anew.layout)
    assert layout_document(after.layout) != layout_document(before.layout)


def test_the_level_of_boards_changes_the_levels(lot: Path) -> None:
    before = resolve(load_job(lot))
    job = changed(lot, "boards: {at: 103' 8\"}", "boards: {at: 104'}")
    after, anew = resolve(job, before=before), resolve(job)
    assert after.there is not before.there
    assert grade_document(after.layout) == grade_document(anew.layout)


def test_another_order_leaves_the_layout_as_it_was(lot: Path) -> None:
    before = resolve(load_job(lot))
    after = resolve(changed(lot, "waste: 5%", "waste: 7%"), before=before)
    assert after.layout is before.layout
    assert after.job.order is not None
    assert after.job.order.waste == pytest.approx(0.07)


def test_a_survey_that_was_written_anew_is_read_anew(lot: Path) -> None:
    before = resolve(load_job(lot))
    job = load_job(lot)
    assert resolve(job, before=before).layout is before.layout
    assert job.site is not None
    (survey,) = (Path(each) for each in job.site.survey)
    survey.write_text(survey.read_text(encoding="utf-8") + "\n", encoding="utf-8")
    after = resolve(job, before=before)
    assert after.there is not before.there
    assert layout_document(after.layout) == layout_document(before.layout)
