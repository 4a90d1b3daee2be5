"""What a sound job file is read as."""

import math
from pathlib import Path

import pytest

from staking.errors import InputError
from staking.job.build import parse_job, read_job
from staking.notices import Severity
from staking.plan import Show

FIXTURES = Path(__file__).parent.parent.parent / "fixtures"
FOOT = 0.3048
INCH = 0.0254

WALL = 'wall: 8"\nfooting: {width: 20", thickness: 10"}\n'


def one(outline, rest="", head=""):
    """Read a job of one building."""
    lines = [*WALL.splitlines(), outline, *rest.splitlines()]
    body = "\n".join(f"  {line}" for line in lines)
    return parse_job(f"job: Test barn\n{head}building:\n{body}\n", "job.yaml")


def xy(corners):
    return [
        (corner.name, round(corner.x / FOOT, 6), round(corner.y / FOOT, 6)) for corner in corners
    ]


def kinds(job):
    return [notice.kind for notice in job.notices]


def test_the_orchard_workshop_reads_as_its_file_says():
    job = read_job(FIXTURES / "orchard-workshop" / "job.yaml")
    (building,) = job.plan.buildings
    assert job.plan.job == "Orchard workshop"
    assert xy(building.corners) == [
        ("A", 0, 0), ("B", 36, 0), ("C", 36, 24), ("D", 24, 24), ("E", 24, 32), ("F", 0, 32),
    ]  # fmt: skip
    walls = {wall.name: wall for wall in building.walls}
    assert list(walls) == ["A-B", "B-C", "C-D", "D-E", "E-F", "F-A"]
    plain, thick = walls["A-B"], walls["C-D"]
    assert (plain.thickness, plain.footing.width) == pytest.approx((8 * INCH, 20 * INCH))
    assert (plain.footing.thickness, plain.footing.outside) == pytest.approx((10 * INCH, 6 * INCH))
    assert (thick.thickness, thick.footing.width) == pytest.approx((12 * INCH, 24 * INCH))
    assert (thick.footing.thickness, thick.footing.outside) == pytest.approx((10 * INCH, 8 * INCH))
    (line,) = job.plan.interior
    assert line.start == pytest.approx((14 * FOOT, 0))
    assert line.end == pytest.approx((14 * FOOT, 32 * FOOT))
    assert (line.start_on, line.end_on) == ("A-B", "E-F")
    assert (line.footing.width, line.footing.thickness) == pytest.approx((16 * INCH, 8 * INCH))
    (pad,) = job.plan.pads
    assert pad.point == pytest.approx((42 * FOOT, 6 * FOOT))
    assert pad.size == pytest.approx((2 * FOOT, 2 * FOOT))
    (sleeve,) = job.plan.sleeves
    assert sleeve.invert == pytest.approx(98.5 * FOOT)
    assert job.options.dig.depth == pytest.approx(4 * FOOT)
    assert job.options.boards.at == pytest.approx(103 * FOOT)
    assert job.notices == ()


def test_the_boat_shed_has_a_corner_of_60_degrees_three_posts_and_a_shape_to_keep_off():
    job = read_job(FIXTURES / "boat-shed" / "job.yaml")
    a, b, c, _ = (corner.point for corner in job.plan.buildings[0].corners)
    toward_a = math.atan2(a[1] - b[1], a[0] - b[0])
    toward_c = math.atan2(c[1] - b[1], c[0] - b[0])
    assert math.degrees(toward_a - toward_c) == pytest.approx(60, abs=1e-9)
    assert [pad.name for pad in job.plan.pads] == ["P1", "P2", "P3"]
    assert {pad.diameter for pad in job.plan.pads} == {0.4}
    (shape,) = job.plan.stay_clear
    assert shape.name == "old boathouse"
    assert shape.corners[0] == pytest.approx((-7.0, 2.5))
    assert (job.options.unit, job.options.show) == ("mm", Show.MILLIMETRES)
    assert job.options.tolerances.preset == "ISO 4463-1 position points"
    assert job.options.tape.error == pytest.approx(0.003)


def test_the_defaults_are_those_of_the_documentation():
    options = one("rectangle: 36' x 24'").options
    assert (options.unit, options.show, options.paper) == ("ft", Show.FEET_INCHES, "letter")
    assert options.nearest == pytest.approx(INCH / 16)
    assert options.boards.stand_off == pytest.approx(4 * FOOT)
    assert options.boards.clearance == pytest.approx(4 * FOOT)
    assert options.boards.max_height == pytest.approx(5 * FOOT)
    assert options.boards.at is None
    assert not options.boards.inside_boards
    assert (options.dig.depth, options.dig.bank, options.dig.cast) == (0, 0, "earth")
    assert options.tape.length == pytest.approx(100 * FOOT)
    assert options.tape.error == pytest.approx(INCH / 8)
    assert options.tolerances.preset == "small building"


@pytest.mark.parametrize(
    "outline",
    [
        "rectangle: 36' x 24'",
        "rectangle: 36ft×24ft",
        "rectangle: 36 x 24",
        "sides: [east 36', north 24', west 36', south 24']",
        "sides: [N 90 E 36', N 0 E 24', S 90 W 36', south 24']",
        "sides: [90 36', 0 24', 270 36', 180 24']",
        "corners: {A: [0, 0], B: [36', 0], C: [36', 24'], D: [0, 24']}",
    ],
)
def test_the_same_outline_can_be_given_in_each_way(outline):
    corners = one(outline).plan.buildings[0].corners
    assert xy(corners) == [("A", 0, 0), ("B", 36, 0), ("C", 36, 24), ("D", 0, 24)]


def test_sides_may_miss_by_half_a_millimetre_and_no_more():
    one("sides: [east 10 m, north 5 m, west 9999.6 mm, south 5 m]")
    with pytest.raises(InputError, match="the sides do not close: the last ends 0"):
        one("sides: [east 10 m, north 5 m, west 9999.4 mm, south 5 m]")


def test_a_bare_number_is_in_the_units_of_the_job():
    corners = one("rectangle: 36 x 24", head="units: m\nshow: metres\n").plan.buildings[0].corners
    assert corners[2].point == (36.0, 24.0)


def test_survey_feet_are_1200_over_3937_metres():
    corners = one("rectangle: 39.37 x 24", head="units: us-ft\n").plan.buildings[0].corners
    assert corners[1].x == pytest.approx(12, abs=1e-9)


def test_names_that_look_like_numbers_stay_names():
    outline = "corners: {001: [0, 0], 1E5: [36', 0], no: [36', 24'], 1_000: [0, 24']}"
    names = [corner.name for corner in one(outline).plan.buildings[0].corners]
    assert names == ["001", "1E5", "no", "1_000"]


def test_automatic_names_go_on_across_buildings_and_after_z():
    sheds = "".join(f"  - {{rectangle: 8' x 6', at: [{20 * n}', 0]}}\n" for n in range(8))
    plan = parse_job(f"job: Row\n{WALL}buildings:\n{sheds}", "job.yaml").plan
    names = [corner.name for building in plan.buildings for corner in building.corners]
    assert names[:4] == ["A", "B", "C", "D"]
    assert names[24:28] == ["Y", "Z", "AA", "AB"]


def test_automatic_names_pass_over_those_that_are_given():
    text = (
        f"job: Two\n{WALL}buildings:\n"
        "  - {rectangle: 8' x 6', at: [20', 0]}\n"
        "  - {corners: {A: [0, 0], C: [8', 0], E: [0, 8']}}\n"
    )
    first, _ = parse_job(text, "job.yaml").plan.buildings
    assert [corner.name for corner in first.corners] == ["B", "D", "F", "G"]


def test_what_a_building_gives_itself_comes_before_what_stands_beside_the_list():
    text = (
        f'job: Two\n{WALL}walls: {{B-A: {{wall: 10"}}}}\nbuildings:\n'
        "  - {name: barn, rectangle: 36' x 24', wall: 12\"}\n"
        "  - {name: lean_to, rectangle: 12' x 24', at: [50', 0], footing: {width: 24\"}}\n"
    )
    barn, lean_to = parse_job(text, "job.yaml").plan.buildings
    assert [round(wall.thickness / INCH, 6) for wall in barn.walls] == [10, 12, 12, 12]
    assert barn.walls[0].footing.width == pytest.approx(20 * INCH)
    assert lean_to.walls[0].thickness == pytest.approx(8 * INCH)
    assert lean_to.walls[0].footing.width == pytest.approx(24 * INCH)
    assert lean_to.walls[0].footing.thickness == pytest.approx(10 * INCH)


@pytest.mark.parametrize("name", ["C-D", "D-C", "D - C"])
def test_a_wall_goes_by_either_name(name):
    walls = one("rectangle: 36' x 24'", f'walls: {{{name}: {{wall: 12"}}}}').plan.buildings[0].walls
    assert [round(wall.thickness / INCH, 6) for wall in walls] == [8, 8, 12, 8]
    assert walls[2].footing.outside == pytest.approx(4 * INCH)


def test_an_existing_side_has_what_is_known_of_it():
    rest = "walls: {D-A: {existing: {footing_bottom: 96', top: 103'}}, A-B: {existing: no}}"
    walls = one("rectangle: 36' x 24'", rest).plan.buildings[0].walls
    assert walls[3].existing.footing_bottom == pytest.approx(96 * FOOT)
    assert walls[3].existing.footing_out is None
    assert walls[0].existing is None
    bare = one("rectangle: 36' x 24'", "walls: {D-A: {existing: yes}}").plan.buildings[0].walls
    assert bare[3].existing is not None
    assert bare[3].existing.top is None


def test_lengths_along_a_wall_count_from_the_end_named_first():
    rest = (
        "openings: [{wall: B-A, from: 4', width: 9', drop: 8\"}]\n"
        "sleeves: [{wall: B-A, at: 10', size: 4\"}]\n"
        "interior: [{name: G, from: B-A at 10', to: D-C at 26'}]"
    )
    plan = one("rectangle: 36' x 24'", rest).plan
    assert plan.openings[0].wall == "A-B"
    assert plan.openings[0].start == pytest.approx(23 * FOOT)
    assert plan.sleeves[0].station == pytest.approx(26 * FOOT)
    assert plan.interior[0].start == pytest.approx((26 * FOOT, 0))
    assert plan.interior[0].end == pytest.approx((26 * FOOT, 24 * FOOT))


def test_a_line_may_stand_on_a_line_given_after_it():
    rest = (
        "interior:\n"
        "  - {name: H, from: G at 10', to: B-C at 10'}\n"
        "  - {name: G, from: A-B at 14', to: C-D at 22'}"
    )
    first, second = one("rectangle: 36' x 24'", rest).plan.interior
    assert (first.name, second.name) == ("H", "G")
    assert first.start == pytest.approx((14 * FOOT, 10 * FOOT))
    assert (first.start_on, first.end_on) == ("G", "B-C")


def test_a_line_beside_the_list_belongs_to_the_building_of_its_walls():
    text = (
        f"job: Two\n{WALL}interior: [{{name: K, from: E-F at 6', to: G-H at 6'}}]\nbuildings:\n"
        "  - {rectangle: 36' x 24'}\n"
        "  - {rectangle: 12' x 24', at: [50', 0]}\n"
    )
    (line,) = parse_job(text, "job.yaml").plan.interior
    assert line.building == 1
    assert line.start == pytest.approx((56 * FOOT, 0))


def test_a_row_is_spread_evenly_and_named_from_1():
    rest = (
        "pads:\n  - {name: Q, from: [42', 6'], to: [42', 22'], count: 3, "
        'diameter: 12", thickness: 8"}'
    )
    pads = one("rectangle: 36' x 24'", rest).plan.pads
    assert [(pad.name, pad.row) for pad in pads] == [("Q1", "Q"), ("Q2", "Q"), ("Q3", "Q")]
    assert [pad.y / FOOT for pad in pads] == pytest.approx([6, 14, 22])
    assert pads[0].size is None


def test_a_pad_may_be_turned_along_a_wall():
    rest = 'pads: [{name: P, at: [42\', 6\'], size: [24", 36"], thickness: 8", along: B-C}]'
    (pad,) = one("rectangle: 36' x 24'", rest).plan.pads
    assert pad.turn == pytest.approx(math.pi / 2)


def test_a_pad_under_a_wall_is_allowed_and_said():
    rest = (
        "pads:\n"
        '  - {name: P1, at: [18\', 4"], size: [24", 24"], thickness: 12"}\n'
        '  - {name: P2, at: [18\', -12"], size: [24", 24"], thickness: 12"}\n'
        "  - {name: P3, at: [18', 12'], diameter: 12\", thickness: 12\"}"
    )
    job = one("rectangle: 36' x 24'", rest)
    (told,) = job.notices
    assert (told.kind, told.severity) == ("pad-under-wall", Severity.NOTE)
    assert dict(told.values) == {"pad": "P1", "walls": "A-B"}


def test_the_order_section_is_read_and_a_job_without_one_has_none():
    job = parse_job(_with_site("order: {waste: 5%, truck: 7 m3}\n"), "job.yaml")
    assert kinds(job) == []
    assert (job.order.waste, job.order.truck) == (0.05, 7.0)
    assert job.order.steel is None
    assert parse_job(_with_site(""), "job.yaml").order is None


def _with_site(rest):
    return (
        f"job: Test\nbuilding:\n  rectangle: 36' x 24'\n  {WALL.splitlines()[0]}\n"
        f"  {WALL.splitlines()[1]}\n{rest}"
    )
