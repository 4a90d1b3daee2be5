"""A check from values: tapes, stakes on a lot, the place, setbacks, and stakes as they stand."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

import numpy as np
import pytest

from staking.adjust.level_readings import Reading, Readings
from staking.checked.as_accepted import Became, corners_as_they_stand, what_becomes
from staking.checked.page_tapes import page_tapes
from staking.checked.stakes_checked import Checked, check_stakes, tapes_of
from staking.checked.stakes_on_plan import StakesRead, match_stakes, stake_names, stakes_on_plan
from staking.errors import ComputationError, InputError
from staking.laid_out.layout_value import Layout
from staking.plan import Options, Point
from staking.points import KnownPoint, SurveyPoints
from staking.site.building_on_lot import NamedLine
from staking.site.site_request import KeepOff, Setback, SiteAsked
from staking.site.site_results import Placement
from tests.checked.barn import CORNERS, EAST, NORTH, layout, on_the_ground, placed, survey

SHARP = 0.001
# The barn's diagonal: the root of 12 x 12 + 9 x 9 is 15; to the pad amid it half of that.
TAPES = {"A-B": 12.0, "B-C": 9.0, "C-D": 12.0, "D-A": 9.0, "A-C": 15.0, "B-D": 15.0}
NOTHING = Readings(readings=(), heights={})


def readings(tapes: Mapping[str, float]) -> Readings:
    return Readings(
        readings=tuple(
            Reading(from_name=pair[0], to_name=pair[2:], distance=length)
            for pair, length in tapes.items()
        ),
        heights={},
    )


def stakes(laid: Layout, places: Mapping[str, Point], north: float = 0.0) -> StakesRead:
    return as_read(laid, survey(on_the_ground(dict(places), north=north)))


def as_read(laid: Layout, shot: SurveyPoints) -> StakesRead:
    known = stake_names(laid)
    found, unknown = match_stakes([shot], known, SHARP)
    named = {each.name: each for each in known.values()}
    return stakes_on_plan(laid, [shot], found, unknown, named, SHARP)


def on_a_lot(setback: float, south: float = 3.0) -> Layout:
    """The barn with a boundary line `south` m off A-B, and a setback from it."""
    site = placed()
    corners = {"1": (-3.0, -south), "2": (20.0, -south), "3": (20.0, 20.0), "4": (-3.0, 20.0)}
    return layout(
        replace(
            site,
            asked=SiteAsked(
                boundary=tuple(corners),
                setbacks=(Setback(start="1", end="2", distance=setback),),
            ),
            boundary=tuple(
                KnownPoint(name=name, northing=NORTH + y, easting=EAST + x)
                for name, (x, y) in corners.items()
            ),
        )
    )


def kinds(checked: Checked) -> set[str]:
    return {each.kind for each in checked.notices}


def test_tapes_equal_to_the_plan_are_square_and_move_nothing() -> None:
    checked = check_stakes(layout(), (), readings({**TAPES, "A-P": 7.5, "B-P": 7.5}))
    assert checked.good
    assert {move.corner for move in checked.moves if move.steps} == set()
    assert checked.untaped == ()
    for each in checked.after:
        assert each.distance == pytest.approx(each.planned, rel=0, abs=1e-6)


def test_a_corner_out_along_its_wall_is_named_and_brought_back() -> None:
    # C stands 30 mm too far east: C-D 30 mm long, A-C and B-C by arithmetic
    x, y = 12.03, 9.0
    out = {**TAPES, "C-D": x, "A-C": math.hypot(x, y), "B-C": math.hypot(0.03, y)}
    checked = check_stakes(layout(), (), readings(out), "A,A-B")
    assert not checked.good
    assert [move.corner for move in checked.moves if move.steps] == ["C"]
    assert checked.hold is not None


def test_nothing_taped_and_a_place_without_a_lot_are_refused() -> None:
    with pytest.raises(InputError, match="no distance is given; write A-C=43-3-3/8"):
        check_stakes(layout(), (), NOTHING)
    with pytest.raises(InputError, match="tapes alone do not say where on the lot"):
        check_stakes(layout(), (), readings(TAPES), "place")
    laid = layout()
    with pytest.raises(InputError, match="the job is not placed on a survey"):
        check_stakes(laid, (), NOTHING, "place", stakes(laid, CORNERS))


def test_what_is_taped_is_taped_on_the_page_too() -> None:
    laid = layout()
    pairs = {frozenset((each.from_name, each.to_name)) for each in tapes_of(laid)}
    assert {frozenset(pair.split("-")) for pair in TAPES} <= pairs
    page = page_tapes(laid)
    assert page.judged == laid.checks
    assert {frozenset((each.from_name, each.to_name)) for each in page.tapes} == pairs
    # two coordinates a corner times the tapes is far below what a page can adjust
    assert page.solvable
    assert page.stretch == 1.0
    assert page.step == Options(unit="m").step
    assert [each.name for each in page.targets] == ["P"]
    assert len(page.rectangles) == 1


def test_stakes_in_their_place_keep_it() -> None:
    laid = layout(placed())
    checked = check_stakes(laid, (), NOTHING, stakes=stakes(laid, {**CORNERS, "P": (6.0, 4.5)}))
    assert checked.good
    assert checked.staked is not None
    assert checked.staked.in_place is True
    assert checked.staked.farthest is not None
    assert checked.staked.farthest.distance < 1e-6


def test_a_building_off_its_place_is_moved_to_it_and_its_shape_stays_square() -> None:
    laid = layout(placed())
    checked = check_stakes(laid, (), NOTHING, stakes=stakes(laid, CORNERS, north=0.1))
    staked = checked.staked
    assert staked is not None
    assert staked.displacement is not None
    assert checked.verdict.square
    assert checked.to_place
    assert checked.away
    # the survey's east is the building's x, its north the building's y
    assert staked.north == pytest.approx(0.1, rel=0, abs=1e-6)
    assert staked.east == pytest.approx(0.0, rel=0, abs=1e-6)
    assert staked.displacement.turn == pytest.approx(0.0, rel=0, abs=1e-9)
    assert {each.corner for each in checked.moves if each.steps} == set("ABCD")
    assert "not-in-place" in kinds(checked)
    # the shape alone counts where a wall is held
    assert check_stakes(laid, (), NOTHING, "A,A-B", stakes(laid, CORNERS, north=0.1)).good


def test_how_far_off_is_told_on_the_surveys_north_and_east() -> None:
    turned = Placement(turn=math.radians(17), x0=0.0, y0=0.0, easting0=EAST, northing0=NORTH)
    laid = layout(replace(placed(), placement=turned))
    places = turned.to_site(np.array(list(CORNERS.values()))) + np.array([0.1, -0.05])
    rows = [(name, *place) for name, place in zip(CORNERS, places.tolist(), strict=True)]
    checked = check_stakes(laid, (), NOTHING, stakes=as_read(laid, survey(rows)))
    staked = checked.staked
    assert staked is not None
    assert (staked.north, staked.east) == pytest.approx((0.1, -0.05), rel=0, abs=1e-6)
    for each in staked.stakes:
        assert (each.north, each.east) == pytest.approx((0.1, -0.05), rel=0, abs=1e-6)
    # the root of 0.1 squared and 0.05 squared
    assert staked.stakes[0].distance == pytest.approx(0.111803399, rel=0, abs=1e-6)


def test_a_building_a_metre_off_is_no_error_of_measuring() -> None:
    laid = layout(placed())
    near = check_stakes(laid, (), NOTHING, stakes=stakes(laid, CORNERS, north=0.2))
    far = check_stakes(laid, (), NOTHING, stakes=stakes(laid, CORNERS, north=1.0))
    said = [
        next(each.text for each in checked.notices if each.kind == "not-in-place")
        for checked in (near, far)
    ]
    assert "another grid, unit or set-up?" not in said[0]
    assert said[1].endswith("another grid, unit or set-up?")


def test_setbacks_are_judged_where_the_stakes_stand() -> None:
    # The footing's edge is 2.85 m off the line as planned; staked 0.1 m nearer, 2.75 m are left.
    kept = check_stakes(on_a_lot(2.5), (), NOTHING, stakes=stakes(on_a_lot(2.5), CORNERS, -0.1))
    assert "setbacks-kept" in kinds(kept)
    laid = on_a_lot(2.8)
    broken = check_stakes(laid, (), NOTHING, stakes=stakes(laid, CORNERS, -0.1))
    said = [each for each in broken.notices if each.text.startswith("as the stakes stand, ")]
    assert [each.severity for each in said] == ["broken"]
    assert not check_stakes(laid, (), NOTHING, "best", stakes(laid, CORNERS, -0.1)).good


def test_a_setback_short_by_less_than_the_stakes_can_show_is_near() -> None:
    # 2.75 m are left, and 2.7505 m are asked: half a millimetre is less than stakes to 1 mm show
    laid = on_a_lot(2.7505)
    checked = check_stakes(laid, (), NOTHING, stakes=stakes(laid, CORNERS, -0.1))
    assert "setbacks-near" in kinds(checked)


def test_what_is_kept_off_is_judged_where_the_stakes_stand() -> None:
    # A well 2 m south of A-B: the footing's edge is 1.85 m off it as planned, 1.75 m as staked.
    def beside_a_well(least: float) -> Layout:
        laid = on_a_lot(0.5)
        assert laid.site is not None
        well = KnownPoint(name="61", northing=NORTH - 2.0, easting=EAST + 6.0)
        keep = KeepOff(name="well", through=("61",), least=least, keeps="footing")
        return replace(
            laid,
            site=replace(
                laid.site,
                asked=replace(laid.site.asked, keep=(keep,)),
                keep=(NamedLine(name="well", points=(well,)),),
            ),
        )

    for least, broken in ((1.7, False), (1.8, True)):
        laid = beside_a_well(least)
        checked = check_stakes(laid, (), NOTHING, stakes=stakes(laid, CORNERS, -0.1))
        assert ("keep-off" in kinds(checked)) is broken


def test_one_corner_stake_is_no_shape() -> None:
    laid = layout(placed())
    with pytest.raises(InputError, match="only A is among the stakes, and a shape needs two"):
        check_stakes(laid, (), NOTHING, stakes=stakes(laid, {"A": (0.0, 0.0)}))


def test_stakes_are_taken_as_they_stand_on_the_lot() -> None:
    laid = layout(placed())
    there = {**CORNERS, "C": (12.05, 9.0)}
    checked = check_stakes(laid, (), NOTHING, stakes=stakes(laid, there))
    (corners,) = corners_as_they_stand(checked)
    assert [name for name, _ in corners] == list("ABCD")
    for name, place in corners:
        assert place == pytest.approx(there[name], rel=0, abs=1e-6)


def test_an_untaped_corner_is_not_taken_as_it_stands() -> None:
    checked = check_stakes(layout(), (), readings({"A-B": 12.0, "B-C": 9.0, "A-C": 15.0}))
    with pytest.raises(ComputationError, match="nothing was taped to D"):
        corners_as_they_stand(checked)


def test_what_becomes_of_walls_and_boards_is_told_by_name() -> None:
    before = layout()
    fewer = replace(
        before,
        checks=tuple(each for each in before.checks if each.kind != "side"),
        boards=before.boards[:1],
    )
    checked = check_stakes(before, (), readings({**TAPES, "A-P": 7.5, "B-P": 7.6}))
    become = what_becomes(before, fewer, checked)
    assert Became(name="A-B", before=12.0, after=None) in become.walls
    board = before.boards[0]
    name = f"{board.name}, {board.string} beyond {board.end}"
    assert become.boards[0] == Became(name=name, before=board.stand_off, after=board.stand_off)
    assert all(each.after is None for each in become.boards[1:])
    assert become.blocks == ()
    # B-P reads 100 mm more than half the diagonal
    assert become.out == ("P",)
