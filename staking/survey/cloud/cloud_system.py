"""The coordinate system of a cloud: what its two kinds of record say, and whether they agree."""

from __future__ import annotations

import math

import numpy as np

from staking import crs as reference
from staking.crs_register import UNITS
from staking.crs_text import WrittenSystem, heights_unit_of, read_system
from staking.errors import InputError, Problem
from staking.notices import Notice, Severity, notice
from staking.survey.cloud.geo_keys import DIRECTORY, GeoKeys, read_keys
from staking.survey.cloud.las_header import CloudHead
from staking.survey.scanned.scan_system import Stated

TEXT = 2112
"""Number of the record that holds the system as well-known text."""

SAME_PLACE = 3.0
"""Two systems that put the cloud's middle within this, m, differ only in how a datum is counted."""


def stated_system(head: CloudHead) -> Stated:
    """Give what a cloud says of its system.

    Parameters
    ----------
    head
        The head of the file with its records.

    Returns
    -------
    Stated
        By its text or its keys: by the one that the head points to where both are there.
    """
    words = head.of_system(TEXT)
    text = _text(words) if words is not None else None
    raw = head.of_system(DIRECTORY)
    keys = read_keys(raw) if raw is not None else None
    notices: list[Notice] = []
    if words is not None and text is None:
        notices.append(_unreadable())
    key_code = _known(keys)
    doubts: tuple[Problem, ...] = ()
    if text is not None and text.code and key_code and text.code != key_code:
        doubts = _contradiction(head, text.code, key_code)
    use_text = text is not None and (head.says_wkt or key_code is None)
    code = text.code if use_text and text is not None and text.code else key_code
    if code is None and text is not None:
        code = text.code
    name = text.name if text is not None else None
    if code is None and name is not None:
        notices.append(_nameless(name))
    heights, said = _heights(text, keys)
    return Stated(
        path=head.path,
        crs=code,
        name=name,
        unit=(text.unit if text is not None else None) or (keys.unit if keys else None),
        heights_unit=heights,
        is_geographic=(text is not None and text.is_geographic)
        or (text is None and keys is not None and keys.is_geographic),
        notices=(*notices, *said),
        doubts=doubts,
    )


def _text(data: bytes) -> WrittenSystem | None:
    return read_system(data.split(b"\0")[0].decode("utf-8", errors="replace"))


def _known(keys: GeoKeys | None) -> str | None:
    """Give the code of the keys where the register has it."""
    if keys is None or keys.code is None:
        return None
    try:
        return reference.resolve(keys.code).code
    except InputError:
        return None


def _unreadable() -> Notice:
    return notice(
        "crs-unreadable",
        "the text of the coordinate system in the file cannot be read as one",
    )


def _nameless(name: str) -> Notice:
    return notice(
        "crs-nameless",
        "the file calls its coordinate system {name}, and no code says which that is: give it with "
        "--crs (crs: beside cloud:)",
        name=name,
    )


def _contradiction(head: CloudHead, text: str, keys: str) -> tuple[Problem, ...]:
    """Say so where text and keys put the cloud in two places."""
    middle = [
        (least + greatest) / 2 for least, greatest in zip(head.least, head.greatest, strict=True)
    ]
    try:
        places = []
        for code in (text, keys):
            metres = UNITS[reference.resolve(code).unit]
            north, east = np.array([middle[1] * metres]), np.array([middle[0] * metres])
            places.append(reference.to_geographic(north, east, code))
        (lat, lon), (other_lat, other_lon) = ((float(a[0]), float(o[0])) for a, o in places)
        # A degree of latitude has 111 km.
        apart = 111_000.0 * math.hypot(
            lat - other_lat, (lon - other_lon) * math.cos(math.radians(lat))
        )
    except InputError:
        apart = math.inf
    if apart <= SAME_PLACE:
        return ()
    return (
        Problem(
            path=head.path,
            message=f"the two records of the coordinate system contradict each other: the text "
            f"says {text} ({reference.resolve(text).name}), the keys say {keys} "
            f"({reference.resolve(keys).name})",
            remedy="find out which is right, and give it with --crs (crs: beside cloud:)",
        ),
    )


def _heights(
    text: WrittenSystem | None, keys: GeoKeys | None
) -> tuple[str | None, tuple[Notice, ...]]:
    """Give the unit of the heights and what speaks against it."""
    if text is not None and text.heights_doubt is not None:
        return text.heights_unit, (
            notice(
                "heights-unit-doubtful",
                "the file's record calls the unit of its heights {both}, which contradicts itself; "
                "the name is taken: see whether the heights are right, else give --heights "
                "(heights: beside cloud:)",
                Severity.WARNING,
                both=text.heights_doubt,
            ),
        )
    by_text = text.heights_unit if text is not None else None
    by_keys = None
    if keys is not None:
        by_keys = keys.heights_unit or (
            heights_unit_of(keys.vertical) if keys.vertical is not None else None
        )
    if by_text is not None and by_keys is not None and by_text != by_keys:
        return by_text, (
            notice(
                "heights-unit-doubtful",
                "the text of the coordinate system gives the heights in {text}, its keys in {keys};"
                " the text is taken: see whether the heights are right, else give --heights "
                "(heights: beside cloud:)",
                Severity.WARNING,
                text=by_text,
                keys=by_keys,
            ),
        )
    return by_text or by_keys, ()
