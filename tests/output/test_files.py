"""A set of files is whole whatever happens: every file the old one or the new."""

from __future__ import annotations

import hashlib
import json
import os
import signal
import subprocess
import sys
import textwrap
from collections.abc import Callable
from pathlib import Path
from typing import BinaryIO, TextIO

import pytest

from staking.errors import WriteError
from staking.output.files import Binary, write_set
from staking.output.wording import Words
from staking.plan import Options


def says(text: str) -> Callable[[TextIO], None]:
    def write(stream: TextIO) -> None:
        stream.write(text)

    return write


def fails(stream: TextIO) -> None:
    stream.write("half")
    raise ZeroDivisionError("half-way")


def whole(text: str) -> dict[str, Callable[[TextIO], None]]:
    return {"plan.dxf": says(f"{text} plan"), "points.csv": says(f"{text} points")}


def contents(folder: Path) -> dict[str, str]:
    """The files in a folder, but for the record of what was written there."""
    paths = [path for path in folder.iterdir() if path.name != ".staking.json"]
    return {path.name: path.read_text(encoding="utf-8") for path in paths}


def record(folder: Path) -> dict[str, dict[str, str]]:
    found = json.loads((folder / ".staking.json").read_text(encoding="utf-8"))
    assert found.pop("schema") == "staking/files/1"
    return found


def sha256(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()


def test_the_document_comes_last_and_holds_the_hash_of_every_file(tmp_path: Path) -> None:
    written = write_set(tmp_path / "out", whole("new"), {"job": "shed"})
    assert [path.name for path in written.paths] == ["plan.dxf", "points.csv", "layout.json"]
    assert written.notices == ()
    document = json.loads((tmp_path / "out" / "layout.json").read_text(encoding="utf-8"))
    assert document == {
        "job": "shed",
        "files": {
            "plan.dxf": hashlib.sha256(b"new plan").hexdigest(),
            "points.csv": hashlib.sha256(b"new points").hexdigest(),
        },
    }
    layout = (tmp_path / "out" / "layout.json").read_text(encoding="utf-8")
    assert record(tmp_path / "out") == {
        "files": {
            "layout.json": sha256(layout),
            "plan.dxf": sha256("new plan"),
            "points.csv": sha256("new points"),
        }
    }
    assert len(list((tmp_path / "out").iterdir())) == 4


def test_a_binary_file_is_written_as_it_is(tmp_path: Path) -> None:
    data = b"%PDF-\r\n\x00\xff"
    written = write_set(
        tmp_path, {"sheet.pdf": Binary(lambda stream: stream.write(data) and None)}, {"job": "shed"}
    )
    assert (tmp_path / "sheet.pdf").read_bytes() == data
    document = json.loads((tmp_path / "layout.json").read_text(encoding="utf-8"))
    assert document["files"] == {"sheet.pdf": hashlib.sha256(data).hexdigest()}
    assert [path.name for path in written.paths] == ["sheet.pdf", "layout.json"]


def test_a_binary_file_that_fails_half_way_leaves_nothing(tmp_path: Path) -> None:
    def fails_too(stream: BinaryIO) -> None:
        stream.write(b"half")
        raise ZeroDivisionError("half-way")

    with pytest.raises(ZeroDivisionError, match="half-way"):
        write_set(tmp_path / "out", {**whole("new"), "sheet.pdf": Binary(fails_too)}, None)
    assert not (tmp_path / "out").exists()


def test_files_that_are_not_ours_stay(tmp_path: Path) -> None:
    (tmp_path / "notes.txt").write_text("mine", encoding="utf-8")
    write_set(tmp_path, whole("new"), {})
    assert contents(tmp_path)["notes.txt"] == "mine"


def test_a_failure_half_way_leaves_the_old_set_and_no_temporaries(tmp_path: Path) -> None:
    write_set(tmp_path, whole("old"), {})
    before = contents(tmp_path)
    with pytest.raises(ZeroDivisionError, match="half-way"):
        write_set(tmp_path, {"plan.dxf": says("new"), "points.csv": fails}, {})
    assert contents(tmp_path) == before


def test_a_failure_leaves_no_folder_that_was_not_there(tmp_path: Path) -> None:
    with pytest.raises(ZeroDivisionError, match="half-way"):
        write_set(tmp_path / "out", {"plan.dxf": fails}, {})
    with pytest.raises(ValueError, match="not JSON compliant"):
        write_set(tmp_path / "out", whole("new"), {"x": float("inf")})
    assert list(tmp_path.iterdir()) == []


def test_a_move_that_fails_leaves_each_file_whole_and_the_next_run_names_the_mix(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write_set(tmp_path, whole("old"), {})
    moved: list[str] = []
    replace = os.replace

    def second_fails(source: Path, target: Path) -> None:
        if len(moved) == 2:
            raise OSError(28, "No space left on device")
        moved.append(target.name)
        replace(source, target)

    with monkeypatch.context() as patch:
        patch.setattr(os, "replace", second_fails)
        with pytest.raises(WriteError, match="No space left on device; give another --out"):
            write_set(tmp_path, whole("new"), {})
    mixed = contents(tmp_path)
    assert (mixed["plan.dxf"], mixed["points.csv"]) == ("new plan", "old points")
    assert len(mixed) == 3
    assert moved == [".staking.json", "plan.dxf"]
    assert not list(tmp_path.glob("*.part"))
    (told,) = write_set(tmp_path, whole("newer"), {}).notices
    sentence = Words(Options()).notice(told)
    assert told.kind == "mixed-set"
    assert sentence == (
        f"a run that wrote to {tmp_path} was cut short, and its files did not belong together: "
        "plan.dxf was new, layout.json and points.csv not yet"
    )
    assert write_set(tmp_path, whole("newest"), {}).notices == ()


@pytest.mark.parametrize("moves", range(7))
def test_a_run_killed_between_moves_leaves_each_file_old_or_new(tmp_path: Path, moves: int) -> None:
    # the record, three files with the document last, and the record again: killed before any
    write_set(tmp_path, whole("old"), {"job": "old"})
    old = contents(tmp_path)
    script = textwrap.dedent(
        """
        import os, signal, sys
        from pathlib import Path
        from staking.output.files import Binary, write_set
        replace, count = os.replace, [0]
        def counted(source, target):
            if count[0] == int(sys.argv[2]):
                os.kill(os.getpid(), signal.SIGKILL)
            count[0] += 1
            replace(source, target)
        os.replace = counted
        names = ("plan.dxf", "points.csv")
        writers = {name: lambda stream: stream.write("new " * 50000) for name in names}
        write_set(Path(sys.argv[1]), writers, {"job": "new"})
        """
    )
    done = subprocess.run(
        [sys.executable, "-c", script, str(tmp_path), str(moves)],
        check=False,
        capture_output=True,
        cwd=Path(__file__).parents[2],
    )
    files = min(max(moves - 1, 0), 3)
    assert done.returncode == (0 if moves >= 5 else -signal.SIGKILL), done.stderr
    now = contents(tmp_path)
    for at, name in enumerate(("plan.dxf", "points.csv")):
        assert now[name] == ("new " * 50000 if at < files else old[name])
    assert json.loads(now["layout.json"])["job"] == ("new" if files == 3 else "old")
    kinds = [each.kind for each in write_set(tmp_path, whole("next"), {}).notices]
    assert kinds == (["mixed-set"] if files in {1, 2} else [])
    assert sorted(path.name for path in tmp_path.iterdir()) == [
        ".staking.json",
        "layout.json",
        "plan.dxf",
        "points.csv",
    ]


def test_what_a_killed_run_left_is_cleared_by_the_next(tmp_path: Path) -> None:
    left = tmp_path / ".staking-0123456789ab.part"
    left.write_text("x", encoding="utf-8")
    write_set(tmp_path, whole("new"), {})
    assert not left.exists()


def test_a_part_of_the_set_says_what_is_older(tmp_path: Path) -> None:
    write_set(tmp_path, whole("old"), {})
    (told,) = write_set(tmp_path, {"points.csv": says("new")}, None).notices
    assert told.kind == "older-files"
    assert dict(told.values)["files"] == "plan.dxf and layout.json are"
    (told,) = write_set(tmp_path, {"points.csv": says("newer")}, {}).notices
    assert dict(told.values)["files"] == "plan.dxf is"


def test_a_folder_in_the_place_of_a_file_is_refused_before_anything_is_moved(
    tmp_path: Path,
) -> None:
    (tmp_path / "points.csv").mkdir()
    for force in (False, True):
        with pytest.raises(WriteError, match=r"points\.csv is a folder there"):
            write_set(tmp_path, whole("new"), {}, force=force)
    assert [path.name for path in tmp_path.iterdir()] == ["points.csv"]


def test_a_file_in_the_place_of_the_folder_cannot_be_written(tmp_path: Path) -> None:
    place = tmp_path / "out"
    place.write_text("mine", encoding="utf-8")
    with pytest.raises(WriteError, match="cannot be written: File exists"):
        write_set(place, whole("new"), {})
    with pytest.raises(WriteError, match="Not a directory"):
        write_set(place / "deeper", whole("new"), {})
    assert place.read_text(encoding="utf-8") == "mine"


@pytest.mark.parametrize("text", ["", "{", "[]", '{"files": []}', '{"files": {"../x": 1}}'])
@pytest.mark.parametrize("name", ["layout.json", ".staking.json"])
def test_a_document_or_record_that_is_not_ours_tells_nothing(
    tmp_path: Path, name: str, text: str
) -> None:
    (tmp_path / name).write_text(text, encoding="utf-8")
    assert write_set(tmp_path, whole("new"), None).notices == ()
