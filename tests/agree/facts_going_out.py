"""What goes out to instruments and drawing programs: levels of stakes, outline, boundary."""

from __future__ import annotations

import json
import math
import xml.etree.ElementTree as ET
from collections.abc import Iterable

import ezdxf

from staking.measure.lengths import Unit
from tests.agree.facts import FACTS, Fact, Said
from tests.agree.papers import Papers

NAMESPACE = {"x": "http://www.landxml.org/schema/LandXML-1.2"}
Line = tuple[str, tuple[float, float], tuple[float, float]]


def has_levels(papers: Papers) -> bool:
    return papers.has_levels


def has_boundary(papers: Papers) -> bool:
    return bool(papers.layout["boundary"]) and papers.layout["placed"]


def _unit(papers: Papers) -> Unit:
    """The unit of the points files."""
    named = papers.layout["site_unit"] if papers.layout["placed"] else papers.layout["unit"]
    return Unit(named)


def _shown(papers: Papers, in_files: float) -> str:
    """Write a length of the points files as the job writes lengths."""
    return papers.shown(in_files * _unit(papers).metres / Unit(papers.layout["unit"]).metres)


def ground_in_document(papers: Papers) -> Said:
    """The ground at corner stakes and hubs, which is how high a stake is set."""
    assert papers.grade is not None
    return {
        each["name"] if each["kind"] == "corner" else f"hub of {each['name']}": papers.shown(
            each["ground"]
        )
        for each in papers.grade["stakes"]
    }


def _stakes(papers: Papers, points: Iterable[tuple[str, str, str]]) -> Said:
    """The elevations of corners and hubs among points of a name, a description and a number."""
    found = {}
    for name, described, level in points:
        is_corner = described.startswith("corner")
        if is_corner or described.startswith("hub of "):
            found[name if is_corner else described] = _shown(papers, float(level))
    return found


def ground_in_points(papers: Papers) -> Said:
    rows = papers.points
    (heading,) = [each for each in rows[0] if each.startswith("elevation_")]
    assert heading.endswith(_unit(papers).value)
    return _stakes(papers, ((row["point"], row["description"], row[heading]) for row in rows))


def _root(papers: Papers) -> ET.Element:
    return ET.fromstring(papers.file("points.xml"))


def ground_in_landxml(papers: Papers) -> Said:
    points = _root(papers).iterfind("x:CgPoints/x:CgPoint", NAMESPACE)
    return _stakes(
        papers,
        # Without a level for the strings boards have a place and no height.
        ((p.get("name", ""), p.get("desc", ""), [*(p.text or "").split(), ""][2]) for p in points),
    )


def ground_in_geojson(papers: Papers) -> Said:
    if "points.geojson" not in papers.layout["files"]:
        return ground_in_document(papers)
    features = json.loads(papers.file("points.geojson"))["features"]
    rows = [(each["properties"], each["place"]["coordinates"]) for each in features]
    assert all(place[2:] == [said["elevation"]] for said, place in rows if len(place) > 2)
    return _stakes(papers, ((s["name"], s["description"], s["elevation"]) for s, _ in rows))


def ground_in_drawing(papers: Papers) -> Said:
    drawing = ezdxf.readfile(papers.folder / "plan.dxf")
    points = {each.dxf.location.round(6) for each in drawing.modelspace().query("POINT")}
    rows = []
    for block in drawing.modelspace().query('INSERT[layer=="V-CTRL"]'):
        texts = [block.get_attrib_text(tag) for tag in ("POINT", "DESCRIPTION", "ELEVATION")]
        if texts[1].startswith(("corner", "hub of ")):
            rows.append((texts[0], texts[1], texts[2]))
            # The point to snap to lies where the block does, and as high.
            assert block.dxf.insert.round(6) in points
            assert math.isclose(block.dxf.insert.z, float(texts[2]), rel_tol=0, abs_tol=1e-4)
    return _stakes(papers, rows)


def outline_in_document(papers: Papers) -> Said:
    """The length of each wall, and the area inside the corners."""
    said = {wall["name"]: papers.shown(wall["length"]) for wall in papers.layout["walls"]}
    metres = Unit(papers.layout["unit"]).metres
    corners = [(c["x"] * metres, c["y"] * metres) for c in papers.layout["corners"]]
    return said | {"area": _area(corners)}


def _area(corners: list[tuple[float, float]]) -> str:
    """The area inside corners in m, m2 to the hundredth."""
    pairs = zip(corners, [*corners[1:], corners[0]], strict=True)
    return f"{abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in pairs)) / 2:.2f}"


def _lines(papers: Papers, path: str) -> list[Line]:
    (geometry,) = _root(papers).iterfind(f"{path}/x:CoordGeom", NAMESPACE)
    found = []
    for line in geometry.iterfind("x:Line", NAMESPACE):
        ends = []
        for end in ("Start", "End"):
            north, east = (line.findtext(f"x:{end}", "", NAMESPACE)).split()
            ends.append((float(north), float(east)))
        found.append((line.get("name", ""), ends[0], ends[1]))
    starts, lasts = [line[1] for line in found], [line[2] for line in found]
    assert lasts == [*starts[1:], starts[0]], "the lines close"
    return found


def _on_the_ground(papers: Papers, length: float) -> float:
    """A length between coordinates of the points files, on the ground in the job's unit."""
    ratio = _unit(papers).metres / Unit(papers.layout["unit"]).metres
    return length * ratio / (papers.layout["combined_factor"] or 1.0)


def outline_in_landxml(papers: Papers) -> Said:
    lines = _lines(papers, "x:PlanFeatures/x:PlanFeature[@name='outline']")
    said = {
        name: papers.shown(_on_the_ground(papers, math.dist(start, end)))
        for name, start, end in lines
    }
    north, east = lines[0][1]
    scale = _on_the_ground(papers, 1.0) * Unit(papers.layout["unit"]).metres
    corners = [((e - east) * scale, (n - north) * scale) for _, (n, e), _ in lines]
    return said | {"area": _area(corners)}


def boundary_in_document(papers: Papers) -> Said:
    return {each["line"]: papers.shown(each["length"]) for each in papers.layout["boundary"]}


def boundary_in_landxml(papers: Papers) -> Said:
    lines = _lines(papers, "x:Parcels/x:Parcel[@name='lot']")
    return {
        name: papers.shown(_on_the_ground(papers, math.dist(start, end)))
        for name, start, end in lines
    }


FACTS += [
    Fact(
        name="ground at stakes",
        truth=ground_in_document,
        outputs={
            "points": ground_in_points,
            "landxml": ground_in_landxml,
            "geojson": ground_in_geojson,
            "drawing": ground_in_drawing,
        },
        applies=has_levels,
    ),
    Fact(name="outline", truth=outline_in_document, outputs={"landxml": outline_in_landxml}),
    Fact(
        name="boundary",
        truth=boundary_in_document,
        outputs={"landxml": boundary_in_landxml},
        applies=has_boundary,
    ),
]
