"""What stands on the dimensions of a drawing, and what a drawing program makes of them anew.

`measured_text` follows the open DXF reference (DIMSTYLE): DIMLFAC scales the measurement, DIMRND
rounds it, DIMLUNIT 4 writes feet, inches and fractions to 1/2**DIMDEC of an inch, DIMLUNIT 2
decimals, DIMZIN 3 leaves out 0 feet and keeps 0 inches; of the DIMENSION's text ``<>`` stands for
that.
"""

from __future__ import annotations

import math
from fractions import Fraction

from ezdxf.entities import Dimension

LINEAR = 0


def drawn_text(dimension: Dimension) -> str:
    """The words that the file draws for a dimension."""
    block = dimension.get_geometry_block()
    assert block is not None
    (words,) = [each.plain_text() for each in block if each.dxftype() == "MTEXT"]
    return str(words)


def measured_text(dimension: Dimension) -> str:
    """The words that a drawing program writes by the dimension's style alone."""
    style = dimension.get_dim_style().dxf
    value = float(dimension.get_measurement()) * style.dimlfac  # type: ignore[arg-type]
    if style.dimlunit == 4:
        assert (style.dimzin, style.dimfrac) == (3, 2)
        parts = 2**style.dimdec
        assert style.dimrnd * parts == 1
        feet, inches = divmod(Fraction(math.floor(value * parts + 0.5), parts), 12)
        whole, rest = divmod(inches, 1)
        shown = f'{whole} {rest}"' if rest and whole else f'{rest or whole}"'
        if feet and rest and not whole:
            shown = f'0 {rest}"'
        written = f"{feet}'-{shown}" if feet else shown
    else:
        assert (style.dimlunit, style.dimzin, style.dimdsep) == (2, 0, ord("."))
        written = f"{value:.{style.dimdec}f}"
    assert "<>" in dimension.dxf.text
    return str(dimension.dxf.text).replace("<>", written)


def as_on_paper(text: str) -> str:
    """Feet and inches as this package writes them: without the hyphen between them."""
    return text.replace("'-", "' ")
