"""XML from strangers: every fault file is refused in its own words, within bounds."""

import io
import json
import tracemalloc
import zipfile
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from staking.errors import InputError
from staking.points import SurveyPoints
from staking.survey.gpx import parse_gpx
from staking.survey.kml import parse_kml
from staking.survey.landxml.points_from_landxml import parse_landxml
from staking.survey.read import read_survey
from staking.survey.xml_faults import PointFaults
from staking.survey.xml_stream import MOST_DEPTH, read_elements

FAULTS = Path(__file__).parents[1] / "data" / "surveys" / "faults"

# What each fault file is told.
MESSAGES = json.loads(
    (Path(__file__).parent / "xml_fault_messages.json").read_text(encoding="utf-8")
)


@pytest.mark.parametrize("name", sorted(MESSAGES))
def test_a_faulty_file_is_refused_with_its_place_and_a_remedy(name, monkeypatch):
    monkeypatch.chdir(FAULTS)
    with pytest.raises(InputError, match=name) as caught:
        read_survey(Path(name))
    told = str(caught.value).replace(f"{name}, ", "").replace(f"{name}: ", "")
    assert told == MESSAGES[name]
    assert str(caught.value).startswith(name)


def test_every_fault_file_of_these_formats_has_its_message():
    there = {
        path.name
        for path in FAULTS.iterdir()
        if path.name.startswith(("xml_", "landxml_", "gpx_", "kml_", "kmz_"))
    }
    guesses = json.loads((Path(__file__).parent / "guess_fault_messages.json").read_text("utf-8"))
    assert there - set(guesses) == set(MESSAGES)


class Endless(io.RawIOBase):
    """A file that never ends: a beginning, then one byte for ever."""

    def __init__(self, start: bytes, rest: bytes) -> None:
        self._start, self._rest = io.BytesIO(start), rest

    def read(self, count: int = -1) -> bytes:
        return self._start.read(count) or self._rest * count


@pytest.mark.parametrize(
    ("start", "rest", "message"),
    [
        (b"<LandXML><CgPoint>", b"1", "text of the element CgPoint does not end within 4,194,304"),
        (b"<LandXML><A name='", b"x", "a tag or comment does not end within 1024 KiB"),
        (b"<LandXML><!-- ", b"x", "a tag or comment does not end within 1024 KiB"),
        (b"<LandXML><", b"x", "a tag or comment does not end within 1024 KiB"),
        (b"<LandXML>", b" ", "the text of the element LandXML does not end"),
    ],
)
def test_a_line_without_end_is_refused_within_bounded_memory(start, rest, message):
    tracemalloc.start()
    try:
        with pytest.raises(InputError, match=message):
            parse_landxml(Endless(start, rest), "endless.xml")
        _, peak = tracemalloc.get_traced_memory()
    finally:
        tracemalloc.stop()
    assert peak < 64 << 20


def test_a_file_over_the_bound_is_refused():
    stream = Endless(b"<LandXML>", b"<a/>")
    with pytest.raises(InputError, match="the file is longer than 1 MiB; split it"):
        for _ in read_elements(stream, "long.xml", "LandXML", most_bytes=1 << 20):
            pass


def test_elements_nested_without_end_are_refused():
    text = b"<LandXML>" + b"<a>" * 10_000
    with pytest.raises(InputError, match=f"elements stand {MOST_DEPTH + 1} deep in one another"):
        parse_landxml(io.BytesIO(text), "deep.xml")


def test_an_entity_that_is_nowhere_declared_is_refused():
    text = b"<LandXML><CgPoint>&hidden;</CgPoint></LandXML>"
    with pytest.raises(InputError, match="not a sound LandXML: undefined entity;"):
        parse_landxml(io.BytesIO(text), "entity.xml")


def test_a_zip_that_lies_about_its_size_is_refused(tmp_path):
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("doc.kml", "<kml>" + " " * 1_000_000 + "</kml>")
    # The true size is 1,000,011 bytes; the directory is made to say 11.
    forged = stream.getvalue().replace(
        (1_000_011).to_bytes(4, "little"), (11).to_bytes(4, "little")
    )
    with pytest.raises(InputError, match=r"damaged or cut short|ends inside the element kml"):
        parse_kml(io.BytesIO(forged), "forged.kmz")


def test_a_wide_character_file_with_its_mark_is_read():
    point = '<wpt lat="40" lon="-80"><name>Säule</name></wpt>'
    text = f'<?xml version="1.0" encoding="UTF-16"?><gpx>{point}</gpx>'
    found = parse_gpx(io.BytesIO(text.encode("utf-16")), "wide.gpx")
    assert list(found.names) == ["Säule"]


def test_text_in_pieces_and_in_plain_sections_is_joined():
    text = b"<gpx><wpt lat='40' lon='-80'><name>a<![CDATA[<b>]]>c &amp; d</name></wpt></gpx>"
    assert list(parse_gpx(io.BytesIO(text), "cdata.gpx").names) == ["a<b>c & d"]


def test_many_faults_are_counted_after_the_first_twenty():
    faults = PointFaults("many.xml", skip=False)
    for line in range(1, 31):
        faults.add(line, "wrong")
    with pytest.raises(InputError, match=r"many\.xml, line 20: wrong\nmany\.xml: and 10 more such"):
        faults.settle()


# Projecting loads its tables on the first example, and the machine may be busy.
SLOW = settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])

PIECES = st.sampled_from(
    [
        "<LandXML>", "</LandXML>", "<Units>", "</Units>", '<Metric linearUnit="meter"/>',
        '<CgPoint name="1">', "</CgPoint>", "<Surface>", "</Surface>", "<Definition>",
        "</Definition>", '<P id="1">', "</P>", "<F>", "</F>", "1 2 3", "1 2", "1", "nan", "-", "é",
        "<Breakline>", "</Breakline>", "<PntList3D>", "</PntList3D>", "<CoordGeom>", "<Start>",
        "</Start>", '<End pntRef="1"/>', "</CoordGeom>", "<gpx>", "</gpx>", "<wpt lat='1' lon='2'>",
        "</wpt>", "<ele>", "</ele>", "<trk>", "</trk>", "<trkseg>", "</trkseg>", "<name>",
        "</name>",
        "<trkpt lat='91' lon='x'/>", "<trkpt lat='1' lon='2'/>", "<kml>", "</kml>", "<Placemark>",
        "</Placemark>", "<Point>", "</Point>", "<coordinates>", "</coordinates>", "1,2,3 4,5",
        "1,2", ",", "&amp;", "&x;", "<!DOCTYPE a>", "<!--", "-->", "\x00", "]]>", "<", ">",
    ]
)  # fmt: skip


@pytest.mark.parametrize("parse", [parse_landxml, parse_gpx, parse_kml])
@SLOW
@given(pieces=st.lists(PIECES, max_size=25))
def test_whatever_comes_in_points_or_a_survey_fault_come_out(parse, pieces):
    for text in ("".join(pieces), f"<LandXML><gpx><kml>{''.join(pieces)}</kml></gpx></LandXML>"):
        try:
            found = parse(io.BytesIO(text.encode()), "any.xml")
        except InputError:
            continue
        assert isinstance(found, SurveyPoints)


@pytest.mark.parametrize("parse", [parse_landxml, parse_gpx, parse_kml])
@SLOW
@given(noise=st.binary(max_size=200))
def test_noise_is_refused(parse, noise):
    with pytest.raises(InputError, match="noise"):
        parse(io.BytesIO(noise), "noise")


@SLOW
@given(cut=st.integers(min_value=5, max_value=7309))
def test_a_real_file_cut_anywhere_is_refused(cut):
    whole = next(FAULTS.parent.glob("landxml12_metre_nested*")).read_bytes()
    # What follows the last tag is only a line end.
    short = whole[: min(cut, whole.rindex(b">"))]
    with pytest.raises(InputError, match="cut short"):
        parse_landxml(io.BytesIO(short), "short.xml")


@SLOW
@given(data=st.data())
def test_a_kmz_with_a_wrong_byte_gives_points_or_a_survey_fault(data):
    stream = io.BytesIO()
    text = "<kml><Placemark><Point><coordinates>-80,40,1</coordinates></Point></Placemark></kml>"
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("doc.kml", text)
    content = bytearray(stream.getvalue())
    at = data.draw(st.integers(min_value=4, max_value=len(content) - 1))
    content[at] = data.draw(st.integers(min_value=0, max_value=255))
    try:
        found = parse_kml(io.BytesIO(bytes(content)), "a.kmz")
    except InputError:
        return
    assert found.count == 1
