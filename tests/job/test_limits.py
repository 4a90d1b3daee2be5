"""The bounds of a job file, looked at before any work begins."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from staking.errors import InputError
from staking.job.build import parse_job, read_job
from staking.job.tree.job_limits import MOST_BYTES, MOST_CORNERS, MOST_LISTED, MOST_NODES

HEAD = "job: Barn\n"
BUILT = 'building:\n  rectangle: 36\' x 24\'\n  wall: 8"\n  footing: {width: 20", thickness: 10"}\n'


def faults_of(text):
    with pytest.raises(InputError, match=r".") as caught:
        parse_job(text, "job.yaml")
    return str(caught.value).split("\n")


def saw_teeth(count):
    """Write an outline of so many corners, a comb of steps 1' wide, in order round it."""
    half = count // 2
    there = [f"    P{i}: [{i}', {i % 2}']" for i in range(half)]
    back = [f"    Q{i}: [{i}', {20 + i % 2}']" for i in reversed(range(half))]
    return (
        "building:\n  corners:\n" + "\n".join([*there, *back]) + "\n"
        '  wall: 8"\n  footing: {width: 20", thickness: 10"}\n'
    )


def test_a_pipe_is_no_job_file_and_is_not_waited_for(tmp_path):
    pipe = tmp_path / "job.yaml"
    os.mkfifo(pipe)
    with pytest.raises(InputError, match=r".") as caught:
        read_job(pipe)
    assert str(caught.value) == (
        f"{pipe}: this is a pipe or a device, and no file; name a file on the disk"
    )


def test_a_device_without_end_is_no_job_file():
    with pytest.raises(InputError, match=r"^/dev/zero: this is a pipe or a device, and no file"):
        read_job(Path("/dev/zero"))


def test_a_file_over_1_mb_is_refused_and_one_below_is_read(tmp_path):
    file = tmp_path / "job.yaml"
    sound = HEAD + BUILT
    file.write_text(sound + "#" * (MOST_BYTES - len(sound)), encoding="utf-8")
    assert read_job(file).plan.job == "Barn"
    file.write_text(sound + "#" * (MOST_BYTES - len(sound) + 1), encoding="utf-8")
    with pytest.raises(InputError, match="the file is over 1 MB; look whether this is the right"):
        read_job(file)


def test_more_than_20_000_keys_and_values_are_refused():
    many = HEAD + "".join(f"k{i}: 1\n" for i in range(MOST_NODES // 2))
    told = faults_of(many)
    assert told == [
        "job.yaml, line 10000: more than 20,000 keys and values stand in the file; "
        "look whether this is the right file"
    ]


def test_of_many_unknown_keys_the_first_are_listed_and_the_rest_counted():
    told = faults_of(HEAD + BUILT + "".join(f"k{i}: 1\n" for i in range(3000)))
    assert len(told) == MOST_LISTED + 1
    assert told[0].startswith("job.yaml, line 6, k0: no such key; the keys here are job, units")
    assert told[MOST_LISTED - 1].startswith("job.yaml, line 55, k49: no such key")
    assert told[-1] == "job.yaml: and 2,950 more faults; mend these first"


def test_faults_within_one_list_are_counted_too():
    pads = "".join(f"    - {{name: P{i}, at: [0, 0], diameter: -1', thickness: 1'}}\n"
                   for i in range(60))  # fmt: skip
    told = faults_of(HEAD + BUILT + "  pads:\n" + pads)
    assert len(told) == MOST_LISTED + 1
    assert told[-1] == "job.yaml: and 10 more faults; mend these first"


def test_a_job_has_400_corners_at_most():
    parse_job(HEAD + saw_teeth(MOST_CORNERS), "job.yaml")
    told = faults_of(HEAD + saw_teeth(MOST_CORNERS + 2))
    assert told == [
        "job.yaml, line 3, corners: there are 402 corners in all; a job has 400 at most; "
        "leave out corners that lie on a straight line, or split the job"
    ]


def test_a_side_of_1000_feet_is_taken():
    text = HEAD + BUILT.replace("36' x 24'", "1000' x 24'")
    assert parse_job(text, "job.yaml").plan.buildings
    told = faults_of(HEAD + BUILT.replace("36' x 24'", "1000' 1\" x 24'"))
    assert told == [
        "job.yaml, line 3, rectangle: the side A-B is 1000' 1\" long; no side may be over "
        "1000' 0\"; check the numbers and their unit"
    ]


def test_a_shape_to_keep_off_has_400_corners_at_most():
    corners = ", ".join(f"[{i}', 100']" for i in range(401))
    told = faults_of(HEAD + BUILT + f"site: {{stay_clear: [{{name: x, corners: [{corners}]}}]}}\n")
    assert told == [
        "job.yaml, line 6, site stay_clear x corners: there are 401 corners; a shape has 400 at "
        "most; leave out corners that lie on a straight line"
    ]
