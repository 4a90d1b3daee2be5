"""Files that are not read: told by their content, by their name only where that is not text."""

from __future__ import annotations

from pathlib import Path

import pytest

from staking.survey.detect import detect
from staking.survey.turned_away.other_formats import other_format
from staking.survey.turned_away.raw_records import is_raw_records

SURVEYS = Path(__file__).resolve().parents[1] / "data" / "surveys"


def read_as_points() -> list[Path]:
    """Every open survey with the tests, and every sound twin."""
    return [path for folder in (SURVEYS, SURVEYS / "sound") for path in sorted(folder.iterdir())
            if path.is_file() and path.suffix != ".md" and "LICENSE" not in path.name]  # fmt: skip


@pytest.mark.parametrize("path", read_as_points(), ids=lambda path: path.name)
def test_no_survey_that_is_read_is_taken_for_anything_else(path: Path) -> None:
    head = path.read_bytes()[:65536]
    assert other_format(head, path.suffix.lower()) is None
    assert not is_raw_records(head)


@pytest.mark.parametrize("suffix", [".raw", ".dwg", ".xls", ".shp", ".obs", ".pdf"])
def test_a_text_with_points_is_read_whatever_it_is_called(suffix: str) -> None:
    text = b"point,northing,easting\n1,5000.25,4000.50\n2,5010.25,4004.50\n"
    assert detect(text, f"lot{suffix}") == "delimited"


@pytest.mark.parametrize(
    "text",
    [
        b"AB,5000.25,4000.50,99.1,MH12\nCD,5001.25,4000.50,99.2,CB3\nEF,5002.25,4000.50,99.4,T24\n",
        b"12AB 5000.25 4000.50 99.1\n13CD 5001.25 4000.50 99.2\n14EF 5002.25 4000.50 99.3\n",
        b"1 5.0E+03 4.0E+03\n2 5.1E+03 4.1E+03\n3 5.2E+03 4.2E+03\n",
        b"42-00-01.50000 93-00-02.50000\n42-00-02.50000 93-00-03.50000\n" * 3,
    ],
)
def test_points_that_look_a_little_like_raw_records_are_points(text: bytes) -> None:
    assert not is_raw_records(text)


def test_a_text_with_one_damaged_byte_is_still_a_text() -> None:
    assert (
        other_format(b"point,northing,easting\n" + b"1,5000.25,4000.50\n" * 9 + b"\0", "") is None
    )
