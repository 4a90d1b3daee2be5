"""The tool as a process of its own: all it says arrives, and its status is its own."""

from __future__ import annotations

import json
import os
import shutil
import signal
import subprocess
import sys
import textwrap
from pathlib import Path

import pytest

SOURCE = Path(__file__).parents[2]
FIXTURES = SOURCE / "fixtures"
TIMEOUT = 600
"""Longer than any of this takes, s: a busy machine is slow."""


def staking(*arguments, cwd, **more):
    environment = {**os.environ, **more.pop("env", {})}
    command = [sys.executable, "-m", "staking", *map(str, arguments)]
    streams = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE} | more
    return subprocess.run(
        command, text=True, check=False, cwd=cwd, env=environment, timeout=TIMEOUT, **streams
    )


def shell(line, cwd):
    """Run a line of bash in which ``$staking`` is the command, and print the statuses."""
    return subprocess.run(
        ["bash", "-c", f'staking="{sys.executable} -m staking"; {line}'],
        capture_output=True,
        text=True,
        check=False,
        cwd=cwd,
        timeout=TIMEOUT,
    )


def test_everything_printed_arrives_before_the_process_ends(tmp_path):
    assert staking("init", "job.yaml", cwd=tmp_path).returncode == 0
    done = staking("layout", "job.yaml", "--pairs", cwd=tmp_path)
    assert done.returncode == 0
    assert "corners at the outside face" in done.stdout
    assert done.stdout.rstrip().endswith("in job-layout")
    assert (tmp_path / "job-layout" / "layout.json").read_text().rstrip().endswith("}")


def test_statuses_pass_through(tmp_path):
    missing = staking("layout", "none.yaml", cwd=tmp_path)
    assert (missing.returncode, missing.stdout) == (3, "")
    assert "none.yaml" in missing.stderr
    wrong = staking("layout", cwd=tmp_path)
    assert (wrong.returncode, wrong.stdout) == (2, "")
    assert "Missing argument" in wrong.stderr


def test_sums_are_added_up_on_one_processor_unless_somebody_wants_more():
    script = (
        "import os\n"
        "from staking import cli\n"
        "def main():\n"
        "    print(os.environ['OPENBLAS_NUM_THREADS'])\n"
        "    raise SystemExit(0)\n"
        "cli.main = main\n"
        "cli.run()\n"
    )
    for told, used in (({}, "1"), ({"OPENBLAS_NUM_THREADS": "3"}, "3")):
        environment = {k: v for k, v in os.environ.items() if k != "OPENBLAS_NUM_THREADS"} | told
        done = subprocess.run(
            [sys.executable, "-c", script],
            capture_output=True,
            text=True,
            check=True,
            cwd=SOURCE,
            env=environment,
            timeout=TIMEOUT,
        )
        assert done.stdout == f"{used}\n"


def test_a_reader_that_goes_away_ends_the_process_without_a_word(tmp_path):
    staking("init", "job.yaml", cwd=tmp_path)
    # the reader is gone before anything is written, so that no buffer hides it
    line = "$staking {} 2> said | true; echo ${{PIPESTATUS[0]}}; cat said"
    for words in ("diagonal 24ft 32ft", "--help", "stakeout --help"):
        done = shell(line.format(words), tmp_path)
        assert (done.stdout, done.stderr) == ("141\n", ""), words
    # `head` keeps its line, whenever it goes
    done = shell("$staking layout job.yaml --only csv | head -n 1", tmp_path)
    assert done.stdout.count("\n") == 1
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize(
    ("where", "why"),
    [("> /dev/full", "No space left on device"), (">&-", "it is closed")],
)
@pytest.mark.parametrize(
    "words", ["diagonal 24ft 32ft", "--version", "layout job.yaml --json", "tape-book job.yaml"]
)
def test_output_that_cannot_be_written_is_said(tmp_path, words, where, why):
    staking("init", "job.yaml", cwd=tmp_path)
    done = shell(f"$staking {words} {where}; echo $? >&2", tmp_path)
    *_, said, status = done.stderr.splitlines()
    assert said == f"standard output cannot be written: {why}"
    assert status == "4"
    assert "Traceback" not in done.stderr


def test_messages_that_cannot_be_written_end_with_4_and_closed_ones_are_lost(tmp_path):
    for where, status in (("2> /dev/full", "4"), ("2>&-", "3")):
        done = shell(f"$staking layout none.yaml {where}; echo $?", tmp_path)
        assert (done.stdout, done.stderr) == (f"{status}\n", "")


def test_a_terminal_without_a_degree_sign_gets_words(tmp_path):
    job = FIXTURES / "hillside-lot" / "job.yaml"
    done = staking("stakeout", job, cwd=tmp_path, env={"PYTHONIOENCODING": "ascii"})
    assert "Traceback" not in done.stderr
    assert (done.stdout + done.stderr).isascii()
    assert " deg " in done.stdout
    document = staking(
        "stakeout", job, "--json", cwd=tmp_path, env={"PYTHONIOENCODING": "ascii"}
    ).stdout
    assert json.loads(document)["schema"].startswith("staking/stakeout/")


def test_a_date_that_is_none_is_a_sentence(tmp_path):
    staking("init", "job.yaml", cwd=tmp_path)
    done = staking("layout", "job.yaml", cwd=tmp_path, env={"SOURCE_DATE_EPOCH": "abc"})
    assert (done.returncode, done.stdout) == (3, "")
    assert done.stderr == (
        "environment variable SOURCE_DATE_EPOCH: 'abc' is not whole seconds since 1970; write "
        "digits alone, as in 1767225600, or unset it\n"
    )
    assert not (tmp_path / "job-layout").exists()


def test_a_name_that_is_too_long_is_a_sentence(tmp_path):
    staking("init", "job.yaml", cwd=tmp_path)
    name = "x" * 300
    for words in (("layout", "job.yaml"), ("tape-book", "job.yaml"), ("order", "job.yaml")):
        done = staking(*words, "--out", name, cwd=tmp_path)
        assert (done.returncode, done.stdout) == (4, "")
        assert done.stderr == (
            f"{name}: cannot be written: File name too long; give another --out\n"
        )


def test_a_file_that_is_told_to_end_leaves_no_parts(tmp_path):
    script = textwrap.dedent(
        """
        import os, signal, sys, time
        from pathlib import Path
        from staking.output.files import write_set
        from staking.output.standard_streams import end_when_told
        # Whoever starts the tests so that they outlive a terminal has this signal ignored.
        signal.signal(signal.SIGHUP, signal.SIG_DFL)
        end_when_told()
        def told(stream):
            stream.write("half")
            os.kill(os.getpid(), getattr(signal, sys.argv[2]))
            time.sleep(60)
        write_set(Path(sys.argv[1]) / "out", {"plan.dxf": lambda s: None, "a.csv": told}, None)
        """
    )
    for name in ("SIGTERM", "SIGHUP"):
        done = subprocess.run(
            [sys.executable, "-c", script, str(tmp_path), name],
            check=False,
            capture_output=True,
            text=True,
            cwd=SOURCE,
            timeout=TIMEOUT,
        )
        # 128 and the signal's number, as a shell counts it
        assert (done.returncode, done.stderr) == (128 + getattr(signal, name), "")
        assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("made", ["a pipe", "a device"])
@pytest.mark.parametrize("words", ["survey {}", "check job.yaml --stakes {}", "layout lot.yaml"])
def test_a_pipe_or_a_device_is_no_survey(tmp_path, words, made):
    staking("init", "job.yaml", cwd=tmp_path)
    if made == "a pipe":
        os.mkfifo(tmp_path / "lot.csv")
    else:
        (tmp_path / "lot.csv").symlink_to("/dev/zero")
    text = (tmp_path / "job.yaml").read_text(encoding="utf-8")
    (tmp_path / "lot.yaml").write_text(f"{text}\nsite: {{survey: lot.csv}}\n", encoding="utf-8")
    done = staking(*words.format("lot.csv").split(), cwd=tmp_path)
    assert (done.returncode, done.stdout) == (3, "")
    assert done.stderr == (
        "lot.csv: this is a pipe or a device, and a file is meant; save what it gives to a file, "
        "and name that\n"
    )


def test_a_survey_that_is_too_large_is_refused_unread(tmp_path):
    with (tmp_path / "lot.csv").open("wb") as stream:
        stream.truncate(1_200_000_000)  # a hole: it takes no room on the disk
    done = staking("survey", "lot.csv", cwd=tmp_path)
    assert (done.returncode, done.stdout) == (3, "")
    assert done.stderr == (
        "lot.csv: the file has 1,200.0 MB, and 1,000 MB is the most; leave out what is far from "
        "the building\n"
    )


def test_out_here_leaves_the_survey_of_the_job(tmp_path):
    shutil.copytree(FIXTURES / "hillside-lot", tmp_path / "lot")
    folder = tmp_path / "lot"
    (folder / "lot.csv").rename(folder / "points.csv")
    job = folder / "job.yaml"
    job.write_text(job.read_text("utf-8").replace("lot.csv", "points.csv"), encoding="utf-8")
    before = {path.name: path.read_bytes() for path in folder.iterdir()}
    for force in ((), ("--force",)):
        done = staking("layout", "job.yaml", "--out", ".", "--only", "csv", *force, cwd=folder)
        assert (done.returncode, done.stdout) == (4, "")
        assert done.stderr == (
            "points.csv: this is a survey of the job, and is never written over; give another "
            "--out\n"
        )
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == before


COMMANDS = (
    ("layout", "hillside-lot/job.yaml"),
    ("layout", "hillside-lot/job.yaml", "--only", "png"),
    ("grade", "hillside-lot/job.yaml"),
    ("order", "hillside-lot/job.yaml"),
    ("record", "orchard-workshop/job.yaml", "orchard-workshop/poured.csv"),
    ("tape-book", "orchard-workshop/job.yaml", "--out", "book.csv"),
    ("survey", "hillside-lot/lot.csv", "--to", "lot.dxf"),
    ("survey", "hillside-lot/lot.csv", "--to", "lot.xml"),
)


ONE_AFTER_ANOTHER = """
import json, sys
from click.testing import CliRunner
from staking.cli import main
said = [CliRunner().invoke(main, words) for words in json.loads(sys.argv[1])]
print([each.stderr for each in said if each.exit_code not in {0, 5}], file=sys.stderr)
print([each.exit_code for each in said])
"""


def test_the_same_jobs_give_the_same_bytes_anywhere_and_at_any_time(tmp_path):
    found = []
    for folder, seed, zone in (("one", "1", "UTC"), ("another place", "77", "Pacific/Auckland")):
        here = tmp_path / folder
        shutil.copytree(FIXTURES, here)
        for path in here.rglob("*.*"):
            os.utime(path, (0, 1_767_323_045))  # 2026-01-02 03:04:05 UTC
        # all of them in one process: it is its seed and its clock that may not be seen
        done = subprocess.run(
            [sys.executable, "-c", ONE_AFTER_ANOTHER, json.dumps(COMMANDS)],
            capture_output=True,
            text=True,
            check=False,
            cwd=here,
            env={**os.environ, "PYTHONHASHSEED": seed, "TZ": zone},
            timeout=TIMEOUT,
        )
        assert done.returncode == 0, done.stderr
        assert set(json.loads(done.stdout)) <= {0, 5}, done.stderr
        found.append({
            str(path.relative_to(here)): path.read_bytes()
            for path in here.rglob("*")
            if path.is_file()
        })
    assert sorted(found[0]) == sorted(found[1])
    assert len([name for name in found[0] if "job-" in name]) > 20
    assert [name for name, data in found[0].items() if data != found[1][name]] == []
    for name, data in found[0].items():
        assert str(tmp_path).encode() not in data, name
