"""A file that is not ours, or was changed, stays; one that the job reads stays even when forced."""

from __future__ import annotations

import hashlib
import json
import os
import threading
from collections.abc import Callable
from pathlib import Path
from typing import TextIO

import pytest

from staking.errors import WriteError
from staking.output.files import Source, write_file, write_set
from staking.output.files.folder_lock import locked

REMEDY = "move it away, give another --out, or give --force to replace it"


def says(text: str) -> Callable[[TextIO], None]:
    def write(stream: TextIO) -> None:
        stream.write(text)

    return write


def pair(text: str) -> dict[str, Callable[[TextIO], None]]:
    return {"plan.dxf": says(f"{text} plan"), "points.csv": says(f"{text} points")}


def contents(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def test_every_file_of_others_is_named_and_nothing_is_touched(tmp_path: Path) -> None:
    (tmp_path / "plan.dxf").write_text("mine", encoding="utf-8")
    (tmp_path / "points.csv").write_text("mine too", encoding="utf-8")
    (tmp_path / "plan.svg").write_text("not asked for", encoding="utf-8")
    before = contents(tmp_path)
    with pytest.raises(WriteError) as caught:
        write_set(tmp_path, pair("new"), {"job": "shed"})
    assert str(caught.value).splitlines() == [
        f"{tmp_path / name}: this file was not written by staking; {REMEDY}"
        for name in ("plan.dxf", "points.csv")
    ]
    assert contents(tmp_path) == before
    write_set(tmp_path, pair("new"), {"job": "shed"}, force=True)
    assert (tmp_path / "plan.dxf").read_text(encoding="utf-8") == "new plan"
    assert (tmp_path / "plan.svg").read_text(encoding="utf-8") == "not asked for"


def test_what_was_written_before_is_replaced_and_what_was_changed_is_not(tmp_path: Path) -> None:
    write_set(tmp_path, pair("old"), None)
    write_set(tmp_path, pair("new"), None)
    (tmp_path / "plan.dxf").write_text("new plan, and a note", encoding="utf-8")
    with pytest.raises(WriteError) as caught:
        write_set(tmp_path, pair("newer"), None)
    assert str(caught.value) == (
        f"{tmp_path / 'plan.dxf'}: this file was changed since staking wrote it; {REMEDY}"
    )
    write_set(tmp_path, {"points.csv": says("newer points")}, None)


def test_commands_share_one_record_and_keep_each_others_files(tmp_path: Path) -> None:
    write_set(tmp_path, pair("new"), {"job": "shed"})
    write_set(tmp_path, {"order.csv": says("what, quantity")}, None, of_layout=False)
    write_file(tmp_path / "book.csv", says("from,to"))
    found = json.loads((tmp_path / ".staking.json").read_text(encoding="utf-8"))
    assert sorted(found) == ["files", "schema"]
    assert found["schema"] == "staking/files/1"
    assert found["files"] == {
        name: hashlib.sha256((tmp_path / name).read_bytes()).hexdigest()
        for name in ("book.csv", "layout.json", "order.csv", "plan.dxf", "points.csv")
    }


def test_hashes_in_a_layout_without_a_record_make_its_files_ours(tmp_path: Path) -> None:
    write_set(tmp_path, pair("old"), {"schema": "staking/layout/1", "job": "shed"})
    (tmp_path / ".staking.json").unlink()
    write_set(tmp_path, pair("new"), None)
    with pytest.raises(WriteError, match=r"layout\.json: this file was not written by staking"):
        write_set(tmp_path, pair("new"), {"job": "shed"})


def test_a_file_that_the_job_reads_is_never_replaced(tmp_path: Path) -> None:
    survey = tmp_path / "points.csv"
    survey.write_text("101,5000,2000", encoding="utf-8")
    sources = (Source(path=survey, what="a survey of the job"),)
    for force in (False, True):
        with pytest.raises(WriteError) as caught:
            write_set(tmp_path, pair("new"), None, force=force, sources=sources)
        assert str(caught.value) == (
            f"{survey}: this is a survey of the job, and is never written over; give another --out"
        )
    # nor under another name of the same file, nor through a link that stands in its place
    other = tmp_path / "out"
    other.mkdir()
    (other / "points.csv").hardlink_to(survey)
    (other / "plan.dxf").symlink_to(survey)
    with pytest.raises(WriteError) as caught:
        write_set(other, pair("new"), None, force=True, sources=sources)
    assert len(str(caught.value).splitlines()) == 2
    assert survey.read_text(encoding="utf-8") == "101,5000,2000"


def test_a_link_is_nobody_elses_door(tmp_path: Path) -> None:
    outside = tmp_path / "outside.txt"
    outside.write_text("mine", encoding="utf-8")
    folder = tmp_path / "out"
    folder.mkdir()
    for name in ("plan.dxf", ".staking.json"):
        (folder / name).symlink_to(outside)
    (folder / "points.csv").symlink_to(folder / "nowhere")
    with pytest.raises(WriteError) as caught:
        write_set(folder, pair("new"), None)
    assert len(str(caught.value).splitlines()) == 2
    write_set(folder, pair("new"), None, force=True)
    assert outside.read_text(encoding="utf-8") == "mine"
    assert not any(path.is_symlink() for path in folder.iterdir())


def test_a_pipe_in_the_place_of_a_file_is_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "points.csv")
    os.mkfifo(tmp_path / "layout.json")
    with pytest.raises(WriteError, match=r"points\.csv: this file was not written by staking"):
        write_set(tmp_path, pair("new"), None)


def test_a_name_that_differs_by_case_alone_is_another_file_or_refused(tmp_path: Path) -> None:
    (tmp_path / "POINTS.CSV").write_text("mine", encoding="utf-8")
    one_name = (tmp_path / "points.csv").exists()  # a disk that takes both for one
    if one_name:
        with pytest.raises(WriteError, match="was not written by staking"):
            write_set(tmp_path, pair("new"), None)
    else:
        write_set(tmp_path, pair("new"), None)
    assert (tmp_path / "POINTS.CSV").read_text(encoding="utf-8") == "mine"


def test_a_forced_change_is_ours_from_then_on(tmp_path: Path) -> None:
    write_set(tmp_path, pair("old"), None)
    (tmp_path / "plan.dxf").write_text("edited", encoding="utf-8")
    write_set(tmp_path, pair("new"), None, force=True)
    write_set(tmp_path, pair("newer"), None)
    assert (tmp_path / "plan.dxf").read_text(encoding="utf-8") == "newer plan"


def test_the_files_of_another_job_are_said(tmp_path: Path) -> None:
    schema = {"schema": "staking/layout/1"}
    write_set(tmp_path, pair("old"), {**schema, "job": "Plum shed"})
    (told,) = write_set(tmp_path, pair("new"), {**schema, "job": "Pear shed"}).notices
    assert (told.kind, dict(told.values)["before"], dict(told.values)["now"]) == (
        "other-job",
        "Plum shed",
        "Pear shed",
    )
    assert write_set(tmp_path, pair("new"), {**schema, "job": "Pear shed"}).notices == ()


def test_a_run_waits_for_another_and_says_that_both_wrote(tmp_path: Path) -> None:
    waiting = threading.Event()
    told = []

    def slow(stream: TextIO) -> None:
        other.start()
        waiting.wait(60)
        stream.write("of the first run")

    def second() -> None:
        threading.Timer(0.2, waiting.set).start()
        told.extend(write_set(tmp_path, {"points.csv": says("of the second")}, None).notices)

    other = threading.Thread(target=second)
    write_set(tmp_path, {"points.csv": slow}, None)
    other.join(60)
    assert (tmp_path / "points.csv").read_text(encoding="utf-8") == "of the second"
    assert [each.kind for each in told] == ["two-runs"]


def test_a_run_that_never_ends_is_not_waited_for_for_ever(tmp_path: Path) -> None:
    with locked(tmp_path), pytest.raises(WriteError) as caught, locked(tmp_path, patience=0.1):
        pass
    assert str(caught.value) == (
        f"{tmp_path}: another run is writing there and does not end; give another --out"
    )


@pytest.mark.parametrize("place", ["write", "mkdir", "replace"])
def test_what_the_system_refuses_is_a_sentence(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, place: str
) -> None:
    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    target = {"write": (Path, "open"), "mkdir": (Path, "mkdir"), "replace": (os, "replace")}
    folder = tmp_path / "out"
    with monkeypatch.context() as patch:
        patch.setattr(*target[place], refuse)
        with pytest.raises(WriteError) as caught:
            write_set(folder, pair("new"), {"job": "shed"})
    assert str(caught.value) == (
        f"{folder}: cannot be written: Permission denied; give another --out"
    )
    assert not folder.exists()


def test_a_full_disk_leaves_nothing(tmp_path: Path) -> None:
    def fills(stream: TextIO) -> None:
        with Path("/dev/full").open("w", encoding="utf-8") as full:
            full.write("x" * 100_000)
        stream.write("never")

    with pytest.raises(WriteError, match="cannot be written: No space left on device"):
        write_set(tmp_path / "a" / "b", {**pair("new"), "order.csv": fills}, None)
    assert list(tmp_path.iterdir()) == []


def test_a_name_that_is_too_long_is_a_sentence(tmp_path: Path) -> None:
    folder = tmp_path / ("x" * 300)
    with pytest.raises(WriteError) as caught:
        write_set(folder, pair("new"), None)
    assert str(caught.value) == (
        f"{folder}: cannot be written: File name too long; give another --out"
    )
    with pytest.raises(WriteError, match="cannot be written: File name too long"):
        write_file(folder, says("book"))
    longest = tmp_path / ("y" * 255)
    write_file(longest, says("book"))
    assert longest.read_text(encoding="utf-8") == "book"


def test_one_file_goes_into_a_folder_that_is_there(tmp_path: Path) -> None:
    with pytest.raises(WriteError) as caught:
        write_file(tmp_path / "none" / "book.csv", says("book"))
    assert str(caught.value) == (
        f"{tmp_path / 'none' / 'book.csv'}: cannot be written: there is no folder "
        f"{tmp_path / 'none'}; give another --out"
    )
    with pytest.raises(WriteError, match="this is not a name for a file"):
        write_file(tmp_path / ".staking.json", says("book"))
    with pytest.raises(WriteError, match="is a folder there"):
        write_file(tmp_path, says("book"))
    assert list(tmp_path.iterdir()) == []
