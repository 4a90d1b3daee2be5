"""Each faulty file of tests/data/jobs/faults gives exactly the messages beside it."""

from pathlib import Path

import pytest

from staking.errors import InputError
from staking.job.build import read_job

FAULTS = Path(__file__).parent.parent / "data" / "jobs" / "faults"
FILES = sorted(FAULTS.glob("*.yaml"))


def test_there_are_at_least_sixty_faulty_files():
    assert len(FILES) >= 60


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_a_faulty_file_gives_exactly_its_messages(file, monkeypatch):
    monkeypatch.chdir(FAULTS)
    expected = file.with_suffix(".txt").read_text(encoding="utf-8").rstrip("\n")
    with pytest.raises(InputError, match=r".") as caught:
        read_job(Path(file.name))
    assert str(caught.value) == expected
    assert caught.value.exit_status == 3


def test_five_faults_give_five_messages_with_lines(monkeypatch):
    monkeypatch.chdir(FAULTS)
    with pytest.raises(InputError, match="five-faults") as caught:
        read_job(Path("five-faults.yaml"))
    assert [problem.line for problem in caught.value.problems] == [11, 14, 16, 18, 19]


def test_a_missing_file_is_bad_input(tmp_path):
    with pytest.raises(InputError, match="there is no such file; `staking init` writes"):
        read_job(tmp_path / "job.yaml")


def test_a_folder_is_bad_input(tmp_path):
    with pytest.raises(InputError, match="this is a folder; name the job file in it"):
        read_job(tmp_path)


def test_nesting_of_thousands_is_refused_without_a_crash(tmp_path):
    file = tmp_path / "job.yaml"
    file.write_text("a: " + "[" * 5000, encoding="utf-8")
    with pytest.raises(InputError, match="nested deeper than 20 levels"):
        read_job(file)


def test_faults_name_the_file_as_the_user_did(tmp_path, monkeypatch):
    (tmp_path / "jobs").mkdir()
    (tmp_path / "jobs" / "barn.yaml").write_text("job: Barn\n", encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    with pytest.raises(InputError, match=r"^jobs/barn\.yaml, line 1: there is no building"):
        read_job(Path("jobs/barn.yaml"))
