"""The bytes of a text file in blocks of whole lines, with bounds on what is held at once."""

from __future__ import annotations

import codecs
import io
from collections.abc import Iterator
from typing import BinaryIO

import numpy as np

from staking.errors import InputError, Problem
from staking.frozen import frozen

BLOCK = 1 << 20
"""How many bytes are read at once."""

LONGEST_LINE = 1 << 16
"""No line of a point file is longer than this, bytes."""

MOST_BYTES = 1 << 30
"""The largest text file that is read, bytes."""

MOST_UTF16_BYTES = 1 << 27
"""The largest file in sixteen-bit characters that is read, bytes."""


@frozen(kw_only=False)
class Block:
    """Whole lines of the file.

    Parameters
    ----------
    data
        The lines, each ended by one line feed; the last line too.
    first_line
        The number of the first of them, counted from 1.
    lines
        How many there are.
    """

    data: bytes
    first_line: int
    lines: int

    def below(self, line: int) -> Block:
        """Return the block from one of its lines on."""
        at = 0
        for _ in range(line - self.first_line):
            at = self.data.index(b"\n", at) + 1
        return Block(self.data[at:], line, self.lines - line + self.first_line)

    def and_then(self, other: Block) -> Block:
        """Return this block and the one below it as one."""
        return Block(self.data + other.data, self.first_line, self.lines + other.lines)

    def text(self) -> tuple[str, bool]:
        """Turn the bytes into text.

        Returns
        -------
        tuple
            The text, and whether it is UTF-8; where not, it is read as Windows Western text.
        """
        try:
            return self.data.decode("utf-8"), True
        except UnicodeDecodeError:
            pass
        try:
            return self.data.decode("cp1252"), False
        except UnicodeDecodeError:
            return self.data.decode("latin-1"), False


def read_blocks(stream: BinaryIO, name: str) -> Iterator[Block]:
    """Read a text file block by block.

    Parameters
    ----------
    stream
        The bytes, from the start of the file.
    name
        The file as the user named it.

    Yields
    ------
    Block
        Whole lines, without a byte-order mark and with plain line feeds.

    Raises
    ------
    InputError
        At a NUL byte, a line without end, or a file too large.
    """
    start = stream.read(4)
    if start[:2] in {codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE}:
        stream = _from_utf16(start, stream, name)
        start = stream.read(4)
    rest = b""
    ahead = start[3:] if start.startswith(codecs.BOM_UTF8) else start
    line, total = 1, len(start)
    while True:
        chunk = stream.read(BLOCK)
        if chunk.endswith(b"\r"):
            chunk += stream.read(1)
        total += len(chunk)
        if total > MOST_BYTES:
            _refuse(name, None, "the file is larger than 1 GB", "cut out the part that is needed")
        is_last = not chunk
        if ahead:
            chunk, ahead = ahead + chunk, b""
        if b"\r" in chunk:
            chunk = chunk.replace(b"\r\n", b"\n").replace(b"\r", b"\n")
        if (zero := chunk.find(b"\0")) >= 0:
            _refuse(
                name,
                line + chunk.count(b"\n", 0, zero),
                "there is a NUL byte, so this is not a text file or is damaged",
                "export the points as text again",
            )
        if is_last:
            break
        cut = chunk.rfind(b"\n") + 1
        data = b"".join((rest, memoryview(chunk)[:cut])) if cut else b""
        rest = chunk[cut:] if cut else rest + chunk
        if len(rest) > LONGEST_LINE:
            _refuse_long(name, line + data.count(b"\n"))
        if cut:
            lines = int(np.count_nonzero(np.frombuffer(data, np.uint8) == ord("\n")))
            yield Block(data, line, lines)
            line += lines
    rest += chunk
    if rest:
        yield Block(rest + b"\n", line, rest.count(b"\n") + 1)


def refuse_long_line(name: str, line: int, text: str) -> None:
    """Refuse a line longer than any line of a point file.

    Raises
    ------
    InputError
        Where the line is longer than `LONGEST_LINE`.
    """
    if len(text) > LONGEST_LINE:
        _refuse_long(name, line)


def _from_utf16(start: bytes, stream: BinaryIO, name: str) -> BinaryIO:
    """Return the file of sixteen-bit characters as UTF-8."""
    data = start + stream.read(MOST_UTF16_BYTES)
    if len(data) > MOST_UTF16_BYTES:
        _refuse(
            name, None, "the file is of sixteen-bit characters and larger than 128 MB",
            "save it as UTF-8",
        )  # fmt: skip
    try:
        return io.BytesIO(data.decode("utf-16").encode("utf-8"))
    except UnicodeError:
        _refuse(
            name, None, "the file begins as sixteen-bit text and does not go on so",
            "save it as UTF-8",
        )  # fmt: skip
        raise


def _refuse_long(name: str, line: int) -> None:
    _refuse(
        name, line, "the line does not end within 65,536 bytes, so this is not a point file", ""
    )


def _refuse(name: str, line: int | None, message: str, remedy: str) -> None:
    raise InputError(Problem(path=name, line=line, message=message, remedy=remedy))
