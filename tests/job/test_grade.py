"""The grade section: what each key takes, what is filled in, and how walls are named."""

import pytest

from staking.errors import InputError
from staking.grade.grade_request import GradeAsked
from staking.job.build import parse_job
from staking.notices import Severity

FT = 0.3048
INCH = 0.0254

JOB = """job: Test barn
units: {units}
building:
  corners: {{A: [0, 0], B: [24 ft, 0], C: [24 ft, 16 ft], D: [0, 16 ft]}}
  wall: 8"
  footing: {{width: 20", thickness: 10"}}
{parts}grade:
  ground: {{A: 100', B: 97', C: 97', D: 100'}}
  top_of_wall: 102'
  frost_depth: 42"
{rest}"""


def parsed(rest: str = "", *, parts: str = "", units: str = "ft"):
    return parse_job(JOB.format(rest=rest, parts=parts, units=units), "job.yaml")


def asked(rest: str = "", *, parts: str = "", units: str = "ft") -> GradeAsked:
    found = parsed(rest, parts=parts, units=units).grade
    assert found is not None
    return found


def replaced(old: str, new: str) -> GradeAsked:
    text = JOB.format(rest="", parts="", units="ft")
    assert old in text
    found = parse_job(text.replace(old, new), "job.yaml").grade
    assert found is not None
    return found


def test_what_is_left_out_is_filled_in_as_the_documentation_says():
    found = asked()
    rules = found.rules
    assert rules.frost_depth == pytest.approx(42 * INCH, rel=0, abs=1e-9)
    assert rules.in_ground == pytest.approx(12 * INCH, rel=0, abs=1e-9)
    assert rules.strip == pytest.approx(6 * INCH, rel=0, abs=1e-9)
    assert rules.course == pytest.approx(8 * INCH, rel=0, abs=1e-9)
    assert rules.module == pytest.approx(8 * INCH, rel=0, abs=1e-9)
    assert rules.min_run == pytest.approx(32 * INCH, rel=0, abs=1e-9)
    assert rules.step_cost == pytest.approx(6 * FT**2, rel=0, abs=1e-9)
    assert (rules.least_courses, rules.max_step, rules.corner_run) == (2, 1, None)
    assert rules.rule.name == "none"
    assert (found.rod, found.benchmark, found.inside, found.veneer) == ("inches", None, None, False)
    assert found.rod_length == pytest.approx(13 * FT, rel=0, abs=1e-9)
    assert found.walls == ()
    assert found.finished.above == 0


def test_readings_stand_at_corners_and_along_walls_either_way_round():
    found = replaced("D: 100'}", 'D: 100\', "A-B at 8\'": 99\' 2", "D-C at 4\'": 99.5}').ground
    assert found.source == "readings"
    assert dict(found.corners)["B"] == pytest.approx(97 * FT, rel=0, abs=1e-9)
    assert [name for name, _, _ in found.along] == ["A-B", "D-C"]
    assert [station for _, station, _ in found.along] == pytest.approx(
        [8 * FT, 4 * FT], rel=0, abs=1e-9
    )


def test_the_ground_is_read_at_pads_too():
    pad = 'pads:\n  - {name: P1, at: [6 ft, -8 ft], size: [24", 24"], thickness: 12"}\n'
    text = JOB.format(rest="", parts="  " + pad.replace("\n  ", "\n    "), units="ft")
    found = parse_job(text.replace("D: 100'}", "D: 100', P1: 98' 6\"}"), "job.yaml").grade
    assert found is not None
    assert found.ground.pads == (("P1", pytest.approx(98.5 * FT, rel=0, abs=1e-9)),)
    with pytest.raises(InputError, match=r"there is no corner P2; .* C, D, the pads P1; a point"):
        parse_job(text.replace("D: 100'}", "D: 100', P2: 98'}"), "job.yaml")


def test_a_reading_along_a_standing_building_is_to_be_left_out():
    old = "  walls: {A-D: {existing: yes}}\n"
    text = JOB.format(rest="", parts=old, units="ft")
    with pytest.raises(InputError, match=r"A-D is an existing side.*; leave it out"):
        parse_job(text.replace("D: 100'}", "D: 100', \"A-D at 8'\": 99'}"), "job.yaml")


def test_rod_readings_have_their_own_instrument_or_the_sections():
    own = replaced("{A: 100', B: 97', C: 97', D: 100'}", "{rod: {A: 5', B: 8', C: 8', D: 5'}, instrument: 105'}")  # fmt: skip # noqa: E501
    assert own.ground.source == "rod"
    assert own.ground.instrument == pytest.approx(105 * FT, rel=0, abs=1e-9)
    text = JOB.format(rest="  instrument: 105'\n", parts="", units="ft").replace(
        "{A: 100', B: 97', C: 97', D: 100'}", "{rod: {A: 5', B: 8', C: 8', D: 5'}}"
    )
    shared = parse_job(text, "job.yaml").grade
    assert shared is not None
    assert shared.ground == own.ground


@pytest.mark.parametrize(
    ("written", "elevation", "above"),
    [("103' 4\"", 103 * FT + 4 * INCH, None), ('highest ground + 8"', None, 8 * INCH),
     ("Highest  ground+1'", None, FT)],
)  # fmt: skip
def test_the_top_of_the_wall_is_an_elevation_or_over_the_ground(written, elevation, above):
    top = replaced("top_of_wall: 102'", f"top_of_wall: {written}").top_of_wall
    assert top.elevation == (
        elevation if elevation is None else pytest.approx(elevation, rel=0, abs=1e-9)
    )
    assert top.above_highest == (above if above is None else pytest.approx(above, rel=0, abs=1e-9))


@pytest.mark.parametrize(
    ("written", "above"), [("existing", 0.0), ('+6"', 6 * INCH), ('-6"', -6 * INCH)]
)
def test_finished_grade_is_the_ground_or_so_much_over_it(written, above):
    found = asked(f"  finished: {written}\n").finished
    assert found.above == pytest.approx(above, rel=0, abs=1e-9)
    assert found.points is None


def test_finished_grade_has_its_own_points():
    found = asked("  finished: {A: 101', B: 100', C: 100', D: 101'}\n").finished
    assert found.points is not None
    assert len(found.points.corners) == 4


def test_steps_are_fixed_from_the_corner_named_first_and_level_walls_have_none():
    found = asked("  steps: {B-A: [2' 8\", 8']}\n  level: [C-B]\n")
    by_name = {each.wall: each for each in found.walls}
    assert by_name["B-A"].stations("A-B", 24 * FT) == pytest.approx(
        (16 * FT, 24 * FT - 32 * INCH), rel=0, abs=1e-9
    )
    assert by_name["B-C"].fixed == ()


def test_tops_of_single_walls_stand_under_walls_of_either_section():
    found = asked(
        "  walls: {C-D: {top_of_wall: 102' 8\"}}\n",
        parts="  walls: {B-A: {top_of_wall: 103' 4\"}}\n",
    )
    assert {each.wall: round(each.top / INCH) for each in found.walls} == {
        "A-B": 103 * 12 + 4,
        "C-D": 102 * 12 + 8,
    }


def test_a_walls_top_without_levels_is_said_to_count_for_nothing():
    text = JOB.format(rest="", parts="  walls: {A-B: {top_of_wall: 103'}}\n", units="ft")
    job = parse_job(text[: text.index("grade:")], "job.yaml")
    assert job.grade is None
    (told,) = job.notices
    assert dict(told.values)["keys"] == "walls.A-B.top_of_wall"


def test_a_published_rule_and_an_overlap_of_ones_own_go_together():
    rule = asked('  rules: ontario\n  overlap: 24"\n').rules.rule
    assert rule.name == "Ontario"
    assert rule.overlap == pytest.approx(24 * INCH, rel=0, abs=1e-9)
    stricter = asked('  rules: New Zealand\n  overlap: 6"\n').rules.rule
    assert stricter.overlap == pytest.approx(0.45, rel=0, abs=1e-9)


def test_bare_numbers_are_in_the_jobs_unit():
    text = JOB.format(rest="", parts="", units="m").replace("102'", "31.1").replace('42"', "1.2")
    found = parse_job(text, "job.yaml").grade
    assert found is not None
    assert found.top_of_wall.elevation == pytest.approx(31.1, rel=0, abs=1e-12)
    assert found.rules.frost_depth == pytest.approx(1.2, rel=0, abs=1e-12)


def test_a_bare_frost_depth_that_may_be_metres_is_warned_of():
    text = JOB.format(rest="", parts="", units="ft").replace('42"', "1.2")
    (told,) = parse_job(text, "job.yaml").notices
    assert (told.kind, told.severity) == ("frost-depth-doubtful", Severity.WARNING)
    assert not parse_job(text.replace("1.2", '14"'), "job.yaml").notices


def test_ground_that_does_not_freeze_asks_for_no_depth():
    assert replaced('frost_depth: 42"', "frost_depth: 0").rules.frost_depth == 0


def test_faults_of_levels_are_told_with_those_of_the_building():
    text = JOB.format(rest="  steps: {A-X: [4']}\n", parts="  pads: [{name: A}]\n", units="ft")
    with pytest.raises(InputError, match="there is no wall A-X") as caught:
        parse_job(text, "job.yaml")
    assert len(caught.value.problems) == 2


def test_ground_beyond_the_survey_is_taken_from_the_nearest_only_where_asked():
    assert not asked().nearest_beyond
    assert asked("  beyond: nearest\n").nearest_beyond
    with pytest.raises(InputError, match="line 11, grade beyond: flat is not known; write nearest"):
        parsed("  beyond: flat\n")


def test_a_fault_found_later_still_says_where_its_key_stands():
    written = asked().written
    assert str(written.problem("top_of_wall", "too low", "raise it")) == (
        "job.yaml, line 9, grade top_of_wall: too low; raise it"
    )
    assert str(written.problem("benchmark", "unknown", "", "point")) == (
        "job.yaml, grade benchmark point: unknown"
    )


def test_a_list_is_no_ground():
    with pytest.raises(
        InputError, match="line 8, grade ground: a list is not ground; write survey"
    ):
        replaced("{A: 100', B: 97', C: 97', D: 100'}", "[100', 97']")
