"""Answers put into a job's text: one answer changes one line, and nothing else of the file."""

from __future__ import annotations

import difflib
from collections.abc import Iterator
from pathlib import Path

import pytest

from staking.errors import InputError
from staking.job.build import parse_job
from staking.job.edit.file_edits import Answer, answered
from staking.job.edit.key_order import keys_in_order
from staking.job.edit.node_spans import Value, nodes_of, value_of
from staking.job.tree.source import Place

ROOT = Path(__file__).parents[3]
BY_HAND = sorted((ROOT / "tests/data/jobs/by_hand").glob("*.yaml"))
FIXTURES = sorted((ROOT / "fixtures").glob("*/job.yaml"))
FILES = [*FIXTURES, *BY_HAND]
ids = [path.parent.name if path.name == "job.yaml" else path.stem for path in FILES]
every_file = pytest.mark.parametrize("path", FILES, ids=ids)


def text_of(path: Path) -> str:
    return path.read_bytes().decode("utf-8")


def put(text: str, place: Place, value: Value, instead_of: str | None = None) -> str:
    answer = Answer(place=place, value=value, instead_of=instead_of)
    return answered(text, [answer], "job.yaml", keys_in_order)


def values(text: str) -> Value:
    return value_of(nodes_of(text, "job.yaml"))


def leaves(value: Value, place: Place = ()) -> Iterator[tuple[Place, str]]:
    if isinstance(value, str):
        yield place, value
    elif isinstance(value, list):
        for number, each in enumerate(value):
            yield from leaves(each, (*place, number))
    elif isinstance(value, dict):
        for key, each in value.items():
            yield from leaves(each, (*place, key))


def some_leaves(path: Path, text: str) -> list[tuple[Place, str]]:
    """List the values of a short file, and of a long one every fifth, sections in turn."""
    every = list(leaves(values(text)))
    return every if len(every) < 25 else every[:: 5 if len(every) < 90 else 9]


def changed(before: str, after: str) -> tuple[list[str], list[str]]:
    """List the lines that are gone and those that are new, line ends included."""
    told = difflib.ndiff(before.splitlines(keepends=True), after.splitlines(keepends=True))
    lines = list(told)
    return (
        [line[2:] for line in lines if line.startswith("- ")],
        [line[2:] for line in lines if line.startswith("+ ")],
    )


def test_there_are_ten_files_formatted_by_hand_and_each_is_a_job() -> None:
    assert len(BY_HAND) == 10
    for path in BY_HAND:
        parse_job(text_of(path), path.name)


@every_file
def test_one_changed_answer_changes_one_line(path: Path) -> None:
    before = text_of(path)
    for place, value in some_leaves(path, before):
        new = "Other name" if place == ("job",) else f"7{value}"
        after = put(before, place, new)
        gone, come = changed(before, after)
        assert (len(gone), len(come)) == (1, 1), place
        assert after.count("\n") == before.count("\n")
        assert after.count("\r") == before.count("\r")
        assert dict(leaves(values(after))) == {**dict(leaves(values(before))), place: new}
        # What was changed back is what stood there, but for quotes that were not needed.
        assert values(put(after, place, value)) == values(before)


@every_file
def test_a_new_key_of_a_section_adds_one_line_or_goes_into_its_brackets(path: Path) -> None:
    before = text_of(path)
    tops = values(before)
    assert isinstance(tops, dict)
    missing = next(key for key in ("tape", "tolerances") if key not in tops or path in FIXTURES)
    place: Place = (missing, "length" if missing == "tape" else "side")
    after = put(before, place, "50'" if missing == "tape" else '1/8"')
    gone, come = changed(before, after)
    if before.startswith("{") or missing in tops:
        assert (len(gone), len(come)) == (1, 1)
    elif before.endswith("\n"):
        assert (gone, len(come)) == ([], 1)
    else:
        assert (len(gone), len(come)) == (1, 2)
    assert set(dict(leaves(values(after)))) == {*dict(leaves(values(before))), place}


@every_file
def test_each_key_can_be_taken_out_and_the_rest_stays(path: Path) -> None:
    before = text_of(path)
    for place, _ in some_leaves(path, before):
        if len(place) == 1 and place[0] == "job":
            continue
        after = put(before, place, None)
        assert len(after) < len(before)
        kept = dict(leaves(values(after)))
        if not any(isinstance(step, int) for step in place):
            whole = dict(leaves(values(before)))
            del whole[place]
            assert kept == whole


@every_file
def test_what_is_given_as_it_stands_leaves_every_character(path: Path) -> None:
    before = text_of(path)
    for place, value in some_leaves(path, before):
        assert put(before, place, value) == before


CRLF = text_of(ROOT / "tests/data/jobs/by_hand/carriage_returns.yaml")


def test_new_lines_end_as_the_others_of_the_file() -> None:
    after = put(CRLF, ("grade", "top_of_wall"), "103'")
    assert "\r\ngrade:\r\n  top_of_wall: 103'\r\n" in after
    assert after.count("\n") == after.count("\r\n") == CRLF.count("\n") + 2
    after = put(CRLF, ("building", "pads", 1), {"name": "P2", "at": ["1'", "2'"]})
    assert "\r\n    - {name: P2, at: [1', 2']}\r\n" in after


SHED = """\
job: Plum shed
units: ft
building:
  rectangle: 36' x 24'   # outside
  wall: 8"
  footing: {width: 20", thickness: 10"}
"""


@pytest.mark.parametrize(
    ("place", "value", "line"),
    [
        (("job",), "Plum: the shed", "job: 'Plum: the shed'"),
        (("job",), "No # 4", "job: 'No # 4'"),
        (("job",), "Pat's [old] shed", "job: Pat's [old] shed"),
        (("job",), "'s shed", 'job: "\'s shed"'),
        (("job",), "- shed", "job: '- shed'"),
        (("job",), "*shed", "job: '*shed'"),
        (("job",), "&shed", "job: '&shed'"),
        (("job",), "!shed", "job: '!shed'"),
        (("job",), "{shed", "job: '{shed'"),
        (("job",), "001", "job: 001"),
        (("job",), "no", "job: no"),
        (("job",), "<script>alert(1)</script>", "job: <script>alert(1)</script>"),
        (("building", "wall"), '7 5/8"', '  wall: 7 5/8"'),
        (
            ("building", "footing", "width"),
            "1' 8\", so",
            "  footing: {width: '1'' 8\", so', thickness: 10\"}",
        ),
    ],
)
def test_a_value_is_quoted_where_the_file_needs_it(place: Place, value: str, line: str) -> None:
    after = put(SHED, place, value)
    assert line in after.splitlines()
    assert dict(leaves(values(after)))[place] == value


def test_a_key_in_the_place_of_another_takes_its_line() -> None:
    after = put(SHED, ("building", "sides"), ["east 36'", "north 24'"], "rectangle")
    assert changed(SHED, after) == (
        ["  rectangle: 36' x 24'   # outside\n"],
        ["  sides: [east 36', north 24']   # outside\n"],
    )


def test_a_new_key_stands_where_people_write_it() -> None:
    after = put(SHED, ("show",), "feet-inches")
    assert after.splitlines()[:3] == ["job: Plum shed", "units: ft", "show: feet-inches"]
    after = put(SHED, ("building", "name"), "shed")
    assert after.splitlines()[3:5] == ["  name: shed", "  rectangle: 36' x 24'   # outside"]


def test_new_parts_in_sections_that_are_not_there_yet() -> None:
    after = put(SHED, ("building", "walls", "A-B", "footing", "outside"), '8"')
    assert '  walls:\n    A-B: {footing: {outside: 8"}}\n' in after
    after = put(after, ("building", "walls", "B-C", "existing"), "yes")
    assert '    A-B: {footing: {outside: 8"}}\n    B-C: {existing: yes}\n' in after
    after = put(after, ("order", "steel", "lap"), '30"')
    assert after.endswith('order:\n  steel: {lap: 30"}\n')


def test_a_pasted_deed_is_kept_line_by_line() -> None:
    deed = "Beginning at a pin;\nthence N 1 E 20';\nthence S 2 W 30'\n"
    after = put(SHED, ("site", "boundary", "deed"), deed)
    assert after.endswith(
        "site:\n  boundary:\n    deed: |\n      Beginning at a pin;\n      thence N 1 E 20';\n"
        "      thence S 2 W 30'\n"
    )
    again = put(after, ("site", "boundary", "deed"), deed.replace("20'", "25'"))
    assert changed(after, again) == (
        ["      thence N 1 E 20';\n"],
        ["      thence N 1 E 25';\n"],
    )


def test_the_last_part_goes_with_what_it_alone_kept() -> None:
    text = put(SHED, ("building", "walls", "A-B", "wall"), '12"')
    assert put(text, ("building", "walls", "A-B", "wall"), None) == SHED


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("a: &x 1\nb: *x\n", "is an anchor"),
        ("a: !!str 1\n", "is a tag"),
        ("- a\n", "does not start with a key"),
        ("a: [1\n", "a bracket is opened and not closed"),
    ],
)
def test_a_text_that_no_job_may_be_is_not_touched(text: str, message: str) -> None:
    with pytest.raises(InputError, match=message):
        put(text, ("a",), "2")


def test_an_answer_that_does_not_fit_the_file_is_refused() -> None:
    with pytest.raises(InputError, match="a list stands where keys are due"):
        put("a: [1, 2]\n", ("a", "b"), "2")
    with pytest.raises(InputError, match="an answer without a key"):
        put(SHED, (), "2")
