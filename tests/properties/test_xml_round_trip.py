"""What is written as LandXML or GPX reads back: names, places, descriptions, lines, surfaces."""

import io
from dataclasses import replace

import numpy as np
import pyogrio
import pyogrio.raw
import pytest
from geographiclib.geodesic import Geodesic
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from staking.errors import WriteError
from staking.output.points.write_gpx import write_gpx
from staking.output.points.write_landxml import write_landxml
from staking.points import Surface, SurveyLine, SurveySettings
from staking.survey.assemble import survey_points
from staking.survey.gpx import parse_gpx
from staking.survey.landxml.points_from_landxml import parse_landxml

# Half of the last digit each writer gives, m: five decimals of a metre or a foot, four of an
# inch, two of a millimetre; a billionth of a degree.
HALF_DIGIT = {"m": 5e-6, "ft": 1.6e-6, "us-ft": 1.6e-6, "in": 1.3e-6, "mm": 5e-6}
ROUNDING = 1e-8
GRID = "EPSG:32617"

# Projecting loads its tables on the first example, and the machine may be busy.
SLOW = settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])

AWKWARD = ["007", "1E5", "=1+1", 'a "b"', "a,b;c", "<&>", "née", "杭", "]]>", "&amp;", "a\tb", "'"]
texts = st.one_of(
    st.sampled_from(AWKWARD),
    st.text(
        st.characters(exclude_categories=["Cs", "Cc"], exclude_characters="\ufffe\uffff"),
        max_size=12,
    ),
).map(str.strip)
names = texts.filter(bool)
levels = st.one_of(st.just(float("nan")), st.floats(-100, 4000))
rows = st.tuples(st.floats(4_000_000, 4_400_000), st.floats(300_000, 700_000), levels)


@st.composite
def surveys(draw, crs=None, units=("m", "ft", "us-ft", "in", "mm")):
    count = draw(st.integers(min_value=1, max_value=6))
    table = np.array(draw(st.lists(rows, min_size=count, max_size=count)))
    return survey_points(
        settings=SurveySettings(no_elevation=()),
        name="made.xml",
        format="made",
        names=draw(st.lists(names, min_size=count, max_size=count)),
        northing=table[:, 0],
        easting=table[:, 1],
        elevation=table[:, 2],
        descriptions=draw(st.lists(texts, min_size=count, max_size=count)),
        unit=draw(st.sampled_from(units)),
        crs=crs,
        lines=tuple(draw(st.lists(lines(), max_size=2))),
    )


@st.composite
def lines(draw):
    # Rising northings: a vertex written twice is one when read.
    start = draw(rows)
    steps = draw(st.lists(st.floats(1, 50), min_size=1, max_size=4))
    flat = draw(st.booleans())
    level = float("nan") if flat else 100.0
    chain = [(start[0] + sum(steps[:n]), start[1], level) for n in range(len(steps) + 1)]
    return SurveyLine(name=draw(texts), vertices=np.array(chain), is_break_line=draw(st.booleans()))


def through(write, parse, survey, asked=None):
    stream = io.StringIO()
    write(survey, stream)
    # Elevations drawn at random are real, though a lot's would not stand so far apart.
    asked = replace(asked or SurveySettings(), no_elevation=())
    return parse(io.BytesIO(stream.getvalue().encode()), "back.xml", asked)


def check(found, survey, within):
    assert list(found.names) == list(survey.names)
    assert list(found.descriptions) == list(survey.descriptions)
    np.testing.assert_allclose(found.northing, survey.northing, rtol=0, atol=within)
    np.testing.assert_allclose(found.easting, survey.easting, rtol=0, atol=within)
    np.testing.assert_allclose(found.elevation, survey.elevation, rtol=0, atol=within)


@SLOW
@given(survey=surveys())
def test_landxml_keeps_points_unit_and_lines(survey):
    found = through(write_landxml, parse_landxml, survey)
    within = HALF_DIGIT[survey.unit] + ROUNDING
    check(found, survey, within)
    assert (found.unit, found.crs) == (survey.unit, None)
    expected = sorted(survey.lines, key=lambda line: not line.is_break_line)
    assert [line.name for line in found.lines] == [line.name for line in expected]
    assert [line.is_break_line for line in found.lines] == [line.is_break_line for line in expected]
    for back, line in zip(found.lines, expected, strict=True):
        np.testing.assert_allclose(back.vertices, line.vertices, rtol=0, atol=within)


@SLOW
@given(survey=surveys(crs=GRID))
def test_gpx_keeps_points_and_lines(survey):
    asked = SurveySettings(crs=GRID, unit=survey.unit, no_elevation=())
    found = through(write_gpx, parse_gpx, survey, asked)
    # A billionth of a degree, halved, is 0.056 mm; elevations are to a tenth of a millimetre.
    check(found, survey, 0.0001)
    assert (found.unit, found.crs) == (survey.unit, GRID)
    assert [line.name for line in found.lines] == [line.name for line in survey.lines]
    for back, line in zip(found.lines, survey.lines, strict=True):
        np.testing.assert_allclose(back.vertices, line.vertices, rtol=0, atol=0.0001)


def test_landxml_keeps_surfaces_and_the_coordinate_system():
    ground = Surface(
        name="ground",
        vertices=np.array([[4e6, 5e5, 1], [4e6, 5e5 + 9, 2], [4e6 + 9, 5e5, 3.25]]),
        faces=np.array([[0, 1, 2]], dtype=np.intp),
    )
    survey = survey_points(
        name="a", format="made", names=["1"], northing=[4e6], easting=[5e5], elevation=None,
        descriptions=[""], unit="us-ft", crs=GRID, surfaces=(ground,),
    )  # fmt: skip
    found = through(write_landxml, parse_landxml, survey)
    assert found.crs == GRID
    (back,) = found.surfaces
    assert (back.name, back.faces.tolist()) == ("ground", [[0, 1, 2]])
    np.testing.assert_allclose(back.vertices, ground.vertices, rtol=0, atol=1.6e-6)


def test_the_same_points_give_the_same_bytes():
    survey = survey_points(
        name="a", format="made", names=["1"], northing=[1.0], easting=[2.0], elevation=None,
        descriptions=["x"], unit="m",
    )  # fmt: skip
    first, second = io.StringIO(), io.StringIO()
    write_landxml(survey, first)
    write_landxml(survey, second)
    assert first.getvalue() == second.getvalue()


def test_characters_that_xml_cannot_hold_become_the_replacement_character():
    survey = survey_points(
        name="a", format="made", names=["1\x00\x1b"], northing=[1.0], easting=[2.0],
        elevation=None, descriptions=["x\ud800"], unit="m",
    )  # fmt: skip
    found = through(write_landxml, parse_landxml, survey)
    assert (found.names[0], found.descriptions[0]) == ("1\ufffd\ufffd", "x\ufffd")


def test_gpx_without_a_coordinate_system_is_refused():
    survey = survey_points(
        name="lot.csv", format="made", names=["1"], northing=[1.0], easting=[2.0], elevation=None,
        descriptions=[""], unit="m",
    )  # fmt: skip
    with pytest.raises(WriteError, match=r"lot\.csv: GPX needs latitude and longitude"):
        write_gpx(survey, io.StringIO())


def test_gpx_is_read_the_same_by_another_reader(tmp_path):
    # GDAL's GPX driver, through pyogrio (PyPI). On the central meridian of zone 17, 81 west, the
    # northing is 0.9996 of the meridian's arc, which GeographicLib (PyPI) gives.
    northing = 0.9996 * Geodesic.WGS84.Inverse(0, -81, 40, -81)["s12"]
    survey = survey_points(
        name="a", format="made", names=['3/4" <pin>'], northing=[northing], easting=[5e5],
        elevation=[12.5], descriptions=["a & b"], unit="m", crs=GRID,
    )  # fmt: skip
    path = tmp_path / "a.gpx"
    with path.open("w", encoding="utf-8") as stream:
        write_gpx(survey, stream)
    meta, _, _, fields = pyogrio.raw.read(path, layer="waypoints", read_geometry=False)
    found = {name: column[0] for name, column in zip(meta["fields"], fields, strict=True)}
    assert (found["name"], found["desc"], found["ele"]) == ('3/4" <pin>', "a & b", 12.5)
    _, bounds = pyogrio.read_bounds(path, layer="waypoints")
    assert bounds[:2, 0] == pytest.approx((-81, 40), abs=1e-9)
