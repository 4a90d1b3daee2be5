"""Which format a survey file is in, from how it begins and, where that does not tell, its name."""

from __future__ import annotations

import re
from pathlib import PurePath

from staking.errors import InputError, Problem

HEAD = 65536
"""How many bytes from the file's start the format is read from."""

_FOREIGN = (
    (b"%PDF", "a PDF document"),
    (b"\x89PNG", "a picture"),
    (b"\xff\xd8\xff", "a picture"),
    (b"LASF", "a laser point cloud"),
    (b"\xd0\xcf\x11\xe0", "an office document"),
    (b"\x1f\x8b", "a compressed file"),
    (b"AutoCAD Binary DXF", "a binary DXF"),
)


def detect(head: bytes, name: str) -> str:
    """Name the module that reads a file.

    Parameters
    ----------
    head
        The first `HEAD` bytes of the file, or all of it.
    name
        The file's name, for its suffix and for messages.

    Returns
    -------
    str
        ``delimited``, ``landxml``, ``geojson``, ``gpx``, ``kml``, ``dxf``, ``level_book``,
        ``tape_book`` or ``angle_book``.

    Raises
    ------
    InputError
        Where the file is empty, or of a kind that is not read.
    """
    suffix = PurePath(name).suffix.lower()
    if not head:
        raise InputError(Problem(path=name, message="the file is empty"))
    if head.startswith(b"PK\x03\x04"):
        if suffix == ".kmz" or b".kml" in head or suffix not in {".xlsx", ".docx", ".ods", ".zip"}:
            return "kml"
        _refuse(name, "an office document or archive")
    for start, kind in _FOREIGN:
        if head.startswith(start):
            _refuse(name, kind)
    if re.match(rb"[A-Za-z0-9]{4}\x00", head[:5]) and head.startswith(b"AC10"):
        _refuse(name, "a binary drawing")
    text = _text(head)
    body = text.lstrip("\ufeff \t\r\n")
    if body.startswith("<"):
        return _xml(body, name)
    if body.startswith(("{", "[")) or suffix in {".geojson", ".json"}:
        return "geojson"
    if suffix == ".dxf" or re.match(r"(?:999\s.*?\n)?\s*0\s*\r?\n\s*SECTION\s", body):
        return "dxf"
    return _book(body) or "delimited"


def _text(head: bytes) -> str:
    """Return the head as text well enough to tell the format."""
    if head[:2] in {b"\xff\xfe", b"\xfe\xff"}:
        return head.decode("utf-16", errors="replace")
    return head.decode("utf-8", errors="replace")


def _xml(body: str, name: str) -> str:
    """Name the reader of an XML file by its first elements."""
    for found in re.finditer(r"<(?:[\w.-]+:)?([A-Za-z][\w.-]*)", body):
        tag = found.group(1).lower()
        if tag == "gpx":
            return "gpx"
        if tag == "kml":
            return "kml"
        if tag in {"landxml", "inframodel"}:
            return "landxml"
        if tag in {"html", "svg"}:
            _refuse(name, "a web page or drawing")
        break
    suffix = PurePath(name).suffix.lower()
    return {".gpx": "gpx", ".kml": "kml"}.get(suffix, "landxml")


_BOOKS = (
    ("angle_book", ({"setup", "station", "at", "occupied"}, {"angle", "angleright", "right"},
                    {"zenith", "zenithangle", "slope", "slopedistance", "distance"})),
    ("level_book", ({"bs", "backsight"}, {"fs", "foresight"})),
    ("tape_book", ({"from"}, {"to"}, {"distance", "dist", "measured", "length"})),
)  # fmt: skip


def _book(body: str) -> str | None:
    """Name the field book whose heading the first lines carry, or None."""
    # A heading word counts without its blanks, dashes and brackets: set-up is setup.
    for line in body.splitlines()[:30]:
        words = {
            re.sub(r"\(.*?\)|\[.*?\]|[^a-z]", "", word)
            for word in re.split(r"[,;\t|]|\s{2,}", line.lstrip("#/ ").lower())
        }
        words |= {re.sub(r"[^a-z]", "", word) for word in line.lstrip("#/ ").lower().split()}
        for kind, wanted in _BOOKS:
            if all(words & some for some in wanted):
                return kind
    return None


def _refuse(name: str, kind: str) -> None:
    raise InputError(
        Problem(
            path=name,
            message=f"this is {kind}, which is not read",
            remedy="export the points as text, LandXML, GeoJSON, GPX, KML or DXF",
        )
    )
