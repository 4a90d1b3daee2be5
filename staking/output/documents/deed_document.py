"""What a document says of a lot by its deed."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from staking.output.wording import safe
from staking.site.deed.traverse import CLOSED

if TYPE_CHECKING:
    from staking.deed import Deed
    from staking.project.deed_file import DeedInFile
    from staking.site.deed.curves import Curve
    from staking.site.deed.deed_lot import DeedLot
    from staking.site.deed.pinned import PinFit
    from staking.site.deed.slips import Slip
    from staking.site.deed.traverse import Traverse

Record = dict[str, Any]
Scale = Callable[[float], float]


def degrees(azimuth: float) -> float:
    """Write an azimuth, rad, in degrees: 0 up to 360."""
    return round(math.degrees(azimuth), 10) % 360.0 + 0.0


def misclosure_record(walked: Traverse, length: Scale) -> Record:
    """Give how the courses of a deed close.

    Parameters
    ----------
    walked
        The courses walked round.
    length
        Metres to the unit of the document.

    Returns
    -------
    dict
        Distance and bearing from the end of the last course back to the first corner, and the
        length walked for one unit of it; None for what nothing can be said of where it closes.
    """
    closes = walked.misclosure <= CLOSED
    return {
        "distance": length(walked.misclosure),
        "bearing": None if closes else degrees(walked.azimuth),
        "one_in": None if closes else round(walked.one_in, 3),
    }


def courses_record(
    deed: Deed, walked: Traverse, slips: tuple[Slip, ...], length: Scale, area: Scale
) -> Record:
    """Give a deed as read.

    Parameters
    ----------
    deed, walked, slips
        The deed, its courses walked round, and what would explain that it does not close.
    length, area
        Metres and square metres to the unit of the document.

    Returns
    -------
    dict
        Courses with their words, ties, area, basis of bearings and slips.
    """
    return {
        "basis": None if deed.basis is None else safe(deed.basis),
        "perimeter": length(walked.perimeter),
        "area": area(walked.area),
        "stated_area": None if deed.stated_area is None else area(deed.stated_area),
        "courses": [
            {
                "line": safe(f"{start}-{end}"),
                "bearing": degrees(leg.azimuth),
                "length": length(leg.length),
                "curve": curve_record(leg.curve, length),
                "words": safe(course.words.text),
            }
            for (start, end), course, leg in zip(deed.lines, deed.courses, walked.legs, strict=True)
        ],
        "ties": [safe(each.words.text) for each in deed.ties],
        "slips": [
            {
                "line": safe(f"{slip.start}-{slip.end}"),
                "kind": str(slip.kind),
                "bearing": degrees(slip.azimuth),
                "length": length(slip.length),
                "left": length(slip.left),
            }
            for slip in slips
        ],
    }


def deed_record(lot: DeedLot, length: Scale, area: Scale) -> Record:
    """Give a lot by its deed.

    Parameters
    ----------
    lot
        The boundary as made.
    length, area
        Metres and square metres to the unit of the document.

    Returns
    -------
    dict
        The deed as read, whether it is a sketch from paper, and the pins.
    """
    return {
        "from_paper": lot.fit is None,
        **courses_record(lot.deed, lot.walked, lot.slips, length, area),
        "turn": None if lot.fit is None or lot.fit.turn is None else _turn(lot.fit.turn),
        "pins": [] if lot.fit is None else _pins(lot.fit, length),
    }


def curve_record(curve: Curve | None, length: Scale) -> Record | None:
    """Give a curve: its hand, radius, arc and angle; None for a straight line."""
    if curve is None:
        return None
    return {
        "to": str(curve.to),
        "radius": length(curve.radius),
        "arc": length(curve.arc),
        "angle": round(math.degrees(curve.angle), 10),
    }


def _turn(turn: float) -> float:
    return round(math.degrees(math.remainder(turn, 2 * math.pi)), 10) + 0.0


def _pins(fit: PinFit, length: Scale) -> list[Record]:
    return [
        {
            "corner": safe(each.corner),
            "point": safe(each.point),
            "north": length(each.northing),
            "east": length(each.easting),
            "apart": length(each.distance),
        }
        for each in fit.pins
    ]


def deed_file_document(found: DeedInFile) -> Record:
    """Build the document of a deed in a file of its own.

    Parameters
    ----------
    found
        The deed as read, every piece of it understood.

    Returns
    -------
    dict
        Of schema ``staking/survey/1``, with the corners as points from the first one at 0, 0, and
        `deed` and `misclosure` beside them.

    Raises
    ------
    ValueError
        Where a piece is not understood: there is no lot then.
    """
    if found.deed is None or found.walked is None:
        raise ValueError("a deed that is not understood has no document")
    metres = found.unit.metres

    def length(value: float) -> float:
        return round(value / metres, 10) + 0.0

    def area(value: float) -> float:
        return round(value / metres**2, 10) + 0.0

    corners = [(length(north), length(east)) for north, east in found.walked.corners.tolist()]
    return {
        "schema": "staking/survey/1",
        "file": safe(found.name),
        "format": "deed",
        "columns": [],
        "unit": found.unit.value,
        "crs": None,
        "count": len(corners),
        "extent": {
            "northing": [min(n for n, _ in corners), max(n for n, _ in corners)],
            "easting": [min(e for _, e in corners), max(e for _, e in corners)],
            "elevation": None,
        },
        "duplicates": [],
        "lines": 0,
        "surfaces": [],
        "points": [
            {
                "name": name,
                "northing": north,
                "easting": east,
                "elevation": None,
                "description": "corner by the deed",
                "line": None,
            }
            for name, (north, east) in zip(found.deed.corners, corners, strict=True)
        ],
        "misclosure": misclosure_record(found.walked, length),
        "deed": courses_record(found.deed, found.walked, found.slips, length, area),
        "warnings": [],
    }
