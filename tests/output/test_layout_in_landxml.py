"""points.xml: what the LandXML 1.2 schema asks for, and what reads back from it.

Elements and their places are those of the LandXML-1.2 schema (landxml.org, 2008): the root's
children; ``Parcel`` and ``PlanFeature`` with one ``CoordGeom``; its ``Line`` with a ``Start`` and
an ``End`` of northing and easting, in the ``linearUnit`` of ``Units``.
"""

from __future__ import annotations

import functools
import json
import shutil
import xml.etree.ElementTree as ET
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import shapely
from click.testing import CliRunner

from staking.cli import main
from staking.output.points.layout_rings import building_rings
from staking.project.layout import lay_out_job, load_job
from staking.survey.read import read_survey

FIXTURES = Path(__file__).parents[2] / "fixtures"
NAMESPACE = "{http://www.landxml.org/schema/LandXML-1.2}"
CHILDREN = {
    "LandXML": {
        "Units", "CoordinateSystem", "Project", "Application", "CgPoints", "Parcels",
        "PlanFeatures",
    },
    "Parcels": {"Parcel"},
    "PlanFeatures": {"PlanFeature"},
    "Parcel": {"CoordGeom"},
    "PlanFeature": {"CoordGeom"},
    "CoordGeom": {"Line"},
    "Line": {"Start", "End"},
}  # fmt: skip
"""What stands in each element here; all of it the schema allows there."""

LaidOut = Callable[[str], tuple[ET.Element, dict[str, Any], Path]]
NEAR = 1e-4
"""How near distances read back, in the file's unit."""


@pytest.fixture(scope="module")
def laid_out(tmp_path_factory: pytest.TempPathFactory) -> LaidOut:
    """A demo's points.xml, its document and the folder they are in, written once for all tests."""

    @functools.cache
    def made(name: str) -> tuple[ET.Element, dict[str, Any], Path]:
        folder = tmp_path_factory.mktemp(name)
        return (*_lay_out(name, folder), folder)

    return made


def _lay_out(name: str, folder: Path) -> tuple[ET.Element, dict[str, Any]]:
    shutil.copytree(FIXTURES / name, folder / "job")
    words = ["layout", "-q", str(folder / "job" / "job.yaml"), "--out", str(folder / "out")]
    words += ["--only", "xml,json"]
    result = CliRunner().invoke(main, words, catch_exceptions=False)
    assert result.exit_code in {0, 5}, result.stderr
    text = (folder / "out" / "points.xml").read_text(encoding="utf-8")
    document = json.loads((folder / "out" / "layout.json").read_text(encoding="utf-8"))
    return ET.fromstring(text), document


def ring(root: ET.Element, kind: str, name: str) -> tuple[list[str], np.ndarray]:
    """The names of a ring's sides, and its corners' northing and easting."""
    (holder,) = [each for each in root.iter(f"{NAMESPACE}{kind}") if each.get("name") == name]
    lines = list(holder.iter(f"{NAMESPACE}Line"))
    ends = np.array([
        [(line.findtext(f"{NAMESPACE}{end}") or "").split() for end in ("Start", "End")]
        for line in lines
    ]).astype(float)
    assert (ends[:, 1] == np.roll(ends[:, 0], -1, axis=0)).all(), "each line ends where one starts"
    return [line.get("name", "") for line in lines], ends[:, 0]


@pytest.mark.parametrize("name", ["hillside-lot", "orchard-workshop"])
def test_every_element_stands_where_the_schema_allows_it(name: str, laid_out: LaidOut) -> None:
    root, document, _ = laid_out(name)
    for element in root.iter():
        tag = element.tag.removeprefix(NAMESPACE)
        children = {child.tag.removeprefix(NAMESPACE) for child in element}
        assert children <= CHILDREN.get(tag, children)
    for kind in ("Parcel", "PlanFeature", "CgPoint"):
        # The schema requires the name of the first two and keys all three by it.
        names = [each.get("name") for each in root.iter(f"{NAMESPACE}{kind}")]
        assert all(names)
        assert len(names) == len(set(names))
    project = root.find(f"{NAMESPACE}Project")
    assert project is not None
    assert project.get("name") == document["job"]
    assert (project.get("desc") or "").startswith(f"layout {document['mark']} of ")


def test_the_outline_reads_back_between_the_corners_of_the_document(laid_out: LaidOut) -> None:
    root, document, _ = laid_out("hillside-lot")
    sides, corners = ring(root, "PlanFeature", "outline")
    assert sides == [wall["name"] for wall in document["walls"]]
    expected = [(each["northing"], each["easting"]) for each in document["corners"]]
    assert corners == pytest.approx(np.array(expected), rel=0, abs=NEAR)
    lengths = np.hypot(*(np.roll(corners, -1, axis=0) - corners).T)
    # Survey feet on the grid; the document has feet on the ground.
    scale = 0.3048 * 3937 / 1200 * document["combined_factor"]
    walls = [wall["length"] * scale for wall in document["walls"]]
    assert lengths == pytest.approx(np.array(walls), rel=0, abs=NEAR)


def test_the_boundary_reads_back_through_the_surveyed_pins(laid_out: LaidOut) -> None:
    root, document, folder = laid_out("hillside-lot")
    sides, corners = ring(root, "Parcel", "lot")
    assert sides == [each["line"] for each in document["boundary"]]
    survey = read_survey(folder / "job" / "lot.csv")
    places = dict(
        zip(survey.names, np.column_stack((survey.northing, survey.easting)), strict=True)
    )
    pins = np.array([places[side.split("-")[0]] for side in sides]) * 3937 / 1200
    assert corners == pytest.approx(pins, rel=0, abs=NEAR)


def test_without_a_lot_the_outline_is_on_the_building_grid_and_there_is_no_parcel(
    laid_out: LaidOut,
) -> None:
    root, document, _ = laid_out("orchard-workshop")
    _, corners = ring(root, "PlanFeature", "outline")
    expected = [(each["y"], each["x"]) for each in document["corners"]]
    assert corners == pytest.approx(np.array(expected), rel=0, abs=NEAR)
    assert root.find(f"{NAMESPACE}Parcels") is None


def test_footing_edges_enclose_the_area_to_paint(laid_out: LaidOut) -> None:
    root, document, _ = laid_out("orchard-workshop")
    names = [each.get("name", "") for each in root.iter(f"{NAMESPACE}PlanFeature")]
    areas = {name: shapely.Polygon(ring(root, "PlanFeature", name)[1]).area for name in names}
    outer = sum(area for name, area in areas.items() if name.startswith("footing outline"))
    holes = sum(area for name, area in areas.items() if name.startswith("footing hole"))
    # Feet to five decimals round some 300 ft of edge.
    assert outer - holes == pytest.approx(document["paint"]["area"], rel=0, abs=3e-3)


def test_the_dig_line_stands_beside_the_footing_where_they_differ() -> None:
    done = lay_out_job(load_job(FIXTURES / "boat-shed" / "job.yaml"))
    kinds = {each.description for each in building_rings(done)}
    assert {"edge of the footing", "edge of the dig"} <= kinds
    cut_to_size = lay_out_job(load_job(FIXTURES / "orchard-workshop" / "job.yaml"))
    assert "edge of the dig" not in {each.description for each in building_rings(cut_to_size)}


def test_our_own_reader_takes_points_and_lines(laid_out: LaidOut) -> None:
    _, document, folder = laid_out("hillside-lot")
    found = read_survey(folder / "out" / "points.xml")
    assert {"A", "hub_A_A-B", "board_1_mark_1"} <= set(found.names)
    assert np.isfinite(found.elevation).all()
    lines = {line.name: line.vertices for line in found.lines}
    assert {"lot", "outline", "footing outline"} <= set(lines)
    assert len(lines["outline"]) == len(document["corners"]) + 1
