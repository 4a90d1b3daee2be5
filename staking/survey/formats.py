"""The formats of survey files: what each is called, how a file of it begins, who reads it.

One more format is one more row, in the order in which they are tried, beside a module that reads
it with a function ``parse_<word>(stream, name, settings)``.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import PurePath

from staking.frozen import frozen
from staking.survey.scanned.grid_head import HEAD_WORD

DEED = "deed"
"""What a file of courses is called: bearings with their distances, and no points."""

_COURSE = re.compile(
    r"(?:thence[\s,]+)?[NS][\s.]*[0-9]{1,2}(?:\.[0-9]+)?[°\s-]*(?:[0-9]{1,2}['\s-]+)?(?:[0-9.]+[\"\s]*)?"
    r"[EW]\b\.?[\s,;]+(?:a distance of\s+)?[0-9][0-9,.]*\s*(?:'|ft|feet|foot|m\b|met)?(?!\s*[0-9])",
    re.IGNORECASE,
)
"""A bearing with its distance, as deeds and plats have them."""

_THENCE = re.compile(r"\b(?:thence|thnc?|th\.?(?=\s+[NSEW]))(?![a-z])", re.IGNORECASE)
"""What begins a course of a deed; ``th`` only before a letter of the compass."""

_SECTION = re.compile(r"(?:999\s.*?\n)?\s*0\s*\r?\n\s*SECTION\s")
"""The first group of a drawing as text, a comment before it or none."""

_ELEMENT = re.compile(r"<(?:[\w.-]+:)?([A-Za-z][\w.-]*)")


@frozen
class FileStart:
    """How a file begins.

    Parameters
    ----------
    head
        Its first bytes.
    body
        The same as text, without marks and blanks before it.
    suffix
        Of its name, in small letters with the dot: what the bytes do not tell, the name may.
    element
        The first element of XML in small letters, its prefix left off; empty where it is not XML.
    """

    head: bytes
    body: str
    suffix: str
    element: str

    @property
    def is_xml(self) -> bool:
        """Whether it is XML."""
        return self.body.startswith("<")


@frozen
class SurveyFormat:
    """A format of survey files.

    Parameters
    ----------
    word
        Its word in the package: the reader is called ``parse_`` and this.
    title
        What it is called.
    module
        The module with the reader, under ``staking.survey``; empty where nobody reads points
        from it.
    begins
        Tells whether a file of this format begins so.
    instead
        Where `module` is empty: what such a file holds, and what to do with it.
    told_first
        Whether its beginning is so plain that no other format is thought of.
    is_scan
        Whether it holds scanned ground, whose points have no names.
    """

    word: str
    title: str
    module: str
    begins: Callable[[FileStart], bool]
    instead: tuple[str, str] = ("", "")
    told_first: bool = False
    is_scan: bool = False


def beginning_of(head: bytes, name: str) -> FileStart:
    """Look at how a file begins.

    Parameters
    ----------
    head
        Its first bytes.
    name
        Its name.

    Returns
    -------
    FileStart
        What the formats are told by.
    """
    wide = head[:2] in {b"\xff\xfe", b"\xfe\xff"}
    text = head.decode("utf-16" if wide else "utf-8", errors="replace")
    body = text.lstrip("\ufeff \t\r\n")
    first = _ELEMENT.search(body) if body.startswith("<") else None
    return FileStart(
        head=head,
        body=body,
        suffix=PurePath(name).suffix.lower(),
        element=first.group(1).lower() if first else "",
    )


def _is_xml_of(element: str) -> Callable[[FileStart], bool]:
    """Tell an XML format by its first element, or by its name where the element says nothing."""

    def begins(start: FileStart) -> bool:
        known = start.element in {"gpx", "kml", "landxml", "inframodel"}
        return start.is_xml and (
            start.element == element or (not known and start.suffix == f".{element}")
        )

    return begins


def _is_json(start: FileStart) -> bool:
    return start.body.startswith(("{", "[")) or start.suffix in {".geojson", ".json"}


def _is_drawing(start: FileStart) -> bool:
    return start.suffix == ".dxf" or _SECTION.match(start.body) is not None


_BOOKS = (
    ("angle_book", ({"setup", "station", "at", "occupied"}, {"angle", "angleright", "right"},
                    {"zenith", "zenithangle", "slope", "slopedistance", "distance"})),
    ("level_book", ({"bs", "backsight"}, {"fs", "foresight"})),
    ("tape_book", ({"from"}, {"to"}, {"distance", "dist", "measured", "length"})),
)  # fmt: skip


def _is_book(word: str) -> Callable[[FileStart], bool]:
    return lambda start: _book(start.body) == word


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


def _holds_courses(start: FileStart) -> bool:
    """Tell whether this is bearings with distances: courses of a boundary, and no points."""
    lines = [line.strip() for line in start.body.splitlines()[:200] if line.strip()]
    if not lines:
        return False
    words = {re.sub(r"[^a-z]", "", word) for word in re.split(r"[,;\t|]", lines[0].lower())}
    courses = sum(_COURSE.match(line) is not None for line in lines)
    is_list = bool(words & {"bearing", "azimuth"} and words & {"distance", "dist", "length"})
    thence = len(_THENCE.findall(start.body))
    is_deed = thence > 1 or (thence == 1 and _COURSE.search(start.body) is not None)
    return is_list or is_deed or 2 * courses > len(lines)


FORMATS = (
    SurveyFormat(
        word="cloud",
        title="laser point cloud",
        module="cloud.points_from_cloud",
        begins=lambda start: start.head.startswith(b"LASF"),
        told_first=True,
        is_scan=True,
    ),
    SurveyFormat(
        word="height_grid",
        title="height grid as text",
        module="scanned.points_from_grid",
        begins=lambda start: HEAD_WORD.match(start.head) is not None,
        told_first=True,
        is_scan=True,
    ),
    SurveyFormat(
        word="kml",
        title="KML",
        module="kml",
        begins=lambda start: start.head.startswith(b"PK\x03\x04") or _is_xml_of("kml")(start),
    ),
    SurveyFormat(word="gpx", title="GPX", module="gpx", begins=_is_xml_of("gpx")),
    SurveyFormat(
        word="landxml",
        title="LandXML",
        module="landxml.points_from_landxml",
        begins=lambda start: start.is_xml,
    ),
    SurveyFormat(
        word="geojson",
        title="GeoJSON",
        module="geojson.points_from_features",
        begins=_is_json,
    ),
    SurveyFormat(word="dxf", title="DXF", module="dxf.points_from_drawing", begins=_is_drawing),
    SurveyFormat(
        word=DEED,
        title="deed",
        module="",
        begins=_holds_courses,
        instead=(
            "this holds bearings and distances, as a deed or plat does, and no points",
            "give them in the job by boundary: {deed: …}; `staking survey` shows how they are read",
        ),
    ),
    SurveyFormat(
        word="angle_book",
        title="angle and distance book",
        module="angle_book",
        begins=_is_book("angle_book"),
    ),
    SurveyFormat(
        word="level_book", title="level book", module="level_book", begins=_is_book("level_book")
    ),
    SurveyFormat(
        word="tape_book",
        title="tape book",
        module="",
        begins=_is_book("tape_book"),
        instead=(
            "a tape book holds distances and no points",
            "give it to `staking check` beside the job instead",
        ),
    ),
    SurveyFormat(
        word="delimited",
        title="delimited text",
        module="delimited.points_from_text",
        begins=lambda start: True,
    ),
)
"""Every format that a survey may be in, in the order in which they are tried; the last is any
text."""

SCANS = frozenset(each.word for each in FORMATS if each.is_scan)
"""The formats that hold scanned ground, whose points have no names."""
