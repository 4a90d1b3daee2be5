"""Survey files cut, spliced and flipped: a reader gives points or a fault, and nothing else."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from staking.errors import InputError
from staking.points import SurveyPoints, SurveySettings
from staking.survey.detect import HEAD
from staking.survey.read import parse_survey

DATA = Path(__file__).resolve().parents[1] / "data" / "surveys"
LARGEST = 20_000
SEEDS: dict[str, list[Path]] = {}
for each in sorted([*DATA.iterdir(), *(DATA / "faults").iterdir()]):
    if each.is_file() and not each.name.startswith("LICENSE") and each.stat().st_size < LARGEST:
        SEEDS.setdefault(each.suffix, []).append(each)

PIECES = (
    b"", b"\x00", b"\xff\xfe", b"\xef\xbb\xbf", b"\r", b"\n", b",", b";", b"\t", b'"', b"'", b"<",
    b"</", b"<![CDATA[", b"<!DOCTYPE x [<!ENTITY a 'b'>]>", b"&a;", b"{", b"]", b"null", b"NaN",
    b"inf", b"-", b"1e999", b"-9.99E+27", b"9" * 400, b"=1+1", "é".encode("latin-1"), b"  0\n",
)  # fmt: skip


@st.composite
def broken(draw: st.DrawFn, suffix: str) -> tuple[str, bytes]:
    path = draw(st.sampled_from(SEEDS[suffix]))
    data = path.read_bytes()
    for _ in range(draw(st.integers(1, 4))):
        start = draw(st.integers(0, len(data)))
        end = min(len(data), start + draw(st.sampled_from((0, 1, 3, 40, 2000))))
        how = draw(st.sampled_from(("replace", "repeat", "cut", "flip")))
        if how == "replace":
            data = data[:start] + draw(st.sampled_from(PIECES)) + data[end:]
        elif how == "repeat":
            data = data[:end] + data[start:end] + data[end:]
        elif how == "cut":
            data = data[:start]
        elif start < len(data):
            data = data[:start] + bytes((data[start] ^ draw(st.integers(1, 255)),)) + data[end:]
    return path.name, data


@pytest.mark.parametrize("suffix", sorted(SEEDS))
@given(data=st.data())
@settings(max_examples=120, deadline=None, suppress_health_check=list(HealthCheck))
def test_a_broken_file_gives_points_or_a_fault(suffix: str, data: st.DataObject) -> None:
    name, content = data.draw(broken(suffix))
    said = SurveySettings(
        unit=data.draw(st.sampled_from((None, "ft", "m"))), skip_bad_lines=data.draw(st.booleans())
    )
    try:
        found = parse_survey(io.BytesIO(content), name, said, content[:HEAD])
    except InputError:
        return
    assert isinstance(found, SurveyPoints)
    assert found.count == len(found.northing) == len(found.descriptions)


def test_a_first_line_that_breaks_off_still_shows_a_point_both_ways() -> None:
    rows = b"".join(b"%d,7%d.5,8%d.5,1%d.5\n" % (i, i, i, i) for i in range(10, 20))
    with pytest.raises(InputError, match="which column is the northing") as fault:
        parse_survey(io.BytesIO(b"9,7\n" + rows), "a.txt", SurveySettings(unit="m"), rows)
    (told, *_) = fault.value.problems
    assert told.line is None
    assert "710.5" in told.message
