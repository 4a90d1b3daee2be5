"""A whole legal description, as it is pasted: cut into courses, each beside its words.

Nothing of it is passed over in silence. What goes before the point of beginning is a tie, what
comes behind the last course may say the area and the basis of bearings, and a piece that is not
understood is kept with the reason.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from dataclasses import replace
from enum import StrEnum

from staking.deed import Course, StraightCourse
from staking.errors import MeasureError
from staking.frozen import frozen
from staking.measure.deed.bearings_found import find_bearings
from staking.measure.deed.course import CourseBefore, curve_ahead, read_course
from staking.measure.deed.prose import refuse_uncomputed
from staking.measure.plain_text import plain, quoted
from staking.units import FOOT, US_SURVEY_FOOT, Unit

ACRE = 43_560.0
"""Square feet in an acre (ten square chains of 66 ft)."""

_SHOWN = 160
"""Letters of a piece that a message repeats."""

MOST_LETTERS = 200_000
"""No description of a lot is longer."""

_THENCE = re.compile(
    r"(?<![A-Za-z])(?:thence|thnc?|th\.?(?=\s+[NSEW]))(?![A-Za-z])[.,:]?", re.IGNORECASE
)
_BEGINNING = re.compile(
    r"\b(?:point|place|pt\.?)\s+of\s+(?:the\s+)?(?:true\s+)?(?:beginning|beg\b\.?)(?!\s+of\s+(?:an?|said)\b)|\bp\.?o\.?b\b\.?"
    r"|\bto\s+(?:the\s+)?(?:true\s+)?beg(?:inning)?\b\.?(?!\s+of\b)",
    re.IGNORECASE,
)
_AGAIN = re.compile(
    r"\b(?:beginning|commencing|beg|com)\b\.?\s+(?:again\s+)?at\b|\b(?:parcel|tract)\s+(?:2|two|ii|b)\b",
    re.IGNORECASE,
)
_BASIS = re.compile(
    r"\b(?:basis\s+of\s+bearings?|bearings?\s+(?:are|is|herein|shown|recited|used|of\s+this))\b",
    re.IGNORECASE,
)
_SENTENCE_ENDS = re.compile(r";|\.(?=\s|$)")
_CONTAINS = re.compile(r"\b(?:contain|encompass)\w*|\barea\b", re.IGNORECASE)
_AREA = re.compile(
    r"(?P<number>(?:[0-9]{1,3}(?:,[0-9]{3})+|[0-9]+)?(?:\.[0-9]+)?)\s*"
    r"(?:(?P<acres>acres?|ac\b)|(?P<feet>square\s+f(?:ee|oo)t|sq\.?\s*f(?:ee|oo)?t\b|s\.?f\.?\b)"
    r"|(?P<metres>square\s+met(?:re|er)s?|sq\.?\s*m\b|m2\b|m²)|(?P<hectares>hectares?|ha\b))",
    re.IGNORECASE,
)
_LOT_ONLY = re.compile(r"\blots? [0-9]|\bplat\b")


class PieceKind(StrEnum):
    """What a piece of a description is."""

    OPENING = "opening"
    TIE = "tie"
    COURSE = "course"
    CLOSING = "closing"


@frozen
class DescriptionPiece:
    """A piece of a description.

    Parameters
    ----------
    kind
        What it is.
    words
        Its own words, blanks made one each.
    course
        What was read from it; None where it holds none.
    fault
        Why it cannot be used; None where it can.
    """

    kind: PieceKind
    words: str
    course: Course | None = None
    fault: MeasureError | None = None


@frozen
class Description:
    """A legal description as read.

    Parameters
    ----------
    pieces
        All of the text, in order.
    basis
        What it says its bearings are counted from, in its own words, or None.
    stated_area
        The area that it says it contains, m2, or None.
    stated_within
        To what that area is written, m2: half its last figure.
    """

    pieces: tuple[DescriptionPiece, ...]
    basis: str | None = None
    stated_area: float | None = None
    stated_within: float = 0.0

    @property
    def courses(self) -> tuple[Course, ...]:
        """The courses round the lot."""
        return self._of(PieceKind.COURSE)

    @property
    def ties(self) -> tuple[Course, ...]:
        """The courses before the point of beginning."""
        return self._of(PieceKind.TIE)

    @property
    def opening(self) -> str:
        """The words before the first course."""
        return " ".join(each.words for each in self.pieces if each.kind is PieceKind.OPENING)

    @property
    def faults(self) -> tuple[tuple[str, MeasureError], ...]:
        """Every piece that cannot be used, with the reason."""
        return tuple((each.words, each.fault) for each in self.pieces if each.fault is not None)

    def _of(self, kind: PieceKind) -> tuple[Course, ...]:
        return tuple(
            each.course for each in self.pieces if each.kind is kind and each.course is not None
        )


def read_description(text: str, unit: Unit) -> Description:
    """Read a legal description.

    Parameters
    ----------
    text
        As it stands in the deed, from its first word on.
    unit
        What a bare number is in.

    Returns
    -------
    Description
        Its pieces, each with its course or with why it cannot be used.

    Raises
    ------
    MeasureError
        Where there is no course in it at all: a lot and a block alone stand on a plat.
    """
    if len(text) > MOST_LETTERS:
        raise MeasureError(
            "this is too long for the description of a lot", "keep one lot's courses"
        )
    bases, body = _basis(text)
    opening, *clauses = _clauses(body)
    if not clauses:
        _refuse_without_courses(body)
    first, last = _ends(clauses)
    pieces = [_opening(opening)] if opening.strip(" ;,.\n") else []
    before = CourseBefore()
    for index, words in enumerate(clauses):
        kind = PieceKind.TIE if index < first else PieceKind.COURSE
        clause, tail = _cut(words) if index == last else (words, "")
        piece, before = _course(kind, clause, unit, before)
        pieces.append(piece)
        if tail.strip(" ;,.\n"):
            pieces.append(_closing(tail))
    if before.curve:
        no_curve = MeasureError(
            f"{quoted(before.curve)} is said of a curve, and no course follows",
            "write the curve as a course of its own, or leave these words out",
        )
        at = next(i for i in reversed(range(len(pieces))) if pieces[i].kind is kind)
        pieces[at] = replace(pieces[at], fault=no_curve)
    stated, within = _stated_area(_cut(clauses[last])[1], unit)
    return Description(
        pieces=tuple(pieces),
        basis=" ".join(" ".join(bases).split()).strip(" ;.") or None,
        stated_area=stated,
        stated_within=within,
    )


def _basis(text: str) -> tuple[list[str], str]:
    """Take out the sentences that say what bearings are counted from: these are not a course."""
    bases: list[str] = []
    kept: list[str] = []
    done = 0
    ends = [match.end() for match in _SENTENCE_ENDS.finditer(text)]
    for match in _BASIS.finditer(text):
        if match.start() < done:
            continue
        at = bisect_right(ends, match.start())
        start = max(done, ends[at - 1] if at else 0)
        end = ends[at] if at < len(ends) else len(text)
        bases.append(text[start:end])
        kept.append(text[done:start])
        done = end
    return bases, " ; ".join([*kept, text[done:]])


def _clauses(text: str) -> list[str]:
    """Cut a description into its opening and its courses."""
    parts = _split_at(_THENCE, text)
    if len(parts) > 1:
        cut = [parts[0]]
        for part in parts[1:]:
            cut += _by_semicolons(part)
        return cut
    pieces = re.split(r";|\n", text)
    found = [_has_course(piece) for piece in pieces]
    if True not in found:
        return [text]
    # The opening goes on to the first piece that begins with its course.
    start = next((i for i, piece in enumerate(pieces) if _begins_with_course(piece)), None)
    if start is None:
        return [text]
    cut = [" ; ".join(pieces[:start])]
    for piece, here in zip(pieces[start:], found[start:], strict=True):
        if here or len(cut) == 1:
            cut.append(piece)
        elif piece.strip():
            cut[-1] += f"; {piece}"
    return cut


def _split_at(pattern: re.Pattern[str], text: str) -> list[str]:
    starts = [match.start() for match in pattern.finditer(text)]
    return [text[a:b] for a, b in zip([0, *starts], [*starts, len(text)], strict=True)]


def _by_semicolons(clause: str) -> list[str]:
    """Cut a course behind ``thence`` where another follows a semicolon without that word."""
    first, *more = clause.split(";")
    cut = [first]
    for piece in more:
        if _begins_with_course(piece):
            cut.append(piece)
        else:
            cut[-1] += f";{piece}"
    return cut


def _has_course(piece: str) -> bool:
    body = plain(piece)
    return bool(find_bearings(body)) and bool(re.search(r"[0-9]", body))


def _begins_with_course(piece: str) -> bool:
    body = plain(piece).lstrip(" ,.")
    found = find_bearings(body)
    if not found or re.match(r"(?:beg|com)", body):
        return False
    return found[0].start <= 4 and bool(re.search("[0-9]", body[found[0].end :]))


def _ends(clauses: list[str]) -> tuple[int, int]:
    """Say at which clause the courses round the lot begin, and which is the last."""
    last = len(clauses) - 1
    at = [index for index, words in enumerate(clauses) if _BEGINNING.search(words)]
    first = at[0] + 1 if at and at[0] < last and not _AGAIN.search(clauses[at[0]]) else 0
    return first, last


def _cut(words: str) -> tuple[str, str]:
    """Part the last course from what follows it."""
    match = _BEGINNING.search(words)
    end = None if match is None else match.end()
    if end is None:
        contains = _CONTAINS.search(words)
        end = None if contains is None else contains.start()
    return (words, "") if end is None else (words[:end], words[end:])


def _words(text: str) -> str:
    return " ".join(text.split()).lstrip(" ;,.").rstrip(" ;,")


def _opening(text: str) -> DescriptionPiece:
    fault = None
    if re.search(r"\brun(?:ning|s)?\b", plain(text)) and _has_course(text.split("run", 1)[-1]):
        fault = MeasureError(
            "a course stands in the opening, where no thence parts it from the rest",
            "write thence before it",
        )
    try:
        _refuse_exceptions(plain(text))
    except MeasureError as error:
        fault = error
    return DescriptionPiece(kind=PieceKind.OPENING, words=_words(text), fault=fault)


def _course(
    kind: PieceKind, clause: str, unit: Unit, before: CourseBefore
) -> tuple[DescriptionPiece, CourseBefore]:
    """Read one course, and what it says of the one that follows."""
    words = _words(clause)
    head, curve = curve_ahead(words)
    try:
        if _AGAIN.search(clause):
            raise MeasureError(
                "a second description begins here", "keep the courses of one lot, round it once"
            )
        course = read_course(head, unit, before)
    except MeasureError as error:
        after = CourseBefore(curve=curve)
        if kind is PieceKind.TIE and not re.search(r"\bexcept", plain(clause)):
            # How one comes to the lot is shown in its own words and not needed.
            return DescriptionPiece(kind=kind, words=words), after
        return DescriptionPiece(kind=kind, words=words, fault=error), after
    course = replace(course, words=replace(course.words, text=words))
    ends = course.azimuth if isinstance(course, StraightCourse) else None
    return DescriptionPiece(kind=kind, words=words, course=course), CourseBefore(
        curve=curve, azimuth=ends
    )


def _closing(tail: str) -> DescriptionPiece:
    body = plain(tail)
    fault = None
    try:
        _refuse_exceptions(body)
    except MeasureError as error:
        fault = error
    if _AGAIN.search(tail) or any(re.search("[0-9]", each.text) for each in find_bearings(body)):
        fault = MeasureError(
            "a second description begins here", "keep the courses of one lot, round it once"
        )
    return DescriptionPiece(kind=PieceKind.CLOSING, words=_words(tail), fault=fault)


def _refuse_exceptions(body: str) -> None:
    """Refuse land taken out; an area may well be more or less."""
    match = re.search(
        r"\b(?:less and|less &|save and|save &|excepting|except|exclusive of)\b", body
    )
    if match is not None:
        refuse_uncomputed(body[match.start() :])


def _stated_area(text: str, unit: Unit) -> tuple[float | None, float]:
    """Give the area that a deed says it contains, and half its last figure, m2."""
    foot = US_SURVEY_FOOT if unit is Unit.US_FT else FOOT
    for match in _AREA.finditer(text):
        if not re.search("[0-9]", match["number"]):
            continue
        number = match["number"].replace(",", "")
        one = 1.0
        if match["acres"]:
            one = ACRE * foot**2
        elif match["feet"]:
            one = foot**2
        elif match["hectares"]:
            one = 10_000.0
        half = 0.5 * 10.0 ** -len(number.partition(".")[2])
        return float(number) * one, half * one
    return None, 0.0


def _refuse_without_courses(text: str) -> None:
    body = plain(text)
    has_both = re.search(r"\blots?\b", body) and re.search(r"\bblocks?\b", body)
    if has_both or _LOT_ONLY.search(body):
        raise MeasureError(
            "a lot and block alone has no courses",
            "take the bearings and distances round the lot from the plat that it names",
        )
    raise MeasureError(
        "no courses are found in this text",
        "write each as thence, its bearing and its distance",
    )


def in_its_words(words: str, fault: MeasureError) -> str:
    """Say what is wrong with a piece of a deed, with the piece itself.

    Parameters
    ----------
    words, fault
        The piece and its fault.

    Returns
    -------
    str
        The words stand in it once.
    """
    shown = words if len(words) <= _SHOWN else f"{words[: _SHOWN - 1]}…"
    lead = f"{quoted(words)} "
    if fault.message.startswith(lead):
        return f'"{shown}" {fault.message.removeprefix(lead)}'
    return f'in "{shown}": {fault.message}'
