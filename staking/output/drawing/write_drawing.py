"""A drawing onto a stream, so that the same drawing of the same day has the same bytes."""

from __future__ import annotations

import datetime as dt
import hashlib
import io
import re
import uuid
from contextlib import contextmanager
from typing import TYPE_CHECKING, TextIO

if TYPE_CHECKING:
    from collections.abc import Iterator

    from ezdxf.document import Drawing

NO_DAY = dt.date(2000, 1, 1)
"""The day of a drawing that has none of its own."""

_JULIAN_OF_ORDINAL_0 = 1721424.5
"""Julian date at midnight of the day before the first of January of the year 1."""
_DATES = re.compile(r"(\$TDU?(?:CREATE|UPDATE)\n +40\n)\S+")
_IDENTIFIER = re.compile(r"(\$(FINGERPRINT|VERSION)GUID\n +2\n)\S+")
_CREATED_BY = "CREATED_BY_EZDXF"


def write_drawing(document: Drawing, stream: TextIO, day: dt.date | None = None) -> None:
    """Write a drawing as DXF text.

    Parameters
    ----------
    document
        The drawing.
    stream
        Where to.
    day
        The day that the drawing says it was made on, as the job's other files do; None for
        `NO_DAY`.

    Notes
    -----
    The two identifiers of a drawing are made from the hash of its content. The classes, which
    the library lists in the order of a set, are sorted.
    """
    from ezdxf import document as library
    from ezdxf.version import __version__

    on = day or NO_DAY
    document.classes.add_required_classes(document.dxfversion)
    in_order = sorted(document.classes.classes.items(), key=lambda item: str(item[0]))
    document.classes.classes.clear()
    document.classes.classes.update(in_order)
    plain = io.StringIO()
    with _without_clock():
        marker = str(library.ezdxf_marker_string())  # type: ignore[no-untyped-call]
        document.ezdxf_metadata()[_CREATED_BY] = marker
        document.write(plain)
    text = plain.getvalue().replace(marker, f"{__version__} @ {on.isoformat()}")
    text = _DATES.sub(rf"\g<1>{on.toordinal() + _JULIAN_OF_ORDINAL_0}", text)
    digest = hashlib.sha256(text.encode("utf-8", "surrogatepass"))

    def identifier(found: re.Match[str]) -> str:
        own = digest.copy()
        own.update(found.group(2).encode())
        made = uuid.UUID(bytes=own.digest()[:16], version=5)
        return f"{found.group(1)}{{{str(made).upper()}}}"

    stream.write(_IDENTIFIER.sub(identifier, text))


@contextmanager
def _without_clock() -> Iterator[None]:
    # The library has a switch that keeps clock and random numbers out of a file.
    from ezdxf._options import options

    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before
