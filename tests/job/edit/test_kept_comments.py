"""No edit loses a comment or a line end, and one building becomes a list with all that it says."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from staking.errors import InputError
from staking.job.build import parse_job
from staking.job.edit.file_edits import Answer, answered
from staking.job.edit.kept_comments import comments_between
from staking.job.edit.key_order import keys_in_order
from staking.job.edit.node_spans import Value, nodes_of, value_of
from staking.job.tree.source import Place

ROOT = Path(__file__).parents[3]
BY_HAND = {path.stem: path for path in sorted((ROOT / "tests/data/jobs/by_hand").glob("*.yaml"))}

SAID = """\
job: Plum shed  # ours
building:
  corners:      # at the face
    A: [0, 0]   # by the oak
    # the long side
    B: [36', 0]
    C: [36', 24'] # "No 4" # as staked
    D: [0, 24']   # last
  wall: '8" # no comment'
  footing: {width: 20",   # as drawn
    thickness: 10"}
site:
  boundary:
    deed: |  # as pasted
      thence # 4
      thence N 1 E 20'
    # after the deed
"""
COMMENTS = [
    "# ours", "# at the face", "# by the oak", "# the long side", '# "No 4" # as staked',
    "# last", "# as drawn", "# as pasted", "# after the deed",
]  # fmt: skip


def comments(text: str) -> list[str]:
    return comments_between(nodes_of(text, "job.yaml"), text, 0, len(text))


def put(text: str, place: Place, value: Value, instead_of: str | None = None) -> str:
    answer = Answer(place=place, value=value, instead_of=instead_of)
    return answered(text, [answer], "job.yaml", keys_in_order)


def test_comments_are_told_from_what_stands_in_values() -> None:
    assert comments(SAID) == COMMENTS


def test_the_outlines_other_kind_keeps_what_was_said_of_the_first() -> None:
    after = put(SAID, ("building", "rectangle"), "36' x 24'", "corners")
    assert after.splitlines()[2:8] == [
        "  # at the face",
        "  # by the oak",
        "  # the long side",
        '  # "No 4" # as staked',
        "  rectangle: 36' x 24'   # last",
        "  wall: '8\" # no comment'",
    ]
    assert comments(after) == COMMENTS


@pytest.mark.parametrize(
    ("place", "value"),
    [
        (("building", "corners"), None),
        (("building", "corners", "A"), None),
        (("building", "corners", "D"), None),
        (("building", "footing"), None),
        (("building", "footing", "width"), None),
        (("building", "footing", "thickness"), None),
        (("building", "footing"), {"outside": '8"'}),
        (("site", "boundary", "deed"), None),
        (("site", "boundary", "deed"), "thence E\nthence W\n"),
        (("site", "boundary"), ["1", "2", "3"]),
        (("site",), None),
        (("buildings", 1), {"rectangle": "12' x 12'"}),
    ],
)
def test_what_is_taken_out_or_changed_leaves_its_comments(place: Place, value: Value) -> None:
    for newline in ("\n", "\r\n"):
        after = put(SAID.replace("\n", newline), place, value)
        assert sorted(comments(after)) == sorted(COMMENTS), after
        assert after.count("\n") == after.count(newline)


def places(value: Value, place: Place = ()) -> list[Place]:
    inside = (
        value.items() if isinstance(value, dict) else enumerate(value or ())
        if isinstance(value, list) else ()
    )  # fmt: skip
    found = [place] if place else []
    for step, each in inside:
        found += places(each, (*place, step))
    return found


@settings(max_examples=60, deadline=None)
@given(data=st.data())
def test_no_run_of_edits_loses_a_comment_or_a_line_end(data: st.DataObject) -> None:
    path = BY_HAND[data.draw(st.sampled_from(sorted(BY_HAND)))]
    text = path.read_bytes().decode("utf-8")
    before = sorted(comments(text))
    only_crlf = text.count("\n") == text.count("\r\n")
    for _ in range(3):
        # A file of one key has nothing beside it to edit.
        there = places(value_of(nodes_of(text, "job.yaml")))
        place = data.draw(st.sampled_from(there))
        values: list[Value] = [None, "7'", ["1'", "2'"], {"width": "3'"}]
        value = data.draw(st.sampled_from(values))
        other = data.draw(st.sampled_from([None, "pads", "dig"]))
        try:
            if other is not None and isinstance(place[-1], str) and value is not None:
                text = put(text, (*place[:-1], other), value, place[-1])
            else:
                text = put(text, place, value)
        except InputError:
            continue
        assert sorted(comments(text)) == before, text
        assert not only_crlf or text.count("\n") == text.count("\r\n")


@pytest.mark.parametrize("name", sorted(BY_HAND))
def test_a_second_building_makes_the_first_one_of_a_list(name: str) -> None:
    before = BY_HAND[name].read_bytes().decode("utf-8")
    top = value_of(nodes_of(before, name))
    assert isinstance(top, dict)
    if "building" not in top:
        pytest.skip("several buildings already")
    new: Value = {
        "name": "lean_to",
        "at": ["200'", "0"],
        "corners": {"Q": ["0", "0"], "R": ["9'", "0"], "S": ["9'", "9'"], "T": ["0", "9'"]},
        "wall": '8"',
        "footing": {"width": '20"', "thickness": '10"'},
    }
    after = put(before, ("buildings", 1), new)
    made = value_of(nodes_of(after, name))
    assert isinstance(made, dict)
    assert made == {
        ("buildings" if key == "building" else key): [value, new] if key == "building" else value
        for key, value in top.items()
    }
    assert sorted(comments(after)) == sorted(comments(before))
    if name != "order_of_its_own":  # which would want the ground at each new corner
        assert len(parse_job(after, name).plan.buildings) == 2
    # Nothing but its place on the line changed in what stood there.
    squeezed = re.sub(r"[\s\[\]-]", "", before).replace("building:", "buildings:")
    gone = re.sub(r"[\s\[\]-]", "", after)
    assert len(gone) > len(squeezed)
    assert re.sub(r"[\s\[\]-]", "", put(after, ("buildings", 1), None)) == squeezed
