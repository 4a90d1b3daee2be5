"""`staking init`: a starter that runs, an interview that checks, and nothing overwritten."""

import pytest
from click.testing import CliRunner

from staking.cli import main
from staking.job.build import read_job

FOOT = 0.3048


@pytest.fixture
def run(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)

    def invoke(*arguments, answers=None):
        return CliRunner().invoke(main, ["init", *arguments], input=answers)

    return invoke


def outline(path):
    return [
        (corner.name, round(corner.x / FOOT, 6), round(corner.y / FOOT, 6))
        for corner in read_job(path).plan.buildings[0].corners
    ]


def test_the_starter_is_a_job_that_runs(run, tmp_path):
    result = run()
    assert (result.exit_code, result.stderr) == (0, "")
    assert result.stdout == (
        "job.yaml is written. Put your figures in, then run: staking layout job.yaml\n"
    )
    assert outline(tmp_path / "job.yaml") == [
        ("A", 0, 0),
        ("B", 36, 0),
        ("C", 36, 24),
        ("D", 0, 24),
    ]
    assert [found.name for found in tmp_path.iterdir()] == ["job.yaml"]


def test_a_file_that_is_there_is_left_as_it_is(run, tmp_path):
    (tmp_path / "job.yaml").write_text("mine")
    for arguments in ([], ["--ask"]):
        result = run(*arguments)
        assert (result.exit_code, result.stdout) == (4, "")
        assert result.stderr == (
            "job.yaml is there already and was left as it is; "
            "name another file, such as job-2.yaml\n"
        )
    assert (tmp_path / "job.yaml").read_text() == "mine"


def test_a_folder_and_a_missing_folder_are_refused(run, tmp_path):
    missing = run("barn/job.yaml")
    assert (missing.exit_code, missing.stdout) == (4, "")
    assert missing.stderr == (
        "barn/job.yaml cannot be written: there is no folder barn; make it first\n"
    )
    (tmp_path / "barn").mkdir()
    folder = run("barn")
    assert (folder.exit_code, folder.stdout) == (4, "")
    assert folder.stderr == "barn is a folder; name a file in it, such as barn/job.yaml\n"
    assert list((tmp_path / "barn").iterdir()) == []


def test_a_rectangle_is_asked_for_checked_sketched_and_written(run, tmp_path):
    answers = ["", "square", "", "36' 13\"", "36'", "0", "24ft", '8"', '6"', '20"', "", ""]
    result = run("--ask", answers="\n".join(answers))
    assert result.exit_code == 0
    assert "  square is none of these; write rectangle, L or sides\n" in result.stderr
    assert "  36' 13\" has 13 inches; write 37' 1\"\n" in result.stderr
    assert "  0 is not above zero; write how long it is\n" in result.stderr
    assert '  6" is less than the wall; write 8" or more\n' in result.stderr
    lines = result.stdout.splitlines()
    assert (lines[1][0], lines[1].rstrip()[-1]) == ("D", "C")
    assert (lines[-3][0], lines[-3].rstrip()[-1]) == ("A", "B")
    assert outline(tmp_path / "job.yaml") == [
        ("A", 0, 0),
        ("B", 36, 0),
        ("C", 36, 24),
        ("D", 0, 24),
    ]
    wall = read_job(tmp_path / "job.yaml").plan.buildings[0].walls[0]
    assert wall.thickness == pytest.approx(0.2032, rel=0, abs=1e-9)
    assert wall.footing.width == pytest.approx(0.508, rel=0, abs=1e-9)
    assert wall.footing.thickness == pytest.approx(0.254, rel=0, abs=1e-9)


def test_an_l_is_asked_for_by_what_is_cut_out(run, tmp_path):
    result = run("--ask", "l.yaml", answers="ft\nl\n36\n32\n12\n40\n8\n\n\n\n")
    assert result.exit_code == 0
    assert "  40 leaves nothing of the width; write less than 32' 0\"\n" in result.stderr
    assert outline(tmp_path / "l.yaml") == [
        ("A", 0, 0), ("B", 36, 0), ("C", 36, 24), ("D", 24, 24), ("E", 24, 32), ("F", 0, 32)
    ]  # fmt: skip


def test_an_l_of_odd_lengths_still_closes(run, tmp_path):
    result = run("--ask", answers="ft\nL\n36.337\n32.111\n12.013\n8.0071\n\n\n\n")
    assert result.exit_code == 0
    assert len(outline(tmp_path / "job.yaml")) == 6


def test_sides_are_asked_for_until_they_are_back_at_the_first_corner(run, tmp_path):
    answers = [
        "ft", "sides", "back", "east 36'", "36", "west 12", "up 12'", "north 30", "back",
        "north 24", "N 90 W 36'", "south 24", "", "", "",
    ]  # fmt: skip
    result = run("--ask", answers="\n".join([*answers, ""]))
    assert result.exit_code == 0, result.stderr
    assert '  now 36\' 0" east and 0" north of A\n' in result.stderr
    assert "  36 is not a side; write a direction and a length" in result.stderr
    assert "  west 12 runs back over another side; turn it another way\n" in result.stderr
    assert "  up 12' is not a side; write a direction and a length" in result.stderr
    assert outline(tmp_path / "job.yaml") == [
        ("A", 0, 0),
        ("B", 36, 0),
        ("C", 36, 24),
        ("D", 0, 24),
    ]


def test_a_side_that_meets_another_is_refused_at_once(run, tmp_path):
    answers = ["m", "sides", "east 10", "north 5", "west 5", "south 7", "south 5", "south 2",
               "west 5", "south 3", "", "", ""]  # fmt: skip
    result = run("--ask", answers="\n".join([*answers, ""]))
    assert result.exit_code == 0, result.stderr
    assert "  south 7 meets side A-B; end it before that, or type back\n" in result.stderr
    assert "  south 5 meets side A-B; end it before that, or type back\n" in result.stderr
    assert "  now 5.000 m east and 3.000 m north of A\n" in result.stderr
    assert len(outline(tmp_path / "job.yaml")) == 6


@pytest.mark.parametrize("side", ["90 36'", "90 00 36'", "N 90 00 00 E 36'", "due east 36' 0"])
def test_every_way_of_a_direction_reads_back_from_the_file(run, tmp_path, side):
    result = run("--ask", answers=f"ft\nsides\n{side}\nnorth 24\nwest 36\nsouth 24\n\n\n\n")
    assert result.exit_code == 0, result.stderr
    assert outline(tmp_path / "job.yaml")[1] == ("B", 36, 0)


@pytest.mark.parametrize(
    ("unit", "long", "wide"),
    [
        ("m", "11.2", "7.4"),
        ("mm", "11 200", "7 400"),
        ("in", "441", "291 1/2"),
        ("us-ft", "36", "24"),
    ],
)
def test_every_unit_gives_a_job_that_runs(run, tmp_path, unit, long, wide):
    result = run("--ask", answers=f"{unit}\n\n{long}\n{wide}\n\n\n\n")
    assert result.exit_code == 0, result.stderr
    assert read_job(tmp_path / "job.yaml").options.unit == unit


@pytest.mark.parametrize("answers", ["", "ft\n", "ft\nrectangle\n36'\n24'\n8\"\n"])
def test_an_interview_broken_off_writes_nothing(run, tmp_path, answers):
    result = run("--ask", answers=answers)
    assert (result.exit_code, result.stdout) == (3, "")
    assert result.stderr.endswith("\nthe answers end here; nothing is written\n")
    assert list(tmp_path.iterdir()) == []
