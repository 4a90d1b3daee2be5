"""What the heading of a point file says: which column is which, and in what unit."""

from __future__ import annotations

import difflib
import re
from collections.abc import Sequence
from dataclasses import replace

from staking.frozen import frozen

ROLES = (
    "point",
    "northing",
    "easting",
    "elevation",
    "description",
    "latitude",
    "longitude",
)
"""What a column can mean."""

PASSED = "-"
"""The word for a column that is passed over."""

# Earlier words win where a heading has several for one meaning: a point's name before a row's id,
# a description before a note.
_WORDS: dict[str, tuple[str, ...]] = {
    "point": (
        "point", "points", "pointname", "pointid", "pointno", "pointnumber", "pointnum", "pointnr",
        "pt", "pnt", "ptname", "ptid", "ptno", "ptnum", "ptnumber", "ptnr", "pno", "pid", "p",
        "name", "station", "stationname", "stationid", "stn", "sta", "mark", "markname", "id",
        "number", "no", "nr", "num", "shot", "shotno", "shotnumber", "siteid", "site", "target",
        "objectid", "fid",
    ),
    "northing": (
        "northing", "northings", "north", "n", "ynorth", "ynorthing", "northingy", "northy", "y",
        "nth", "nthg", "yc", "ypos", "xnorth", "xnorthing", "northingx", "northx",
    ),
    "easting": (
        "easting", "eastings", "east", "e", "xeast", "xeasting", "eastingx", "eastx", "x",
        "est", "estg", "xc", "xpos", "yeast", "yeasting", "eastingy", "easty",
    ),
    "elevation": (
        "elevation", "elevations", "elev", "elv", "el", "z", "zelev", "zelevation", "elevationz",
        "height", "heights", "ht", "hgt", "h", "level", "reducedlevel", "rl", "groundlevel", "gl",
        "altitude", "alt", "orthometricheight", "orthoheight", "orthoht", "zc", "zpos", "ele",
    ),
    "description": (
        "description", "descriptions", "descrip", "descr", "desc", "dsc", "d", "code", "codes",
        "pointcode", "ptcode", "featurecode", "fieldcode", "feature", "fcode", "remarks", "remark",
        "comments", "comment", "notes", "note", "text", "label", "kind",
    ),
    "latitude": ("latitude", "lat", "latitudes", "latdeg", "ylat", "laty"),
    "longitude": ("longitude", "long", "lon", "lng", "longitudes", "londeg", "xlong", "xlon",
                  "longx", "lonx"),
}  # fmt: skip

_RANK = {word: (role, place) for role, words in _WORDS.items() for place, word in enumerate(words)}
_SPELLABLE = [word for word in _RANK if len(word) >= 5]
_AXES = {"x", "y"}
_DIRECTIONS = {
    "north": "northing", "northing": "northing", "northings": "northing", "n": "northing",
    "east": "easting", "easting": "easting", "eastings": "easting", "e": "easting",
}  # fmt: skip
_SIDES = {"north", "n", "south", "s", "east", "e", "west", "w"}
_COUNTED_BACK = {"south", "s", "west", "w"}
_FILLERS = {"coord", "coordinate", "coordinates", "grid", "local", "utm", "value", "plane", "the"}

_UNITS = {
    "m": "m", "meter": "m", "meters": "m", "metre": "m", "metres": "m", "mtr": "m",
    "mm": "mm", "millimeter": "mm", "millimeters": "mm", "millimetre": "mm", "millimetres": "mm",
    "ft": "ft", "feet": "ft", "foot": "ft", "ift": "ft", "intft": "ft", "ftint": "ft",
    "internationalft": "ft", "internationalfeet": "ft", "internationalfoot": "ft",
    "intfeet": "ft", "intfoot": "ft",
    "usft": "us-ft", "usfeet": "us-ft", "usfoot": "us-ft", "sft": "us-ft", "ussft": "us-ft",
    "ftus": "us-ft", "uft": "us-ft", "ussurveyft": "us-ft", "ussurveyfeet": "us-ft",
    "ussurveyfoot": "us-ft", "surveyft": "us-ft", "surveyfeet": "us-ft", "surveyfoot": "us-ft",
    "in": "in", "inch": "in", "inches": "in",
}  # fmt: skip


@frozen(kw_only=False)
class Heading:
    """One word of a heading, understood.

    Parameters
    ----------
    role
        One of `ROLES`, or None for a word that means none of them.
    unit
        The unit the word carries, by its name in the job file, or None.
    rank
        The smaller, the likelier among several words of one role.
    meant
        The word it was taken for where it is misspelt, else empty.
    is_packed
        Whether degrees are said to be packed degrees, minutes and seconds.
    counts_back
        Whether a longitude is said to count west, or a latitude south, as positive.
    """

    role: str | None
    unit: str | None = None
    rank: int = 0
    meant: str = ""
    is_packed: bool = False
    counts_back: bool = False


def unit_named(words: str) -> str | None:
    """Tell which unit words name.

    Parameters
    ----------
    words
        ``m``, ``feet``, ``US survey feet`` …

    Returns
    -------
    str or None
        The unit by its name in the job file, or None.

    Examples
    --------
    >>> unit_named("U.S. survey feet")
    'us-ft'
    """
    return _UNITS.get(re.sub(r"[^a-z]", "", words.lower()))


def understand(cell: str) -> Heading:
    """Return what one cell of a heading means.

    Parameters
    ----------
    cell
        ``Northing``, ``N (us ft)``, ``northing_ft``, ``POINT NO.``, ``Elevatoin`` …

    Returns
    -------
    Heading
        The meaning; its role is None where the cell names none.

    Examples
    --------
    >>> understand("N (US ft)").role, understand("N (US ft)").unit
    ('northing', 'us-ft')

    A direction outranks a letter, in brackets or before them.

    >>> understand("X (North)").role
    'northing'
    """
    text = cell.strip().strip("\"'").lower()
    return _direction(text) or _angle(text) or _word(text)


def _direction(text: str) -> Heading | None:
    """Read a heading that has both a letter and a direction, such as ``X (North)``.

    Returns
    -------
    Heading or None
        None where it is not made of these alone; one without a role for two directions.
    """
    words = [word for word in re.split(r"[^a-z]+", text) if word]
    found = {_DIRECTIONS[word] for word in words if word in _DIRECTIONS}
    if not found or (len(found) == 1 and not _AXES & set(words)):
        return None
    rest = "".join(
        word for word in words if word not in _AXES | _FILLERS and word not in _DIRECTIONS
    )
    if rest and rest not in _UNITS:
        return None
    if len(found) > 1:
        return Heading(None, _UNITS.get(rest))
    (role,) = found
    return Heading(role, _UNITS.get(rest), 0)


def _angle(text: str) -> Heading | None:
    """Read a heading of degrees that says how they are written or which way they count."""
    is_packed = False
    for inside in re.findall(r"[(\[{]([^)\]}]*)[)\]}]", text):
        if _is_packed(inside):
            text, is_packed = text.replace(inside, " "), True
    words = [word for word in re.split(r"[^a-z]+", text) if word]
    sides = [word for word in words if word in _SIDES]
    plain = [word for word in words if word not in _SIDES]
    for size in (3, 2, 1):
        if not is_packed and len(plain) > size and _is_packed("".join(plain[-size:])):
            plain, is_packed = plain[:-size], True
    # LatN, LongW: the side may be the last letter of the word; an s makes it several.
    if len(plain) == 1 and not sides and plain[0] not in _RANK and plain[0][-1] in "new":
        plain, sides = [plain[0][:-1]], [plain[0][-1]]
    if not plain or not (is_packed or sides):
        return None
    role, place = _RANK.get("".join(plain), ("", 0))
    if role not in {"latitude", "longitude"}:
        return None
    fits = {"north", "n", "south", "s"} if role == "latitude" else {"east", "e", "west", "w"}
    if not set(sides) <= fits:
        return Heading(None)
    counts_back = bool(_COUNTED_BACK & set(sides))
    return Heading(role, None, place, "", is_packed=is_packed, counts_back=counts_back)


def _is_packed(words: str) -> bool:
    """Tell whether words say degrees, minutes and seconds: dms, d.mmss, deg min sec."""
    letters = re.sub(r"[^a-z]", "", words)
    return bool(re.fullmatch(r"d{1,3}m{1,2}s{1,6}|deg(?:rees)?min(?:utes)?sec(?:onds)?", letters))


def _word(text: str) -> Heading:
    """Read a heading word by word."""
    bracket = re.search(r"[(\[{]([^)\]}]*)[)\]}]", text)
    unit = unit_named(bracket.group(1)) if bracket else None
    qualified = bracket is not None and unit is None and bracket.group(1).strip() not in {
        "", "x", "y", "z", "n", "e", "deg", "degrees", "dd",
    }  # fmt: skip
    if bracket:
        text = text[: bracket.start()] + " " + text[bracket.end() :]
    if text.strip() == "#":
        return Heading("point", unit, 30)
    words = [word for word in re.split(r"[^a-z]+", text) if word]
    if unit is None:
        words, unit = _trailing_unit(words)
    kept = [word for word in words if word not in _FILLERS] or words
    found = _RANK.get("".join(kept))
    penalty = 100 if qualified else 0
    if found:
        return Heading(found[0], unit, found[1] + penalty)
    for size in range(len(kept) - 1, 0, -1):
        # LATITUDE_CENTROID: the longest beginning that is a word long enough to be meant.
        head = "".join(kept[:size])
        if len(head) >= 3 and head in _RANK and _RANK[head][0] != "point":
            return Heading(_RANK[head][0], unit, _RANK[head][1] + 200)
    if len(kept) == 1 and len(kept[0]) >= 5:
        near = difflib.get_close_matches(kept[0], _SPELLABLE, n=1, cutoff=0.8)
        if near:
            role, place = _RANK[near[0]]
            return Heading(role, unit, place + 300, near[0])
    return Heading(None, unit)


def _trailing_unit(words: list[str]) -> tuple[list[str], str | None]:
    """Split a unit off the end of words: northing, us, ft."""
    for size in (3, 2, 1):
        if len(words) > size and (unit := _UNITS.get("".join(words[-size:]))):
            return words[:-size], unit
    if len(words) == 1:
        for tail in ("usft", "ft"):
            head = words[0].removesuffix(tail)
            if head != words[0] and len(head) >= 4 and head in _RANK:
                return [head], _UNITS[tail]
    return words, None


@frozen
class ReadHeading:
    """A whole heading, understood.

    Parameters
    ----------
    roles
        One for each column, `PASSED` where it means nothing that is read.
    units
        The unit each column's heading carries, or None.
    misspelt
        Pairs of the word as it stands and the word it was taken for.
    packed
        Which of latitude and longitude are packed degrees, minutes and seconds.
    counted_back
        Which of them count west or south as positive.
    """

    roles: tuple[str, ...]
    units: tuple[str | None, ...]
    misspelt: tuple[tuple[str, str], ...] = ()
    packed: frozenset[str] = frozenset()
    counted_back: frozenset[str] = frozenset()

    @property
    def has_places(self) -> bool:
        """Whether both coordinates of one kind are named."""
        return {"northing", "easting"} <= set(self.roles) or {"latitude", "longitude"} <= set(
            self.roles
        )


_NO_UNIT = {
    "",
    "-",
    "text",
    "name",
    "id",
    "no",
    "deg",
    "degrees",
    "d",
    "dd",
    "ddd",
    "°",
    "decimal degrees",
    "string",
}


def read_units_row(cells: Sequence[str], heading: ReadHeading) -> ReadHeading | None:
    """Read a row of units under a heading.

    Parameters
    ----------
    cells
        The row's cells in order.
    heading
        The heading above.

    Returns
    -------
    ReadHeading or None
        The heading with the row's units; None where the row is none of units.

    Raises
    ------
    ValueError
        Where the row's unit of a column is another than the heading's; names both.

    Examples
    --------
    >>> above = read_heading(["Name", "N", "E"])
    >>> read_units_row(["", "us-ft", "us-ft"], above).units
    (None, 'us-ft', 'us-ft')
    """
    units = list(heading.units)
    packed = set(heading.packed)
    found = False
    for at, (role, cell) in enumerate(zip(heading.roles, cells, strict=False)):
        word = re.sub(r"[()\[\]{}]", "", cell).strip().lower()
        unit = unit_named(word)
        if role in {"latitude", "longitude"} and _is_packed(word):
            packed.add(role)
            found = True
        elif unit is not None and role in {"northing", "easting", "elevation", PASSED}:
            if units[at] not in {None, unit}:
                raise ValueError(f"{unit} and {units[at]}")
            units[at] = unit
            found = found or role != PASSED
        elif role in {"latitude", "longitude"} and word in _NO_UNIT - {"", "-"}:
            found = True
        elif role not in {PASSED, "point", "description"} and word not in _NO_UNIT:
            return None
    return replace(heading, units=tuple(units), packed=frozenset(packed)) if found else None


def read_heading(cells: Sequence[str]) -> ReadHeading:
    """Give each column at most one meaning, and each meaning at most one column.

    Parameters
    ----------
    cells
        The heading's cells in order.

    Returns
    -------
    ReadHeading
        The roles; where two cells mean the same, the likelier word keeps it, then the earlier.

    Examples
    --------
    >>> read_heading(["Name", "Y", "X", "Z", "Date Taken"]).roles
    ('point', 'northing', 'easting', 'elevation', '-')
    """
    found = [understand(cell) for cell in cells]
    best: dict[str, int] = {}
    for index, heading in enumerate(found):
        if heading.role is None:
            continue
        held = best.get(heading.role)
        if held is None or heading.rank < found[held].rank:
            best[heading.role] = index
    # Grid coordinates need no projecting, so they win over degrees of the same points.
    grid, degrees = ("northing", "easting"), ("latitude", "longitude")
    for kept, dropped in ((grid, degrees), (degrees, grid)):
        if all(role in best for role in kept):
            for role in dropped:
                best.pop(role, None)
    roles = [PASSED] * len(found)
    for role, index in best.items():
        roles[index] = role
    return ReadHeading(
        roles=tuple(roles),
        units=tuple(heading.unit for heading in found),
        misspelt=tuple(
            (cells[index].strip(), found[index].meant)
            for index in sorted(best.values())
            if found[index].meant
        ),
        packed=frozenset(role for role, index in best.items() if found[index].is_packed),
        counted_back=frozenset(role for role, index in best.items() if found[index].counts_back),
    )
