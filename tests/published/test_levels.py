"""Level books, grade rods and fills over a benchmark, as printed.

Level books, through `staking grade`: W. Amin, engineering survey notes, Universiti Sains Malaysia,
levelling example (civil.eng.usm.my/wamin; a book closed between two benchmarks, its misclosure
shared by set-ups; final levels printed to 0.01); C. D. Ghilani and P. R. Wolf, Elementary
Surveying, chapter 5, a loop of seven set-ups (from memory). Rods: US Navy, NAVEDTRA 14081,
Equipment Operator, chapter 15, p. 15-30 (the text prints 376.15 once for 375.15). Inches over the
benchmark stake: Framing Floors, Walls and Ceilings, excavation layout record, p. 13 (as printed at
scribd.com/document/460084904). What is worked out by hand says so.
"""

from __future__ import annotations

import json
import math
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from staking.cli import main
from staking.grade.setting_out.rods import (
    add_to_benchmark,
    down_from_string,
    instrument_height,
    rod_reading,
)


def levelled(
    folder: Path, unit: str, book: str, corners: Sequence[str], top: float
) -> tuple[dict[str, float], list[str]]:
    """Give the ground that `staking grade` finds at each corner, and what it says."""
    (folder / "levels.csv").write_text(book, encoding="utf-8")
    foot = 1.0 if unit == "ft" else 0.3048
    # Corners far apart on a circle, so that any run of levels can be stepped.
    turn = 2 * math.pi / len(corners)
    places = "\n".join(
        f"    {name}: [{120 * foot * math.cos(turn * i):.4f}, "
        f"{120 * foot * math.sin(turn * i):.4f}]"
        for i, name in enumerate(corners)
    )
    (folder / "job.yaml").write_text(
        f"job: Levels\nunits: {unit}\nshow: {'metres' if unit == 'm' else 'feet-inches'}\n"
        f"building:\n  corners:\n{places}\n"
        '  wall: 8"\n  footing: {width: 20", thickness: 10"}\n'
        f"grade:\n  ground: {{level_book: levels.csv}}\n  top_of_wall: {top}\n"
        '  frost_depth: 12"\n  in_ground: 0\n  strip: 0\n'
        '  course: 24"\n  module: 48"\n',
        encoding="utf-8",
    )
    ran = CliRunner().invoke(main, ["grade", str(folder / "job.yaml"), "--json"])
    assert ran.exit_code in (0, 5), ran.output
    document: dict[str, Any] = json.loads(ran.stdout)
    found: dict[str, float] = {}
    for wall in document["walls"]:
        first, last = wall["wall"].split("-")
        found[first] = wall["ground"]["existing"][0]
        found[last] = wall["ground"]["existing"][-1]
    return found, document["warnings"]


def test_a_book_closed_between_two_benchmarks(tmp_path: Path) -> None:
    found, told = levelled(
        tmp_path,
        "m",
        "point,backsight (m),intermediate,foresight,elevation\n"
        "OBM1,1.717,,,29.23\nA,,1.432,,\nB,2.918,,1.716,\nC,,2.272,,\nD,0.816,,0.953,\n"
        "E,1.436,,3.005,\nCP,1.246,,1.391,\nF,,1.353,,\nG,,1.462,,\nOBM2,,,0.628,29.66\n",
        "ABCDEFG",
        32.4,
    )
    printed = {"A": 29.51, "B": 29.23, "C": 29.87, "D": 31.19, "E": 29.00, "F": 28.93, "G": 28.83}
    for name, level in printed.items():
        # Printed to 0.01, F exactly on the rounding edge.
        assert found[name] == pytest.approx(level, abs=0.0051)
    assert any(
        "carried to OBM2, the levels come out 0.010 m high, and each of 5 set-ups" in each
        for each in told
    )


def test_a_section_with_its_page_check(tmp_path: Path) -> None:
    # By hand, no source. The known elevation at the end is left out, so nothing is shared:
    # 100 + 3.10 - 9.82 = 93.28, + 6.44 - 6.96 = 92.76, + 8.76 - 3.27 = 98.25.
    found, told = levelled(
        tmp_path,
        "ft",
        "point,BS (ft),FS,elevation\n"
        "BM A,3.10,,100\nTP1,6.44,9.82,\nTP2,8.76,6.96,\nTP3,7.12,3.27,\nBM B,,10.42,\n",
        ("TP1", "TP2", "TP3"),
        101.0,
    )
    assert [found[name] for name in ("TP1", "TP2", "TP3")] == pytest.approx(
        [93.28, 92.76, 98.25], abs=0.005
    )
    assert any("ends on no point of known elevation" in each for each in told)


def test_a_section_that_misses_its_benchmark_by_4_hundredths(tmp_path: Path) -> None:
    _, told = levelled(
        tmp_path,
        "ft",
        "point,BS (ft),FS,elevation\n"
        "BM A,3.10,,100\nTP1,6.44,9.82,\nTP2,8.76,6.96,\nTP3,7.12,3.27,\nBM B,,10.42,94.91\n",
        ("TP1", "TP2", "TP3"),
        101.0,
    )
    # By hand: 98.25 + 7.12 - 10.42 = 94.95, and 94.91 is known. 0.04 ft is 0.48", to the
    # sixteenth 1/2".
    assert (
        'levels.csv: carried to BM B, the levels come out 1/2" high, and each of 4 set-ups takes '
        "an equal share of it off" in told
    )


def test_a_loop_of_seven_set_ups(tmp_path: Path) -> None:
    found, told = levelled(
        tmp_path,
        "ft",
        "point,BS (ft),FS,elevation\n"
        "BM Mill,1.33,,2053.18\nTP1,0.22,8.37,\nTP2,0.96,7.91,\nTP3,0.46,11.72,\n"
        "OAK,11.95,8.71,\nTP4,12.55,2.61,\nTP5,12.77,0.68,\nBM Mill,,0.21,2053.18\n",
        ("TP1", "TP2", "TP3", "OAK", "TP4", "TP5"),
        2049.0,
    )
    assert [found[name] for name in ("TP1", "TP2", "TP3", "OAK", "TP4", "TP5")] == pytest.approx(
        [2046.14, 2038.44, 2027.68, 2019.42, 2028.76, 2040.62], abs=0.0051
    )
    assert any("each of 7 set-ups takes an equal share of it off" in each for each in told)


def test_a_fill_from_a_benchmark() -> None:
    instrument = instrument_height(365.01, 11.56)
    assert instrument == pytest.approx(376.57, abs=0.005)
    rod = rod_reading(instrument, 378.75, 13.0)
    assert rod.value == pytest.approx(-2.18, abs=0.005)
    assert rod.turning_point


def test_inches_over_the_benchmark_stake() -> None:
    # The foundation's top is 30" over the corner stake, the benchmark stake 6" over it.
    assert add_to_benchmark(6.0, 30.0) == pytest.approx(-24.0, abs=0.05)


def test_height_of_instrument() -> None:
    # By hand, no source: 820.00 + 8.42 = 828.42, and 828.42 - 827.22 = 1.20.
    instrument = instrument_height(820.00, 8.42)
    assert instrument == pytest.approx(828.42, abs=0.005)
    assert down_from_string(instrument, 827.22) == pytest.approx(1.20, abs=0.005)
