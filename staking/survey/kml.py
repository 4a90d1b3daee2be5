"""KML, and KMZ which is the same in a zip: placemarks as points and lines."""

from __future__ import annotations

import math
from typing import BinaryIO

from staking.errors import InputError, Problem
from staking.notices import Notice, Severity, notice
from staking.points import SurveyPoints, SurveySettings
from staking.survey.kmz import inner_kml
from staking.survey.lat_lon import NamedPlace, Track, checked, geographic_survey
from staking.survey.xml_faults import PointFaults, shown
from staking.survey.xml_stream import MOST_BYTES, Element, read_elements

MOST_INFLATED = 1 << 28
"""Bytes a KMZ may grow to: a quarter of what a plain file may be."""

_GEOMETRY = {"Point", "LineString", "LinearRing"}
_PASSED = {"Model", "GroundOverlay", "PhotoOverlay", "ScreenOverlay", "Track", "MultiTrack"}


def parse_kml(stream: BinaryIO, name: str, settings: SurveySettings | None = None) -> SurveyPoints:
    """Read a KML or KMZ file.

    Parameters
    ----------
    stream
        The bytes, at their start; for a KMZ one that can be sought in.
    name
        The file as the user named it.
    settings
        Of which `crs` is the grid to project to, and `unit` the one to show; positions are
        projected to their UTM zone without.

    Returns
    -------
    SurveyPoints
        Points of placemarks, numbered where they have no name; lines and the rings of polygons
        as lines.

    Raises
    ------
    InputError
        Where the file is not a sound KML or KMZ, or a position is none.

    References
    ----------
    OGC 12-007r2, KML 2.3: coordinates are longitude, latitude and optional altitude, in WGS 84
    degrees and metres.
    """
    asked = settings or SurveySettings()
    reading = _KmlRead(PointFaults(name, asked.skip_bad_lines))
    inner = inner_kml(stream, name)
    most = MOST_BYTES if inner is stream else MOST_INFLATED
    for event in read_elements(inner, name, "KML", most):
        if event.opens:
            reading.open(event.element)
        else:
            reading.close(event.element)
    notices = [*reading.faults.settle(), *reading.notices()]
    if not reading.points and not reading.tracks and reading.links:
        raise InputError(
            Problem(
                path=name,
                message="the file only links to another, which is not fetched",
                remedy="save the places themselves as KML",
            )
        )
    return geographic_survey(
        name=name,
        what="KML",
        settings=asked,
        places=reading.points,
        tracks=reading.tracks,
        notices=notices,
    )


class _KmlRead:
    """What was read so far."""

    def __init__(self, faults: PointFaults) -> None:
        self.faults = faults
        self.points: list[NamedPlace] = []
        self.tracks: list[Track] = []
        self.links = 0
        self._passed: dict[str, int] = {}
        self._name = self._description = ""
        self._found: list[tuple[Element, str]] = []

    def open(self, element: Element) -> None:
        """Begin a placemark."""
        if element.name == "Placemark":
            self._name = self._description = ""
            self._found = []

    def close(self, element: Element) -> None:
        """Take in what an element holds."""
        kind = element.name
        if kind in {"name", "description"} and element.parent_name == "Placemark":
            if kind == "name":
                self._name = element.text.strip()
            else:
                self._description = element.text.strip()
        elif kind == "coordinates" and element.parent_name in _GEOMETRY:
            self._found.append((element, element.parent_name))
        elif kind in _PASSED:
            self._passed[kind] = self._passed.get(kind, 0) + 1
        elif kind == "NetworkLink":
            self.links += 1
        elif kind == "Placemark":
            # Name and description may stand after the geometry, so it waits for the end.
            for found, geometry in self._found:
                self._take(found, geometry)
            self._found = []

    def notices(self) -> list[Notice]:
        """Say what was passed over."""
        said = [
            notice(
                "passed-over",
                "{count} elements {kind} are passed over: they hold no surveyed point",
                severity=Severity.NOTE,
                count=count,
                kind=kind,
            )
            for kind, count in self._passed.items()
        ]
        if self.links:
            said.append(
                notice(
                    "links-not-followed",
                    "the file links to {count} others, which are not fetched",
                    count=self.links,
                )
            )
        return said

    def _take(self, element: Element, geometry: str) -> None:
        what = f"placemark “{shown(self._name)}”" if self._name else "a placemark"
        text = element.text
        # In a single point, blanks after the commas are a common slip that cannot mislead.
        tuples = [",".join(text.replace(",", " ").split())] if geometry == "Point" else text.split()
        places = []
        for one in tuples:
            place = self._place(one, element.line, what)
            if place is None:
                return
            places.append(place)
        if geometry == "Point":
            self.points += places
        elif len(places) > 1:
            self.tracks.append(Track(self._name, tuple(places)))
        else:
            self.faults.add(element.line, f"{what}: a line of fewer than two points")

    def _place(self, text: str, line: int, what: str) -> NamedPlace | None:
        words = text.split(",")
        try:
            values = [float(word) for word in words]
        except ValueError:
            values = []
        if len(values) not in {2, 3} or not all(map(math.isfinite, values)) or "_" in text:
            self.faults.add(
                line,
                f"{what}: the coordinates “{shown(text)}” are not longitude, latitude and altitude",
                "write longitude,latitude in degrees with commas between and no blanks",
            )
            return None
        if not checked(self.faults, what, line, values[1], values[0]):
            return None
        level = values[2] if len(values) == 3 else math.nan
        return NamedPlace(self._name, values[1], values[0], level, self._description, line)
