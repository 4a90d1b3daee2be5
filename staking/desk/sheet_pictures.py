"""Pictures of the sheets as they will be printed: the pages of the sheets' own file."""

from __future__ import annotations

import io
import threading
from typing import TYPE_CHECKING

from staking.errors import WriteError

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from pypdfium2 import PdfDocument

WIDE = 1100
"""Dots across a picture: words of 8 pt can be read on it."""

_one_at_a_time = threading.Lock()
"""The library that draws pages may be used by one thread at a time."""


def sheet_titles(path: Path) -> list[str]:
    """List the pages of the sheets' file by the titles under which they stand in it.

    Parameters
    ----------
    path
        The file of the sheets.

    Returns
    -------
    list of str
        One for each page.

    Raises
    ------
    WriteError
        Where the file is not a whole one.
    """
    with _one_at_a_time:
        document = _opened(path)
        try:
            titles = dict(_bookmarks(document))
            found: list[str] = []
            for number in range(len(document)):
                found.append(titles.get(number, found[-1] if found else f"Page {number + 1}"))
            return found
        finally:
            document.close()


def sheet_picture(path: Path, number: int) -> bytes | None:
    """Draw one page of the sheets' file.

    Parameters
    ----------
    path
        The file of the sheets.
    number
        The page, from 1.

    Returns
    -------
    bytes or None
        A PNG, `WIDE` dots across; None where there is no such page.

    Raises
    ------
    WriteError
        Where the file is not a whole one.
    """
    with _one_at_a_time:
        document = _opened(path)
        try:
            if not 0 < number <= len(document):
                return None
            page = document[number - 1]
            picture = page.render(scale=WIDE / page.get_width()).to_pil()
            made = io.BytesIO()
            picture.convert("L" if _is_grey(picture) else "RGB").save(made, "PNG")
            return made.getvalue()
        finally:
            document.close()


def _opened(path: Path) -> PdfDocument:
    from pypdfium2 import PdfDocument, PdfiumError

    try:
        return PdfDocument(path.read_bytes())
    except (OSError, PdfiumError) as error:
        raise WriteError(f"{path.name} cannot be shown; make the sheets anew") from error


def _bookmarks(document: PdfDocument) -> Iterator[tuple[int, str]]:
    for each in document.get_toc(max_depth=1):
        target = each.get_dest()
        at = None if target is None else target.get_index()
        if at is not None:
            yield int(at), str(each.get_title())


def _is_grey(picture: object) -> bool:
    from PIL import ImageChops
    from PIL.Image import Image

    assert isinstance(picture, Image)
    red, green, blue = picture.convert("RGB").split()
    return ImageChops.difference(red, green).getbbox() is None and (
        ImageChops.difference(green, blue).getbbox() is None
    )
