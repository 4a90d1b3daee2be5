"""Numbers straight from bytes, against what `float` reads in the same field."""

from __future__ import annotations

import io

import numpy as np
import pytest

from staking.points import SurveySettings
from staking.survey.delimited.number_columns import LEAD, decimal_column
from staking.survey.delimited.plain_fields import rising
from staking.survey.delimited.points_from_text import parse_delimited


def column(*fields: bytes) -> np.ndarray | None:
    text = b"0" * LEAD + b"".join(field + b"," for field in fields)
    ends = np.array([at for at, byte in enumerate(text) if byte == ord(",")])
    starts = np.concatenate(([LEAD], ends[:-1] + 1))
    return decimal_column(text, starts, ends, may_be_empty=True)


@pytest.mark.parametrize(
    "fields",
    [
        (b"240000.1234", b"240000.9999"),
        (b"5.5", b"123456.5", b"0.5"),
        (b"1.5", b"2.25", b"3.125"),
        (b"-1.5", b"2.5"),
        (b"-.5", b".25"),
        (b"12345678.12345678", b"99999999.99999999"),
        (b"12345678.1234567", b"10000000.0000001"),
        (b"7", b"12", b"99999999"),
        (b"5.", b"6."),
    ],
)
def test_a_column_reads_as_its_fields_read_one_by_one(fields: tuple[bytes, ...]) -> None:
    found = column(*fields)
    if found is not None:
        assert found.tolist() == [float(field) for field in fields]


def test_most_fields_of_surveys_are_read_at_once() -> None:
    assert column(b"240000.1234", b"240000.9999") is not None
    assert column(b"-1.5", b"2.5") is not None
    assert column(b"5.5", b"123456.5") is not None


@pytest.mark.parametrize("at", range(9))
def test_no_byte_but_a_digit_is_taken_for_one(at: int) -> None:
    for byte in range(256):
        if chr(byte).isascii() and chr(byte) in "0123456789,.":
            continue
        field = bytearray(b"1234.5678")
        field[at] = byte
        if at == 0 and byte == ord("-"):
            assert column(b"1234.5678", bytes(field)).tolist() == [1234.5678, -234.5678]
        else:
            assert column(b"1234.5678", bytes(field)) is None, (at, byte)


def test_an_empty_field_is_no_number_and_not_nothing() -> None:
    found = column(b"1.5", b"", b"2.5")
    assert found is not None
    assert found[[0, 2]].tolist() == [1.5, 2.5]
    assert np.isnan(found[1])


@pytest.mark.parametrize(
    ("names", "rises"),
    [
        (("1", "2", "9", "10", "11"), True),
        (("A1", "A2", "B1"), True),
        (("1", "1"), False),
        (("2", "1"), False),
        (("10", "9"), False),
        (("9", "10", "10"), False),
        (("only",), True),
    ],
)
def test_names_rise_by_length_and_then_by_letter(names: tuple[str, ...], rises: bool) -> None:
    held = np.array(names, dtype=object)
    assert rising(held, np.array([len(name) for name in names])) is rises


@pytest.mark.parametrize("name", ["1", "12345", "123456", "1234567", "12345678", "a name of words"])
def test_the_first_number_of_a_file_may_stand_near_its_beginning(name: str) -> None:
    text = f"{name},12345678.25,2.5,3\nlast,7.75,8,9.125\n"
    settings = SurveySettings(unit="m", columns=("point", "northing", "easting", "elevation"))
    read = parse_delimited(io.BytesIO(text.encode()), "near.csv", settings)
    assert read.names.tolist() == [name, "last"]
    assert read.northing.tolist() == [12345678.25, 7.75]
    assert read.easting.tolist() == [2.5, 8.0]
    assert read.elevation.tolist() == [3.0, 9.125]
