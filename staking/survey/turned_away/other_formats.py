"""Formats that are not read: by how a file begins, else by its name where it is not text."""

from __future__ import annotations

import re
from pathlib import PurePath

from staking.errors import InputError, Problem
from staking.frozen import frozen
from staking.survey.turned_away.raw_records import is_raw_records

_EXPORT = "export the points as text, LandXML, GeoJSON, GPX, KML or DXF"
_AS_HEIGHTS = "export the heights as text: easting, northing and elevation in columns"
_FROM_INSTRUMENT = (
    "export the points from the instrument or its program as text or LandXML; angles and distances "
    "can be typed as an angle and distance book"
)


@frozen(kw_only=False)
class OtherFormat:
    """A format that is not read.

    Parameters
    ----------
    message
        What the file is, and that it is not read.
    remedy
        What to do.
    """

    message: str
    remedy: str


def _no(kind: str, remedy: str = _EXPORT) -> OtherFormat:
    return OtherFormat(f"this is {kind}, which is not read", remedy)


_PDF = _no(
    "a PDF document",
    "ask whoever made it for the points as text or LandXML, or for the drawing as DXF",
)
_PICTURE = _no("a picture")
_TIFF = _no("a picture or a grid of heights (TIFF)", _AS_HEIGHTS)
_DRAWING = _no("a drawing in its program's own form", "save it as DXF")
_SHAPEFILE = _no("a shapefile", "export it as GeoJSON, or its points as text")
_DATABASE = _no("a database (a GeoPackage is one)", "export the layer as GeoJSON")
_SPREADSHEET = _no("a spreadsheet", "save the sheet as CSV")
_OFFICE = _no("an office document", "save the table as CSV")
_PACKED = _no("a compressed file", "unpack it first")
_ARCHIVE = _no("an office document or archive", "unpack it, or save the table as CSV")
WEB_PAGE = _no("a web page or drawing")
_CLOUD = _no(
    "a point cloud or mesh in another form than LAS or LAZ",
    "save it as LAS or LAZ with its ground classified",
)
_MODEL = _no("a building model", "export its plan as DXF")
_RAW = _no("an instrument's raw file", _FROM_INSTRUMENT)
_OBSERVATIONS = _no(
    "a file of a receiver's raw observations",
    "have the points worked out from them, and export those as text",
)
_TRACK = _no(
    "a receiver's running log of where it was", "export the points that were stored, as text"
)
_SYSTEM = OtherFormat(
    "this only says which coordinate system other files are in, and holds no points",
    "give the points' own file, and the system with --crs (crs: under site:)",
)
_BINARY = OtherFormat(
    "this is not text, and none of the formats that are read",
    "save a text as UTF-8; from an instrument's own file export the points as text, LandXML or DXF",
)

_STARTS: tuple[tuple[bytes, OtherFormat], ...] = (
    (b"%PDF", _PDF),
    (b"\x89PNG", _PICTURE),
    (b"\xff\xd8\xff", _PICTURE),
    (b"GIF8", _PICTURE),
    (b"II*\0", _TIFF),
    (b"MM\0*", _TIFF),
    (b"II+\0", _TIFF),
    (b"MM\0+", _TIFF),
    (b"\xd0\xcf\x11\xe0", _OFFICE),
    (b"{\\rtf", _no("a word processor's document", "save it as plain text")),
    (b"SQLite format 3\0", _DATABASE),
    (b"\x00\x00\x27\x0a", _SHAPEFILE),
    (b"\x1f\x8b", _PACKED),
    (b"7z\xbc\xaf", _PACKED),
    (b"Rar!", _PACKED),
    (b"AutoCAD Binary DXF", _no("a binary DXF", "save it as a text DXF")),
    (b"ASTM-E57", _CLOUD),
    (b"ply\n", _CLOUD),
    (b"ply\r\n", _CLOUD),
    (b"ISO-10303-21", _MODEL),
)
"""How files of these formats begin, by their published descriptions (from memory)."""

_BY_NAME = {
    ".pdf": _PDF, ".dwg": _DRAWING, ".shp": _SHAPEFILE, ".shx": _SHAPEFILE, ".dbf": _SHAPEFILE,
    ".gpkg": _DATABASE, ".tif": _TIFF, ".tiff": _TIFF, ".xlsx": _SPREADSHEET,
    ".xls": _SPREADSHEET, ".ods": _SPREADSHEET, ".docx": _OFFICE, ".doc": _OFFICE,
    ".zip": _PACKED, ".raw": _RAW, ".obs": _OBSERVATIONS, ".e57": _CLOUD, ".ply": _CLOUD,
}  # fmt: skip
"""What a file of another form than text is by its name."""

_OWN_DRAWING = re.compile(rb"AC(?:1[0-9]{3}|[12]\.[0-9]{1,2})\0")
"""How a drawing in its program's own form begins."""
_SYSTEM_TEXT = re.compile(
    rb"\s*(?:PROJCS|GEOGCS|PROJCRS|GEOGCRS|COMPD_CS|COMPOUNDCRS|BOUNDCRS|GEODCRS)\s*\["
)
"""How a coordinate system in words (ISO 19162 and its forerunner) begins."""
_SENTENCE = re.compile(rb"\$[A-Z]{2}[A-Z]{3},[^\n]*\*[0-9A-Fa-f]{2}\s*$", re.MULTILINE)
"""A line of a receiver's log: NMEA 0183, an address, fields and a sum behind a star."""
_FEW = 0.05
"""A text holds fewer bytes that steer than this part; a damaged one some."""


def other_format(head: bytes, suffix: str) -> OtherFormat | None:
    """Tell which format that is not read a file is in.

    Parameters
    ----------
    head
        How it begins.
    suffix
        Of its name, in small letters with its point: it counts only where the content is not text,
        since any text may bear any name.

    Returns
    -------
    OtherFormat or None
        None for a file that a reader may take; a packed KML is one.
    """
    if head.startswith(b"PK\x03\x04"):
        return _packed(head, suffix)
    for start, found in _STARTS:
        if head.startswith(start):
            return found
    if _OWN_DRAWING.match(head):
        return _DRAWING
    if _is_binary(head) or (suffix in _BY_NAME and b"\0" in head[:64]):
        return _BY_NAME.get(suffix, _BINARY)
    first = head[:200].split(b"\n", 1)[0]
    if b"RINEX VERSION" in first:
        return _OBSERVATIONS
    if _SYSTEM_TEXT.match(head):
        return _SYSTEM
    if head.startswith(b"$") and 2 * len(_SENTENCE.findall(head)) > head.count(b"\n"):
        return _TRACK
    return _RAW if is_raw_records(head) else None


def refuse_other_format(head: bytes, name: str) -> None:
    """Refuse a file of a format that is not read.

    Parameters
    ----------
    head
        How it begins.
    name
        The file as the user named it.

    Raises
    ------
    InputError
        With what it is and what to do.
    """
    other = other_format(head, PurePath(name).suffix.lower())
    if other is not None:
        raise InputError(Problem(path=name, message=other.message, remedy=other.remedy))


def _packed(head: bytes, suffix: str) -> OtherFormat | None:
    """Tell what a zip holds by the names in it."""
    if suffix == ".kmz" or b".kml" in head:
        return None
    if b"xl/" in head or b"opendocument.spreadsheet" in head or suffix in {".xlsx", ".ods"}:
        return _SPREADSHEET
    if b".shp" in head:
        return _no("an archive with a shapefile", _SHAPEFILE.remedy)
    return _ARCHIVE


def _is_binary(head: bytes) -> bool:
    """Tell whether bytes that steer, and no text has, are more than a damaged text's few."""
    if head[:2] in {b"\xff\xfe", b"\xfe\xff"} or not head:
        return False
    part = head[:4096]
    steering = len(part) - len(part.translate(None, bytes(range(9)) + bytes(range(14, 32))))
    return steering > _FEW * len(part)
