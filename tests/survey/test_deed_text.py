"""A file that holds the text of a deed, told from others."""

from __future__ import annotations

from pathlib import Path

import pytest

from staking.survey import deed_text as reader

DEED = (
    "Beginning at an iron pin; thence N 88 30 15 E 120.00 feet; thence S 1 20 00 E 95.00 feet; "
    "thence S 88 30 15 W 120.00 feet; thence N 1 20 00 W 95.00 feet to the point of beginning.\n"
)


def test_a_deed_is_read_up_to_the_longest_and_no_longer_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "deed.txt"
    path.write_text(DEED, encoding="utf-8")
    assert reader.deed_text(path) == DEED
    monkeypatch.setattr(reader, "MOST_BYTES", len(DEED))
    assert reader.deed_text(path) == DEED
    monkeypatch.setattr(reader, "MOST_BYTES", len(DEED) - 1)
    assert reader.deed_text(path) is None


@pytest.mark.parametrize("code", ["utf-8-sig", "utf-16"])
def test_a_deed_is_read_in_the_codes_of_text_editors(tmp_path: Path, code: str) -> None:
    path = tmp_path / "deed.txt"
    path.write_text(DEED, encoding=code)
    assert (reader.deed_text(path) or "").lstrip("\ufeff") == DEED


def test_a_survey_is_no_deed(tmp_path: Path) -> None:
    path = tmp_path / "points.csv"
    path.write_text("point,north,east\n1,5000.0,5000.0\n2,5010.0,5000.0\n", encoding="utf-8")
    assert reader.deed_text(path) is None
    assert reader.deed_text(tmp_path / "none.txt") is None
