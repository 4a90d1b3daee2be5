"""The features of a GeoJSON document: names, descriptions, and shapes as chains of positions."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

from staking.errors import InputError, Problem
from staking.frozen import frozen
from staking.notices import Notice, Severity, notice
from staking.survey.name_list import listed
from staking.survey.xml_faults import MOST_TOLD, PointFaults, shown

Position = tuple[float, float, float]
"""First, second and third number as they stand; the third not-a-number where there is none."""

DEEPEST = 20
"""Collections within collections beyond this are refused."""

_DEPTH = {
    "Point": 0,
    "MultiPoint": 1,
    "LineString": 1,
    "MultiLineString": 2,
    "Polygon": 2,
    "MultiPolygon": 3,
}
"""How deep each type of RFC 7946 nests its positions."""

_NAMES = ("point", "name")
_DESCRIPTIONS = ("description", "desc", "code", "comment")


class FeatureFaults(PointFaults):
    """Faults of features, which have a name and no line."""

    def __init__(self, name: str, skip: bool) -> None:
        super().__init__(name, skip)
        self._path, self._skipping = name, skip
        self._problems: list[Problem] = []

    def add(self, line: int, message: str, remedy: str = "") -> None:
        """Take down one fault; the line means nothing here."""
        self._problems.append(Problem(path=self._path, message=message, remedy=remedy))

    def settle(self) -> list[Notice]:
        """Refuse the file for its faults, or give the notice of what was left out.

        Returns
        -------
        list of Notice
            Empty where there was no fault.

        Raises
        ------
        InputError
            With every fault, unless they are to be skipped.
        """
        found = self._problems
        if not found:
            return []
        if not self._skipping:
            more = len(found) - MOST_TOLD
            last = [Problem(path=self._path, message=f"and {more} more such faults")]
            raise InputError(*found[:MOST_TOLD], *(last if more > 0 else []))
        return [
            notice(
                "bad-lines-skipped",
                "{count} faulty features were left out ({features})",
                count=len(found),
                features=listed([problem.message for problem in found], most=MOST_TOLD),
            )
        ]


@frozen
class Feature:
    """One shape: chains of positions from `geometry`, and the same from `place` or None."""

    name: str
    what: str
    description: str
    is_point: bool
    parts: tuple[tuple[Position, ...], ...]
    places: tuple[tuple[Position, ...], ...] | None


@dataclass(slots=True)
class Shapes:
    """All shapes that are read, and what is said of the others."""

    features: list[Feature] = field(default_factory=list)
    notices: list[Notice] = field(default_factory=list)

    @property
    def has_places(self) -> bool:
        """Whether every shape has grid coordinates beside it."""
        return bool(self.features) and all(each.places is not None for each in self.features)


def read_features(document: dict[str, Any], name: str, faults: PointFaults) -> Shapes:
    """Collect the shapes of a document.

    Parameters
    ----------
    document
        A feature collection, a feature or a bare geometry.
    name
        The file as the user named it.
    faults
        Where malformed features are taken down.

    Returns
    -------
    Shapes
        Those of RFC 7946's types; empty and foreign geometries are counted in a notice.

    Raises
    ------
    InputError
        Where the document is none of the three.
    """
    items = _items(document, name)
    by_name = _all_named(items)
    shapes, other, ids = Shapes(), Counter[str](), Counter[str]()
    empty = 0
    for number, item in enumerate(items, start=1):
        if not isinstance(item, dict) or item.get("type") != "Feature":
            faults.add(0, f"feature {number} is none", "give objects of type Feature")
            continue
        identity = _text(item.get("id"))
        ids[identity] += bool(identity)
        properties = item.get("properties")
        properties = properties if isinstance(properties, dict) else {}
        named = _first(properties, _NAMES) if by_name else identity or _first(properties, _NAMES)
        what = f"point {shown(named)}" if named else f"feature {number}"
        # An empty object stands for null in some files.
        if not item.get("geometry") and not item.get("place"):
            empty += 1
            continue
        try:
            found = list(_shapes(item.get("geometry"), item.get("place"), other))
        except _MalformedError as fault:
            faults.add(0, f"{what}: {fault}", "give numbers, longitude first")
            continue
        described = _first(properties, _DESCRIPTIONS)
        for is_point, parts, places in found:
            shapes.features.append(
                Feature(
                    name=named,
                    what=what if is_point else f"feature {number}",
                    description=described,
                    is_point=is_point,
                    parts=parts,
                    places=places,
                )
            )
    shapes.notices += _notices(other, empty, ids)
    if any(each.places is None for each in shapes.features) and any(
        each.places is not None for each in shapes.features
    ):
        shapes.notices.append(
            notice(
                "some-grid-coordinates",
                "only some shapes have grid coordinates beside them, so longitude and latitude "
                "are read of all",
            )
        )
    return shapes


class _MalformedError(Exception):
    """A geometry that is none; the text says why."""


Found = tuple[bool, tuple[tuple[Position, ...], ...], tuple[tuple[Position, ...], ...] | None]


def _items(document: dict[str, Any], name: str) -> list[Any]:
    kind = document["type"]
    if kind == "Feature":
        return [document]
    if kind in _DEPTH or kind == "GeometryCollection":
        return [{"type": "Feature", "geometry": document}]
    features = document.get("features")
    if kind != "FeatureCollection" or not isinstance(features, list):
        raise InputError(
            Problem(
                path=name,
                message=f"this is JSON of type {shown(kind)} and not GeoJSON",
                remedy="export a FeatureCollection",
            )
        )
    return features


def _all_named(items: list[Any]) -> bool:
    """Tell whether every feature with a point has a name of its own in its properties."""
    properties = [
        item.get("properties")
        for item in items
        if isinstance(item, dict)
        and isinstance(item.get("geometry"), dict)
        and item["geometry"].get("type") == "Point"
    ]
    return bool(properties) and all(
        isinstance(each, dict) and _first(each, _NAMES) for each in properties
    )


def _first(properties: dict[str, Any], keys: tuple[str, ...]) -> str:
    folded = {str(key).lower(): value for key, value in properties.items()}
    return next((text for key in keys if (text := _text(folded.get(key)))), "")


def _text(value: Any) -> str:
    """Return a text or a number as text, anything else as nothing."""
    if isinstance(value, str):
        # Half a surrogate pair can be escaped in JSON, and written nowhere.
        return value.encode("utf-16", "surrogatepass").decode("utf-16", "replace").strip()
    if isinstance(value, int | float) and not isinstance(value, bool):
        return str(value)
    return ""


def _shapes(geometry: Any, place: Any, other: Counter[str], depth: int = 0) -> Iterator[Found]:
    """Yield the shapes of a geometry, its `place` beside it."""
    if not geometry:
        geometry = place
    if not isinstance(geometry, dict):
        raise _MalformedError("its geometry is not an object")
    kind = geometry.get("type")
    if kind == "GeometryCollection":
        inner = geometry.get("geometries")
        if not isinstance(inner, list) or depth > DEEPEST:
            raise _MalformedError("its collection is malformed")
        for each in inner:
            yield from _shapes(each, None, other, depth + 1)
        return
    if kind not in _DEPTH:
        other[shown(str(kind))] += 1
        return
    is_point = kind in {"Point", "MultiPoint"}
    parts = _parts(geometry.get("coordinates"), _DEPTH[kind])
    places = None
    if isinstance(place, dict) and place.get("type") == kind:
        places = _parts(place.get("coordinates"), _DEPTH[kind])
        # A line may be written finer on the grid than in degrees, and is then read so.
        if is_point and [len(part) for part in places] != [len(part) for part in parts]:
            raise _MalformedError("its place has not the positions of its geometry")
    yield is_point, parts, places


def _parts(coordinates: Any, depth: int) -> tuple[tuple[Position, ...], ...]:
    if depth == 0:
        return ((_position(coordinates),),)
    if not isinstance(coordinates, list):
        raise _MalformedError("its coordinates are not list")
    if depth == 1:
        return (tuple(map(_position, coordinates)),) if coordinates else ()
    return tuple(part for each in coordinates for part in _parts(each, depth - 1))


def _position(numbers: Any) -> Position:
    if not isinstance(numbers, list) or len(numbers) < 2:
        raise _MalformedError("a position needs two numbers")
    values = []
    for at, value in enumerate(numbers[:3]):
        if at == 2 and value is None:
            break
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise _MalformedError(f"{shown(str(value))} is not a number")
        try:
            values.append(float(value))
        except OverflowError:
            values.append(math.inf)
        if not math.isfinite(values[-1]):
            raise _MalformedError("a position has a number too large to be one")
    return (values[0], values[1], values[2] if len(values) > 2 else math.nan)


def _notices(other: Counter[str], empty: int, ids: Counter[str]) -> list[Notice]:
    said = []
    if empty:
        said.append(
            notice(
                "no-geometry",
                "{count} features have no geometry and are passed over",
                severity=Severity.NOTE,
                count=empty,
            )
        )
    if other:
        said.append(
            notice(
                "foreign-geometry",
                "geometry outside the GeoJSON standard is passed over: {kinds}",
                kinds=listed([f"{count} {kind}" for kind, count in sorted(other.items())]),
            )
        )
    twice = [identity for identity, times in ids.items() if times > 1]
    if twice:
        said.append(
            notice(
                "repeated-id",
                "features share an id, and all are kept: {ids}",
                ids=shown(listed(twice), 300),
            )
        )
    return said
