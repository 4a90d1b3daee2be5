from __future__ import annotations

import math

import numpy as np
import pytest

from staking.errors import ComputationError, InputError
from staking.kinds import Hand
from staking.notices import Angle, Length, Notice, Severity
from staking.plan import Building, Corner, Footing, Plan, Tape, Wall
from staking.site.place_building import place
from staking.site.site_request import (
    PlaceAlong,
    PlaceByBearing,
    PlaceByFit,
    PlaceByTape,
    TapedCorner,
)
from staking.site.site_results import Placement
from staking.units import Unit

FOOTING = Footing(width=0.5, thickness=0.25, outside=0.15)
TAPE = Tape(error=0.002)
EAST = math.pi / 2


def plan_of(*points: tuple[float, float]) -> Plan:
    names = "ABCDEFGH"[: len(points)]
    return Plan(
        job="",
        buildings=(
            Building(
                name=None,
                corners=tuple(
                    Corner(name=n, x=x, y=y) for n, (x, y) in zip(names, points, strict=True)
                ),
                walls=tuple(
                    Wall(start=a, end=b, thickness=0.2, footing=FOOTING)
                    for a, b in zip(names, names[1:] + names[:1], strict=True)
                ),
            ),
        ),
    )


SHED = plan_of((0.0, 0.0), (4.0, 0.0), (4.0, 3.0), (0.0, 3.0))


def lands(placement: Placement, x: float, y: float) -> tuple[float, float]:
    northing, easting = placement.to_site(np.array([[x, y]]))[0]
    return round(float(northing), 9) + 0.0, round(float(easting), 9) + 0.0


def told(placement: Placement, kind: str) -> list[Notice]:
    return [n for n in placement.notices if n.kind == kind]


def length(notice: Notice, name: str) -> float:
    value = dict(notice.values)[name]
    assert isinstance(value, Length)
    return value.metres


def test_a_wall_that_bears_north_turns_the_building_a_quarter_turn() -> None:
    asked = PlaceByBearing(corner="A", wall="A-B", northing=100.0, easting=50.0, azimuth=0.0)
    placement = place(SHED, asked, {})
    assert lands(placement, 0, 0) == (100.0, 50.0)
    assert lands(placement, 4, 0) == (104.0, 50.0)
    assert lands(placement, 0, 3) == (100.0, 47.0)


def test_a_wall_named_the_other_way_round_bears_the_other_way() -> None:
    asked = PlaceByBearing(corner="A", wall="B-A", northing=100.0, easting=50.0, azimuth=0.0)
    assert lands(place(SHED, asked, {}), 4, 0) == (96.0, 50.0)


def test_the_far_corner_is_told_in_the_unit_of_the_survey() -> None:
    foot = 1200 / 3937
    asked = PlaceByBearing(
        corner="B", wall="A-B", northing=1e6 * foot, easting=2e6 * foot, azimuth=EAST
    )
    (said,) = place(plan_of((0, 0), (10 * foot, 0), (0, 3)), asked, {}, unit=Unit.US_FT).notices
    assert said.values == (
        ("corner", "A"),
        ("northing", "1000000.000 us-ft"),
        ("easting", "1999990.000 us-ft"),
    )


def test_a_wall_may_be_one_that_does_not_touch_the_corner() -> None:
    asked = PlaceByBearing(corner="A", wall="C-D", northing=0.0, easting=0.0, azimuth=-EAST)
    assert lands(place(SHED, asked, {}), 4, 3) == (3.0, 4.0)


def test_a_wall_along_a_line_stands_past_its_first_point_and_to_its_right() -> None:
    # Facing north from 1 to 2, the right hand is east.
    points = {"1": (10.0, 20.0), "2": (40.0, 20.0)}
    asked = PlaceAlong(wall="A-B", along=("1", "2"), from_first=12.0, offset=5.0)
    placement = place(SHED, asked, points)
    assert lands(placement, 0, 0) == (22.0, 25.0)
    assert lands(placement, 4, 0) == (26.0, 25.0)


def test_a_wall_along_a_line_tells_the_tapes_to_both_ends_of_it() -> None:
    points = {"1": (10.0, 20.0), "2": (38.0, 20.0)}
    asked = PlaceAlong(wall="A-B", along=("1", "2"), from_first=12.0, offset=-5.0)
    _, at_a, at_b = told(place(SHED, asked, points), "along-check")
    # 5-12-13, and from B 12 before the second point, 5 beside it.
    assert length(at_a, "to_first") == pytest.approx(13.0, rel=0, abs=1e-9)
    assert length(at_b, "to_second") == pytest.approx(13.0, rel=0, abs=1e-9)


def test_a_line_between_two_points_in_one_place_has_no_direction() -> None:
    points = {"1": (10.0, 20.0), "2": (10.0, 20.0)}
    asked = PlaceAlong(wall="A-B", along=("1", "2"), from_first=0.0, offset=0.0)
    with pytest.raises(ComputationError, match="1 and 2 are in the same place: no direction"):
        place(SHED, asked, points)


STAKES = {"1": (100.0, 50.0), "2": (100.0, 54.0), "3": (103.0, 54.0), "4": (103.0, 50.0)}
ALL = PlaceByFit(pairs=(("A", "1"), ("B", "2"), ("C", "3"), ("D", "4")))


def test_a_fit_to_true_stakes_leaves_nothing_and_warns_of_nothing() -> None:
    placement = place(SHED, ALL, STAKES, tape=TAPE)
    assert lands(placement, 4, 3) == (103.0, 54.0)
    assert max(r.distance for r in placement.residuals) < 1e-9
    assert [(n.kind, n.severity) for n in placement.notices] == [("fit-check", Severity.NOTE)]


def test_a_fit_never_stretches_and_says_the_scale_it_would_have_had() -> None:
    stakes = {name: (n * 1.01, e * 1.01) for name, (n, e) in STAKES.items()}
    placement = place(SHED, ALL, stakes, tape=TAPE)
    assert placement.scale == pytest.approx(1.01, rel=0, abs=1e-12)
    n1, e1 = lands(placement, 0, 0)
    n2, e2 = lands(placement, 4, 3)
    assert math.hypot(n2 - n1, e2 - e1) == pytest.approx(5.0, rel=0, abs=1e-8)
    (said,) = told(placement, "fit-scale")
    assert length(said, "size") == pytest.approx(0.05, rel=0, abs=1e-9)
    assert dict(said.values)["more"] == "longer"


def test_a_scale_within_the_doubt_of_the_tape_is_not_told() -> None:
    stakes = {name: (n * 1.0005, e * 1.0005) for name, (n, e) in STAKES.items()}
    assert not told(place(SHED, ALL, stakes, tape=TAPE), "fit-scale")


def test_stakes_in_feet_taken_for_metres_are_recognised() -> None:
    stakes = {name: (n / 0.3048, e / 0.3048) for name, (n, e) in STAKES.items()}
    placement = place(SHED, ALL, stakes, tape=TAPE)
    (said,) = told(placement, "fit-scale")
    assert said.text.endswith("so one of the units is wrong")
    assert not told(placement, "fit-stake") + told(placement, "fit-unsure")


def test_a_mirror_image_is_warned_of_and_not_used() -> None:
    swapped = {name: (e, n) for name, (n, e) in STAKES.items()}
    placement = place(SHED, ALL, swapped, tape=TAPE)
    assert [n.kind for n in placement.notices] == ["fit-check", "fit-mirrored"]
    corners = placement.to_site(np.array([[0, 0], [4, 0], [4, 3]]))
    (n1, e1), (n2, e2), (n3, e3) = corners
    assert (e2 - e1) * (n3 - n2) - (n2 - n1) * (e3 - e2) == pytest.approx(12, rel=0, abs=1e-9)


def test_the_one_stake_that_is_off_is_named_with_how_far() -> None:
    stakes = STAKES | {"3": (103.0, 54.3)}
    placement = place(SHED, ALL, stakes, tape=TAPE)
    (said,) = told(placement, "fit-stake")
    assert not told(placement, "fit-scale")
    assert dict(said.values)["point"] == "3"
    assert dict(said.values)["corner"] == "C"
    assert length(said, "distance") == pytest.approx(0.3, rel=0, abs=1e-9)


def test_a_stake_is_named_where_the_others_fit_better_by_far_though_not_within_the_doubt() -> None:
    # Every stake is 20 mm out one way or the other, more than the tape can be; C is 400 mm out.
    out = {"1": (0.02, 0.0), "2": (-0.02, 0.0), "3": (0.02, 0.4), "4": (0.0, -0.02)}
    stakes = {name: (n + out[name][0], e + out[name][1]) for name, (n, e) in STAKES.items()}
    (said,) = told(place(SHED, ALL, stakes, tape=TAPE), "fit-stake")
    assert dict(said.values)["point"] == "3"
    assert length(said, "distance") == pytest.approx(0.4, rel=0, abs=0.06)
    assert length(said, "rest") < 0.03


def test_two_stakes_too_far_apart_cannot_tell_which_is_off() -> None:
    asked = PlaceByFit(pairs=(("A", "1"), ("B", "2")))
    placement = place(SHED, asked, {"1": (0.0, 0.0), "2": (0.0, 4.2)}, tape=TAPE)
    assert [r.easting for r in placement.residuals] == pytest.approx([0.1, -0.1], rel=0, abs=1e-9)
    (said,) = told(placement, "fit-unsure")
    assert said.text == "a stake is off and which cannot be told: give a third one"


@pytest.mark.parametrize(
    ("off", "severity"), [(0.3, Severity.WARNING), (0.6, Severity.WARNING), (1.2, Severity.BROKEN)]
)
def test_stakes_a_foot_from_any_fit_break_the_job(off: float, severity: Severity) -> None:
    # The two stakes share what is off: half of it each, 0.3048 m being a foot.
    asked = PlaceByFit(pairs=(("A", "1"), ("B", "2")))
    placement = place(SHED, asked, {"1": (0.0, 0.0), "2": (0.0, 4 + off)}, tape=TAPE)
    (said,) = told(placement, "fit-check")
    assert said.severity is severity
    assert length(said, "distance") == pytest.approx(off / 2, rel=0, abs=1e-9)
    assert ("cannot stand" in said.text) == (severity is Severity.BROKEN)


def test_one_pair_is_refused() -> None:
    with pytest.raises(InputError, match="one pair of corner and stake leaves the building free"):
        place(SHED, PlaceByFit(pairs=(("A", "1"),)), STAKES)


def test_a_stake_in_two_pairs_is_refused() -> None:
    asked = PlaceByFit(pairs=(("A", "1"), ("B", "1")))
    with pytest.raises(InputError, match="point 1 is in two pairs; give each corner its own stake"):
        place(SHED, asked, STAKES)


def test_stakes_in_one_place_are_refused() -> None:
    asked = PlaceByFit(pairs=(("A", "1"), ("B", "2")))
    with pytest.raises(ComputationError, match="all its stakes, are in one place"):
        place(SHED, asked, {"1": (5.0, 5.0), "2": (5.0, 5.0)})


# A stands 9 north of a line of 21 that runs east, 12 along it: tapes of 15 and 12.7279.
KNOWN = {"1": (100.0, 200.0), "2": (100.0, 221.0)}
TO_A = (("1", 15.0), ("2", math.sqrt(9 * 9 + 9 * 9)))
TO_B = (("1", math.hypot(16, 9)), ("2", math.hypot(5, 9)))


def taped(a: object = TO_A, b: object = TO_B, side: str = "left") -> PlaceByTape:
    return PlaceByTape(
        corners=(
            TapedCorner(corner="A", ties=a),  # type: ignore[arg-type]
            TapedCorner(corner="B", ties=b),  # type: ignore[arg-type]
        ),
        side=side,
    )


def test_two_tapes_put_both_corners_on_the_stated_side() -> None:
    placement = place(SHED, taped(), KNOWN, tape=TAPE)
    assert lands(placement, 0, 0) == (109.0, 212.0)
    assert lands(placement, 4, 0) == (109.0, 216.0)
    assert [(n.kind, n.severity) for n in placement.notices] == [("tape-check", Severity.NOTE)]


def test_right_is_seen_from_the_first_point_facing_the_second() -> None:
    placement = place(SHED, taped(side=Hand.RIGHT), KNOWN, tape=TAPE)
    assert lands(placement, 0, 0) == (91.0, 212.0)


def test_ties_written_in_the_other_order_lie_on_the_same_side() -> None:
    placement = place(SHED, taped(b=TO_B[::-1]), KNOWN, tape=TAPE)
    assert lands(placement, 4, 0) == (109.0, 216.0)


def test_the_length_of_the_wall_checks_the_tapes_and_the_midpoint_holds() -> None:
    longer = (("1", math.hypot(16.2, 9)), ("2", math.hypot(4.8, 9)))
    placement = place(SHED, taped(b=longer), KNOWN, tape=TAPE)
    assert lands(placement, 2, 0) == (109.0, 214.1)
    (said,) = told(placement, "tape-check")
    assert said.severity is Severity.WARNING
    assert length(said, "off") == pytest.approx(0.2, rel=0, abs=1e-9)
    assert placement.scale == pytest.approx(1.05, rel=0, abs=1e-9)


def test_tapes_too_short_to_meet_say_by_how_much() -> None:
    with pytest.raises(ComputationError, match=r"are 1\.000 m too short together"):
        place(SHED, taped(a=(("1", 10.0), ("2", 10.0))), KNOWN)


def test_a_tape_too_long_for_the_other_says_by_how_much() -> None:
    with pytest.raises(ComputationError, match=r"the one from 2 is 2\.000 m too long"):
        place(SHED, taped(a=(("1", 3.0), ("2", 26.0))), KNOWN)


@pytest.mark.parametrize(
    ("off", "next_off", "kind", "degrees"),
    # Beside the middle of a line of 21: twice the arc tangent of half of it over how far off. The
    # other corner stands the building's 4 nearer or farther, where the tapes cross well enough.
    [
        (2.0, 6.0, "flat", 2 * math.degrees(math.atan(10.5 / 2))),
        (41.0, 37.0, "sharp", 2 * math.degrees(math.atan(10.5 / 41))),
    ],
)
def test_a_flat_or_sharp_swing_is_warned_of(
    off: float, next_off: float, kind: str, degrees: float
) -> None:
    first, other = (
        (("1", math.hypot(10.5, away)), ("2", math.hypot(10.5, away))) for away in (off, next_off)
    )
    (said,) = told(place(SHED, taped(a=first, b=other), KNOWN, tape=TAPE), "swing-angle")
    values = dict(said.values)
    assert values["kind"] == kind
    angle = values["angle"]
    assert isinstance(angle, Angle)
    assert math.degrees(angle.radians) == pytest.approx(degrees, rel=0, abs=1e-9)


def test_a_corner_on_the_line_itself_is_found_and_warned_of() -> None:
    # B stands 4 beside the line there.
    beside = (("1", math.hypot(12, 4)), ("2", math.hypot(9, 4)))
    asked = taped(a=(("1", 12.0), ("2", 9.0)), b=beside)
    placement = place(SHED, asked, KNOWN, tape=TAPE)
    (said,) = told(placement, "swing-angle")
    # 2.8 mm on 21 m of tape end to end lets the point swing some 0.26 m off the line, doubled.
    assert 0.2 < length(said, "error") < 0.6


@pytest.mark.parametrize(
    ("asked", "message"),
    [
        (
            PlaceByBearing(corner="X", wall="A-B", northing=0, easting=0, azimuth=0),
            "there is no corner X in the plan; use one of A, B, C, D",
        ),
        (
            PlaceByBearing(corner="A", wall="A-C", northing=0, easting=0, azimuth=0),
            "there is no wall A-C in the plan; use one of A-B, B-C, C-D, D-A",
        ),
        (
            PlaceAlong(wall="A-B", along=("1", "9"), from_first=0, offset=0),
            "there is no point 9 in the survey; use one of 1, 2",
        ),
    ],
)
def test_a_name_that_is_not_there_is_told_with_those_that_are(asked: object, message: str) -> None:
    with pytest.raises(InputError, match=message):
        place(SHED, asked, KNOWN)  # type: ignore[arg-type]


def test_a_corner_taped_twice_is_refused() -> None:
    corner = TapedCorner(corner="A", ties=TO_A)
    with pytest.raises(InputError, match="corner A is taped twice"):
        place(SHED, PlaceByTape(corners=(corner, corner), side=Hand.LEFT), KNOWN)


def test_a_triangle_out_of_square_lists_both_stakes_that_it_may_be() -> None:
    # 1-2 and 1-4 keep their lengths, only 2-4 does not: 2 or 4 has swung about 1.
    asked = PlaceByFit(pairs=(("A", "1"), ("B", "2"), ("D", "4")))
    stakes = STAKES | {"2": (100.3, 50.0 + math.sqrt(16 - 0.09))}
    (said,) = told(place(SHED, asked, stakes, tape=TAPE), "fit-unsure")
    assert dict(said.values)["points"] == "2, 4"


def test_tapes_that_miss_the_building_by_over_a_foot_place_nothing() -> None:
    # Points 1 and 2 lie 100 apart along the easting. A stands 30 along and 40 beside the line: 50
    # and the root of 70² + 40² from the two. B stands 60 along: the
    # root of 60² + 40², and that of 40² + 40².
    to_b = (math.hypot(60, 40), math.hypot(40, 40))
    points = {"1": (0.0, 0.0), "2": (0.0, 100.0)}
    plan = plan_of((0.0, 0.0), (30.0, 0.0), (30.0, 20.0), (0.0, 20.0))

    def placed(wrong: float) -> Placement:
        asked = PlaceByTape(
            corners=(
                TapedCorner(corner="A", ties=(("1", 50.0), ("2", math.hypot(70, 40)))),
                TapedCorner(corner="B", ties=(("1", to_b[0] + wrong), ("2", to_b[1]))),
            ),
            side=Hand.LEFT,
        )
        return place(plan, asked, points, tape=TAPE)

    assert abs(placed(0.0).scale - 1.0) <= 1e-9
    with pytest.raises(
        ComputationError, match=r"corners A and B as taped are .* too far"
    ) as caught:
        placed(10 * 0.3048)
    # Ten feet less from 1 to B is what was really there.
    assert f"{to_b[0]:.3f} m from 1 to B in place of {to_b[0] + 3.048:.3f} m" in str(caught.value)
