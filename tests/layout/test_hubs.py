"""Offset stakes beyond the boards. An invented shed, places worked by hand."""

from dataclasses import replace

import pytest

from staking.footing.bands_and_outlines import Band
from staking.kinds import FootingKind
from staking.layout.boards import lay_out
from staking.layout.hubs import place_hubs
from staking.plan import Building, Corner, Existing, Footing, Options, Plan, StayClear, Wall

FOOT = 0.3048
STRIP = Footing(width=0.6, thickness=0.3, outside=0.2)
POINTS = {"A": (0, 0), "B": (10, 0), "C": (10, 6), "D": (0, 6)}


def shed(existing=(), **more):
    names = list(POINTS)
    walls = tuple(
        Wall(
            start=start,
            end=end,
            thickness=0.2,
            footing=STRIP,
            existing=Existing() if f"{start}-{end}" in existing else None,
        )
        for start, end in zip(names, names[1:] + names[:1], strict=True)
    )
    corners = tuple(Corner(name=n, x=x, y=y) for n, (x, y) in POINTS.items())
    building = Building(name=None, corners=corners, walls=walls)
    return Plan(job="shed", buildings=(building,), **more)


BANDS = tuple(
    Band(name="b", kind=FootingKind.WALL, hull=((x0, y0), (x1, y0), (x1, y1), (x0, y1)))
    for x0, y0, x1, y1 in (
        (-0.2, -0.2, 10.2, 0.4),
        (9.6, -0.2, 10.2, 6.2),
        (-0.2, 5.6, 10.2, 6.2),
        (-0.2, -0.2, 0.4, 6.2),
    )
)


def hubs_of(plan, bands=BANDS):
    laid = lay_out(plan, Options(), bands)
    return place_hubs(plan, Options(), laid.strings, laid.boards, bands)


def test_each_corner_gets_a_hub_on_both_wall_lines_two_feet_past_the_boards():
    hubs, notices = hubs_of(shed())
    far = 0.2 + 4 * FOOT + 2 * FOOT
    assert [(h.corner, h.wall, round(h.x, 9), round(h.y, 9)) for h in hubs] == [
        ("A", "A-B", round(-far, 9), 0.0),
        ("A", "D-A", 0.0, round(-far, 9)),
        ("B", "A-B", round(10 + far, 9), 0.0),
        ("B", "B-C", 10.0, round(-far, 9)),
        ("C", "B-C", 10.0, round(6 + far, 9)),
        ("C", "C-D", round(10 + far, 9), 6.0),
        ("D", "D-A", 0.0, round(6 + far, 9)),
        ("D", "C-D", round(-far, 9), 6.0),
    ]
    assert notices == ()


def test_there_is_no_hub_where_there_is_no_board_and_that_is_said():
    hubs, notices = hubs_of(shed(existing=("D-A",)), BANDS[:3])
    assert [(h.corner, h.wall) for h in hubs] == [
        ("B", "A-B"),
        ("B", "B-C"),
        ("C", "B-C"),
        ("C", "C-D"),
    ]
    assert [(n.kind, dict(n.values)["places"]) for n in notices] == [
        ("hub-without-board", "A on A-B, D on C-D")
    ]


def test_a_hub_is_not_set_in_a_shape_to_stay_clear_of():
    # The board stands 1.42 past B, and the pond begins 1.8 past it.
    pond = StayClear(name="pond", corners=((11.8, -2), (14, -2), (14, 2), (11.8, 2)))
    hubs, notices = hubs_of(shed(stay_clear=(pond,)))
    assert ("B", "A-B") not in {(h.corner, h.wall) for h in hubs}
    assert [(n.kind, dict(n.values)["places"]) for n in notices] == [("hub-blocked", "B on A-B")]


def test_a_hub_is_not_set_in_another_trench():
    trench = Band(
        name="t", kind=FootingKind.WALL, hull=((11.9, -9), (12.2, -9), (12.2, -6), (11.9, -6))
    )
    assert len(hubs_of(shed(), (*BANDS, trench))[0]) == 8
    plan = shed()
    laid = lay_out(plan, Options(), BANDS)
    far = 10 + 0.2 + 6 * FOOT
    on_hub = replace(
        trench,
        hull=((far - 0.1, -1), (far + 0.1, -1), (far + 0.1, 1), (far - 0.1, 1)),
    )
    hubs, notices = place_hubs(plan, Options(), laid.strings, laid.boards, (*BANDS, on_hub))
    assert len(hubs) == 7
    assert notices[0].kind == "hub-blocked"


def test_hubs_stand_on_their_wall_lines():
    for hub in hubs_of(shed())[0]:
        start, end = (POINTS[name] for name in hub.wall.split("-"))
        cross = (end[0] - start[0]) * (hub.y - start[1]) - (end[1] - start[1]) * (hub.x - start[0])
        assert cross == pytest.approx(0.0, abs=1e-9)
