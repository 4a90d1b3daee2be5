"""XML from strangers, read as a stream within bounds.

No tree is kept: an element is handed over when it opens and again when it closes, and then
forgotten. A document type, an entity or a reference to another file is refused, and so is a
file, an element, a tag or a nesting larger than any survey's.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any, BinaryIO

from staking.errors import InputError, Problem
from staking.frozen import frozen

MOST_BYTES = 1 << 30
"""A file longer than this is refused: some ten million points."""

MOST_TEXT = 1 << 22
"""Characters of text in one element: a description with its pictures is within it."""

MOST_COORDINATES = 1 << 25
"""Characters of an element that lists coordinates: a line of half a million points is within."""

_LISTS = {"PntList2D", "PntList3D", "coordinates"}

MOST_TAG = 1 << 20
"""Bytes of one tag or comment."""

MOST_DEPTH = 64
"""Elements inside one another."""

_CHUNK = 1 << 16
_CUT_SHORT = (3, 5, 20)
"""Expat's codes for an end that came too soon: no element, unclosed token, unclosed section."""

_UTF16 = (b"\xff\xfe", b"\xfe\xff", b"<\x00", b"\x00<")


@dataclass(slots=True, eq=False)
class Element:
    """An element while it is open.

    Parameters
    ----------
    name
        Without its namespace.
    attributes
        By name without namespace.
    line
        Line of the file on which it opens, from 1.
    parent
        The element around it; None for the outermost.
    """

    name: str
    attributes: dict[str, str]
    line: int
    parent: Element | None
    pieces: list[str] = field(default_factory=list)
    length: int = 0
    has_children: bool = False

    @property
    def text(self) -> str:
        """Its own text, without that of the elements in it; whole once it has closed."""
        return "".join(self.pieces)

    def within(self, name: str) -> Element | None:
        """Return the nearest element of that name around this one, or None."""
        around = self.parent
        while around is not None and around.name != name:
            around = around.parent
        return around

    @property
    def parent_name(self) -> str:
        """The name of the element around it; empty for the outermost."""
        return "" if self.parent is None else self.parent.name


@frozen(kw_only=False)
class Event:
    """An element opens, or closes with its text whole."""

    opens: bool
    element: Element


class _BoundError(Exception):
    """The text is larger or deeper than any survey's."""

    def __init__(self, message: str, remedy: str) -> None:
        super().__init__(message)
        self.message, self.remedy = message, remedy


class _Target:
    """Turns the parser's calls into events, and minds the bounds."""

    def __init__(self) -> None:
        self.parser: Any = None
        self.events: list[Event] = []
        self.open: Element | None = None
        self.depth = 0

    def start(self, tag: str, attributes: dict[str, str]) -> None:
        self.depth += 1
        if self.depth > MOST_DEPTH:
            raise _BoundError(
                f"elements stand {self.depth} deep in one another, and no survey needs more than "
                f"{MOST_DEPTH}",
                "export it again",
            )
        if self.open is not None:
            self.open.has_children = True
        self.open = Element(
            name=_local(tag),
            attributes={_local(key): value for key, value in attributes.items()},
            line=self.parser.CurrentLineNumber,
            parent=self.open,
        )
        self.events.append(Event(True, self.open))

    def end(self, tag: str) -> None:
        self.depth -= 1
        if self.open is not None:
            self.events.append(Event(False, self.open))
            self.open = self.open.parent

    def data(self, text: str) -> None:
        element = self.open
        if element is None or (element.has_children and text.isspace()):
            return
        element.length += len(text)
        most = MOST_COORDINATES if element.name in _LISTS else MOST_TEXT
        if element.length > most:
            raise _BoundError(
                f"the text of the element {element.name} does not end within {most:,} characters",
                "split what it holds, or export it again",
            )
        element.pieces.append(text)

    def close(self) -> None:
        """Do nothing: there is no tree to give."""


def read_elements(
    stream: BinaryIO, name: str, what: str, most_bytes: int = MOST_BYTES
) -> Iterator[Event]:
    """Read XML as a stream of elements that open and close.

    Parameters
    ----------
    stream
        The bytes.
    name
        The file as the user named it.
    what
        The format in words, for messages.
    most_bytes
        How long the file may be.

    Yields
    ------
    Event
        Each element when it opens and when it closes.

    Raises
    ------
    InputError
        Where the file is not a sound XML, carries a document type or entity, or goes over a bound.
    """
    from defusedxml.common import DefusedXmlException
    from defusedxml.ElementTree import ParseError, XMLParser

    target = _Target()
    parser: Any = XMLParser(target=target, forbid_dtd=True)
    target.parser = parser.parser
    try:
        for chunk in _chunks(stream, name, most_bytes, target):
            parser.feed(chunk)
            yield from _drained(target)
        parser.close()
        yield from _drained(target)
    except ParseError as fault:
        raise InputError(_unsound(fault, name, what, target)) from fault
    except DefusedXmlException as fault:
        raise InputError(
            Problem(
                path=name,
                line=target.parser.CurrentLineNumber,
                message="the file declares a document type or entity (<!DOCTYPE or <!ENTITY), "
                "which can fetch other files or grow without end",
                remedy=f"export it again without; {what} needs none",
            )
        ) from fault
    except _BoundError as fault:
        raise InputError(
            Problem(
                path=name,
                line=target.parser.CurrentLineNumber,
                message=fault.message,
                remedy=fault.remedy,
            )
        ) from fault
    except InputError:
        raise
    except (LookupError, UnicodeError, ValueError) as fault:
        raise InputError(
            Problem(
                path=name,
                line=1,
                message=f"the file is in a character set that cannot be read ({fault})",
                remedy="export it in UTF-8",
            )
        ) from fault


def _local(name: str) -> str:
    """Return a name without its namespace."""
    return name.rpartition("}")[2]


def _drained(target: _Target) -> Iterator[Event]:
    events, target.events = target.events, []
    yield from events


def _chunks(stream: BinaryIO, name: str, most_bytes: int, target: _Target) -> Iterator[bytes]:
    """Give the file piece by piece, and stop where it goes over a bound."""
    fed = 0
    wide = False
    while chunk := stream.read(_CHUNK):
        if fed == 0:
            wide = chunk.startswith(_UTF16)
        if not wide and (at := chunk.find(b"\0")) >= 0:
            line = target.parser.CurrentLineNumber
            raise InputError(
                Problem(
                    path=name,
                    line=line + chunk.count(b"\n", 0, at) if fed == 0 else None,
                    message=f"byte {fed + at + 1:,} of the file is NUL: it is damaged, or no text",
                    remedy="export it again",
                )
            )
        fed += len(chunk)
        if fed > most_bytes:
            raise _BoundError(
                f"the file is longer than {most_bytes >> 20} MiB", "split it, and read the parts"
            )
        yield chunk
        if fed - max(target.parser.CurrentByteIndex, 0) > MOST_TAG + _CHUNK:
            raise _BoundError(
                f"a tag or comment does not end within {MOST_TAG >> 10} KiB", "export it again"
            )


def _unsound(fault: Any, name: str, what: str, target: _Target) -> Problem:
    """Say in what way the text is not XML."""
    line = int(fault.position[0])
    if fault.code in _CUT_SHORT:
        inside = "" if target.open is None else f" inside the element {target.open.name}"
        return Problem(
            path=name,
            line=line,
            message=f"the file ends{inside} before its end: it was cut short",
            remedy="get it again, whole",
        )
    if fault.code == 7 and target.open is not None:
        return Problem(
            path=name,
            line=line,
            message=f"the element {target.open.name}, opened on line {target.open.line}, is "
            "closed under another name",
            remedy="export it again",
        )
    if fault.code == 4:
        return Problem(
            path=name,
            line=line,
            message=f"this is not a sound {what}: a character stands where none may",
            remedy="look there for a bare & or <, which XML writes as &amp; and &lt;",
        )
    reason = re.sub(r":? line \d+, column \d+$", "", str(fault))
    return Problem(
        path=name,
        line=line,
        message=f"this is not a sound {what}: {reason}",
        remedy="export it again",
    )
