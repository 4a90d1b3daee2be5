"""Whole lines of text to columns of fields, where the lines are all alike."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence

import numpy as np

from staking.survey.delimited.dialect import Dialect

Columns = Sequence[Sequence[str]]


def plain_columns(text: str, dialect: Dialect) -> Columns | None:
    """Cut lines without quotes into columns.

    Parameters
    ----------
    text
        Whole lines.
    dialect
        How they are cut.

    Returns
    -------
    sequence or None
        The columns, or None where the lines are not all alike.
    """
    separator = dialect.separator
    width = text.count(separator, 0, text.find("\n")) + 1
    if width < 2:
        return None
    raw = np.frombuffer(text.encode(), dtype=np.uint8)
    code = ord(separator)
    marks = raw[(raw == code) | (raw == 10)]
    if len(marks) % width:
        return None
    grid = marks.reshape(-1, width)
    if (grid[:, -1] != 10).any() or (grid[:, :-1] != code).any():
        return None
    flat = text.replace("\n", separator).split(separator)
    flat.pop()
    return [flat[at::width] for at in range(width)]


def blank_columns(text: str, dialect: Dialect) -> Columns | None:
    """Cut lines of runs of blanks into columns.

    Parameters
    ----------
    text
        Whole lines.
    dialect
        How they are cut.

    Returns
    -------
    sequence or None
        The columns, or None where the lines are not all alike.
    """
    most = dialect.columns - 1 if dialect.columns else -1
    return _from_rows([line.split(None, most) for line in text.split("\n")[:-1]])


def quoted_columns(text: str, dialect: Dialect) -> Columns | None:
    """Cut lines with quoted fields into columns.

    Parameters
    ----------
    text
        Whole lines.
    dialect
        How they are cut.

    Returns
    -------
    sequence or None
        The columns, or None where the lines are not all alike.
    """
    if dialect.separator == " ":
        return None
    reader = csv.reader(
        io.StringIO(text, newline=""),
        delimiter=dialect.separator, strict=True, skipinitialspace=True,
    )  # fmt: skip
    try:
        rows = list(reader)
    except csv.Error:
        return None
    # A field of several lines leaves fewer rows than lines, and no row's line is known.
    return None if len(rows) != text.count("\n") else _from_rows(rows)


def _from_rows(rows: list[list[str]]) -> Columns | None:
    if not rows or not rows[0] or len(set(map(len, rows))) != 1:
        return None
    return list(zip(*rows, strict=True))
