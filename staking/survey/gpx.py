"""GPX 1.0 and 1.1, with or without their namespace: waypoints as points, tracks as lines."""

from __future__ import annotations

import math
from typing import BinaryIO

from staking.notices import Notice, Severity, notice
from staking.points import SurveyPoints, SurveySettings
from staking.survey.lat_lon import NamedPlace, Track, checked, geographic_survey
from staking.survey.xml_faults import PointFaults, numbers, shown
from staking.survey.xml_stream import Element, read_elements

_POINTS = {"wpt": "waypoint", "trkpt": "track point", "rtept": "route point"}
_CHAINS = {"trkseg", "rte"}
_PARTS = {"name", "ele", "desc", "cmt"}


def parse_gpx(stream: BinaryIO, name: str, settings: SurveySettings | None = None) -> SurveyPoints:
    """Read a GPX file.

    Parameters
    ----------
    stream
        The bytes.
    name
        The file as the user named it.
    settings
        Of which `crs` is the grid to project to, and `unit` the one to show; positions are
        projected to their UTM zone without.

    Returns
    -------
    SurveyPoints
        Waypoints as points, numbered where they have no name; tracks and routes as lines.

    Raises
    ------
    InputError
        Where the file is not a sound GPX, or a position is none.

    References
    ----------
    GPX 1.1 schema documentation, topografix.com/GPX/1/1: latitude and longitude in WGS 84
    degrees, elevation in metres.
    """
    asked = settings or SurveySettings()
    reading = _GpxRead(PointFaults(name, asked.skip_bad_lines))
    for event in read_elements(stream, name, "GPX"):
        if event.opens:
            reading.open(event.element)
        else:
            reading.close(event.element)
    notices = [_useless(), *reading.faults.settle(), *reading.notices()]
    return geographic_survey(
        name=name,
        what="GPX",
        settings=asked,
        places=reading.waypoints,
        tracks=reading.tracks,
        notices=notices,
    )


class _GpxRead:
    """What was read so far."""

    def __init__(self, faults: PointFaults) -> None:
        self.faults = faults
        self.waypoints: list[NamedPlace] = []
        self.tracks: list[Track] = []
        self._parts: dict[str, str] = {}
        self._chain: list[NamedPlace] = []
        self._chain_name = ""
        self._single = 0

    def open(self, element: Element) -> None:
        """Begin a point or a chain."""
        if element.name in _POINTS:
            self._parts = {}
        elif element.name in _CHAINS:
            self._chain = []
        if element.name in {"trk", "rte"}:
            self._chain_name = ""

    def close(self, element: Element) -> None:
        """Take in what an element holds."""
        if element.name in _PARTS:
            self._take_part(element)
        elif element.name in _POINTS:
            place = self._place(element)
            if place is not None:
                (self.waypoints if element.name == "wpt" else self._chain).append(place)
        elif element.name in _CHAINS:
            if len(self._chain) > 1:
                self.tracks.append(Track(self._chain_name, tuple(self._chain)))
            elif self._chain:
                self._single += 1
            self._chain = []

    def notices(self) -> list[Notice]:
        """Say what was left out."""
        if not self._single:
            return []
        return [
            notice(
                "tracks-of-one-point",
                "{count} tracks of a single point are left out",
                severity=Severity.NOTE,
                count=self._single,
            )
        ]

    def _take_part(self, element: Element) -> None:
        around = element.parent_name
        if around in _POINTS:
            self._parts[element.name] = element.text.strip()
        elif around in {"trk", "rte"} and element.name == "name":
            self._chain_name = element.text.strip()

    def _place(self, element: Element) -> NamedPlace | None:
        parts, self._parts = self._parts, {}
        kind = _POINTS[element.name]
        what = f"{kind} “{shown(parts['name'])}”" if parts.get("name") else f"a {kind}"
        at = self._position(element, what)
        if at is None:
            return None
        level = math.nan
        if parts.get("ele"):
            found = numbers(parts["ele"])
            if isinstance(found, str) or len(found) != 1:
                self.faults.add(
                    element.line,
                    f"{what}: the elevation “{shown(parts['ele'])}” is not a number",
                    "give metres, or leave it out",
                )
                return None
            level = found[0]
        described = parts.get("desc") or parts.get("cmt") or ""
        return NamedPlace(parts.get("name", ""), *at, level, described, element.line)

    def _position(self, element: Element, what: str) -> tuple[float, float] | None:
        """Return latitude and longitude, degrees, or None where there is a fault."""
        degrees = []
        for key, word in (("lat", "latitude"), ("lon", "longitude")):
            text = element.attributes.get(key)
            if text is None:
                self.faults.add(element.line, f"{what} has no {word}", f'give it as {key}="…"')
                return None
            found = numbers(text)
            if isinstance(found, str) or len(found) != 1:
                self.faults.add(
                    element.line,
                    f"{what}: the {word} “{shown(text)}” is not a number",
                    "give degrees with a decimal point",
                )
                return None
            degrees.append(found[0])
        if not checked(self.faults, what, element.line, degrees[0], degrees[1]):
            return None
        return degrees[0], degrees[1]


def _useless() -> Notice:
    """Warn of what a hand-held receiver's position is worth."""
    return notice(
        "gpx-accuracy",
        "a GPX file mostly comes from a phone or hand-held receiver, whose positions are out by "
        "yards: good to find the lot, useless to lay out a building",
    )
