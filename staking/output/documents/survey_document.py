"""A survey as one JSON document: coordinates in its unit, nothing rounded."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from staking.output.tables.survey_tables import survey_words
from staking.output.wording import safe
from staking.points import Array, SurveyPoints
from staking.survey.convert import extent_rows, repeated
from staking.units import Unit

SCHEMA = "staking/survey/1"

Record = dict[str, Any]


def survey_document(points: SurveyPoints) -> Record:
    """Build the document of a survey.

    Parameters
    ----------
    points
        The survey.

    Returns
    -------
    dict
        Of schema ``staking/survey/1``: coordinates in `unit`, null where there is no elevation.
        A file with a surface and no survey points counts the surface's points, a cloud or a
        height grid its points or heights, which are not listed.
    """
    metres = Unit(points.unit).metres
    rows, scan = extent_rows(points), points.scan
    words = survey_words(points.unit)
    return {
        "schema": SCHEMA,
        "file": safe(points.name),
        "format": points.format,
        "columns": list(points.columns),
        "unit": points.unit,
        "crs": points.crs,
        "count": len(rows) if scan is None else scan.count,
        "extent": {
            "northing": _range(rows[:, 0], metres),
            "easting": _range(rows[:, 1], metres),
            "elevation": _range(rows[:, 2], metres),
        },
        "duplicates": list(repeated(points)),
        "lines": len(points.lines),
        "surfaces": [
            {"name": each.name, "points": len(each.vertices), "faces": len(each.faces)}
            for each in points.surfaces
        ],
        "elevation_unit": None if scan is None else scan.heights_unit,
        "cell": None if scan is None or scan.cell is None else _plain(scan.cell, metres),
        "classes": [
            {"class": each.code, "name": each.name, "count": each.count}
            for each in (() if scan is None else scan.classes)
        ],
        "withheld": 0 if scan is None else scan.withheld,
        "points": [
            {
                "name": name,
                "northing": _plain(northing, metres),
                "easting": _plain(easting, metres),
                "elevation": None if math.isnan(elevation) else _plain(elevation, metres),
                "description": description,
                "line": line or None,
            }
            for name, northing, easting, elevation, description, line in zip(
                points.names,
                points.northing.tolist(),
                points.easting.tolist(),
                points.elevation.tolist(),
                points.descriptions,
                points.source_line.tolist(),
                strict=True,
            )
        ],
        "warnings": list(dict.fromkeys(words.notice(each) for each in points.notices)),
    }


def _plain(value: float, metres: float) -> float:
    # Turns 99.99999999999999 back into the 100 that the file has; no unit shows ten decimals.
    return round(value / metres, 10) + 0.0


def _range(values: Array, metres: float) -> list[float] | None:
    known = values[~np.isnan(values)]
    if len(known) == 0:
        return None
    return [_plain(float(known.min()), metres), _plain(float(known.max()), metres)]
