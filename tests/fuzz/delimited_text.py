"""Feeds the reader of delimited text bytes that a fuzzer makes: see ``one_reader.py``."""

from __future__ import annotations

from one_reader import read_survey_of, run

SUFFIXES = (
    ".csv",
    ".txt",
)


def read_one(data: bytes) -> None:
    """Read one input."""
    read_survey_of(data, SUFFIXES)


if __name__ == "__main__":
    run(read_one)
