"""points.geojson as other programs take it: by RFC 7946, and by the OGC's Features and Geometries.

GDAL (3.8 and later) opens such a file as the latter, and is the second program here. Requirements
are cited by their names in OGC 21-045r1, Features and Geometries JSON - Part 1: Core, 1.0.
"""

from __future__ import annotations

import io
import json
from pathlib import Path
from typing import Any

import numpy as np
import pyogrio
import pytest
import shapely

from staking.output.points.write_geojson import write_geojson
from staking.points import SurveyLine, SurveyPoints
from staking.survey.assemble import survey_points
from staking.survey.read import read_survey

US_FT = 1200 / 3937

FEET_GRID, METRE_GRID, NORTH_FIRST = "EPSG:2272", "EPSG:32615", "EPSG:31468"
"""Pennsylvania South in survey feet, UTM 15N, and a German grid whose northing is listed first."""


def survey(crs: str, north: float, east: float, unit: str = "m") -> SurveyPoints:
    chain = np.array([[north, east, 10.0], [north + 3, east + 4, 11.5]])
    return survey_points(
        name="lot",
        format="any",
        names=["A", "B"],
        northing=[north, north + 12.5],
        easting=[east, east - 7.25],
        elevation=[300.125, float("nan")],
        descriptions=["corner", "hub of A on A-B"],
        unit=unit,
        crs=crs,
        lines=(SurveyLine(name="fence", vertices=chain),),
    )


def written(points: SurveyPoints, folder: Path, mark: str | None = None) -> Path:
    path = folder / "points.geojson"
    with path.open("w", encoding="utf-8") as stream:
        write_geojson(points, stream, mark)
    return path


def document(points: SurveyPoints, mark: str | None = None) -> dict[str, Any]:
    stream = io.StringIO()
    write_geojson(points, stream, mark)
    found: dict[str, Any] = json.loads(stream.getvalue())
    return found


@pytest.mark.parametrize(
    ("crs", "north", "east"),
    [(METRE_GRID, 4_650_000.0, 500_000.0), (NORTH_FIRST, 5_540_000.0, 4_468_000.0)],
)
def test_gdal_reads_the_points_in_their_own_system(
    crs: str, north: float, east: float, tmp_path: Path
) -> None:
    path = written(survey(crs, north, east), tmp_path)
    assert pyogrio.read_info(path)["driver"] == "JSONFG"
    meta, _, shapes, fields = pyogrio.raw.read(path)
    assert meta["crs"] == crs
    read = dict(zip(meta["fields"], fields, strict=True))
    assert list(read["name"]) == ["A", "B", "fence"]
    assert list(read["description"]) == ["corner", "hub of A on A-B", ""]
    first, second, fence = shapely.from_wkb(shapes)
    # GDAL gives easting before northing whatever the order in the file.
    assert (first.x, first.y, first.z) == pytest.approx((east, north, 300.125), rel=0, abs=1e-9)
    assert (second.x, second.y) == pytest.approx((east - 7.25, north + 12.5), rel=0, abs=1e-9)
    assert not second.has_z
    assert read["elevation"][0] == 300.125
    assert np.isnan(read["elevation"][1])
    ends = [[east, north, 10.0], [east + 4, north + 3, 11.5]]
    assert shapely.get_coordinates(fence, include_z=True) == pytest.approx(np.array(ends), abs=1e-9)


def test_gdal_reads_survey_feet_as_survey_feet(tmp_path: Path) -> None:
    path = written(survey(FEET_GRID, 243_596.675 * US_FT, 2_385_112.706 * US_FT, "us-ft"), tmp_path)
    meta, _, shapes, _ = pyogrio.raw.read(path)
    assert meta["crs"] == FEET_GRID
    first = shapely.from_wkb(shapes)[0]
    found = (first.x, first.y, first.z)
    expected = (2_385_112.706, 243_596.675, 300.125 / US_FT)
    assert found == pytest.approx(expected, rel=0, abs=1e-5)


def test_a_program_that_knows_geojson_alone_reads_longitude_and_latitude(tmp_path: Path) -> None:
    # On the central meridian of UTM zone 15, easting 500,000, the longitude is 93 W by definition.
    path = written(survey(METRE_GRID, 4_650_000.0, 500_000.0), tmp_path)
    # What such a program passes over (RFC 7946, section 6.1, foreign members) is taken out here.
    known = {"type", "features", "geometry", "properties"}
    found = json.loads(path.read_text(encoding="utf-8"))
    features = [{k: v for k, v in each.items() if k in known} for each in found["features"]]
    path.write_text(json.dumps({"type": found["type"], "features": features}), encoding="utf-8")
    assert pyogrio.read_info(path)["driver"] == "GeoJSON"
    meta, _, shapes, _ = pyogrio.raw.read(path)
    assert meta["crs"] == "EPSG:4326"
    first = shapely.from_wkb(shapes)[0]
    assert first.x == pytest.approx(-93.0, rel=0, abs=1e-9)
    assert 41.9 < first.y < 42.1


def test_the_document_keeps_the_standards_rules() -> None:
    found = document(survey(METRE_GRID, 4_650_000.0, 500_000.0))
    # /req/core/metadata: the conformance declaration.
    assert found["conformsTo"] == ["http://www.opengis.net/spec/json-fg-1/1.0/conf/core"]
    # Clause "Reference system values": a URI or a safe CURIE.
    assert found["coordRefSys"] == "http://www.opengis.net/def/crs/EPSG/0/32615"
    for each in found["features"]:
        # The schema's required members of a feature.
        assert {"type", "time", "place", "geometry", "properties"} <= set(each)
        # /req/core/fallback: the two are never the same.
        assert each["geometry"]["coordinates"] != each["place"]["coordinates"]
        # RFC 7946, section 3.1.1: a third number would be a height over the ellipsoid.
        (positions,) = {np.array(each["geometry"]["coordinates"]).shape[-1]}
        assert positions == 2


@pytest.mark.parametrize(
    ("crs", "order"), [(METRE_GRID, (500_000, 5_540_000)), (NORTH_FIRST, (5_540_000, 500_000))]
)
def test_a_place_has_its_numbers_in_the_order_of_the_systems_axes(
    crs: str, order: tuple[float, float]
) -> None:
    # /req/core/axis-order. The register lists northing first for 31468, easting first for 32615.
    first = document(survey(crs, 5_540_000.0, 500_000.0))["features"][0]
    assert first["place"]["coordinates"][:2] == list(order)


def test_the_layouts_mark_is_a_property_of_every_point_and_of_no_survey() -> None:
    points = survey(METRE_GRID, 4_650_000.0, 500_000.0)
    marked = document(points, "KXQZBCDF of 2026-11-30")["features"]
    layouts = [each["properties"].get("layout") for each in marked]
    assert layouts == ["KXQZBCDF of 2026-11-30"] * 2 + [None]
    assert all("layout" not in each["properties"] for each in document(points)["features"])


@pytest.mark.parametrize(
    ("crs", "north", "east"),
    [(METRE_GRID, 4_650_000.0, 500_000.0), (NORTH_FIRST, 5_540_000.0, 4_468_000.0)],
)
def test_what_gdal_writes_reads_in_its_own_system(
    crs: str, north: float, east: float, tmp_path: Path
) -> None:
    path = tmp_path / "gdal.json"
    shapes = shapely.to_wkb(shapely.points([[east, north, 300.125], [east + 5, north, 301.0]]))
    pyogrio.raw.write(
        path,
        shapes,
        [np.array(["A", "B"], dtype=object)],
        ["name"],
        geometry_type="Point Z",
        crs=crs,
        driver="JSONFG",
    )
    # The file is in longitude and latitude to anyone who does not read on.
    renamed = path.rename(tmp_path / "gdal.geojson")
    found = read_survey(renamed)
    assert found.crs == crs
    assert found.northing.tolist() == pytest.approx([north, north], rel=0, abs=1e-6)
    assert found.easting.tolist() == pytest.approx([east, east + 5], rel=0, abs=1e-6)
    assert found.elevation.tolist() == pytest.approx([300.125, 301.0], rel=0, abs=1e-6)
