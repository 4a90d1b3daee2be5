"""Whatever happens while it is written, the user's file is whole, and what happened is told."""

from __future__ import annotations

import errno
import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import IO

import pytest

from staking.desk import job_on_disk
from staking.desk.job_on_disk import ChangedMeanwhileError, copy_beside, read_on_file, save
from staking.errors import WriteError
from tests.desk.conftest import SHED, Running


def full(*_: object, **__: object) -> None:
    raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


def fill_disk(monkeypatch: pytest.MonkeyPatch, call: str) -> None:
    """Let the disk be full from one step of the writing on."""
    if call == "open":
        monkeypatch.setattr(job_on_disk.tempfile, "mkstemp", full)
    elif call == "write":
        real = os.fdopen
        monkeypatch.setattr(job_on_disk.os, "fdopen", lambda *given: _Full(real(*given)))
    elif call == "fsync":
        monkeypatch.setattr(job_on_disk.os, "fsync", full)
    else:
        monkeypatch.setattr(Path, call, full)


class _Full:
    """A stream on which nothing can be written."""

    def __init__(self, stream: IO[bytes]) -> None:
        self._stream = stream

    def __enter__(self) -> _Full:
        return self

    def __exit__(self, *_: object) -> None:
        self._stream.close()

    def write(self, _: bytes) -> None:
        full()


STEPS = ("open", "write", "fsync", "replace")


@pytest.mark.parametrize("call", STEPS)
def test_a_full_disk_leaves_the_file_whole(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, call: str
) -> None:
    path = tmp_path / "job.yaml"
    path.write_text(SHED, encoding="utf-8")
    found = read_on_file(path)
    with monkeypatch.context() as patch:
        fill_disk(patch, call)
        with pytest.raises(
            WriteError,
            match=r"job.yaml cannot be written: no space left on device; it is as it was",
        ):
            save(path, "job: B\n", found.mark)
    assert path.read_text(encoding="utf-8") == SHED
    assert [each.name for each in tmp_path.iterdir()] == ["job.yaml"]
    # Once there is room again, the same text is saved.
    assert save(path, "job: B\n", found.mark).text == "job: B\n"


@pytest.mark.parametrize("call", ["open", "write", "hardlink_to"])
def test_a_full_disk_leaves_nothing_of_a_file_that_is_copied(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, call: str
) -> None:
    path = tmp_path / "job.yaml"
    path.write_text(SHED, encoding="utf-8")
    fill_disk(monkeypatch, call)
    with pytest.raises(WriteError, match=r"lot.csv cannot be copied: no space left on device"):
        copy_beside(path, "lot.csv", iter([b"1,2,3\n"]))
    assert [each.name for each in tmp_path.iterdir()] == ["job.yaml"]


def test_a_copy_that_breaks_off_leaves_nothing(tmp_path: Path) -> None:
    def pieces() -> Iterator[bytes]:
        yield b"1,2,3\n"
        raise ConnectionResetError(errno.ECONNRESET, os.strerror(errno.ECONNRESET))

    with pytest.raises(WriteError, match=r"lot.csv cannot be copied"):
        copy_beside(tmp_path / "job.yaml", "lot.csv", pieces())
    assert list(tmp_path.iterdir()) == []


def test_the_systems_own_limit_leaves_the_file_whole(tmp_path: Path) -> None:
    pytest.importorskip("resource", reason="this system has no limit of a file's size")
    path = tmp_path / "job.yaml"
    path.write_text(SHED, encoding="utf-8")
    script = (
        "import resource, signal, sys\nfrom pathlib import Path\n"
        "from staking.desk.job_on_disk import read_on_file, save\n"
        "from staking.errors import WriteError\n"
        "signal.signal(signal.SIGXFSZ, signal.SIG_IGN)\n"
        "path = Path(sys.argv[1])\nmark = read_on_file(path).mark\n"
        "resource.setrlimit(resource.RLIMIT_FSIZE, (4096, 4096))\n"
        "try:\n    save(path, 'job: B\\n' + '# x\\n' * 4000, mark)\n"
        "except WriteError as error:\n    sys.exit(str(error))\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", script, str(path)],
        check=False, timeout=600, capture_output=True, text=True,
    )  # fmt: skip
    assert (done.returncode, done.stdout) == (1, "")
    assert done.stderr == "job.yaml cannot be written: file too large; it is as it was\n"
    assert path.read_text(encoding="utf-8") == SHED
    assert [each.name for each in tmp_path.iterdir()] == ["job.yaml"]


def test_a_change_in_the_last_moment_is_not_written_over(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "job.yaml"
    path.write_text(SHED, encoding="utf-8")
    mark = read_on_file(path).mark
    monkeypatch.setattr(
        job_on_disk.os, "fsync", lambda _: path.write_text("job: Theirs\n", encoding="utf-8")
    )
    with pytest.raises(ChangedMeanwhileError, match="was changed by another program") as caught:
        save(path, "job: Mine\n", mark)
    assert caught.value.found.text == "job: Theirs\n"
    assert path.read_text(encoding="utf-8") == "job: Theirs\n"
    assert [each.name for each in tmp_path.iterdir()] == ["job.yaml"]


def test_a_full_disk_is_told_to_the_page(running: Running, monkeypatch: pytest.MonkeyPatch) -> None:
    mark = running.ask("GET", "/job").told["mark"]
    with monkeypatch.context() as patch:
        fill_disk(patch, "replace")
        asked = running.post("/save", {"text": "job: Mine\n", "mark": mark})
    assert asked.status == 422
    assert (
        asked.told["error"]
        == "job.yaml cannot be written: no space left on device; it is as it was"
    )
    assert running.path.read_text(encoding="utf-8") == SHED
    assert running.post("/save", {"text": "job: Mine\n", "mark": mark}).status == 200


def test_a_folder_that_is_gone_is_told_to_the_page(running: Running) -> None:
    mark = running.ask("GET", "/job").told["mark"]
    running.path.unlink()
    running.path.parent.rename(running.path.parent.with_name("elsewhere"))
    asked = running.post("/save", {"text": "job: Mine\n", "mark": mark, "anyway": True})
    assert asked.status == 422
    assert "job.yaml cannot be written: no such file or directory" in asked.told["error"]
    asked = running.ask("POST", "/survey?name=lot.csv", b"1,2,3\n")
    assert asked.status == 422
    assert "lot.csv cannot be copied: no such file or directory" in asked.told["error"]
    assert not running.path.parent.exists()


def test_save_keeps_line_ends_byte_order_mark_mode_and_links(tmp_path: Path) -> None:
    path, link = tmp_path / "real.yaml", tmp_path / "job.yaml"
    path.write_bytes(b"\xef\xbb\xbfjob: A\r\nunits: ft\r\n")
    path.chmod(0o600)
    link.symlink_to(path)
    found = read_on_file(link)
    assert found.text == "job: A\r\nunits: ft\r\n"
    save(link, found.text.replace("A", "B"), found.mark)
    assert link.is_symlink()
    assert path.read_bytes() == b"\xef\xbb\xbfjob: B\r\nunits: ft\r\n"
    assert path.stat().st_mode & 0o777 == 0o600
    assert sorted(each.name for each in tmp_path.iterdir()) == ["job.yaml", "real.yaml"]


def test_a_folder_that_is_gone_is_told(tmp_path: Path) -> None:
    folder = tmp_path / "gone"
    folder.mkdir()
    path = folder / "job.yaml"
    path.write_text(SHED, encoding="utf-8")
    mark = read_on_file(path).mark
    path.unlink()
    folder.rmdir()
    with pytest.raises(ChangedMeanwhileError):
        save(path, SHED, mark)
    with pytest.raises(WriteError, match="cannot be written: no such file or directory"):
        save(path, SHED, mark, anyway=True)


def test_a_process_killed_while_it_writes_leaves_the_old_file(tmp_path: Path) -> None:
    import subprocess
    import sys

    path = tmp_path / "job.yaml"
    path.write_text(SHED, encoding="utf-8")
    script = (
        "import os, signal, sys\nfrom pathlib import Path\nfrom staking.desk import job_on_disk\n"
        "job_on_disk.os.fsync = lambda _: os.kill(os.getpid(), signal.SIGKILL)\n"
        "path = Path(sys.argv[1])\n"
        "job_on_disk.save(path, 'job: B\\n', job_on_disk.read_on_file(path).mark)\n"
    )
    done = subprocess.run([sys.executable, "-c", script, str(path)], check=False, timeout=600)
    assert done.returncode == -9
    assert path.read_text(encoding="utf-8") == SHED
    assert save(path, "job: B\n", read_on_file(path).mark).text == "job: B\n"
