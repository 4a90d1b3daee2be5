"""A file that holds the text of a deed or a plat: told from a survey, and read as text."""

from __future__ import annotations

from pathlib import Path

from staking.errors import InputError
from staking.plain_file import refuse_other_files
from staking.survey.detect import HEAD, detect
from staking.survey.formats import DEED

MOST_BYTES = 1_000_000
"""No deed is longer."""


def deed_text(path: Path) -> str | None:
    """Give the text of a file that holds the courses of a deed.

    Parameters
    ----------
    path
        The file.

    Returns
    -------
    str or None
        None where it is something else, or cannot be read: whoever reads it as that says so.
    """
    try:
        refuse_other_files(path, MOST_BYTES)
        with path.open("rb") as stream:
            data = stream.read(MOST_BYTES + 1)
        if len(data) > MOST_BYTES or detect(data[:HEAD], str(path)) != DEED:
            return None
    except (InputError, OSError):
        return None
    if data[:2] in {b"\xff\xfe", b"\xfe\xff"}:
        return data.decode("utf-16", errors="replace")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        # A degree sign of an older word processor.
        return data.decode("cp1252", errors="replace")
