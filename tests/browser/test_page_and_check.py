"""The page's script and ``staking check`` on the same readings: one verdict, blame and moves."""

from __future__ import annotations

import json
import shutil
import subprocess
from importlib.resources import files
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from staking.adjust.level_readings import Reading, Readings
from staking.adjust.targets import targets_of
from staking.checked.page_tapes import page_tapes
from staking.checked.stakes_checked import Checked
from staking.job.build import Job
from staking.output.page.phone_page import SCRIPTS
from staking.output.page.script_data import page_data
from staking.output.tables.check_tables import move_lines, repeat_lines, slide_lines, verdict_text
from staking.project.check import check_job
from staking.project.layout import load_job
from staking.project.resolve import Resolved, resolve
from tests.verdicts import INCH, Case, case, far_off, jogged_case

PAGE = files("staking.output.page")
PLANS = 24
"""Enough for every shape; the search with more is `python -m tests.browser.test_page_and_check`."""


FIXTURES = Path(__file__).parents[2] / "fixtures"
DEMOS = ("orchard-workshop", "boat-shed", "hillside-lot")
OTHERS = (
    """\
job: Plum shed
units: ft
building: {rectangle: 10' x 8', wall: 8", footing: {width: 16", thickness: 8"}}
""",
    """\
job: Quince house
units: m
show: millimetres
building:
  corners:
    A: [0, 0]
    B: [11.476, -3.509]
    C: [13.523, 3.185]
    D: [9.698, 4.354]
    E: [11.160, 9.136]
    F: [7.335, 10.305]
    G: [5.873, 5.523]
    H: [2.047, 6.693]
  wall: 200 mm
  footing: {width: 500 mm, thickness: 250 mm}
""",
    """\
job: Medlar addition
units: ft
building:
  sides: [east 22', north 16' 5 1/4", west 9', north 4", west 13', south 16' 9 1/4"]
  wall: 8"
  footing: {width: 20", thickness: 10"}
  walls: {D-E: {existing: true}}
  pads: [{name: P1, at: [6', 5'], size: [24", 24"], thickness: 12"}]
""",
)
"""A shed, a T in millimetres turned 17 degrees, an addition with a jog against a building."""

JOG = 6
"""Stakes so far off that a jog of a few inches lies anyhow."""


ANSWERING = (*SCRIPTS[: SCRIPTS.index("memory.js")], "tapes.js")
"""Those parts of the script that need no browser."""


def script() -> str:
    return "".join((PAGE / name).read_text(encoding="utf-8") for name in ANSWERING)


def readings_of(given: Case, rng: np.random.Generator, kind: int) -> dict[tuple[str, str], float]:
    """Good stakes, stakes off, one or two wrong readings, an inch in all, another building."""
    places = given.places
    if kind == JOG:
        places = far_off(places, rng)
    elif kind % 6 >= 1:
        size = float(rng.choice([0.1, 0.4, 1.0])) * INCH
        places = {name: at + rng.normal(0, size, 2) for name, at in places.items()}
    if kind % 6 == 5:
        places = {name: at * np.array([1.3, 1.6]) for name, at in places.items()}
    read = {(m.from_name, m.to_name): m.distance for m in given.read(places, rng)}
    pairs = list(read)
    if kind % 6 in {2, 3}:
        for pick in rng.choice(len(pairs), size=kind % 6 - 1, replace=False):
            read[pairs[pick]] += float(rng.choice([-1, 1])) * float(rng.uniform(0.5, 14)) * INCH
    if kind % 6 == 4:
        read = {pair: length + INCH for pair, length in read.items()}
    if rng.random() < 0.2 and len(pairs) > 8:
        del read[pairs[int(rng.integers(len(pairs)))]]
    return read


def checked(resolved: Resolved, read: dict[tuple[str, str], float]) -> Checked:
    listed = tuple(Reading(from_name=a, to_name=b, distance=d) for (a, b), d in read.items())
    return check_job(resolved, Readings(readings=listed, heights={}))


def answers(jobs: list[dict[str, Any]], folder: Path) -> list[list[dict[str, Any]]]:
    node = shutil.which("node")
    assert node is not None, "install node, which runs the page's script without a browser"
    path = folder / "page.js"
    path.write_text(script(), encoding="utf-8")
    done = subprocess.run(
        [node, str(Path(__file__).parent / "page_answers.js"), str(path)],
        input=json.dumps({"jobs": jobs}),
        capture_output=True,
        encoding="utf-8",
        check=False,
    )
    assert done.returncode == 0, done.stderr
    found: list[list[dict[str, Any]]] = json.loads(done.stdout)
    return found


Sets = list[tuple[Resolved, list[dict[tuple[str, str], float]]]]


def random_sets(plans: int, sets: int, seed: int) -> Sets:
    """Random plans, each with some sets of readings."""
    rng = np.random.default_rng(seed)
    found: Sets = []
    for number in range(plans):
        jog = number % 6 == 5
        given = jogged_case(rng) if jog else case(rng)
        resolved = resolve(Job(plan=given.plan, options=given.options))
        reads = [readings_of(given, rng, JOG if jog else number + k) for k in range(sets)]
        found.append((resolved, reads))
    return found


def sets_of_job(path: Path, sets: int, rng: np.random.Generator) -> tuple[Resolved, Any]:
    """Sets of readings of one job: good stakes, stakes off, one or two wrong readings."""
    resolved = resolve(load_job(path))
    layout = resolved.layout
    planned = layout.plan.corner_points | {e.name: e.point for e in targets_of(layout.plan)}
    reads = []
    for k in range(sets):
        shift = (0.0, 0.1, 0.4, 1.0)[k % 4] * INCH
        places = {name: np.array(at) + rng.normal(0, shift, 2) for name, at in planned.items()}
        read = {}
        for tape in page_tapes(layout).tapes:
            pair = (tape.from_name, tape.to_name)
            length = float(np.hypot(*(places[pair[1]] - places[pair[0]])))
            step = layout.options.step
            read[pair] = round((length + float(rng.normal(0, 0.05 * INCH))) / step) * step
        for pick in rng.choice(len(read), size=k % 3, replace=False):
            read[list(read)[pick]] += float(rng.choice([-1, 1])) * float(rng.uniform(1, 13)) * INCH
        reads.append(read)
    return resolved, reads


def compare(given: Sets, folder: Path) -> tuple[int, list[str]]:
    """Compare many sets: how many were answered, and what differs."""
    jobs, wanted = [], []
    for resolved, reads in given:
        data = page_data(resolved.layout, page_tapes(resolved.layout))
        order = [(start, end) for _, start, end, *_ in data["tapes"]]
        rows = []
        for k, read in enumerate(reads):
            rows.append({"readings": [read.get(pair) for pair in order]})
            try:
                kept = {pair: read[pair] for pair in order if pair in read}
                wanted.append((len(jobs), k, checked(resolved, kept)))
            except ArithmeticError as fault:
                wanted.append((len(jobs), k, fault))
        jobs.append({"job": data, "sets": rows})
    found, differ, told = answers(jobs, folder), [], 0
    for place, k, want in wanted:
        have = found[place][k]
        if isinstance(want, Exception):
            if have["kind"] == "answer":
                differ.append(f"{place}.{k}: page answers, check says {want}")
            continue
        said = {
            "kind": "answer",
            "square": want.verdict.square,
            "decided": want.verdict.decided,
            "verdict": verdict_text(want),
            "moves": list(move_lines(want)),
            "slides": list(slide_lines(want)),
            "repeat": list(repeat_lines(want)),
            "common": None if want.judged.common is None else str(want.judged.common.kind),
            "blamed": [
                [
                    f"{want.judged.adjusted[p].measurement.from_name}-"
                    f"{want.judged.adjusted[p].measurement.to_name}"
                    for p in suspect.members
                ]
                for suspect in want.judged.suspects
            ],
        }
        told += 1
        for key, value in said.items():
            if have.get(key) != value:
                differ.append(f"{place}.{k} {key}: page {have.get(key)}, check {value}")
                break
    return told, differ


@pytest.mark.parametrize("seed", [3])
def test_the_page_says_what_check_says(tmp_path: Path, seed: int) -> None:
    told, differ = compare(random_sets(PLANS, 6, seed), tmp_path)
    assert told > 3 * PLANS
    assert not differ, "\n".join(differ[:10])


def test_a_hundred_sets_on_six_jobs_are_answered_as_check_answers(tmp_path: Path) -> None:
    rng = np.random.default_rng(14)
    paths = [FIXTURES / name / "job.yaml" for name in DEMOS]
    for number, text in enumerate(OTHERS):
        paths.append(tmp_path / f"job-{number}.yaml")
        paths[-1].write_text(text, encoding="utf-8")
    told, differ = compare([sets_of_job(path, 17, rng) for path in paths], tmp_path)
    assert not differ, "\n".join(differ[:10])
    assert told >= 100


if __name__ == "__main__":
    import tempfile

    with tempfile.TemporaryDirectory() as where:
        count, apart = compare(random_sets(500, 6, 11), Path(where))
        print(f"{count} sets answered by both, {len(apart)} differ")
        print("\n".join(apart[:20]))
