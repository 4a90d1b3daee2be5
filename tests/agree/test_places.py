"""Where things stand: layout.json and points.csv give one place for each."""

from __future__ import annotations

from typing import Any

import pytest

from staking.measure.lengths import Unit
from tests.agree.papers import Papers


def place(papers: Papers, record: dict[str, Any]) -> tuple[float, float]:
    """A place as points.csv has it: on the survey's grid where placed, else x and y."""
    if papers.layout["placed"]:
        return record["easting"], record["northing"]
    return record["x"], record["y"]


def step(papers: Papers) -> float:
    """Half of the last decimal of points.csv, a tenth of a millimetre, in the file's unit."""
    unit = papers.layout["site_unit"] if papers.layout["placed"] else papers.layout["unit"]
    return 6e-5 / Unit(unit).metres


def listed(papers: Papers) -> dict[str, tuple[float, float]]:
    """Every point of points.csv by what it is, or by its name where that alone tells."""
    found = {}
    for row in papers.points:
        across = next(float(v) for k, v in row.items() if k.startswith(("easting_", "x_")))
        up = next(float(v) for k, v in row.items() if k.startswith(("northing_", "y_")))
        nail = row["description"].startswith("board ") and "_mark_" in row["point"]
        found[row["description"] if nail else row["point"]] = (across, up)
    return found


def test_corners_pads_and_hubs_stand_where_points_csv_has_them(papers: Papers) -> None:
    points = listed(papers)
    for corner in (*papers.layout["corners"], *papers.layout["pads"]):
        assert points[corner["name"]] == pytest.approx(
            place(papers, corner), rel=0, abs=step(papers)
        )
    hubs = {f"hub_{hub['corner']}_{hub['wall']}": hub for hub in papers.layout["hubs"]}
    assert hubs
    for name, hub in hubs.items():
        assert points[name] == pytest.approx(place(papers, hub), rel=0, abs=step(papers))


def test_the_nail_of_the_string_stands_where_the_board_crosses_it(papers: Papers) -> None:
    points = listed(papers)
    strings = {string["name"]: string for string in papers.layout["strings"]}
    for board in papers.layout["boards"]:
        on_it = [mark for mark in board["marks"] if abs(mark["offset"]) < 1e-9]
        assert on_it, board["name"]
        for mark in on_it:
            name = f"board {board['name']} {mark['mark']} {mark['wall']}"
            assert points[name] == pytest.approx(place(papers, board), rel=0, abs=step(papers))
        string = strings[board["string"]]
        end = string["end" if string["boards"][1] == board["name"] else "start"]
        assert end == pytest.approx([board["x"], board["y"]], rel=0, abs=1e-9)


def test_every_nail_stands_its_offset_from_the_string(papers: Papers) -> None:
    for board in papers.layout["boards"]:
        for mark in board["marks"]:
            far = ((mark["x"] - board["x"]) ** 2 + (mark["y"] - board["y"]) ** 2) ** 0.5
            assert far == pytest.approx(abs(mark["offset"]), rel=0, abs=1e-8)
