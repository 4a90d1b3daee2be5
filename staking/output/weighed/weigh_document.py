"""What was weighed as one JSON document, and as a sheet of rows."""

from __future__ import annotations

import csv
import math
from typing import TYPE_CHECKING, Any, TextIO

from staking.measure.lengths import Unit
from staking.output.wording import Words, safe
from staking.weigh.weighed_row import WeighColumn

if TYPE_CHECKING:
    from staking.weigh.weighed import Weighed
    from staking.weigh.weighed_row import WeighRow

SCHEMA = "staking/weigh/1"

_YARD = (3 * 0.3048) ** 3
_VOLUMES = frozenset({WeighColumn.CONCRETE, WeighColumn.DUG, WeighColumn.FILL, WeighColumn.HAULED})
_LENGTHS = frozenset({WeighColumn.DEEPEST, WeighColumn.EXPOSED})

Record = dict[str, Any]


def weigh_document(weighed: Weighed) -> Record:
    """Build the document of what was weighed.

    Parameters
    ----------
    weighed
        The rows.

    Returns
    -------
    dict
        Lengths and areas in the job's unit, volumes in cubic yards or cubic metres, turns in
        degrees; nothing rounded. Rows count from 1. A row that cannot be built has no figures.
    """
    words = Words(weighed.options)
    metric = _is_metric(weighed)
    return {
        "schema": SCHEMA,
        "job": safe(weighed.job),
        "unit": weighed.options.unit,
        "volume_unit": "m3" if metric else "cu yd",
        "own": {"top_of_wall": _length(weighed, weighed.own.top)},
        "rows": [_row(weighed, row, words) for row in weighed.rows],
        "least": {column.value: [i + 1 for i in rows] for column, rows in weighed.least},
        "best": None if weighed.best is None else weighed.best + 1,
        "fewer_steps": _fewer(weighed),
        "warnings": list(dict.fromkeys(words.notice(each) for each in weighed.notices)),
    }


def _fewer(weighed: Weighed) -> Record | None:
    fewer = weighed.fewer
    if fewer is None:
        return None
    return {
        "row": None if fewer.row is None else fewer.row + 1,
        "top_of_wall": _length(weighed, fewer.top),
        "choices": [
            {
                "steps": each.steps,
                "wall_area": _area(weighed, each.wall_area),
                "concrete": _bulk(weighed, each.concrete),
                "dug": _bulk(weighed, each.dug),
            }
            for each in fewer.choices
        ],
    }


def write_weigh_csv(weighed: Weighed, stream: TextIO) -> None:
    """Write the rows as a sheet, one line a row.

    Parameters
    ----------
    weighed
        The rows.
    stream
        Where to write, open for text.
    """
    words = Words(weighed.options)
    writer = csv.writer(stream, lineterminator="\n")
    heads = ("top_of_wall", "north", "east", "turn", *(each.value for each in WeighColumn))
    writer.writerow(("row", *heads, "broken", "noted"))
    for number, row in enumerate(weighed.rows, 1):
        record = _row(weighed, row, words)
        values = ["" if record[head] is None else record[head] for head in heads]
        writer.writerow((number, *values, "; ".join(record["broken"]), "; ".join(record["noted"])))


def _row(weighed: Weighed, row: WeighRow, words: Words) -> Record:
    candidate = row.candidate
    return {
        "top_of_wall": _length(weighed, candidate.top),
        "north": _length(weighed, candidate.north),
        "east": _length(weighed, candidate.east),
        "turn": round(math.degrees(candidate.turn), 9) + 0.0,
        **{column.value: _figure(weighed, row, column) for column in WeighColumn},
        "broken": [words.notice(each) for each in row.broken],
        "noted": [words.notice(each) for each in row.noted],
    }


def _figure(weighed: Weighed, row: WeighRow, column: WeighColumn) -> float | int | None:
    value = row.value(column)
    if value is None or isinstance(value, int):
        return value
    if column in _VOLUMES:
        return _bulk(weighed, value)
    if column in _LENGTHS:
        return _length(weighed, value)
    if column is WeighColumn.WALL_AREA:
        return _area(weighed, value)
    if column is WeighColumn.BLOCKS:
        return round(value)
    return round(value, 2) + 0.0


def _is_metric(weighed: Weighed) -> bool:
    return Unit(weighed.options.unit) in {Unit.M, Unit.MM}


def _bulk(weighed: Weighed, cubic_metres: float) -> float:
    return round(cubic_metres / (1.0 if _is_metric(weighed) else _YARD), 10) + 0.0


def _area(weighed: Weighed, square_metres: float) -> float:
    return round(square_metres / Unit(weighed.options.unit).metres ** 2, 10) + 0.0


def _length(weighed: Weighed, metres: float) -> float:
    return round(metres / Unit(weighed.options.unit).metres, 10) + 0.0
