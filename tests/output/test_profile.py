"""The profile drawing read back: what it shows is what was worked out, to the eye and the rod."""

from __future__ import annotations

import io
import math
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from ezdxf.document import Drawing
from ezdxf.filemanagement import read

from staking.errors import ComputationError
from staking.grade.graded import GradedWall
from staking.grade.stepping.cells import SiteGround
from staking.grade.stepping.cheapest import GradeRequest
from staking.grade.stepping.step_rules import GradeRules, preset
from staking.output.drawing.drawing_sheet import MARGIN
from staking.output.drawing.drawn_words import PAPERS, Box, Text, text_width
from staking.output.profile.profile_drawing import ProfileView, profile_views, write_grade_dxf
from staking.output.profile.profile_layers import ALL_LAYERS
from staking.output.profile.side_parts import Seen, spread
from staking.output.profile.side_shapes import lowest_levels
from staking.plan import Building, Existing, Opening, Options, Plan, Show, Sleeve
from staking.project.layout import lay_out_job, load_job
from tests.grade import slopes
from tests.grade.graded import laid_out

FOOT = 0.3048
INCH = 0.0254

RULES = GradeRules(
    frost_depth=42 * INCH, in_ground=0, strip=0, corner_run=32 * INCH, step_cost=6 * FOOT * FOOT
)


def slope(**changes: Any) -> GradeRequest:
    """Invented: 24' x 16', the ground falling an eighth along the long walls."""
    request = slopes.requested(
        plan=slopes.outline(slopes.rectangle(24, 16)),
        site=SiteGround(existing=slopes.plane(lambda x, y: 100 * FOOT - x / 8)),
        rules=RULES,
        top_of_wall=102 * FOOT,
    )
    return slopes.changed(request, **changes)


def furnished() -> Plan:
    """The same building with a cross wall, a door and a pipe."""
    plan = slopes.outline(slopes.rectangle(24, 16), [("G", (14, 0), (14, 16))])
    return replace(
        plan,
        openings=(Opening(wall="A-B", start=2 * FOOT, width=3 * FOOT, drop=8 * INCH),),
        sleeves=(Sleeve(wall="A-B", station=18 * FOOT, invert=97 * FOOT, size=4 * INCH),),
    )


def clockwise(plan: Plan) -> Plan:
    """The same outline gone round the other way: wall B-A is now seen with B on the right."""
    (building,) = plan.buildings
    corners = tuple(reversed(building.corners))
    names = [corner.name for corner in corners]
    walls = tuple(
        replace(building.walls[0], start=a, end=b)
        for a, b in zip(names, [*names[1:], names[0]], strict=True)
    )
    return replace(plan, buildings=(Building(name=None, corners=corners, walls=walls),))


def turned(plan: Plan, degrees: float) -> Plan:
    """The building turned about the origin, its ground standing still."""
    cos, sin = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    (building,) = plan.buildings
    corners = tuple(
        replace(each, x=each.x * cos - each.y * sin, y=each.x * sin + each.y * cos)
        for each in building.corners
    )
    return replace(plan, buildings=(replace(building, corners=corners),))


def drawn(layout: Any) -> Drawing:
    stream = io.StringIO()
    write_grade_dxf(layout, stream)
    stream.seek(0)
    return read(stream)


_DRAWN: dict[int, tuple[Any, tuple[ProfileView, ...]]] = {}


def views_of(layout: Any) -> tuple[ProfileView, ...]:
    """The views of a layout, drawn once."""
    if id(layout) not in _DRAWN:
        _DRAWN[id(layout)] = (layout, profile_views(layout))
    return _DRAWN[id(layout)][1]


def view_of(layout: Any, wall: str) -> ProfileView:
    return next(each for each in views_of(layout) if each.wall == wall)


def inside(view: ProfileView, point: Any) -> bool:
    return all(view.low[i] - 1e-9 <= point[i] <= view.high[i] + 1e-9 for i in (0, 1))


def lines_on(view: ProfileView, layer: str) -> list[list[tuple[float, float]]]:
    """Every line and polyline on a layer in a wall's window, in drawing units."""
    found = []
    for each in view.document.modelspace().query(f'*[layer=="{layer}"]'):
        if each.dxftype() == "LINE":
            points = [each.dxf.start.vec2, each.dxf.end.vec2]
        elif each.dxftype() == "LWPOLYLINE":
            points = list(each.vertices())  # type: ignore[attr-defined]
        else:
            continue
        plain = [(point[0], point[1]) for point in points]
        if all(inside(view, point) for point in plain):
            found.append(plain)
    return found


def words_in(view: ProfileView) -> list[str]:
    texts = view.document.modelspace().query("TEXT")
    return [each.dxf.text for each in texts if inside(view, each.dxf.align_point)]


def left_edge(view: ProfileView) -> float:
    """Where the wall's left end is, drawing units."""
    (wall,) = lines_on(view, "S-FNDN-WALL")
    return min(x for x, _ in wall)


def approx(values: Any) -> Any:
    return pytest.approx(values, rel=0, abs=1e-6)


@pytest.fixture(scope="module")
def plain() -> Any:
    return laid_out(slope(), string=102 * FOOT, benchmark=("nail in oak", 100 * FOOT))


@pytest.fixture(scope="module")
def rich() -> Any:
    site = SiteGround(
        existing=slopes.plane(lambda x, y: 100 * FOOT - x / 8),
        finished=slopes.plane(lambda x, y: 100.5 * FOOT - x / 9),
    )
    rules = replace(RULES, strip=4 * INCH)
    request = slope(plan=furnished(), site=site, rules=rules)
    return laid_out(
        request, base=4 * INCH, string=102.5 * FOOT, benchmark=("nail in oak", 100 * FOOT)
    )


def test_steps_stand_where_the_hand_worked_slope_has_them(plain: Any) -> None:
    view = view_of(plain, "A-B")
    left = left_edge(view)
    faces = sorted(line[0][0] - left for line in lines_on(view, "S-FNDN-STEP"))
    assert faces == approx([64 / 12, 128 / 12, 16, 256 / 12])
    rises = {round(abs(a[1] - b[1]) * 12, 6) for a, b in lines_on(view, "S-FNDN-STEP")}
    assert rises == {8.0}


def test_the_footing_is_drawn_at_its_levels_and_dug_past_each_face(plain: Any) -> None:
    view = view_of(plain, "A-B")
    left = left_edge(view)
    (ring,) = lines_on(view, "S-FNDN-FTNG")
    corners = {(round(x - left, 6), round(y, 6)) for x, y in ring}
    # 8 courses of 8" under a top of wall at 102' leave the footing at 96' 8" to 95' 10".
    top, bottom = 102 - 64 / 12, 102 - 64 / 12 - 10 / 12
    assert (-0.5, round(top, 6)) in corners
    assert (round(64 / 12, 6), round(top, 6)) in corners
    assert (round(64 / 12, 6), round(top - 8 / 12, 6)) in corners
    # Without a rule the overlap is the thickness, 10".
    assert (round(54 / 12, 6), round(bottom, 6)) in corners
    assert (round(54 / 12, 6), round(bottom - 8 / 12, 6)) in corners
    assert (24.5, round(102 - 8 - 10 / 12, 6)) in corners


def test_a_published_overlap_moves_the_dig_and_its_station() -> None:
    layout = laid_out(slope(rules=replace(RULES, rule=preset("NHBC strip"))))
    view = view_of(layout, "A-B")
    assert "dig to 4' 0\"" in words_in(view)
    (ring,) = lines_on(view, "S-FNDN-FTNG")
    assert any(x - left_edge(view) == approx(4.0) for x, _ in ring)


def test_the_drawn_footing_has_the_area_of_runs_and_overlaps(plain: Any) -> None:
    view = view_of(plain, "A-B")
    (ring,) = lines_on(view, "S-FNDN-FTNG")
    area = abs(
        sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(ring, ring[1:] + ring[:1], strict=True)) / 2
    )
    assert area == approx(25 * 10 / 12 + 4 * (10 / 12) * (8 / 12))


def test_ground_lines_are_those_that_were_worked_out(rich: Any) -> None:
    view = view_of(rich, "A-B")
    left = left_edge(view)
    for layer, at_a, at_b in (
        ("C-TOPO-EXST", 100.0, 97.0),
        ("C-TOPO-FNSH", 100.5, 100.5 - 24 / 9),
        ("C-TOPO-UNDS", 100 - 4 / 12, 97 - 4 / 12),
        ("C-TOPO-FRST", 97.0, 97 - 24 / 9),
    ):
        (chain,) = lines_on(view, layer)
        assert chain[0] == approx((left, at_a)), layer
        assert chain[-1] == approx((left + 24, at_b)), layer
        assert len(chain) == len(rich.grade.wall("A-B").ground.stations)


def test_one_line_serves_where_finished_and_existing_ground_are_one(plain: Any) -> None:
    view = view_of(plain, "A-B")
    assert lines_on(view, "C-TOPO-EXST") == []
    assert lines_on(view, "C-TOPO-UNDS") == []
    assert "existing and finished ground" in words_in(view)


def test_the_wall_is_dropped_at_its_opening_and_courses_stop_there(rich: Any) -> None:
    view = view_of(rich, "A-B")
    left = left_edge(view)
    (ring,) = lines_on(view, "S-FNDN-WALL")
    sill = sorted(x - left for x, y in ring if y == approx(102 - 8 / 12))
    assert sill == approx([2, 5])
    first = [line for line in lines_on(view, "S-FNDN-CRSE") if line[0][1] == approx(102 - 8 / 12)]
    spans = sorted((min(a[0], b[0]) - left, max(a[0], b[0]) - left) for a, b in first)
    assert spans == [approx((0, 2)), approx((5, 24))]


def test_a_course_is_drawn_wherever_there_is_block_above_and_below(plain: Any) -> None:
    view = view_of(plain, "A-B")
    left = left_edge(view)
    spans = {
        round((102 - a[1]) * 12 / 8): (a[0] - left, b[0] - left)
        for a, b in lines_on(view, "S-FNDN-CRSE")
    }
    assert sorted(spans) == list(range(1, 12))
    assert spans[7] == approx((0, 24))
    assert spans[8] == approx((64 / 12, 24))
    assert spans[11] == approx((256 / 12, 24))


def test_the_pipe_is_a_circle_on_its_invert(rich: Any) -> None:
    view = view_of(rich, "A-B")
    circles = [
        each
        for each in view.document.modelspace().query('CIRCLE[layer=="S-FNDN-OPNG"]')
        if inside(view, each.dxf.center)
    ]
    assert len(circles) == 1
    assert circles[0].dxf.radius == approx(2 / 12)
    assert circles[0].dxf.center.y == approx(97 + 2 / 12)
    assert circles[0].dxf.center.x - left_edge(view) == approx(18)


def test_every_number_to_dig_by_is_written(rich: Any) -> None:
    words = words_in(view_of(rich, "A-B"))
    wall = rich.grade.wall("A-B")
    assert "Wall A-B, 24' 0\"" in words
    assert "G: 14' 0\"" in words
    assert len([each for each in words if each.startswith("face ")]) == len(wall.built)
    # Eleven courses: 102' - 7' 4" is 94' 8"; the dig is 10" of footing and 4" of stone lower.
    for text in ("11", "94' 8\"", "5' 4\"", "7' 10\"", "93' 6\"", "6' 6\"", "9' 0\""):
        assert text in words, text
    for text in ("top of footing", "dig level"):
        assert words.count(text) == 1
    for text in ("add to benchmark", "down from string"):
        assert words.count(text) == 2
    assert any("nail in oak" in each for each in words)


def test_without_a_benchmark_or_a_string_nothing_is_made_up() -> None:
    words = words_in(view_of(laid_out(slope()), "A-B"))
    assert "add to benchmark" not in words
    assert "down from string" not in words
    assert not any("enchmark" in each for each in words)


def test_trenches_of_four_feet_are_flagged_with_what_they_need(rich: Any) -> None:
    view = view_of(rich, "A-B")
    left = left_edge(view)
    bars = sorted(x - left for line in lines_on(view, "S-ANNO-DEEP") for x, _ in line)
    deep = [each for each in rich.grade.wall("A-B").deep if each.limit == 4 * FOOT]
    assert bars[0] == approx(deep[0].start / FOOT)
    assert bars[-1] == approx(deep[-1].end / FOOT)
    assert "4' 0\" deep" in words_in(view)
    assert any("needs a way out" in each for each in words_in(view))


@pytest.mark.parametrize(("wall", "left"), [("A-B", "A"), ("C-D", "C"), ("D-A", "D")])
def test_anticlockwise_walls_are_seen_with_their_first_corner_on_the_left(
    plain: Any, wall: str, left: str
) -> None:
    other = wall.strip(left).strip("-")
    said = f"Seen from outside the building: {left} on the left, {other} on the right."
    assert any(each.startswith(said) for each in words_in(view_of(plain, wall)))


def test_a_clockwise_outline_shows_the_same_wall_the_same_way_round(plain: Any) -> None:
    layout = laid_out(slope(plan=clockwise(slope().plan)), string=102 * FOOT)
    ours, theirs = view_of(plain, "A-B"), view_of(layout, "B-A")
    assert any(
        each.startswith("Seen from outside the building: A on the left, B on the right.")
        and each.endswith("Stations run from B.")
        for each in words_in(theirs)
    )
    for layer in ("S-FNDN-FTNG", "C-TOPO-FNSH", "S-FNDN-STEP"):
        first = {
            (round(x - left_edge(ours), 6), round(y, 6))
            for line in lines_on(ours, layer)
            for x, y in line
        }
        second = {
            (round(x - left_edge(theirs), 6), round(y, 6))
            for line in lines_on(theirs, layer)
            for x, y in line
        }
        assert first == second, layer
    # Its stations run from B all the same: the fall's first face is 2' 8" from B.
    assert "face 2' 8\"" in words_in(theirs)
    assert "face 5' 4\"" in words_in(ours)


def test_a_wall_reads_the_same_wherever_the_building_is_turned() -> None:
    def ground(x: float, y: float) -> float:
        cos, sin = math.cos(math.radians(17)), math.sin(math.radians(17))
        return 100 * FOOT - (x * cos + y * sin) / 8

    plan = turned(slope().plan, 17)
    layout = laid_out(slope(plan=plan, site=SiteGround(existing=slopes.plane(ground))))
    straight = laid_out(slope())
    for wall in ("A-B", "B-C"):
        assert sorted(words_in(view_of(layout, wall))) == sorted(words_in(view_of(straight, wall)))


def _boxes(view: ProfileView) -> list[tuple[str, Box]]:
    boxes = []
    for each in view.document.modelspace().query("TEXT"):
        if not inside(view, each.dxf.align_point):
            continue
        place = each.dxf.align_point
        align = {0: -1, 1: 0, 4: 0, 2: 1}[each.dxf.halign]
        text = Text(
            text=each.dxf.text,
            x=place.x,
            y=place.y,
            height=each.dxf.height,
            turn=math.radians(each.dxf.rotation),
            align=align,
        )
        width = text_width(text.text, text.height)
        shift = -align * width / 2
        boxes.append((
            each.dxf.text,
            Box(
                x=text.x + shift * math.cos(text.turn),
                y=text.y + shift * math.sin(text.turn),
                width=width,
                height=1.2 * text.height,
                turn=text.turn,
            ),
        ))
    return boxes


@pytest.mark.parametrize("metric", [False, True])
def test_no_two_words_cover_each_other_and_all_stay_in_their_window(
    rich: Any, metric: bool
) -> None:
    if metric:
        options = Options(unit="m", show=Show.METRES, nearest=0.001, paper="A4")
        options = replace(options, dig=rich.options.dig)
        rich = type(rich)(plan=rich.plan, grade=rich.grade, options=options)
    for view in profile_views(rich):
        boxes = _boxes(view)
        assert len(boxes) > 15
        for i, (name, box) in enumerate(boxes):
            assert all(inside(view, corner) for corner in box.corners), name
            for other, second in boxes[:i]:
                assert not box.covers(second), f"{view.wall}: {name} over {other}"


def test_many_narrow_runs_are_numbered_and_listed() -> None:
    request = slope(
        plan=slopes.outline(slopes.rectangle(96, 16)),
        site=SiteGround(existing=slopes.plane(lambda x, y: 100 * FOOT - x / 4)),
        rules=replace(RULES, step_cost=0.0),
    )
    layout = laid_out(request, string=102 * FOOT)
    view = view_of(layout, "A-B")
    words = words_in(view)
    assert words.count("run") == 2
    levels = layout.grade.wall("A-B").profile.levels
    assert words.count(str(len(levels))) >= 2
    boxes = _boxes(view)
    for i, (name, box) in enumerate(boxes):
        assert not any(box.covers(second) for _, second in boxes[:i]), name


def test_a_wall_with_too_many_runs_is_drawn_smaller_and_says_so() -> None:
    request = slope(
        plan=slopes.outline(slopes.rectangle(96, 16)),
        site=SiteGround(existing=slopes.plane(lambda x, y: 100 * FOOT - x / 3)),
        rules=replace(RULES, step_cost=0.0),
    )
    view, *others = profile_views(laid_out(request, string=102 * FOOT))
    assert view.scale == ""
    assert all(other.scale for other in others[:1])
    assert any("Not to scale: drawn smaller" in text for text in words_in(view))
    # Nothing runs past the sheet's window: it shows at least what the wall takes.
    space = view.document.paperspace(view.paper)
    (port,) = [each for each in space.query("VIEWPORT") if each.dxf.id != 1]
    shown = port.dxf.view_height, port.dxf.view_height * port.dxf.width / port.dxf.height
    assert shown[0] >= view.high[1] - view.low[1] - 1e-9
    assert shown[1] >= view.high[0] - view.low[0] - 1e-9
    # And nothing of the next wall.
    middle = (view.low[0] + view.high[0]) / 2
    assert middle + shown[1] / 2 <= others[0].low[0] + 1e-9


@pytest.mark.parametrize("paper", ["letter", "tabloid", "A4", "A3"])
def test_every_window_fits_its_sheet_at_the_stated_scale(plain: Any, paper: str) -> None:
    options = replace(plain.options, paper=paper)
    layout = type(plain)(plan=plain.plan, grade=plain.grade, options=options)
    for view in profile_views(layout):
        assert view.width_mm <= PAPERS[paper][0] - 2 * MARGIN + 1e-6
        assert view.height_mm <= PAPERS[paper][1] - 2 * MARGIN + 1e-6
        space = view.document.paperspace(view.paper)
        (port,) = [each for each in space.query("VIEWPORT") if each.dxf.id != 1]
        ratio = {'1/2" = 1\'-0"': 24, '3/8" = 1\'-0"': 32, '1/4" = 1\'-0"': 48}[view.scale]
        inch = 1.0 if paper in {"letter", "tabloid"} else 25.4
        assert port.dxf.view_height / port.dxf.height == approx(ratio / 12 / inch)


def test_a_sheet_shows_its_own_wall_alone(rich: Any) -> None:
    views = profile_views(rich)
    paper = PAPERS["letter"]
    for first, second in pairwise(views):
        reach = (paper[0] - 2 * MARGIN - first.width_mm) / 2
        per_mm = (first.high[0] - first.low[0]) / first.width_mm
        assert first.high[0] + reach * per_mm <= second.low[0]


def test_the_file_reads_back_sound_and_uses_its_own_layers_only(rich: Any) -> None:
    doc = drawn(rich)
    assert not doc.audit().has_errors
    used = {each.dxf.layer for each in doc.modelspace()}
    assert used <= set(ALL_LAYERS)
    assert doc.header["$INSUNITS"] == 2
    for name, (colour, weight, linetype, _) in ALL_LAYERS.items():
        layer = doc.layers.get(name)
        assert (layer.color, layer.dxf.lineweight, layer.dxf.linetype) == (
            colour,
            weight,
            linetype,
        )


def test_elevations_are_true_for_every_wall_in_a_metric_drawing(rich: Any) -> None:
    options = replace(rich.options, unit="m", show=Show.METRES, nearest=0.001)
    layout = type(rich)(plan=rich.plan, grade=rich.grade, options=options)
    for view in profile_views(layout):
        (wall,) = lines_on(view, "S-FNDN-WALL")
        assert max(y for _, y in wall) == approx(102 * FOOT)


def test_a_layout_without_levels_has_no_profile(plain: Any) -> None:
    layout = type(plain)(plan=plain.plan, grade=None, options=plain.options)
    with pytest.raises(ComputationError, match="no walls with levels"):
        profile_views(layout)


def test_an_interior_line_is_seen_with_its_first_end_on_the_left(rich: Any) -> None:
    wall: GradedWall = rich.grade.wall("G")
    assert Seen.of(wall.strand).left
    words = words_in(view_of(rich, "G"))
    assert "Interior line G, 16' 0\"" in words
    assert any("A-B on the left, C-D on the right" in each for each in words)


def test_a_side_against_a_standing_building_has_no_profile_but_names_what_ends_on_it() -> None:
    plan = furnished()
    (building,) = plan.buildings
    walls = tuple(
        replace(each, existing=Existing()) if each.name == "C-D" else each
        for each in building.walls
    )
    (line,) = plan.interior
    plan = replace(
        plan,
        buildings=(replace(building, walls=walls),),
        interior=(replace(line, end_on="C-D"),),
    )
    layout = laid_out(slope(plan=plan))
    assert [view.wall for view in views_of(layout)] == ["A-B", "B-C", "D-A", "G"]
    words = words_in(view_of(layout, "G"))
    assert any("A-B on the left, C-D on the right" in each for each in words)


def test_places_are_moved_apart_as_little_as_it_takes() -> None:
    assert spread([0.0, 1.0, 10.0], [2.0] * 3) == approx([-0.5, 1.5, 10.0])
    assert spread([5.0, 5.0, 5.0], [1.0] * 3) == approx([4.0, 5.0, 6.0])
    assert spread([0.0, 3.0], [1.0, 4.0]) == approx([0.0, 3.0])


def test_levels_that_reach_under_each_other_keep_the_lowest() -> None:
    # A short high run between two low ones whose digs meet under it: nothing of it is left.
    found = lowest_levels([(0.0, 6.0, 1.0), (6.0, 5.0, 2.0), (5.0, 9.0, 1.5)])
    assert found == ((0.0, 6.0, 1.0), (6.0, 9.0, 1.5))


def test_on_a_short_wall_the_string_is_named_over_the_top_of_the_wall_and_off_its_ends() -> None:
    job = Path(__file__).parents[2] / "fixtures" / "hillside-lot" / "job.yaml"
    view = view_of(lay_out_job(load_job(job)), "D-E")
    boxes = _boxes(view)
    (string,) = [box for text, box in boxes if text.startswith("string ")]
    (top,) = [box for text, box in boxes if text.startswith("top of wall ")]
    assert string.y > top.y
    (wall,) = lines_on(view, "S-FNDN-WALL")
    ends = [x for x, _ in wall]
    for x in (min(ends), max(ends)):
        for box in (string, top):
            assert abs(x - box.x) > box.width / 2
