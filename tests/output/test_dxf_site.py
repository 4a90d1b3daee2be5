"""The drawing of a building on its lot: the plan turned and shifted, and what stands around it."""

from __future__ import annotations

import io
import itertools
import math
from dataclasses import replace
from pathlib import Path

import ezdxf
import numpy as np
import pytest

from staking.job.build import Job
from staking.output.drawing.drawing_scale import frame_plan
from staking.output.drawing.drawn_words import Box
from staking.output.drawing.grid_ticks import grid_ticks
from staking.output.drawing.pen import Grid
from staking.output.drawing.plan_drawing import plan_document
from staking.output.drawing.write_drawing import write_drawing
from staking.plan import Building, Corner, Footing, Opening, Options, Plan, Show, Wall
from staking.points import KnownPoint
from staking.project.layout import lay_out_job, load_job
from staking.site.building_on_lot import BuildingOnLot, NamedLine
from staking.site.site_request import SiteAsked
from staking.site.site_results import BoundaryLine, Placement
from staking.units import Unit

US_FT = 1200 / 3937
EAST, NORTH = 600_000.0, 5_000_000.0
TURN = math.radians(100)
SIDE = {"A": (0.0, 0.0), "B": (12.0, 0.0), "C": (12.0, 8.0), "D": (0.0, 8.0)}


def known(name: str, east: float, north: float, elevation: float = math.nan) -> KnownPoint:
    return KnownPoint(name=name, northing=NORTH + north, easting=EAST + east, elevation=elevation)


LOT = (known("1", -30, -30, 101.5), known("2", 30, -30), known("3", 30, 30), known("4", -30, 30))


def site(crs: str | None = "EPSG:32614", unit: str = "m", turn: float = TURN) -> BuildingOnLot:
    names = [point.name for point in LOT]
    return BuildingOnLot(
        asked=SiteAsked(),
        surveys=("lot.csv",),
        unit=unit,
        crs=crs,
        placement=Placement(turn=turn, x0=6.0, y0=4.0, easting0=EAST, northing0=NORTH),
        control=(known("101", -12, 3, 100.25), LOT[0]),
        boundary=LOT,
        lines=tuple(
            BoundaryLine(start=a, end=b, length=60.0, azimuth=i * math.pi / 2)
            for i, (a, b) in enumerate(itertools.pairwise([*names, names[0]]), start=1)
        ),
        buried=(
            NamedLine(
                name="gas line", points=(known("31", -9, -20), known("32", -9, 20)), hand_dig=0.6
            ),
        ),
    )


def layout(of: BuildingOnLot | None):
    footing = Footing(width=0.5, thickness=0.25, outside=0.15)
    corners = tuple(Corner(name=name, x=x, y=y) for name, (x, y) in SIDE.items())
    walls = tuple(
        Wall(start=a, end=b, thickness=0.2, footing=footing)
        for a, b in itertools.pairwise([*SIDE, "A"])
    )
    plan = Plan(
        job="Shed",
        buildings=(Building(name=None, corners=corners, walls=walls),),
        openings=(Opening(wall="A-B", start=2.0, width=3.0, drop=0.2),),
    )
    options = Options(unit="m", show=Show.METRES, nearest=0.001, paper="A3")
    return replace(lay_out_job(Job(plan=plan, options=options, notices=())), site=of)


def drawn(of: BuildingOnLot | None):
    stream = io.StringIO()
    write_drawing(plan_document(layout(of)), stream)
    stream.seek(0)
    return ezdxf.read(stream)


@pytest.fixture(scope="module")
def plain():
    return drawn(None)


@pytest.fixture(scope="module")
def placed():
    return drawn(site())


def back(x: float, y: float) -> tuple[float, float]:
    """Take an easting and a northing, m, back to the building grid by a turn the other way."""
    point = complex(x - EAST, y - NORTH) * complex(math.cos(TURN), -math.sin(TURN))
    return point.real + 6.0, point.imag + 4.0


def is_plan(entity) -> bool:
    return entity.dxf.layer.startswith("S-")


def test_the_placed_drawing_passes_an_audit_without_a_fault_or_a_repair(placed):
    audit = placed.audit()
    assert not audit.errors
    assert not audit.fixes


def test_the_plan_is_the_same_after_the_turn_and_the_shift(plain, placed):
    before = [each for each in plain.modelspace() if is_plan(each)]
    after = [each for each in placed.modelspace() if is_plan(each)]
    assert [(e.dxftype(), e.dxf.layer) for e in before] == [
        (e.dxftype(), e.dxf.layer) for e in after
    ]
    compared = 0
    for old, new in zip(before, after, strict=True):
        if old.dxftype() == "LWPOLYLINE":
            olds, news = list(old.get_points("xy")), list(new.get_points("xy"))
        elif old.dxftype() == "LINE":
            olds = [old.dxf.start.vec2, old.dxf.end.vec2]
            news = [new.dxf.start.vec2, new.dxf.end.vec2]
        elif old.dxftype() == "TEXT":
            olds, news = [old.dxf.align_point.vec2], [new.dxf.align_point.vec2]
            assert old.dxf.text == new.dxf.text
            turned = math.remainder(new.dxf.rotation - old.dxf.rotation - 100, 360)
            assert turned == pytest.approx(0, rel=0, abs=1e-9)
        elif old.dxftype() == "DIMENSION":
            olds = [old.dxf.defpoint.vec2, old.dxf.defpoint2.vec2, old.dxf.defpoint3.vec2]
            news = [new.dxf.defpoint.vec2, new.dxf.defpoint2.vec2, new.dxf.defpoint3.vec2]
            assert old.dxf.text == new.dxf.text
            assert new.get_measurement() == pytest.approx(old.get_measurement(), rel=0, abs=1e-8)
        else:
            continue
        compared += 1
        assert np.array([back(*p) for p in news]) == pytest.approx(
            np.array([tuple(p) for p in olds]), rel=0, abs=1e-8
        )
    assert compared > 60


def test_dimension_text_turns_with_the_plan(plain, placed):
    def turns(doc):
        return [
            text.dxf.rotation
            for dim in doc.modelspace().query("DIMENSION")
            for text in dim.virtual_entities()
            if text.dxftype() in {"TEXT", "MTEXT"}
        ]

    apart = [
        math.remainder(b - a - 100, 360) for a, b in zip(turns(plain), turns(placed), strict=True)
    ]
    assert apart == pytest.approx([0] * len(apart), rel=0, abs=1e-6)


def test_surveyed_points_stand_at_their_easting_northing_and_elevation(placed):
    points = placed.modelspace().query('POINT[layer=="V-CTRL"]')
    found = {tuple(round(each, 6) for each in point.dxf.location) for point in points}
    for point in site().control:
        assert (point.easting, point.northing, point.elevation) in found
    # No point lies at 0 beside others at 100: one without an elevation has its marker and its name.
    assert {level for *_, level in found} == {101.5, 100.25}
    named = placed.modelspace().query('INSERT[layer=="V-CTRL"]')
    places = {
        block.get_attrib_text("POINT"): (block.dxf.insert.vec2, block.get_attrib_text("ELEVATION"))
        for block in named
    }
    for point in LOT[1:]:
        place, level = places[point.name]
        assert place.distance((point.easting, point.northing)) < 1e-6
        assert not level
    assert places["hub_A_A-B"][1] == ""
    words = [text.dxf.text for text in placed.modelspace().query('TEXT[layer=="V-CTRL"]')]
    assert sorted(words) == ["1  101.500", "101  100.250", "2", "3", "31", "32", "4"]


def test_points_of_a_lot_without_elevations_all_lie_in_the_plane_of_the_drawing():
    flat = replace(
        site(), control=(known("101", -12, 3),), boundary=(known("1", -30, -30), *LOT[1:])
    )
    points = drawn(flat).modelspace().query('POINT[layer=="V-CTRL"]')
    # Four corners, eight hubs, five points of the lot and two of the gas line.
    assert len(points) == 4 + 8 + 5 + 2
    assert {point.dxf.location.z for point in points} == {0.0}


def test_the_boundary_is_closed_through_its_points_with_bearings_and_lengths(placed):
    (ring,) = placed.modelspace().query('LWPOLYLINE[layer=="V-PROP-LINE"]')
    assert ring.closed
    expected = [(p.easting, p.northing) for p in LOT]
    assert np.array(list(ring.get_points("xy"))) == pytest.approx(
        np.array(expected), rel=0, abs=1e-8
    )
    words = [text.dxf.text for text in placed.modelspace().query('TEXT[layer=="V-PROP-LINE"]')]
    assert len(words) == 4
    assert all("60.000" in each for each in words)


def test_a_buried_line_is_drawn_with_the_width_to_dig_by_hand(placed):
    line, strip = placed.modelspace().query('LWPOLYLINE[layer=="C-UTIL"]')
    assert np.array(list(line.get_points("xy"))) == pytest.approx(
        np.array([(EAST - 9, NORTH - 20), (EAST - 9, NORTH + 20)]), rel=0, abs=1e-8
    )
    assert strip.closed
    edges = np.array(list(strip.get_points("xy")))
    assert np.ptp(edges[:, 0]) == pytest.approx(1.2, rel=0, abs=1e-8)
    (words,) = placed.modelspace().query('TEXT[layer=="C-UTIL"]')
    assert words.dxf.text == "gas line: hand-dig 0.600 m each side"


def test_geodata_names_the_coordinate_system_and_maps_the_drawing_into_it(placed):
    geodata = placed.modelspace().get_geodata()
    assert geodata.get_crs() == (32614, True)
    matrix, _ = geodata.get_crs_transformation()
    moved = matrix.transform((EAST + 3, NORTH - 4, 0))
    assert (moved.x, moved.y) == pytest.approx((EAST + 3, NORTH - 4), rel=0, abs=1e-6)


def test_a_drawing_in_survey_feet_says_so_and_maps_into_a_system_in_metres():
    doc = drawn(site(unit="us-ft"))
    assert doc.header["$INSUNITS"] == 21
    matrix, _ = doc.modelspace().get_geodata().get_crs_transformation(no_checks=True)
    moved = matrix.transform(((EAST + 3) / US_FT, (NORTH - 4) / US_FT, 0))
    assert (moved.x, moved.y) == pytest.approx((EAST + 3, NORTH - 4), rel=0, abs=1e-6)


def test_without_a_coordinate_system_nothing_is_claimed():
    assert drawn(site(crs=None)).modelspace().get_geodata() is None


def test_the_window_turns_the_plan_upright_about_its_middle(placed, plain):
    def window(doc):
        (view,) = [
            each
            for each in doc.paperspace("Foundation layout").query("VIEWPORT")
            if each.dxf.id != 1
        ]
        return view.get_transformation_matrix()

    for corner in SIDE.values():
        turned = complex(corner[0] - 6.0, corner[1] - 4.0) * complex(math.cos(TURN), math.sin(TURN))
        on_site = (EAST + turned.real, NORTH + turned.imag, 0)
        here = window(placed).transform(on_site)
        there = window(plain).transform((*corner, 0))
        assert here.isclose(there, abs_tol=1e-5)


def test_the_extents_hold_the_lot(placed):
    low, high = placed.header["$EXTMIN"], placed.header["$EXTMAX"]
    assert low[:2] == pytest.approx((EAST - 30, NORTH - 30), rel=0, abs=1e-6)
    assert high[:2] == pytest.approx((EAST + 30, NORTH + 30), rel=0, abs=1e-6)


def test_the_sheet_points_north_and_names_the_system(placed):
    words = [text.dxf.text for text in placed.paperspace("Foundation layout").query("TEXT")]
    assert {"N", "grid", "property line", "buried line", "surveyed point"} <= set(words)
    assert "EPSG:32614" in " ".join(words)
    assert any(each.startswith("E 6") for each in words)
    assert any(each.startswith(("N 4,999,9", "N 5,000,0")) for each in words)


def test_a_site_without_a_placement_changes_nothing(plain):
    unplaced = drawn(replace(site(), placement=None))
    assert len(unplaced.modelspace()) == len(plain.modelspace())
    assert unplaced.modelspace().get_geodata() is None


def test_grid_ticks_stand_where_round_coordinates_meet_the_window():
    placement = Placement(turn=0.0, x0=0.0, y0=0.0, easting0=1000.0, northing0=2000.0)
    window = Box(x=0, y=0, width=20, height=10)
    ticks = grid_ticks(window, 0.1, Grid(scale=1.0, placement=placement), 1.0, [])
    # 40 mm at 0.1 m a mm is 4 m, so the ticks are 5 m apart.
    words = sorted({tick.text.text for tick in ticks if tick.text is not None})
    assert words == ["E 1,000", "E 1,005", "E 995", "N 2,000"]
    (first, *_) = [tick for tick in ticks if tick.text and tick.text.text == "E 1,005"]
    assert first.start == pytest.approx((150, 0), rel=0, abs=1e-9)
    assert first.end == pytest.approx((150, 4), rel=0, abs=1e-9)


def test_a_ticks_words_give_way_to_a_line():
    window = Box(x=0, y=0, width=100, height=80)
    placement = Placement(turn=0.0, x0=0, y0=0, easting0=EAST, northing0=NORTH)
    placed_at = Grid(scale=1.0, placement=placement)
    free = grid_ticks(window, 0.1, placed_at, 1.0, ())
    line = ((-50.0, -39.2), (50.0, -39.2))
    shut = grid_ticks(window, 0.1, placed_at, 1.0, (), (line,))
    low = [i for i, tick in enumerate(free) if tick.start[1] == 0 and tick.text is not None]
    assert low
    assert all(shut[i].text is None for i in low)
    assert [t.text for i, t in enumerate(shut) if i not in low] == [
        t.text for i, t in enumerate(free) if i not in low
    ]


def test_a_ticks_words_give_way_to_the_plans():
    placement = Placement(turn=0.0, x0=0.0, y0=0.0, easting0=1000.0, northing0=2000.0)
    window = Box(x=0, y=0, width=20, height=10)
    ticks = grid_ticks(window, 0.1, Grid(scale=1.0, placement=placement), 1.0, [window])
    assert ticks
    assert all(tick.text is None for tick in ticks)


def crossing(path: Path) -> list[str]:
    """Name the words of a job's plan that a property line or a buried line runs through."""
    from staking.output.drawing.drawing_scale import frame_plan

    done = lay_out_job(load_job(path))
    lot = done.site
    places = lot.placement.to_building(
        np.array([(p.northing, p.easting) for line in lot.buried for p in line.points])
    )
    edges = lot.placement.to_building(np.array([(p.northing, p.easting) for p in lot.boundary]))
    lines = [*itertools.pairwise(places.tolist()), *itertools.pairwise([*edges.tolist(), edges[0]])]
    return [
        text.text
        for variant in frame_plan(done).variants
        for text in variant.texts
        if any(text.box.meets((tuple(a), tuple(b))) for a, b in lines)
    ]


def test_no_word_of_the_plan_stands_on_a_buried_or_a_property_line():
    assert crossing(Path(__file__).parents[2] / "fixtures" / "hillside-lot" / "job.yaml") == []


def test_the_demo_lot_lies_over_its_survey():
    job = Path(__file__).parents[2] / "fixtures" / "hillside-lot" / "job.yaml"
    done = lay_out_job(load_job(job))
    stream = io.StringIO()
    write_drawing(plan_document(done), stream)
    stream.seek(0)
    doc = ezdxf.read(stream)
    (ring,) = doc.modelspace().query('LWPOLYLINE[layer=="V-PROP-LINE"]')
    # The fixture's own lot corners, as its file prints them.
    expected = [
        (1640250.0, 590120.0),
        (1640364.103, 590088.322),
        (1640405.224, 590233.345),
        (1640289.406, 590265.983),
    ]
    assert np.array(list(ring.get_points("xy"))) == pytest.approx(
        np.array(expected), rel=0, abs=1e-6
    )
    assert doc.modelspace().get_geodata().get_crs() == (5646, True)


def test_the_drawing_reads_back_with_every_name_and_no_height_where_there_is_none(placed):
    from staking.points import SurveySettings
    from staking.survey.dxf.points_from_drawing import parse_dxf

    text = io.StringIO()
    placed.write(text)
    read = parse_dxf(io.BytesIO(text.getvalue().encode()), "plan.dxf", SurveySettings())
    levels = dict(zip(read.names, read.elevation.tolist(), strict=True))
    scale = Unit(site().unit).metres
    for point in (*site().control, *LOT):
        assert levels[point.name] == pytest.approx(
            point.elevation, rel=0, abs=1e-4 * scale, nan_ok=True
        )
    assert {"A", "B", "hub_A_A-B"} <= set(read.names)
    assert read.count == len(set(read.names))


def test_a_buried_lines_words_stand_whole_on_the_sheet() -> None:
    # The line leaves the sheet both ways; its words must not.
    stream = io.StringIO()
    done = layout(site())
    write_drawing(plan_document(done), stream)
    stream.seek(0)
    window = frame_plan(done).window("A3")
    (words,) = [
        each
        for each in ezdxf.read(stream).modelspace().query("TEXT")
        if each.dxf.text.startswith("gas line: hand-dig")
    ]
    assert done.site is not None
    assert done.site.placement is not None
    x, y = words.dxf.align_point.vec2 if words.dxf.hasattr("align_point") else words.dxf.insert.vec2
    (place,) = done.site.placement.to_building(np.array([(y, x)])).tolist()
    across, up = window.local((place[0], place[1]))
    assert abs(across) < window.width / 2
    assert abs(up) < window.height / 2
