"""Rows of a book of the poured footing as edges and levels, against the planned edges."""

from __future__ import annotations

import pytest

from staking.adjust.pour.footing_edges import PlannedEdge
from staking.adjust.pour.taped_rows import PouredRow, edges_and_levels


def edge(where: str, side: str, from_string: float, radius: float | None = None) -> PlannedEdge:
    return PlannedEdge(
        where=where,
        side=side,
        start=(0.0, 0.0),
        end=(6.0, 0.0),
        out=(0.0, -1.0),
        width=0.5,
        from_string=from_string,
        radius=radius,
    )


PLANNED = (
    edge("A-B", "outer", 0.15),
    edge("A-B", "inner", 0.35),
    edge("G", "left", 0.2),
    edge("G", "right", 0.2),
    *(edge("P", side, 0.3) for side in "1234"),
    edge("Q", "0", 0.25, 0.25),
)


def row(where: str, station: float | None = None, **read: object) -> PouredRow:
    nothing = dict.fromkeys(("outer", "inner", "top", "down", "thickness"))
    return PouredRow(**({"where": where, "station": station, "line": 2} | nothing | read))  # type: ignore[arg-type]


def test_a_walls_cells_are_its_outer_and_inner_edge() -> None:
    edges, levels = edges_and_levels([row("A-B", 3.0, outer=0.16, inner=0.34)], PLANNED, None)
    assert [(each.side, each.station, each.row) for each in edges] == [
        ("outer", 3.0, 2),
        ("inner", 3.0, 2),
    ]
    # 160 mm where 150 are planned, and 340 where 350 are
    assert [each.more for each in edges] == pytest.approx([0.01, -0.01], rel=0, abs=1e-12)
    assert levels == []


def test_an_interior_lines_cells_are_left_and_right() -> None:
    edges, _ = edges_and_levels([row("G", 1.0, outer=0.2, inner=0.21)], PLANNED, None)
    assert [each.side for each in edges] == ["left", "right"]
    assert [each.more for each in edges] == pytest.approx([0.0, 0.01], rel=0, abs=1e-12)


@pytest.mark.parametrize(
    ("where", "way", "sides"),
    [("P", "x", ["1", "3"]), ("P", "y", ["2", "4"]), ("Q", "x", ["0", "0"])],
)
def test_a_pads_cells_are_its_edges_that_way_across(where: str, way: str, sides: list[str]) -> None:
    edges, _ = edges_and_levels([row(where, outer=0.3, inner=0.3, way=way)], PLANNED, None)
    assert [each.side for each in edges] == sides
    assert {each.station for each in edges} == {None}


def test_a_level_down_from_the_string_is_an_elevation_where_the_string_has_one() -> None:
    rows = [row("A-B", 3.0, down=1.25, thickness=0.25)]
    _, levels = edges_and_levels(rows, PLANNED, 31.5)
    assert [(each.what, each.value) for each in levels] == [("top", 30.25), ("thickness", 0.25)]
    _, levels = edges_and_levels(rows, PLANNED, None)
    assert levels[0].value == -1.25
    _, levels = edges_and_levels([row("A-B", 3.0, top=30.0)], PLANNED, 31.5)
    assert [(each.what, each.value, each.name) for each in levels] == [("top", 30.0, "line 2")]
