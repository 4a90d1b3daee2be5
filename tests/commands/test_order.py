"""``staking order`` as it is typed: status, standard output and standard error apart."""

from __future__ import annotations

import csv
import io
import json
import re
import shutil
from collections.abc import Callable
from pathlib import Path

import jsonschema
import pytest
from click.testing import CliRunner, Result

from staking.cli import main

ROOT = Path(__file__).parents[2]
SCHEMA = json.loads((ROOT / "docs" / "order.schema.json").read_text(encoding="utf-8"))
BARN = """\
job: Pear barn
units: ft
building:
  rectangle: 36' x 24'
  wall: 8"
  footing: {width: 20", thickness: 10"}
"""
ORDER = """\
order:
  waste: 5%
  truck: 4 cu yd
  discharge_limit: 90 min
  minutes_per_load: 30
  steel: {bars: 2, size: 4, cover: 3", lap: 30", stock: 20', dowels: 48"}
  block: {length: 16", height: 8", courses: 4}
"""

Run = Callable[..., Result]


@pytest.fixture
def run(tmp_path: Path) -> Run:
    def invoke(text: str, *words: str) -> Result:
        path = tmp_path / "barn.yaml"
        path.write_text(text, encoding="utf-8")
        line = ["order", str(path), *words]
        return CliRunner().invoke(main, line, catch_exceptions=False)

    return invoke


def widest(text: str) -> int:
    """The longest line but for those that name a file."""
    return max(len(line) for line in text.splitlines() if not line.startswith("wrote "))


def document(done: Result) -> dict:
    return json.loads(done.stdout)


def item(done: Result, what: str) -> dict:
    (found,) = (each for each in document(done)["items"] if each["what"] == what)
    return found


def test_a_barn_without_an_order_section_is_ordered_by_the_defaults(run: Run) -> None:
    done = run(BARN)
    assert done.exit_code == 0
    assert "the job has no order section" in " ".join(done.stderr.split())
    assert "no digging is worked out" in " ".join(done.stderr.split())
    assert "117.3333 ft mean length x 1.6667" in done.stdout
    assert widest(done.stdout) <= 80


def test_a_whole_order_is_readable_at_eighty_columns(run: Run) -> None:
    done = run(BARN + "dig: {depth: 4', bank: 0.5, base: 4\"}\n" + ORDER)
    assert done.exit_code == 0
    assert widest(done.stdout) <= 80
    for title in ("Concrete", "Steel", "Block, mortar and bolts", "Dig, stone and spoil"):
        assert f"\n{title}\n" in f"\n{done.stdout}"
    assert "no cutting needs fewer" in done.stdout
    assert "Traceback" not in done.stderr


def test_the_files_hold_what_the_schema_says(run: Run, tmp_path: Path) -> None:
    done = run(BARN + ORDER)
    assert done.exit_code == 0
    folder = tmp_path / "barn-layout"
    written = json.loads((folder / "order.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    jsonschema.Draft202012Validator(SCHEMA).validate(written)
    rows = list(csv.DictReader(io.StringIO((folder / "order.csv").read_text(encoding="utf-8"))))
    assert [row["what"] for row in rows] == [each["what"] for each in written["items"]]
    assert f"wrote {folder / 'order.json'}" in done.stdout


def test_json_prints_the_document_and_writes_nothing(run: Run, tmp_path: Path) -> None:
    done = run(BARN + ORDER, "--json")
    jsonschema.Draft202012Validator(SCHEMA).validate(document(done))
    assert not (tmp_path / "barn-layout").exists()
    loads = {each["pour"]: each for each in document(done)["loads"]}
    assert (loads["footings"]["count"], round(loads["footings"]["last"], 3)) == (2, 2.337)


def test_quiet_says_nothing_but_warnings(run: Run) -> None:
    done = run(BARN + ORDER, "-q")
    assert (done.exit_code, done.stdout, done.stderr) == (0, "", "")


PRODUCT = re.compile(
    r"(?P<a>[0-9.]+) (?:ft mean length|sq ft|bars)? ?x (?P<b>[0-9.]+) ft(?: = [0-9.]+ sq ft; x "
    r"(?P<c>[0-9.]+) ft)? = (?P<v>[0-9.]+) cu ft / 27 = (?P<y>[0-9.]+) cu yd"
)


def test_concrete_can_be_redone_on_a_calculator(run: Run) -> None:
    line = item(run(BARN + ORDER, "--json"), "footing, no corner counted twice")
    match = PRODUCT.fullmatch(line["arithmetic"])
    assert match is not None
    product = float(match["a"]) * float(match["b"]) * float(match["c"])
    assert product == pytest.approx(float(match["v"]), rel=0, abs=0.02)
    assert float(match["v"]) / 27 == pytest.approx(float(match["y"]), rel=0, abs=0.006)
    assert line["quantity"] == pytest.approx(float(match["y"]), rel=0, abs=0.006)


def test_every_item_has_a_line_of_arithmetic_that_ends_in_its_quantity(run: Run) -> None:
    done = run(BARN + "dig: {depth: 4', base: 4\"}\n" + ORDER, "--json")
    for each in document(done)["items"]:
        numbers = [float(n) for n in re.findall(r"[0-9]+(?:\.[0-9]+)?", each["arithmetic"])]
        near = [n for n in numbers if abs(n - abs(each["quantity"])) < 0.06]
        assert near, each


def test_a_metric_job_is_ordered_in_metres(run: Run) -> None:
    text = (
        "job: Shed\nunits: mm\nshow: millimetres\nbuilding:\n  rectangle: 9000 x 6000\n"
        "  wall: 200\n  footing: {width: 500, thickness: 250}\ndig: {depth: 900}\n"
        "order:\n  truck: 6 m3\n  steel: {size: 13, cover: 75, lap: 48 diameters, stock: 6 m}\n"
    )
    done = run(text, "--json")
    assert done.exit_code == 0
    line = item(done, "footing, no corner counted twice")
    assert line["unit"] == "m3"
    # 29.2 m of centre line, 0.5 m wide, 0.25 m thick.
    assert line["quantity"] == pytest.approx(29.2 * 0.5 * 0.25, rel=0, abs=1e-9)
    assert "cu" not in "".join(each["arithmetic"] for each in document(done)["items"])
    assert "cu yd" not in run(text).stdout


def test_prices_are_for_what_is_sold(run: Run, tmp_path: Path) -> None:
    (tmp_path / "prices.yaml").write_text("concrete: 165\nbar 4: 9.5\n", encoding="utf-8")
    done = run(BARN + ORDER + "  prices: prices.yaml\n", "--json")
    costs = {each["what"]: each["cost"] for each in document(done)["costs"]}
    footing = item(done, "footing concrete to order")["quantity"]
    assert costs["footing concrete to order"] == pytest.approx(165 * footing, rel=0, abs=0.01)
    assert costs["bars No. 4"] == 9.5 * item(done, "bars No. 4")["quantity"]
    assert "together" in run(BARN + ORDER + "  prices: prices.yaml\n").stdout


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("waste: 800%", "800% is more than half of the whole"),
        ("waste: 5", "5 has no percent sign; write 5%"),
        ("steel: {lap: 21', stock: 20'}", "longer than the stock of 20' 0\""),
        ("steel: {lap: 11', stock: 20'}", "over half the stock of 20' 0\""),
        ("steel: {lap: IRC grade 60, size: 8}", "has no lap for bar No. 8"),
        ("steel: {lap: long}", "long is neither a length nor a rule"),
        ("steel: {bars: 12}", "is 1' 8\" wide; 12 bars No. 4"),
        ('steel: {cover: 9"}', 'is 10" thick; 2 bars No. 4 in 9" of cover need 11"'),
        ("steel: {size: 12}", "there is no bar 12"),
        ("steel: {dowels: 4', dowel_length: 21'}", "a dowel of 21' 0\" is longer than the stock"),
        ("truck: 900 cu yd", "no truck carries 900 cu yd"),
        ("truck: 9 barrels", "9 barrels is no volume"),
        ("discharge_limit: soon", "soon is no time in minutes"),
        ("block: {length: 16'}", "no block is 16' 0\" long"),
        ('blok: {length: 16"}', "no such key; write block"),
        ("prices: none.yaml", "none.yaml"),
    ],
)
def test_what_cannot_be_ordered_is_told_with_its_line(run: Run, line: str, told: str) -> None:
    done = run(f"{BARN}order:\n  {line}\n")
    assert done.exit_code == 3
    assert told in done.stderr
    assert done.stdout == ""
    if "cover:" not in line and "prices" not in line:
        assert "barn.yaml, line 8" in done.stderr


def test_faults_of_a_price_list_name_the_list(run: Run, tmp_path: Path) -> None:
    (tmp_path / "prices.yaml").write_text("concret: 165\nblock: two\nsteel: 1\nbar 4: 9\n")
    done = run(BARN + "order:\n  prices: prices.yaml\n")
    assert done.exit_code == 3
    assert "prices.yaml, line 1" in done.stderr
    assert "there is no such price; write concrete" in done.stderr
    assert "two is no price" in done.stderr
    assert "bars are priced one by one as well" in done.stderr


@pytest.mark.parametrize("fixture", ["orchard-workshop", "boat-shed", "hillside-lot"])
def test_every_demo_can_be_ordered(fixture: str, tmp_path: Path) -> None:
    shutil.copytree(ROOT / "fixtures" / fixture, tmp_path / fixture)
    line = ["order", str(tmp_path / fixture / "job.yaml")]
    done = CliRunner().invoke(main, line, catch_exceptions=False)
    assert done.exit_code == 0
    assert widest(done.stdout) <= 80
    assert widest(done.stderr) <= 80


def test_a_stepped_footing_is_poured_from_the_low_end(tmp_path: Path) -> None:
    shutil.copytree(ROOT / "fixtures" / "hillside-lot", tmp_path / "lot")
    line = ["order", str(tmp_path / "lot" / "job.yaml"), "--json"]
    found = document(CliRunner().invoke(main, line, catch_exceptions=False))
    assert found["graded"] is True
    levels = [each["bottom"] for each in found["pour_order"]]
    assert levels == sorted(levels)
    (whole,) = (e for e in found["items"] if e["what"] == "footing concrete to order")
    assert found["pour_order"][-1]["total"] == pytest.approx(whole["quantity"], rel=0, abs=1e-6)
    steps = [each for each in found["items"] if each["what"].startswith("steps")]
    assert steps
    assert "step bars" in {each["what"] for each in found["bars"]}


def test_the_help_says_what_it_does() -> None:
    done = CliRunner().invoke(main, ["order", "--help"])
    assert done.exit_code == 0
    assert "Each figure has its arithmetic" in done.stdout


STEPPED = """\
job: Trade case
building:
  rectangle: 24' x 16'
  wall: 8"
  footing: {width: 20", thickness: 10"}
grade:
  ground: {A: 100', B: 97', C: 97', D: 100'}
  strip: 0
  in_ground: 0
  benchmark: {name: nail, elevation: 100'}
  top_of_wall: 102'
  frost_depth: 42"
  rules: NHBC strip
"""


def test_t5_eight_steps_of_the_trade_case_under_a_published_rule(run: Run) -> None:
    # Overlap the largest of twice the 8" rise, the thickness and 300 mm: 1.4815 cu ft a step.
    line = item(run(STEPPED, "--json"), "steps, the overlap under the upper footing")
    assert line["arithmetic"].startswith("8 x 1.3333 ft overlap x 1.6667 ft x 0.6667 ft rise")
    assert line["quantity"] * 27 == pytest.approx(8 * 1.4815, rel=0, abs=1e-3)


def test_walls_are_cast_by_their_heights_where_no_block_is_asked_for(run: Run) -> None:
    done = run(STEPPED, "--json")
    walls = [each for each in document(done)["items"] if each["what"] == "walls"]
    assert [round(each["sizes"]["height"], 4) for each in walls] == [
        8, 7.3333, 6.6667, 6, 5.3333,
    ]  # fmt: skip
    # The same walls in block: 572 of 16" x 8" without their corners twice.
    blocked = document(run(STEPPED + "order: {block: {grout: no}}\n", "--json"))["blocks"]
    laid = sum(b["stretchers"] + b["corners"] + b["cuts"] + b["halves"] / 2 for b in blocked)
    area = laid * 16 * 8 / 144
    assert sum(each["quantity"] for each in walls) * 27 / (2 / 3) == pytest.approx(
        area, rel=0, abs=0.5
    )


def test_bolts_and_dowels_can_be_left_out(run: Run) -> None:
    done = run(BARN + "order:\n  bolts: no\n  steel: {dowels: no}\n", "--json")
    assert document(done)["bolts"] == []
    assert "dowels" not in {each["what"] for each in document(done)["bars"]}


def test_block_without_a_height_is_asked_for(run: Run) -> None:
    done = run(BARN + 'order:\n  block: {length: 16"}\n')
    assert "nothing says how high the walls are" in " ".join(done.stderr.split())
    assert done.exit_code == 0
