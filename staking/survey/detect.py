"""Which format a survey file is in, from how it begins and, where that does not tell, its name."""

from __future__ import annotations

import re
from pathlib import PurePath

from staking.errors import InputError, Problem
from staking.survey.scanned.grid_head import HEAD_WORD
from staking.survey.turned_away.other_formats import WEB_PAGE, refuse_other_format

HEAD = 65536
"""How many bytes from the file's start the format is read from."""

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
        ``tape_book``, ``angle_book``, ``deed``, ``cloud`` or ``height_grid``.

    Raises
    ------
    InputError
        Where the file is empty, or of a kind that is not read.
    """
    suffix = PurePath(name).suffix.lower()
    if not head:
        raise InputError(Problem(path=name, message="the file is empty"))
    if head.startswith(b"LASF"):
        return "cloud"
    if HEAD_WORD.match(head):
        return "height_grid"
    refuse_other_format(head, name)
    if head.startswith(b"PK\x03\x04"):
        return "kml"
    text = _text(head)
    body = text.lstrip("\ufeff \t\r\n")
    if body.startswith("<"):
        return _xml(body, name)
    if body.startswith(("{", "[")) or suffix in {".geojson", ".json"}:
        return "geojson"
    if suffix == ".dxf" or re.match(r"(?:999\s.*?\n)?\s*0\s*\r?\n\s*SECTION\s", body):
        return "dxf"
    if _holds_courses(body):
        return DEED
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
            raise InputError(Problem(path=name, message=WEB_PAGE.message, remedy=WEB_PAGE.remedy))
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


def _holds_courses(body: str) -> bool:
    """Say whether this is bearings with distances: courses of a boundary, and no points."""
    lines = [line.strip() for line in body.splitlines()[:200] if line.strip()]
    if not lines:
        return False
    words = {re.sub(r"[^a-z]", "", word) for word in re.split(r"[,;\t|]", lines[0].lower())}
    courses = sum(_COURSE.match(line) is not None for line in lines)
    is_list = bool(words & {"bearing", "azimuth"} and words & {"distance", "dist", "length"})
    thence = len(_THENCE.findall(body))
    is_deed = thence > 1 or (thence == 1 and _COURSE.search(body) is not None)
    return is_list or is_deed or 2 * courses > len(lines)
