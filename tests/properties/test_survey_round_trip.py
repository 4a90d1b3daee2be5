"""What is written reads back: names, coordinates, elevations and descriptions."""

import io
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TextIO

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from staking.output.points.survey_csv import DECIMALS, write_survey_csv
from staking.output.points.survey_dxf import write_survey_dxf
from staking.output.points.write_geojson import write_geojson
from staking.output.points.write_gpx import write_gpx
from staking.output.points.write_landxml import write_landxml
from staking.points import SurveyLine, SurveyPoints, SurveySettings
from staking.survey.assemble import survey_points
from staking.survey.read import parse_survey
from staking.units import Unit

Writer = Callable[[SurveyPoints, TextIO], None]

CRS = "EPSG:32615"
AWKWARD = (
    "001", "1E5", "=1+1", "-5", "+5", "@A", "1_000", 'pin 3/4"', '"', "it's", "a,b", "a;b",
    "a|b", "#7", "//8", "Grenzstein Süd", "点 12", "nan", "inf", "-", "N/A", "<b>&amp;", "{x}",
    "%%d", "\\U+0041", "^J", "100%", "a  b", "point", "northing", "EOF", "0", "'5", "[1]",
)  # fmt: skip
"""Texts that some reader somewhere takes for something else."""

texts = st.one_of(
    st.sampled_from(AWKWARD),
    st.text(
        st.characters(categories=("L", "N", "P", "S", "Zs"), exclude_characters="\xa0\xad"),
        min_size=1,
        max_size=30,
    ).map(lambda text: " ".join(text.split(" ")).strip()),
).filter(lambda text: bool(text) and text == text.strip() and text.isprintable())


@st.composite
def surveys(draw: st.DrawFn) -> SurveyPoints:
    names = draw(st.lists(texts, min_size=2, max_size=8, unique=True))
    count = len(names)
    metres = st.integers(-5_000_000, 5_000_000).map(lambda number: number / 10_000)
    unit = draw(st.sampled_from(["m", "ft", "us-ft", "in", "mm"]))
    elevations = st.one_of(st.just(float("nan")), metres)
    return survey_points(
        settings=SurveySettings(no_elevation=()),
        name="any",
        format="any",
        names=names,
        northing=[4_650_000 + draw(metres) for _ in range(count)],
        easting=[500_000 + draw(metres) for _ in range(count)],
        elevation=[0.5, *(draw(elevations) for _ in range(count - 1))],
        descriptions=["first", *(draw(st.one_of(st.just(""), texts)) for _ in range(count - 1))],
        unit=unit,
        crs=CRS,
    )


def _through(
    points: SurveyPoints, write: Writer, suffix: str, asked: SurveySettings
) -> SurveyPoints:
    stream = io.StringIO(newline="")
    write(points, stream)
    data = stream.getvalue().encode()
    # Elevations drawn at random are real, though a lot's would not stand so far apart.
    asked = replace(asked, no_elevation=())
    return parse_survey(io.BytesIO(data), f"any{suffix}", asked, data)


@pytest.mark.parametrize(
    ("write", "suffix", "step"),
    [
        (write_survey_csv, ".csv", None),
        (write_landxml, ".xml", None),
        (write_geojson, ".geojson", 1e-5),
        (write_survey_dxf, ".dxf", 1e-6),
    ],
    ids=["csv", "xml", "geojson", "dxf"],
)
@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(points=surveys())
def test_a_survey_reads_back_as_it_was_written(
    points: SurveyPoints, write: Writer, suffix: str, step: float | None
) -> None:
    asked = SurveySettings(crs=CRS if suffix == ".csv" else None)
    if suffix == ".csv":
        asked = SurveySettings(unit=points.unit, crs=CRS)
    back = _through(points, write, suffix, asked)
    unit = Unit(points.unit)
    within = (10.0 ** -DECIMALS[unit] * unit.metres if step is None else step) / 2 + 1e-8
    assert list(back.names) == list(points.names)
    assert list(back.descriptions) == list(points.descriptions)
    np.testing.assert_allclose(back.northing, points.northing, rtol=0, atol=within)
    np.testing.assert_allclose(back.easting, points.easting, rtol=0, atol=within)
    np.testing.assert_allclose(back.elevation, points.elevation, rtol=0, atol=within)
    assert back.crs == CRS


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(points=surveys())
def test_gpx_reads_back_to_a_tenth_of_a_millimetre(points: SurveyPoints) -> None:
    # A billionth of a degree, the last digit written, is at most 0.111 mm on the ground.
    back = _through(points, write_gpx, ".gpx", SurveySettings(crs=CRS))
    assert list(back.names) == list(points.names)
    assert list(back.descriptions) == list(points.descriptions)
    np.testing.assert_allclose(back.northing, points.northing, rtol=0, atol=1.2e-4)
    np.testing.assert_allclose(back.easting, points.easting, rtol=0, atol=1.2e-4)
    np.testing.assert_allclose(back.elevation, points.elevation, rtol=0, atol=1e-3)


@pytest.mark.parametrize(
    ("write", "suffix"), [(write_geojson, ".geojson"), (write_survey_dxf, ".dxf")]
)
def test_lines_read_back_with_their_vertices(write: Writer, suffix: str) -> None:
    chain = np.array([[4_650_000.0, 500_000.0, 10.0], [4_650_003.0, 500_004.0, 11.5]])
    points = survey_points(
        name="any",
        format="any",
        names=["1"],
        northing=[4_650_000.0],
        easting=[500_000.0],
        elevation=[10.0],
        descriptions=[""],
        unit="m",
        crs=CRS,
        lines=(SurveyLine(name="fence", vertices=chain),),
    )
    back = _through(points, write, suffix, SurveySettings())
    assert len(back.lines) == 1
    np.testing.assert_allclose(back.lines[0].vertices, chain, rtol=0, atol=1e-5)


def test_a_real_survey_in_survey_feet_passes_through_every_format(tmp_path: Path) -> None:
    points = survey_points(
        name="any",
        format="any",
        names=["BM2", "0102"],
        northing=[243596.675 * 1200 / 3937, 243743.002 * 1200 / 3937],
        easting=[2385112.706 * 1200 / 3937, 2385659.0 * 1200 / 3937],
        elevation=[322.171 * 1200 / 3937, float("nan")],
        descriptions=["", "JST BM"],
        unit="us-ft",
        crs="EPSG:2272",
    )
    for write, suffix in (
        (write_survey_csv, ".csv"),
        (write_landxml, ".xml"),
        (write_geojson, ".geojson"),
        (write_survey_dxf, ".dxf"),
    ):
        asked = SurveySettings(crs="EPSG:2272") if suffix == ".csv" else SurveySettings()
        back = _through(points, write, suffix, asked)
        assert back.unit == "us-ft"
        assert [round(value * 3937 / 1200, 3) for value in back.northing] == [
            243596.675,
            243743.002,
        ]
