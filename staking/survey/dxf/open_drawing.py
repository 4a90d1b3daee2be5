"""Opens a drawing from a stranger: whole, within bounds, with what the drawing library remarks."""

from __future__ import annotations

import io
import logging
import re
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, BinaryIO, NoReturn

from staking.errors import InputError, Problem
from staking.notices import Notice, notice
from staking.survey.turned_away.other_formats import refuse_other_format
from staking.survey.xml_faults import shown

if TYPE_CHECKING:
    from ezdxf.document import Drawing

MOST_BYTES = 256 * 2**20
"""The largest drawing read: it is held whole."""


def open_drawing(stream: BinaryIO, name: str) -> tuple[Drawing, list[Notice]]:
    """Read a DXF drawing whole.

    Parameters
    ----------
    stream
        The bytes.
    name
        The file as the user named it.

    Returns
    -------
    tuple
        The drawing of the library, and notices of what was damaged or lost in it.

    Raises
    ------
    InputError
        Where the file is not a sound DXF, is too large, or breaks off.
    """
    import ezdxf

    data = stream.read(MOST_BYTES + 1)
    if len(data) > MOST_BYTES:
        _refuse(name, "the drawing is larger than 256 MB", "export the survey's layers alone")
    refuse_other_format(data[:65536], name)
    if b"\0" in data:
        line = data[: data.index(b"\0")].count(b"\n") + 1
        raise InputError(Problem(path=name, line=line, message="the line holds a NUL byte"))
    if not re.search(rb"(?:^|\n)[ \t]*0[ \t]*\r?\n[ \t]*EOF\s*\Z", data):
        _refuse(name, "the drawing breaks off: its end mark EOF is missing", "export it again")
    text, said = _text(data)
    try:
        with overheard() as remarks:
            doc = ezdxf.read(io.StringIO(text))  # type: ignore[attr-defined]
    except Exception as fault:
        # Structure faults come as DXF errors, deeper ones as whatever the library stumbled on.
        where = re.search(r"\bline:? (\d+)", str(fault))
        raise InputError(
            Problem(
                path=name,
                line=int(where.group(1)) if where else None,
                message="this is not a sound DXF drawing",
                remedy="export it again",
            )
        ) from fault
    if remarks:
        said.append(
            notice(
                "damaged-drawing",
                "the drawing is damaged in {count} places, which are passed over; the first: "
                "{first}",
                count=len(remarks),
                first=shown(remarks[0], 120),
            )
        )
    return doc, said


class _Listener(logging.Handler):
    """Takes down what the drawing library remarks, which nobody would see, or unmade safe."""

    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.remarks: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        """Take down one remark."""
        self.remarks.append(record.getMessage())


@contextmanager
def overheard() -> Iterator[list[str]]:
    """Take down what the drawing library remarks while it works, and keep it off the terminal.

    Yields
    ------
    list of str
        The remarks so far.
    """
    logger, listener = logging.getLogger("ezdxf"), _Listener()
    before = logger.propagate
    logger.addHandler(listener)
    logger.propagate = False
    try:
        yield listener.remarks
    finally:
        logger.propagate = before
        logger.removeHandler(listener)


def _text(data: bytes) -> tuple[str, list[Notice]]:
    """Decode a drawing: UTF-8 since version AC1021, else the code page it names."""
    from ezdxf.tools.codepage import toencoding

    version = re.search(rb"\$ACADVER\s+1\s+AC(\d{4})", data[:65536])
    page = re.search(rb"\$DWGCODEPAGE\s+3\s+(\w+)", data[:65536])
    coding = "cp1252"
    if version and int(version.group(1)) >= 1021:
        coding = "utf-8"
    elif page:
        coding = toencoding(page.group(1).decode("ascii", "replace"))
    try:
        text = data.decode(coding)
    except (UnicodeDecodeError, LookupError):
        text = data.decode(coding if coding == "utf-8" else "cp1252", errors="replace")
        word = notice(
            "characters-lost", "some characters of the drawing are not in the code page it names"
        )
        return text.replace("\r\n", "\n"), [word]
    return text.replace("\r\n", "\n"), []


def _refuse(name: str, message: str, remedy: str) -> NoReturn:
    raise InputError(Problem(path=name, message=message, remedy=remedy))
