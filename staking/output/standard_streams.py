"""Standard output and standard error of the process: what cannot be written there is said.

A full disk, a closed output or a terminal without a degree sign must not end in a traceback. A
reader that goes away (``| head -1``) is no fault at all: the process ends without a word.
"""

from __future__ import annotations

import codecs
import contextlib
import errno
import io
import os
import signal
import sys
import unicodedata
from typing import TYPE_CHECKING

from staking.errors import WriteError

if TYPE_CHECKING:
    from types import FrameType
    from typing import TextIO

READER_GONE = 141
"""Status when nobody reads the output any more: what a shell gives a process ended by SIGPIPE."""
_SIGNALLED = 128
"""A process that a signal ends has this status in a shell, and the signal's number on top."""

_PLAIN = {
    "°": " deg", "×": "x", "′": "'", "″": '"', "–": "-", "—": "-", "−": "-", "…": "...",
    "“": '"', "”": '"', "‘": "'", "’": "'", "±": "+/-", "²": "2", "³": "3", "·": ".",
    "\u2044": "/", "\u00a0": " ", "─": "-", "│": "|", "≤": "<=", "≥": ">=", "→": "->",
}  # fmt: skip
"""How a terminal that lacks a character shows it."""


class OutputLostError(WriteError):
    """Standard output or error that takes nothing any more."""


class _Outlet(io.FileIO):
    """A descriptor of the process; what the system refuses is a sentence with its name."""

    def __init__(self, descriptor: int, name: str) -> None:
        super().__init__(descriptor, "w", closefd=False)
        self._what = name

    def write(self, data: object) -> int | None:  # type: ignore[override]
        try:
            return super().write(data)  # type: ignore[arg-type]
        except BrokenPipeError:
            raise SystemExit(READER_GONE) from None
        except OSError as error:
            closed = error.errno == errno.EBADF
            reason = "it is closed" if closed else error.strerror or str(error)
            raise OutputLostError(f"{self._what} cannot be written: {reason}") from error


def guard_standard_streams() -> None:
    """Put guarded streams in the place of standard output and standard error.

    Notes
    -----
    A descriptor that is closed is opened on nothing, or the next file that is opened would get
    its number and what is printed with it. Closed output is refused once something is written.
    """
    if os.name == "nt":  # its console has a stream of its own kind
        return
    for descriptor, mode in ((0, os.O_RDONLY), (1, os.O_RDONLY), (2, os.O_WRONLY)):
        try:
            os.fstat(descriptor)
        except OSError:
            os.open(os.devnull, mode)
    codecs.register_error("staking-plain", _shown_plainly)
    sys.stdout = _guarded(sys.stdout, 1, "standard output")
    sys.stderr = _guarded(sys.stderr, 2, "standard error")


def _guarded(stream: TextIO | None, descriptor: int, name: str) -> TextIO:
    encoding = "utf-8" if stream is None else stream.encoding
    return io.TextIOWrapper(
        io.BufferedWriter(_Outlet(descriptor, name)),
        encoding=encoding,
        errors="staking-plain",
        line_buffering=descriptor != 1 or os.isatty(descriptor),
    )


def _shown_plainly(error: UnicodeError) -> tuple[str, int]:
    # What stands for characters that the encoding does not have.
    if not isinstance(error, UnicodeEncodeError):
        raise error
    text = error.object[error.start : error.end]
    return "".join(_plain(character) for character in text), error.end


def _plain(character: str) -> str:
    if character in _PLAIN:
        return _PLAIN[character]
    parts = unicodedata.normalize("NFKD", character)
    plain = "".join(_PLAIN.get(part, part) for part in parts if not unicodedata.combining(part))
    return plain if plain.isascii() and plain else "?"


def end_when_told(*more: str) -> None:
    """End by an exception where the system tells the process to end, so that it tidies up.

    Parameters
    ----------
    more
        Further signals that end it so: ``SIGINT`` for Ctrl-C, which otherwise interrupts.

    Notes
    -----
    ``kill`` and the closing of the terminal then remove temporary files as Ctrl-C does. A signal
    that was being ignored (``nohup``) still is.
    """
    told = [
        number
        for name in ("SIGTERM", "SIGHUP", *more)
        if (number := getattr(signal, name, None)) is not None
        and signal.getsignal(number) is not signal.SIG_IGN
    ]

    ended: list[int] = []

    def end(number: int, _frame: FrameType | None) -> None:
        if ended:  # a second one must not cut the tidying short
            return
        ended.append(number)
        raise SystemExit(_SIGNALLED + number)

    for each in told:
        signal.signal(each, end)


def say_lost(error: OutputLostError) -> int:
    """Say on standard error that output is lost, where that is still possible.

    Parameters
    ----------
    error
        What is lost.

    Returns
    -------
    int
        The status to end with.
    """
    with contextlib.suppress(OutputLostError, SystemExit):
        sys.stderr.write(f"{error}\n")
    return error.exit_status


def last_words(status: int) -> int:
    """Bring out what is still to be printed, and give the status to end with.

    Parameters
    ----------
    status
        The status of what was done.

    Returns
    -------
    int
        The same, or that of output that is lost or has no reader.
    """
    try:
        sys.stdout.flush()
    except OutputLostError as error:
        if status in {0, 5}:
            status = say_lost(error)
    except SystemExit:
        return READER_GONE
    try:
        sys.stderr.flush()
    except (OutputLostError, SystemExit):
        return status or OutputLostError.exit_status
    return status
