"""``staking order`` with a drain beside the footing: tables, document, prices, notices."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from click.testing import CliRunner, Result

from staking.cli import main

ROOT = Path(__file__).parents[2]

# Invented: level ground at 100', so that every footing is level.
JOB = """
job: Drained shed
units: ft
building:
  rectangle: 36' x 24'
  wall: 8"
  footing: {width: 20", thickness: 10"}
  slab: {top: SLAB, thickness: 4"}
boards: {at: 102'}
grade:
  ground: {A: 100', B: 100', C: 100', D: 100'}
  benchmark: {name: nail, elevation: 101'}
  top_of_wall: 101'
  frost_depth: 36"
order:
  drain: DRAIN
"""
DRAIN = """{size: 4", fall: 1/8" per ft, outlet: {at: [16', -21'], level: 95'}}"""


def order(folder: Path, drain: str | None, *options: str, slab: str = "101'") -> Result:
    text = JOB.replace("SLAB", slab)
    text = text.replace("DRAIN", drain) if drain else text.replace("  drain: DRAIN", "  waste: 5%")
    path = folder / "job.yaml"
    path.write_text(text, encoding="utf-8")
    runner = CliRunner(env={"COLUMNS": "80", "NO_COLOR": "1"})
    return runner.invoke(main, ["order", str(path), *options])


def document(folder: Path, drain: str | None, **options: str) -> dict[str, Any]:
    done = order(folder, drain, "--json", **options)
    assert done.exit_code == 0, done.stderr
    found: dict[str, Any] = json.loads(done.stdout)
    schema = json.loads((ROOT / "docs" / "order.schema.json").read_text(encoding="utf-8"))
    jsonschema.validate(found, schema)
    return found


def test_the_document_has_the_drain_station_by_station(tmp_path: Path) -> None:
    # 101' less 10" less 97' are 3' 2", five courses: the bottom at 96' 10". Crown at the
    # footing's top: 97' 4" at the high point; 4" lower at the low one, 64' away both ways.
    found = document(tmp_path, DRAIN)
    stations = found["drain"]
    assert [each["kind"] for each in stations] == [
        "high point", "corner", "corner", "low point",
    ] * 2  # fmt: skip
    assert [each["corner"] for each in stations] == [
        None, "D", "A", None, None, "C", "B", None,
    ]  # fmt: skip
    high, low = stations[0], stations[3]
    assert (high["wall"], high["invert"]) == ("C-D", pytest.approx(97 + 4 / 12))
    assert high["station"] == pytest.approx(16.0)
    assert (low["wall"], low["station"]) == ("A-B", pytest.approx(16.0))
    assert low["invert"] == pytest.approx(97.0)
    assert low["trench"] == low["bottom_of_footing"] == pytest.approx(96 + 10 / 12)
    assert low["room"] == pytest.approx(0.0, abs=1e-9)
    # The benchmark at 101' less the trench.
    assert low["add_to_benchmark"] == pytest.approx(4 + 2 / 12)
    (outlet,) = found["drain_outlets"]
    assert outlet["length"] == pytest.approx(20.0)
    assert outlet["fall"] == pytest.approx(2 / 20)
    assert outlet["reach"] == "gravity"


def test_the_tables_hold_80_columns_and_say_what_fits(tmp_path: Path) -> None:
    done = order(tmp_path, DRAIN)
    assert done.exit_code == 0
    lines = [each for each in done.stdout.splitlines() if str(tmp_path) not in each]
    assert max(map(len, lines)) <= 80
    assert re.search(r"^corner D +corner +97' 2 11/16\"", done.stdout, re.MULTILINE)
    assert "Drain beside the footing" in done.stdout
    said = " ".join(done.stderr.split())
    assert 'the drain falls 4" in 64\' 0", not the 8" asked' in said
    assert 'with the trench 4" from the footing it would fit' in said
    assert "drain runs by itself from the low point on A-B to its outlet" in said


def test_the_price_list_prices_a_drain(tmp_path: Path) -> None:
    (tmp_path / "prices.yaml").write_text(
        "drain pipe: 1.50\nclosed pipe: 2\ndrain fitting: 6\nfilter: 0.25\n", encoding="utf-8"
    )
    found = document(tmp_path, DRAIN + "\n  prices: prices.yaml")
    costs = {each["what"]: each["cost"] for each in found["costs"]}
    # 128' of pipe at 1.50, 20' at 2, 4 corners and a tee at 6, 128 sq ft at 0.25.
    assert costs["perforated drain pipe"] == 192.0
    assert costs["closed pipe to the outlet"] == 40.0
    assert costs["drain fittings"] == 30.0
    assert costs["filter over the drain's stone, laps not counted"] == 32.0


def test_stone_alone_has_no_pipe(tmp_path: Path) -> None:
    found = document(tmp_path, "{size: no}")
    assert found["drain"] == []
    names = [item["what"] for item in found["items"] if item["group"] == "drain"]
    assert names == [
        "washed stone that drains alone, loose",
        "filter over the drain's stone, laps not counted",
    ]


def test_a_drain_is_due_where_the_ground_stands_over_the_floor(tmp_path: Path) -> None:
    def due(drain: str | None, slab: str) -> bool:
        warnings = document(tmp_path, drain, slab=slab)["warnings"]
        return any("R405.1" in each and "is due" in each for each in warnings)

    assert due(None, "98'")
    assert not due(None, "101'")
    assert not due(DRAIN, "98'")


def test_without_levels_the_drain_is_counted_only(tmp_path: Path) -> None:
    text = JOB.replace("DRAIN", DRAIN).replace("SLAB", "101'")
    start, end = text.index("grade:"), text.index("order:")
    path = tmp_path / "job.yaml"
    path.write_text(text[:start] + text[end:], encoding="utf-8")
    done = CliRunner().invoke(main, ["order", str(path), "--json"])
    assert done.exit_code == 0, done.stderr
    found = json.loads(done.stdout)
    assert found["drain"] == found["drain_outlets"] == []
    assert any("the drain has no levels" in each for each in found["warnings"])
