"""``staking weigh`` as it is typed: its rows against ``staking grade`` and ``staking order``."""

from __future__ import annotations

import csv
import json
import shutil
from collections.abc import Callable
from pathlib import Path

import jsonschema
import pytest
from click.testing import CliRunner, Result

from staking.cli import main
from tests.commands.printed import widest

ROOT = Path(__file__).parents[2]
SCHEMA = json.loads((ROOT / "docs" / "weigh.schema.json").read_text(encoding="utf-8"))
FOOT, YARD = 0.3048, 0.9144**3
PLAIN = """\
job: On a plane
units: ft
building: {rectangle: 32' x 24', wall: 8", footing: {width: 20", thickness: 10"}}
site:
  survey: plane.csv
  place: {corner: A, wall: A-B, north: 5000, east: 5000, bearing: E}
grade:
  ground: survey
  top_of_wall: 104'
  frost_depth: 36"
  benchmark: {name: nail in oak, elevation: 100'}
order:
  steel: {bars: 2, size: 4, cover: 3", lap: 30", stock: 20'}
  block: {length: 16", height: 8"}
"""
PRICES = "concrete: 165\nblock: 2.10\ncorner block: 2.60\nhalf block: 1.90\ndig: 40\nsteel: 1.15\n"

Run = Callable[..., Result]


def plane(fall: float, step: int = 20, reach: int = 160) -> str:
    """Ground that falls so much a foot to the east: 102' at easting 5000."""
    lines = ["point,northing,easting,elevation"]
    number = 0
    for north in range(5000 - reach, 5001 + reach, step):
        for east in range(5000 - reach, 5001 + reach, step):
            number += 1
            lines.append(f"{number},{north},{east},{102 - (east - 5000) * fall:.6f}")
    return "\n".join(lines) + "\n"


@pytest.fixture
def run(tmp_path: Path) -> Run:
    (tmp_path / "plane.csv").write_text(plane(1 / 20), encoding="utf-8")
    (tmp_path / "prices.yaml").write_text(PRICES, encoding="utf-8")

    def invoke(text: str | None, command: str, *words: str) -> Result:
        path = tmp_path / "shop.yaml"
        if text is not None:
            path.write_text(text, encoding="utf-8")
        return CliRunner().invoke(main, [command, str(path), *words], catch_exceptions=False)

    return invoke


def document(result: Result) -> dict[str, object]:
    assert result.exit_code in {0, 5}, result.stderr
    found: dict[str, object] = json.loads(result.stdout)
    return found


def assert_row_is(
    row: dict[str, object], grade: dict[str, object], order: dict[str, object]
) -> None:
    """A row against the levels and the order of the job as written with its top and place."""

    def sum_of(*names: str) -> float:
        # Walls of two thicknesses have block of two sizes, each with a line of its own.
        return sum(item["quantity"] for item in order["items"] if item["what"] in names)

    assert row["top_of_wall"] == pytest.approx(grade["top_of_wall"], rel=0, abs=1e-9)
    assert row["steps"] == grade["steps"]
    assert row["wall_area"] == pytest.approx(grade["wall_area"], rel=0, abs=1e-8)
    assert row["blocks"] == sum_of(
        "blocks", "corner blocks", "half blocks", "blocks to cut round pipes"
    )
    assert row["concrete"] == pytest.approx(
        sum(load["volume"] for load in order["loads"]), rel=0, abs=1e-8
    )
    dug = sum_of(
        "trench, in place",
        "topsoil off the floor beside the trench, in place",
        "cut under the floor beside the trench, in place",
        "drain trench beside the footing's, in place",
        "closed pipe's trench to the outlet, in place",
    )
    assert row["dug"] == pytest.approx(dug, rel=0, abs=1e-8)
    assert row["hauled"] == pytest.approx(sum_of("spoil to cart, loose"), rel=0, abs=1e-8)
    assert row["fill"] == pytest.approx(sum_of("fill under the slab, compacted"), rel=0, abs=1e-8)
    if order["fill"] is not None:
        under = order["fill"]["under_slab"]
        assert row["fill"] == pytest.approx(under["compacted"] if under else 0.0, rel=0, abs=1e-8)
        assert row["hauled"] == pytest.approx(order["haul_off"]["loose"], rel=0, abs=1e-8)
    tiers = [board for board in grade["boards"] if board["tier"] is not None]
    assert row["high_boards"] == len(tiers)
    assert (row["cost"] is None) == (not order["costs"])
    if order["costs"]:
        assert row["cost"] == pytest.approx(
            sum(each["cost"] for each in order["costs"]), rel=0, abs=0.06
        )
    assert row["deepest"] == pytest.approx(grade["greatest_depth"], rel=0, abs=1e-8)
    # Outside walls are named by their two corners, interior ones by themselves.
    standing = [
        wall["top_of_wall"] - min(wall["ground"]["finished"])
        for wall in grade["walls"]
        if "-" in wall["wall"]
    ]
    assert row["exposed"] == pytest.approx(max(standing), rel=0, abs=1e-8)
    told = {*grade["warnings"], *order["warnings"]}
    assert {*row["broken"], *row["noted"]} <= told


def test_every_row_is_a_run_of_grade_and_order_with_its_top_and_place(run, tmp_path):
    text = PLAIN + (
        "weigh:\n  top_of_wall: {from: 104' 4\", to: 104' 4\"}\n"
        "  move: {east: 4', turn: 5, step: 4', turn_step: 5}\n"
    )
    weighed = document(run(text, "weigh", "--json"))
    jsonschema.validate(weighed, SCHEMA)
    assert weighed["best"] is None
    assert weighed["fewer_steps"]["row"] is None
    for number in (1, 9):
        (tmp_path / "shop.yaml").write_text(text, encoding="utf-8")
        taken = run(None, "weigh", "--take", str(number))
        assert taken.exit_code == 0, taken.stderr
        grade, order = (
            document(run(None, "grade", "--json")),
            document(run(None, "order", "--json")),
        )
        assert_row_is(weighed["rows"][number - 1], grade, order)


def test_fill_and_haul_off_of_a_row_are_those_of_its_order(run, tmp_path):
    slab = 'slab: {top: 103\' 8", thickness: 4", base: 4"}'
    text = PLAIN.replace('thickness: 10"}}', f'thickness: 10"}}, {slab}}}')
    text += 'weigh:\n  top_of_wall: {from: 103\' 4", to: 104\' 8", by: 16"}\n'
    weighed = document(run(text, "weigh", "--json"))
    fills = [row["fill"] for row in weighed["rows"]]
    assert fills[0] < fills[1]
    (tmp_path / "shop.yaml").write_text(text, encoding="utf-8")
    assert run(None, "weigh", "--take", "2").exit_code == 0
    grade, order = document(run(None, "grade", "--json")), document(run(None, "order", "--json"))
    assert order["fill"]["under_slab"]["compacted"] > 0
    assert_row_is(weighed["rows"][1], grade, order)


def test_a_drain_and_the_pipe_that_leads_it_away_are_dug_in_every_row(run, tmp_path):
    job = PLAIN + "  drain: {fall: 1/8\" per ft, outlet: {at: [60', 12'], level: 95'}}\n"
    text = (
        job
        + "weigh:\n  top_of_wall: {from: 104' 4\", to: 104' 4\"}\n  move: {east: 4', step: 4'}\n"
    )
    rows = document(run(text, "weigh", "--json"))["rows"]
    assert len(rows) == 3
    for number in (1, 3):
        (tmp_path / "shop.yaml").write_text(text, encoding="utf-8")
        assert run(None, "weigh", "--take", str(number)).exit_code == 0
        grade = document(run(None, "grade", "--json"))
        order = document(run(None, "order", "--json"))
        assert any(each["what"].startswith("closed pipe's") for each in order["items"])
        assert_row_is(rows[number - 1], grade, order)


def test_the_best_of_priced_rows_costs_least_and_the_search_only_betters_it(run):
    text = PLAIN.replace("order:\n", "order:\n  prices: prices.yaml\n") + (
        "weigh:\n  top_of_wall: {from: 104' 8\", to: 104' 8\"}\n  move: {east: 2', step: 2'}\n"
    )
    weighed = document(run(text, "weigh", "--json"))
    standing = [row for row in weighed["rows"] if not row["broken"]]
    best = weighed["rows"][weighed["best"] - 1]
    assert best["cost"] == min(row["cost"] for row in standing)
    assert all(row["cost"] is not None for row in weighed["rows"])
    assert run(None, "weigh", "--take", str(weighed["best"])).exit_code == 0
    assert_row_is(
        best, document(run(None, "grade", "--json")), document(run(None, "order", "--json"))
    )


def test_on_a_plane_a_course_is_a_course_of_wall_and_uphill_is_a_lower_top(run):
    # The ground falls 1' in 20'. Moved 13' 4" up it stands 8" higher over the building, as if the
    # top were a course lower; moved across the fall nothing changes; a course more of top is a
    # course more of wall all round: twice 32' and 24' is 112', 74.6667 sq ft.
    text = PLAIN + (
        "weigh:\n  top_of_wall: {from: 104', to: 104' 8\", by: 8\"}\n"
        "  move: {north: 7', east: 13' 4\", step: 13' 4\"}\n"
    )
    rows = document(run(text, "weigh", "--json"))["rows"]

    def at(top: float, north: float, east: float) -> dict[str, float]:
        (found,) = [
            row
            for row in rows
            if abs(row["top_of_wall"] - top) + abs(row["north"] - north) + abs(row["east"] - east)
            < 1e-6
        ]
        return {
            name: found[name]
            for name in ("steps", "wall_area", "blocks", "concrete", "dug", "deepest", "exposed")
        }

    low, high = at(104, 0, 0), at(104 + 2 / 3, 0, 0)
    assert high["wall_area"] - low["wall_area"] == pytest.approx(112 * 2 / 3, rel=0, abs=1e-6)
    assert high["dug"] == pytest.approx(low["dug"], rel=0, abs=1e-6)
    assert at(104, 7, 0) == pytest.approx(low, rel=0, abs=1e-6)
    uphill = at(104 + 2 / 3, 0, -(13 + 1 / 3))
    assert uphill == pytest.approx(low, rel=0, abs=1e-6)


def test_three_files_are_written_and_say_the_same(run, tmp_path):
    text = PLAIN + "weigh:\n  top_of_wall: {from: 104', to: 104' 8\"}\n"
    done = run(text, "weigh")
    assert done.exit_code == 0
    assert done.stderr.startswith("Noted")
    lines = done.stdout.splitlines()
    assert widest(done.stdout) <= 80
    assert lines[0] == "What it takes (wall in sq ft, concrete in cu yd)"
    folder = tmp_path / "shop-layout"
    found = json.loads((folder / "weigh.json").read_text(encoding="utf-8"))
    with (folder / "weigh.csv").open(encoding="utf-8", newline="") as stream:
        sheet = list(csv.DictReader(stream))
    assert len(sheet) == len(found["rows"]) == 3
    for row, other in zip(sheet, found["rows"], strict=True):
        for name, value in other.items():
            if name not in {"broken", "noted"}:
                assert row[name] == ("" if value is None else str(value))
    assert (folder / "weigh.svg").read_text(encoding="utf-8").startswith("<svg ")


def test_each_column_of_a_table_has_one_number_of_decimals(run):
    # With its top at 104' 4" 15.7538 cu yd are carted, which an order writes so because 15.75
    # would pass for three quarters.
    text = PLAIN + "weigh:\n  top_of_wall: {from: 104', to: 105', by: 2\"}\n"
    tables = run(text, "weigh").stdout.split("\n\n")
    for table in tables[:2]:
        rows = [line.split() for line in table.splitlines() if line[:1].isdigit()]
        assert len(rows) == 7
        assert len({len(row) for row in rows}) == 1
        for column in zip(*rows, strict=True):
            places = {len(cell.rstrip("*").partition(".")[2]) for cell in column if "." in cell}
            assert len(places) <= 1, column


def test_rows_that_break_a_limit_are_shown_and_never_marked(run):
    text = PLAIN + (
        "weigh:\n  top_of_wall: {from: 104', to: 104' 8\"}\n  limits: {lowest: 104' 4\"}\n"
    )
    found = document(run(text, "weigh", "--json"))
    assert [bool(row["broken"]) for row in found["rows"]] == [True, False, False]
    assert found["rows"][0]["broken"] == [
        'the top of wall has to be at 104\' 4" at least: it is 4" too low'
    ]
    assert all(1 not in rows for rows in found["least"].values())


def test_a_taken_row_changes_the_lines_of_its_answers_only(run, tmp_path):
    text = PLAIN + "boards: {at: 104' 4\"}\nweigh:\n  top_of_wall: {from: 104', to: 104' 8\"}\n"
    done = run(text, "weigh", "--take", "3")
    assert done.exit_code == 0
    assert done.stdout.splitlines()[0].endswith("top of wall 104' 8\", as written.")
    before, after = text.splitlines(), (tmp_path / "shop.yaml").read_text().splitlines()
    changed = [(a, b) for a, b in zip(before, after, strict=True) if a != b]
    assert changed == [
        ("  top_of_wall: 104'", "  top_of_wall: 104' 8\""),
        ("boards: {at: 104' 4\"}", "boards: {at: 105' 0\"}"),
    ]


@pytest.mark.parametrize(
    ("old", "new", "words", "said"),
    [
        ("grade:", "grades:", (), "no such key"),
        (
            "x",
            "x",
            ("--take", "9"),
            "--take: there is no row 9; the rows are 1 to 1",
        ),
    ],
)
def test_what_cannot_be_weighed_is_said_and_nothing_is_written(
    run, tmp_path, old, new, words, said
):
    text = PLAIN.replace(old, new) + "weigh:\n  top_of_wall: {from: 104', to: 104'}\n"
    done = run(text, "weigh", *words)
    assert done.exit_code == 3
    assert done.stdout == ""
    assert said in done.stderr
    assert not (tmp_path / "shop-layout").exists()
    assert (tmp_path / "shop.yaml").read_text() == text


def test_impossible_sections_get_a_sentence_each(run, tmp_path):
    for section, said in (
        ("  top_of_wall: {from: 105', to: 104'}\n", "it ends at 104' 0\", under 105' 0\""),
        (
            "  top_of_wall: {from: 104', to: 204', by: 1/64\"}\n",
            "rows would be weighed, and 2000 are the most",
        ),
        ("  limits: {doors: [{wall: A-Q, risers: 3}]}\n", "there is no wall A-Q"),
        ("  limits: {lowest: 105', highest: 104'}\n", "104' 0\" is under the lowest, 105' 0\""),
        (
            "  limits: {sewer: {invert: 94', run: 60', fall: steep}}\n",
            "steep is not a fall of a pipe",
        ),
        ("  move: {turn: 200}\n", "200 is not a turn"),
    ):
        done = run(PLAIN + "weigh:\n" + section, "weigh")
        assert done.exit_code == 3, section
        assert said in done.stderr
        assert not (tmp_path / "shop-layout").exists()


def test_a_price_list_without_what_every_row_takes_is_refused(run, tmp_path):
    (tmp_path / "prices.yaml").write_text("concrete: 165\nblock: 2.10\n", encoding="utf-8")
    text = PLAIN.replace("order:\n", "order:\n  prices: prices.yaml\n")
    done = run(text + "weigh:\n  top_of_wall: {from: 104', to: 105'}\n", "weigh")
    assert (done.exit_code, done.stdout) == (3, "")
    assert "no price for corner block, half block, dig, which every row takes" in done.stderr
    assert not (tmp_path / "shop-layout").exists()


def test_a_move_wants_a_lot_and_a_top_wants_levels(run):
    bare = PLAIN.split("site:")[0]
    done = run(bare, "weigh")
    assert (done.exit_code, done.stdout) == (3, "")
    assert "the job has no grade section" in done.stderr
    off = (
        bare
        + "grade:\n  ground: {A: 100', B: 100', C: 100', D: 100'}\n"
        + ("  top_of_wall: 104'\n  frost_depth: 36\"\nweigh: {move: {north: 8'}}\n")
    )
    done = run(off, "weigh")
    assert (done.exit_code, done.stdout) == (3, "")
    assert "the building is not placed on a lot" in done.stderr


def test_a_building_against_another_is_not_moved_away_from_it(run):
    text = PLAIN.replace('thickness: 10"}}', 'thickness: 10"}, walls: {D-A: {existing: yes}}}')
    done = run(text + "weigh: {move: {east: 4'}}\n", "weigh")
    assert (done.exit_code, done.stdout) == (3, "")
    assert "D-A is against a standing building, which stays where it is" in done.stderr


def test_a_top_in_the_ground_is_a_row_that_may_not_be_chosen(run):
    # The ground falls from 102' to 100' 5" along the walls.
    text = PLAIN + "weigh:\n  top_of_wall: {from: 98', to: 104' 6\", by: 2' 2\"}\n"
    found = document(run(text, "weigh", "--json"))
    under, over, near, last = found["rows"]
    assert under["wall_area"] is None
    assert "stands below all of the ground" in under["broken"][0]
    assert "stands" in over["broken"][0]
    assert any("IRC R404.1.6" in each for each in near["broken"])
    assert not last["broken"]


@pytest.mark.parametrize(
    ("head", "title", "wall"),
    [
        ("units: ft\n", "What it takes (wall in sq ft, concrete in cu yd)", "595.56"),
        ("units: ft\nshow: metres\n", "What it takes (wall in m², concrete in cu yd)", "55.33"),
    ],
)
def test_the_tables_say_the_units_that_their_figures_are_in(run, head, title, wall):
    # 595.56 sq ft x 0.3048^2 is 55.329 m2; volumes follow the job's units, what is shown its show.
    text = PLAIN.replace("units: ft\n", head)
    done = run(text + "weigh:\n  top_of_wall: {from: 104', to: 104'}\n", "weigh")
    assert done.exit_code == 0
    lines = done.stdout.splitlines()
    assert lines[0] == title
    assert wall in lines[3]


def test_rows_that_cannot_be_built_say_why_and_have_one_table(run):
    text = PLAIN + (
        "weigh:\n  top_of_wall: {from: 104', to: 104'}\n  move: {east: 300', step: 300'}\n"
    )
    own, *far = document(run(text, "weigh", "--json"))["rows"]
    assert own["broken"] == []
    for row in far:
        assert row["broken"][0].startswith("the footing reaches "), row
    done = run(PLAIN + "weigh:\n  top_of_wall: {from: 90', to: 90' 4\"}\n", "weigh")
    assert done.exit_code == 0
    assert "What it takes" in done.stdout
    assert "What is dug" not in done.stdout
    assert "0 of 2 rows may be chosen." in done.stdout


def test_the_hillside_lots_own_row_is_its_levels_and_its_order(tmp_path):
    lot = shutil.copytree(ROOT / "fixtures" / "hillside-lot", tmp_path / "lot") / "job.yaml"
    own = "\nweigh:\n  top_of_wall: {from: 103' 4\", to: 103' 4\"}\n"
    lot.write_text(lot.read_text(encoding="utf-8") + own, encoding="utf-8")

    def said(command: str) -> dict[str, object]:
        line = [command, str(lot), "--json"]
        return document(CliRunner().invoke(main, line, catch_exceptions=False))

    weighed, grade, order = said("weigh"), said("grade"), said("order")
    (row,) = weighed["rows"]
    assert_row_is(row, grade, order)
    # What fewer steps take ends with the row's own: its wall, its dig, its concrete without waste.
    *fewer, own = weighed["fewer_steps"]["choices"]
    assert weighed["fewer_steps"]["row"] == 1
    assert (own["steps"], own["wall_area"]) == (row["steps"], row["wall_area"])
    assert own["dug"] == pytest.approx(row["dug"], rel=0, abs=1e-8)
    concrete = sum(
        each["quantity"]
        for each in order["items"]
        if each["what"].startswith(("footing, no corner", "steps, the overlap"))
    )
    assert own["concrete"] == pytest.approx(concrete, rel=0, abs=1e-8)
    told = grade["other_ways"]["fewer_steps"]
    assert [each["dug"] for each in told] == [each["dug"] for each in (*fewer, own)]
    # One of them taken: the whole job with eight steps at most is that row.
    (eight,) = [each for each in fewer if each["steps"] == 8]
    text = lot.read_text(encoding="utf-8")
    lot.write_text(text.replace("  strip:", "  most_steps: 8\n  strip:"), encoding="utf-8")
    (row,) = said("weigh")["rows"]
    assert (row["steps"], row["wall_area"]) == (8, eight["wall_area"])
    assert row["dug"] == pytest.approx(eight["dug"], rel=0, abs=1e-8)


def test_with_fewer_steps_all_that_the_order_digs_is_counted(run):
    # A floor under the ground of the high end, topsoil, sloping sides and a drain: each number of
    # steps taken as the greatest number, and the order of that job read.
    job = (
        PLAIN
        .replace(
            'thickness: 10"}}', 'thickness: 10"}, slab: {thickness: 4", base: 4", top: 102\'}}'
        )
        .replace("site:\n", "dig: {bank: 0.5}\nsite:\n")
        .replace("  frost_depth", '  strip: 6"\n  frost_depth')
        + "  drain: {size: 4\", fall: 1/8\" per ft, outlet: {at: [50', 12'], level: 90'}}\n"
    )
    choices = document(run(job, "grade", "--json"))["other_ways"]["fewer_steps"]
    assert len(choices) > 2
    drains = set()
    for each in choices:
        most = f"  most_steps: {each['steps']}\n  frost_depth"
        order = document(run(job.replace("  frost_depth", most), "order", "--json"))
        parts = {
            item["what"]: item["quantity"]
            for item in order["items"]
            if item["what"].startswith(("trench,", "topsoil off", "cut under", "drain trench"))
            or item["what"].startswith("closed pipe's trench")
        }
        assert len(parts) == 5
        assert each["dug"] == pytest.approx(sum(parts.values()), rel=0, abs=1e-8)
        drains.add(round(parts["drain trench beside the footing's, in place"], 6))
    assert len(drains) > 1


def test_beside_an_old_footing_the_height_that_is_told_clears_it_and_a_sixteenth_less_does_not(run):
    # Six courses and a footing of 10" under a top at 102' are dug to 97' 2", beside an old footing
    # with its bottom at 98': 10" more of top, no less.
    text = (
        "job: Beside an old house\nunits: ft\n"
        'building: {rectangle: 32\' x 24\', wall: 8", footing: {width: 20", thickness: 10"},\n'
        "  walls: {D-A: {existing: {footing_bottom: 98', footing_out: 6\"}}}}\n"
        "grade:\n  ground: {A: 100', B: 100', C: 100', D: 100'}\n  strip: 0\n"
        "  top_of_wall: 102'\n  frost_depth: 0\n  in_ground: 0\n  least_courses: 6\n"
        'weigh:\n  top_of_wall: {from: 102\' 9 15/16", to: 102\' 10", by: 1/16"}\n'
    )
    rows = document(run(text, "weigh", "--json"))["rows"]
    under = [
        any("there it may go down to 98' 0\"" in each for each in row["broken"]) for row in rows
    ]
    assert under == [True, False]
    for top, status in (("102' 9 15/16\"", 5), ("102' 10\"", 0)):
        done = run(text.replace("top_of_wall: 102'\n", f"top_of_wall: {top}\n"), "grade", "-q")
        assert done.exit_code == status, done.stderr
