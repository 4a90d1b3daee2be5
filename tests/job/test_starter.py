"""The starter's text, its sketch, and writing it once."""

import re
from pathlib import Path

import pytest

from staking.errors import WriteError
from staking.job.build import read_job
from staking.job.starter import (
    corner_name,
    crosses,
    default_beginning,
    exact_length,
    sketch,
    starter_text,
    write_starter,
)
from staking.measure.lengths import Unit, parse_length


@pytest.mark.parametrize("unit", list(Unit))
def test_every_line_offered_in_a_comment_is_a_line_that_runs(tmp_path, unit):
    text = starter_text(default_beginning(unit))
    offered = re.compile(
        r"^( *)# ((?: *- \{.*)|(?:  A-B: .*)|walls:|pads:|(?:dig|site): .*)$", re.MULTILINE
    )
    bare = offered.sub(r"\1\2", text)
    assert bare.count("#") == text.count("#") - 6
    path = tmp_path / "job.yaml"
    path.write_text(bare, encoding="utf-8")
    job = read_job(path)
    assert [pad.name for pad in job.plan.pads] == ["P1"]
    assert job.options.dig.overdig > 0
    assert job.site is not None
    assert job.options.unit == unit.value


def test_a_rectangle_is_sketched_with_its_corner_names():
    corners = [(0.0, 0.0), (4.0, 0.0), (4.0, 2.0), (0.0, 2.0)]
    assert sketch(corners, columns=9, rows=9) == "\n".join(["D-------C", "|       |", "A-------B"])


def test_an_l_and_a_slope_are_sketched():
    corners = [(0.0, 0.0), (8.0, 0.0), (8.0, 4.0), (4.0, 4.0), (4.0, 8.0), (0.0, 8.0)]
    assert sketch(corners, columns=9, rows=9) == "\n".join([
        "F---E",
        "|   |",
        "|   D---C",
        "|       |",
        "A-------B",
    ])
    assert (
        sketch([(0.0, 0.0), (8.0, 0.0), (0.0, 8.0)], columns=9, rows=5).splitlines()[1][2] == "\\"
    )


@pytest.mark.parametrize(
    "corners", [[(0.0, 0.0), (1e6, 0.0), (0.0, 1.0)], [(0.0, 0.0), (0.1, 0.0), (0.0, 9e5)]]
)
def test_a_long_thin_outline_stays_on_the_paper(corners):
    lines = sketch(corners).splitlines()
    assert len(lines) <= 18
    assert max(map(len, lines)) <= 64


def test_corners_go_on_after_z():
    assert [corner_name(index) for index in (0, 25, 26, 27, 701, 702)] == [
        "A", "Z", "AA", "AB", "ZZ", "AAA"
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("second", "meets"),
    [
        (((5.0, -1.0), (5.0, 1.0)), True),
        (((5.0, 0.0), (5.0, 1.0)), True),
        (((2.0, 0.0), (3.0, 0.0)), True),
        (((11.0, 0.0), (12.0, 0.0)), False),
        (((5.0, 0.1), (5.0, 1.0)), False),
        (((0.0, 0.1), (10.0, 0.1)), False),
    ],
)
def test_lines_that_cross_touch_or_overlap_meet(second, meets):
    first = ((0.0, 0.0), (10.0, 0.0))
    assert crosses(first, second) is meets
    assert crosses(second, first) is meets


@pytest.mark.parametrize("unit", list(Unit))
@pytest.mark.parametrize("metres", [0.1, 7.3152, 3.33333333, 12.3456789])
def test_an_exact_length_reads_back_within_a_micrometre(unit, metres):
    assert abs(parse_length(exact_length(metres, unit), unit) - metres) < 1e-6


def test_a_starter_is_written_whole_and_only_once(tmp_path):
    path = tmp_path / "job.yaml"
    write_starter(path, "first\n")
    with pytest.raises(WriteError, match="is there already and was left as it is"):
        write_starter(path, "second\n")
    assert path.read_text() == "first\n"
    assert [found.name for found in tmp_path.iterdir()] == ["job.yaml"]
    assert path.stat().st_mode & 0o777 == 0o644


def test_a_file_that_appears_meanwhile_is_left_as_it_is(tmp_path, monkeypatch):
    path = tmp_path / "job.yaml"
    link = Path.hardlink_to

    def late(self, target):
        if not self.exists():
            self.write_text("theirs")
        link(self, target)

    monkeypatch.setattr(Path, "hardlink_to", late)
    with pytest.raises(WriteError, match="cannot be written: file exists"):
        write_starter(path, "ours\n")
    assert path.read_text() == "theirs"
    assert [found.name for found in tmp_path.iterdir()] == ["job.yaml"]


def test_a_disk_without_links_still_gets_the_file(tmp_path, monkeypatch):
    def refuse(self, target):
        raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr(Path, "hardlink_to", refuse)
    write_starter(tmp_path / "job.yaml", "ours\n")
    assert (tmp_path / "job.yaml").read_text() == "ours\n"
    assert [found.name for found in tmp_path.iterdir()] == ["job.yaml"]


def test_a_broken_link_counts_as_there(tmp_path):
    path = tmp_path / "job.yaml"
    path.symlink_to(tmp_path / "nowhere")
    with pytest.raises(WriteError, match="is there already"):
        write_starter(path, "ours\n")
