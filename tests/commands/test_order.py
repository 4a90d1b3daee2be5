"""``staking order`` as it is typed: status, standard output and standard error apart."""

from __future__ import annotations

import csv
import io
import json
import math
import re
import shutil
from collections.abc import Callable
from pathlib import Path

import jsonschema
import pytest
from click.testing import CliRunner, Result

from staking.cli import main
from tests.commands.printed import last_lines, widest

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


def document(done: Result) -> dict:
    return json.loads(done.stdout)


def item(done: Result, what: str) -> dict:
    (found,) = (each for each in document(done)["items"] if each["what"] == what)
    return found


def test_a_barn_without_an_order_section_is_ordered_by_the_defaults(run: Run) -> None:
    done = run(BARN)
    assert done.exit_code == 0
    assert "The job has no order section" in " ".join(done.stderr.split())
    assert "no digging is worked out" in " ".join(done.stderr.split())
    assert "117.3333 ft mean length x 20 in" in done.stdout
    assert widest(done.stdout) <= 80


def test_a_whole_order_is_readable_at_eighty_columns(run: Run) -> None:
    done = run(BARN + "dig: {depth: 3', bank: 0.5, base: 4\"}\n" + ORDER)
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
    assert last_lines(done.stdout)[-2:] == ["Files: order.csv, order.json in", f"  {folder}"]


def test_json_prints_the_document_and_writes_nothing(run: Run, tmp_path: Path) -> None:
    done = run(BARN + ORDER, "--json")
    jsonschema.Draft202012Validator(SCHEMA).validate(document(done))
    assert not (tmp_path / "barn-layout").exists()
    loads = {each["pour"]: each for each in document(done)["loads"]}
    assert (loads["footings"]["count"], round(loads["footings"]["last"], 3)) == (2, 2.5)


def test_quiet_says_nothing_but_warnings(run: Run) -> None:
    done = run(BARN + ORDER, "-q")
    assert (done.exit_code, done.stdout, done.stderr) == (0, "", "")


NUMBER = re.compile(r"-?[0-9]+(?:\.[0-9]+)?")


def redo(line: str) -> tuple[float, float] | None:
    """Type a line into a calculator, part by part: what comes out, and what is printed last.

    Every result between is held against its printed digits; None where there is nothing to type.
    """
    parts = [part.strip() for part in line.split("=")]
    value = 0.0
    for i, part in enumerate(parts):
        first = NUMBER.match(part)
        if i:
            assert first is not None, line
            shown = first[0]
            if "rounded up" in line and i == len(parts) - 1:
                value = math.ceil(value - 1e-6)
            last = 10.0 ** -len(shown.partition(".")[2])
            assert value == pytest.approx(float(shown), rel=0, abs=0.53 * last), line
            if i == len(parts) - 1:
                return value, float(shown)
            part = f"{value!r} {part[first.end() :]}"
        part = re.sub(r"lb/ft|kg/m\b", "", part)
        typed = re.sub(r"\+ ([0-9.]+) % \w+", lambda m: f"* (1 + {m[1]} / 100)", part)
        typed = re.sub(r"\bx\b", "*", typed)
        typed = re.sub(r"\b[A-Za-z]\w*|[,;:]", " ", typed)
        if NUMBER.search(typed) is None or len(parts) == 1:
            return None
        # Numbers, brackets and the four signs alone.
        assert re.fullmatch(r"[-+*/(). 0-9e]+", typed), line
        value = eval(typed)
    return None


CALCULATED = {
    "earth": BARN + "dig: {depth: 3', base: 4\", bank: 0.5}\n" + ORDER,
    "wider": BARN + 'dig: {depth: 3\', overdig: 5", bucket: 24"}\n' + ORDER,
    "fill": (
        "job: Barn\nbuilding: {rectangle: 36' x 24', wall: 8\", footing: {width: 20\", "
        'thickness: 10"},\n  slab: {top: 100\' 8", thickness: 4", base: 4"}}\n'
        'dig: {cast: forms, overdig: 7", bank: 0.5, base: 3"}\ngrade: {ground: {A: 99\', '
        "B: 97.2', C: 97.2', D: 99'}, strip: 6\", top_of_wall: 101', frost_depth: 24\"}\n"
        "order: {fill: {kind: gravel, spoil: 5\"}, forms: {board: 2x8, stock: 16'}}\n"
    ),
    "metric": (
        "job: Shed\nunits: mm\nshow: millimetres\nbuilding:\n  rectangle: 9130 x 6110\n"
        "  wall: 190\n  footing: {width: 515, thickness: 255}\n  slab: {thickness: 120, base: 90}\n"
        "  pads:\n    - {name: Q, from: [11000, 0], to: [11000, 6000], count: 3, diameter: 455, "
        "thickness: 310}\n"
        "  openings: [{wall: A-B, from: 1000, width: 2350, drop: 210}]\n"
        "dig: {depth: 905, base: 80, bank: 0.4, cast: forms}\norder:\n  truck: 6 m3\n"
        "  wall_height: 1130\n  steel: {size: 13, lap: 620, stock: 6 m, dowels: 800}\n"
    ),
}


@pytest.mark.parametrize("text", CALCULATED.values(), ids=CALCULATED.keys())
def test_every_line_of_arithmetic_comes_out_on_a_calculator(run: Run, text: str) -> None:
    redone = 0
    for each in document(run(text, "--json"))["items"]:
        found = redo(each["arithmetic"])
        if found is not None and "bought" not in each["arithmetic"]:
            assert found[1] == pytest.approx(abs(each["quantity"]), rel=0, abs=0.051), each
        redone += found is not None
    assert redone >= 15


@pytest.mark.parametrize("fixture", ["orchard-workshop", "boat-shed", "hillside-lot"])
def test_every_line_of_the_demos_comes_out_too(fixture: str, tmp_path: Path) -> None:
    shutil.copytree(ROOT / "fixtures" / fixture, tmp_path / fixture)
    line = ["order", str(tmp_path / fixture / "job.yaml"), "--json"]
    found = document(CliRunner().invoke(main, line, catch_exceptions=False))["items"]
    assert sum(redo(each["arithmetic"]) is not None for each in found) >= 8


def test_a_wider_trench_is_told_by_the_width_that_is_cast(run: Run) -> None:
    # Two feet and a half wide on the footing's middle, 117' 4" long: what a person can tape.
    done = run(CALCULATED["wider"], "--json")
    told = item(done, "footing, no corner counted twice")["arithmetic"]
    assert told.startswith("117.3333 ft mean length x 2.5 ft x 10 in / 12 = ")


def test_every_item_has_a_line_of_arithmetic_that_ends_in_its_quantity(run: Run) -> None:
    done = run(BARN + "dig: {depth: 3', base: 4\"}\n" + ORDER, "--json")
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
    footing = item(done, "footing concrete to order")
    assert footing["quantity"] <= footing["order"] < footing["quantity"] + 0.25
    # What is paid for is what is ordered, up to the quarter.
    assert costs["footing concrete to order"] == round(165 * footing["order"], 2)
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
        ("steel: {size: 14 mm}", "there is no bar of 14 mm; write 10, 12, 16, 20, 25 or 32 mm"),
        ("steel: {size: 12 mm}", "IRC grade 60 has no lap for bar 12 mm"),
        ("steel: {dowels: 4', dowel_length: 21'}", "a dowel of 21' 0\" is longer than the stock"),
        ('steel: {dowels: 1/2"}', 'dowels 1/2" apart leave no room'),
        ("truck: 900 cu yd", "no truck carries 900 cu yd"),
        ("truck: 9 barrels", "9 barrels is not a volume"),
        ("discharge_limit: soon", "soon is not a time in minutes"),
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


def test_a_pipe_through_a_wall_of_block_takes_a_spare_one(run: Run) -> None:
    pipes = "  sleeves: [{wall: B-A, at: 6', size: 4\"}, {wall: C-D, at: 6', size: 4\"}]\n"
    spare = item(run(BARN + pipes + ORDER, "--json"), "blocks to cut round pipes")
    assert (spare["quantity"], spare["price"]) == (2, "block")


def test_a_pad_without_room_for_its_bars_is_told(run: Run) -> None:
    pad = '  pads: [{name: P1, at: [60\', 0], size: [24", 6"], thickness: 12"}]\n'
    done = run(f"{BARN}{pad}order:\n  steel: {{pad_bars: 2}}\n")
    assert done.exit_code == 3
    assert 'the pad P1 is 6" across: no bar fits in 3" of cover' in done.stderr


@pytest.mark.parametrize(
    ("content", "told"),
    [
        (None, "there is no such file; name a price list beside the job"),
        ("", "the file is empty; name a price list"),
        ("- 1\n", "write a line for each price"),
        ("block: 1\nBlock: 2\n", "line 2, Block: this price is given twice"),
    ],
)
def test_a_price_list_is_not_taken_for_a_job_file(run: Run, tmp_path, content, told) -> None:
    if content is not None:
        (tmp_path / "prices.yaml").write_text(content, encoding="utf-8")
    done = run(BARN + "order:\n  prices: prices.yaml\n")
    assert done.exit_code == 3
    assert told in done.stderr
    assert "init" not in done.stderr


def test_faults_of_a_price_list_name_the_list(run: Run, tmp_path: Path) -> None:
    (tmp_path / "prices.yaml").write_text("concret: 165\nblock: two\nsteel: 1\nbar 4: 9\n")
    done = run(BARN + "order:\n  prices: prices.yaml\n")
    assert done.exit_code == 3
    assert "prices.yaml, line 1" in done.stderr
    assert "there is no such price; write concrete" in done.stderr
    assert "two is not a price" in done.stderr
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
    assert "Each figure has its arithmetic" in " ".join(done.stdout.split())


STEPPED = """\
job: Stepped foundation
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


def test_eight_steps_under_a_published_rule_order_their_overlaps(run: Run) -> None:
    # Overlap the largest of twice the 8" rise, the thickness and 300 mm: 1.4815 cu ft a step.
    line = item(run(STEPPED, "--json"), "steps, the overlap under the upper footing")
    assert line["arithmetic"].startswith("8 x 16 in / 12 overlap x 20 in / 12 x 8 in / 12 rise")
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
    assert "Nothing says how high the walls are" in " ".join(done.stderr.split())
    assert done.exit_code == 0


@pytest.mark.parametrize(("length", "cans"), [(36, 1), (38, 1), (40, 2)])
def test_a_can_of_paint_reaches_250_feet(run: Run, length: int, cans: int) -> None:
    # The 20" footing lies 6" out and 14" in: outside (L + 1) + 25 twice, inside (L - 2 1/3) +
    # 21 2/3 twice, together 4 L + 90 2/3 feet: 234.67 at 36', 242.67 at 38', 250.67 at 40'.
    text = BARN.replace("36' x 24'", f"{length}' x 24'")
    (paint,) = (each for each in document(run(text, "--json"))["items"] if "paint" in each["what"])
    assert paint["order"] == cans


def test_fill_haul_off_and_forms_are_one_value_in_the_whole_document(run: Run) -> None:
    told = document(run(CALCULATED["fill"], "--json"))
    jsonschema.Draft202012Validator(SCHEMA).validate(told)
    items = {each["what"]: each["quantity"] for each in told["items"]}
    fill, haul, forms = told["fill"], told["haul_off"], told["forms"]
    assert fill["under_slab"]["compacted"] == items["fill under the slab, compacted"]
    assert fill["under_slab"]["earth"] == items["of that earth that was dug, compacted"]
    assert fill["under_slab"]["bought"] == items["gravel under the slab, loose"]
    assert fill["in_trench"]["bought"] == items["gravel in the trench inside the walls, loose"]
    assert fill["loads"] == items["loads of fill"]
    assert haul["loose"] == items["spoil to cart, loose"]
    assert haul["in_place"] == items["spoil to cart, as it lay in the ground"]
    assert haul["loads"] == items["loads of spoil"]
    (boards,) = forms["boards"]
    assert (boards["board"], boards["count"]) == ("2x8", items["form board 2x8"])
    assert boards["length"] == pytest.approx(
        sum(each["length"] * each["rows"] * each["count"] for each in forms["runs"]), abs=1e-6
    )
    assert forms["stakes"] == items["stakes for forms"]
    assert forms["braces"] == pytest.approx(items["kickers and spreaders, 2x4"], abs=1e-6)
    # By hand: the slab's underside at 100' 4" over 97.2' at the far wall's outside and lower.
    held = {each["wall"]: each["height"] for each in fill["held_outward"]}
    assert held["B-C"] == pytest.approx(100 + 4 / 12 - 97.2, rel=0, abs=1e-6)
    assert held["D-A"] == pytest.approx(100 + 4 / 12 - 99.0, rel=0, abs=1e-6)
