"""How every command ends: status, standard output and standard error apart."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from staking.cli import main
from staking.output.cautions import CAUTIONS_IN_SHORT
from staking.output.endings.six_lines import Ending, ending_lines
from tests.commands.printed import last_lines, widest
from tests.output.pdf_reading import read_pages

ROOT = Path(__file__).parents[2]
NOTHING = "Every limit set in the job is kept."
CROWDED = """\
job: Crowded shed
units: ft
building:
  rectangle: 24' x 16'
  wall: 8"
  footing: {width: 20", thickness: 10"}
site:
  survey: lot.csv
  units: ft
  place: {corner: A, wall: A-B, north: 20, east: 5, bearing: N 90 E}
  boundary: [1, 2, 3, 4]
  setbacks: {other: 10'}
"""
LOT = "point,northing,easting\n1,0,0\n2,0,100\n3,100,100\n4,100,0\n"


@pytest.fixture
def demos(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    shutil.copytree(ROOT / "fixtures", tmp_path / "demos")
    monkeypatch.chdir(tmp_path / "demos")
    return tmp_path / "demos"


@pytest.fixture
def crowded(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    (tmp_path / "shed.yaml").write_text(CROWDED, encoding="utf-8")
    (tmp_path / "lot.csv").write_text(LOT, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    return tmp_path / "shed.yaml"


def run(line: str) -> Result:
    return CliRunner().invoke(main, line.split(), catch_exceptions=False)


@pytest.mark.usefixtures("demos")
@pytest.mark.parametrize("job", ["orchard-workshop", "boat-shed", "hillside-lot"])
@pytest.mark.parametrize("command", ["layout", "plan", "order"])
def test_a_sound_job_ends_with_six_lines_at_most(command: str, job: str) -> None:
    done = run(f"{command} {job}/job.yaml")
    assert done.exit_code == 0
    said = last_lines(done.stdout)
    assert len(said) <= 6
    assert said[0] == NOTHING
    assert said[1].startswith("First: ")
    assert CAUTIONS_IN_SHORT in said
    assert widest(done.stdout) <= 80
    assert widest(done.stderr) <= 80


@pytest.fixture(scope="module")
def hillside(tmp_path_factory: pytest.TempPathFactory) -> tuple[Result, Path]:
    """What the layout of the hillside said, and the folder of its files."""
    folder = tmp_path_factory.mktemp("hillside")
    shutil.copytree(ROOT / "fixtures" / "hillside-lot", folder / "hillside-lot")
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(folder)
        return run("layout hillside-lot/job.yaml"), folder / "hillside-lot" / "job-layout"


def test_the_layout_of_the_hillside_ends_with_the_tapes_the_dig_and_the_files(
    hillside: tuple[Result, Path],
) -> None:
    done, _ = hillside
    assert last_lines(done.stdout) == [
        NOTHING,
        "First: Drive stake A where the tapes read 84' 6 7/8\" from 2 and 42' 3 5/8\" from",
        "  11.",
        "Deepest dig level 93' 10\": add 7' 1 1/2\" to the reading on the benchmark.",
        CAUTIONS_IN_SHORT,
        "Files: print sheet.pdf, carry page.html, 11 in all in hillside-lot/job-layout",
    ]
    assert len(done.stdout.splitlines()) + len(done.stderr.splitlines()) <= 170
    assert "Call the utility locating service" not in done.stdout


@pytest.mark.usefixtures("demos")
def test_the_levels_end_with_the_benchmark_and_the_deepest_dig() -> None:
    said = last_lines(run("grade hillside-lot/job.yaml").stdout)
    assert said == [
        NOTHING,
        "First: Read the rod on the benchmark BM1 and write it down; every level is added",
        "  to it.",
        "Deepest dig level 93' 10\": add 7' 1 1/2\" to the reading on the benchmark.",
        CAUTIONS_IN_SHORT,
        "Files: grade.dxf, grade.csv, grade.json in hillside-lot/job-layout",
    ]


@pytest.mark.usefixtures("demos")
def test_a_stake_out_ends_with_the_tapes_to_its_first_stake() -> None:
    said = last_lines(run("stakeout hillside-lot/job.yaml").stdout)
    assert said[0] == NOTHING
    assert said[1] == (
        "First: Drive stake A where the tapes read 84' 6 7/8\" from 2 and 42' 3 5/8\" from"
    )
    assert said[-2] == "Two tapes from known points reach 78 of 78 stakes and marks."


@pytest.mark.usefixtures("demos")
def test_a_check_ends_with_the_stake_that_moves_farthest() -> None:
    done = run("check orchard-workshop/job.yaml --stakes orchard-workshop/stakes.csv")
    assert done.exit_code == 5
    assert last_lines(done.stdout) == [
        "Not square: more than allowed at C-D, A-C, C-E, the corner B, the corner C.",
        'First: Move C 1" toward D and 1/16" away from B. Then move the others, which',
        "  stand above.",
        'Farthest off is C-D: 1" long, where 3/8" passes.',
    ]


@pytest.mark.usefixtures("demos")
def test_a_record_out_of_tolerance_ends_with_its_worst_figure() -> None:
    done = run("record orchard-workshop/job.yaml orchard-workshop/poured.csv")
    assert done.exit_code == 5
    assert last_lines(done.stdout) == [
        "Out of tolerance: A-B, E-F, F-A.",
        "First: Settle what is out with the inspector or the engineer before anything is",
        "  built on it.",
        'Worst: E-F at 22\' 0": the top falls 5/8" on one level run (allowed 1/4").',
        "Files: keep record.pdf, 5 in all in orchard-workshop/job-record",
    ]


@pytest.mark.usefixtures("demos")
def test_a_tape_book_in_a_file_ends_with_how_it_is_read_back() -> None:
    done = run("tape-book boat-shed/job.yaml --out tapes.csv")
    assert done.exit_code == 0
    assert done.stderr == ""
    assert "Then run: staking check boat-shed/job.yaml --tapes tapes.csv" in done.stdout
    assert len(done.stdout.splitlines()) == 4
    # On standard output the book is the product, and nothing stands after it.
    assert "First: " not in run("tape-book boat-shed/job.yaml").stdout


def test_what_is_broken_stands_last_on_the_terminal_and_first_on_paper(crowded: Path) -> None:
    done = run(f"layout {crowded.name}")
    assert done.exit_code == 5
    said = last_lines(done.stdout)
    assert len(said) <= 6
    assert said[0].startswith("BROKEN")
    assert "First: settle this before anything is staked or dug." in said
    # The heaviest notices stand nearest to the prompt.
    titles = [line for line in done.stderr.splitlines() if line in {"Noted", "Broken"}]
    assert titles == ["Noted", "Broken"]
    broken = " ".join(done.stderr.partition("\nBroken\n")[2].split()).removeprefix("- ")
    paper = read_pages((crowded.parent / "shed-layout" / "sheet.pdf").read_bytes())[0]
    words = " ".join(" ".join(row) for row in paper.rows)
    first = re.split(r" - (?=The )", broken)[0]
    assert first in " ".join(words.split())
    assert first[:40] in " ".join(said)


def test_no_notice_is_printed_twice(crowded: Path) -> None:
    done = run(f"layout {crowded.name}")
    said = [" ".join(each.split()) for each in re.split(r"^- ", done.stderr, flags=re.M)[1:]]
    assert len(said) == len(set(said))


@pytest.mark.parametrize("flag", ["-q", "--json"])
def test_quiet_and_json_have_no_last_lines(crowded: Path, flag: str) -> None:
    done = run(f"layout {crowded.name} {flag}")
    assert done.exit_code == 5
    assert "First: " not in done.stdout
    assert CAUTIONS_IN_SHORT not in done.stdout


def test_start_here_and_the_last_lines_say_the_same(hillside: tuple[Result, Path]) -> None:
    done, folder = hillside
    said = " ".join(last_lines(done.stdout))
    paper = read_pages((folder / "sheet.pdf").read_bytes())[0]
    words = " ".join(" ".join(" ".join(row) for row in paper.rows).split())
    said = " ".join(said.split())
    for each in (
        "Drive stake A where the tapes read 84' 6 7/8\" from 2 and 42' 3 5/8\" from 11.",
        "eepest dig level 93' 10\": add 7' 1 1/2\" to the reading on the benchmark",
        NOTHING.removesuffix("."),
    ):
        assert each in words
        assert each in said


@pytest.mark.parametrize(
    "sentence",
    [
        "word " * 200,
        "Start at A: drive its stake (it is the first; where the ground falls, " + "x " * 99,
    ],
)
def test_a_long_sentence_is_left_off_and_the_files_are_not(sentence: str) -> None:
    files = "Files: sheet.pdf in " + "/very/long" * 20
    ending = Ending(verdict="Square.", first=sentence, figure="A.", files=files, cautions=True)
    lines = ending_lines(ending)
    assert len(lines) <= 6
    assert lines[-1].strip() == "/very/long" * 20
    assert lines[1].startswith("First: ")
    assert lines[1].endswith(" ...")
    assert "(" not in lines[1]
    assert lines[2] == "A."
