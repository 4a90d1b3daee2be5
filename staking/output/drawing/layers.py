"""Layers, linetypes and text of the drawing file, and what text from a job may hold.

Layer names follow the national CAD layer convention's discipline and major group; the minor
groups are ours.
"""

from __future__ import annotations

import re
import unicodedata
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

    from ezdxf.document import Drawing

WALL = "S-FNDN-WALL"
FOOTING = "S-FNDN-FTNG"
DIG = "S-FNDN-DIGL"
PADS = "S-FNDN-PADS"
OPENINGS = "S-FNDN-OPNG"
STEPS = "S-FNDN-STEP"
DRAIN = "S-FNDN-DRAN"
STRINGS = "S-FNDN-LINE"
BOARDS = "S-FNDN-BATR"
STAY_CLEAR = "S-FNDN-STAY"
DIMENSIONS = "S-ANNO-DIMS"
TEXT = "S-ANNO-TEXT"
TITLE = "S-ANNO-TTLB"
NO_PLOT = "S-ANNO-NPLT"
CONTROL = "V-CTRL"
PROPERTY = "V-PROP-LINE"
UTILITY = "C-UTIL"

LINETYPES = {
    "STK_DASHED": ("Dashed __ __ __", [4.5, 3.0, -1.5]),
    "STK_DIG": ("Long dash ____ ____", [8.0, 6.0, -2.0]),
    "STK_STRING": ("Dash dot ____ . ____", [9.4, 7.0, -1.0, 0.4, -1.0]),
    "STK_STAY": ("Short dash _ _ _", [2.2, 1.2, -1.0]),
    "STK_DRAIN": ("Long dash, short dash ____ _ ____", [8.2, 5.0, -1.0, 1.2, -1.0]),
    "STK_PROPERTY": ("Dash dot dot ____ . . ____", [9.8, 6.0, -1.0, 0.4, -1.0, 0.4, -1.0]),
    "STK_UTILITY": ("Two dashes __ __   __ __", [10.0, 3.0, -1.0, 3.0, -3.0]),
}
"""Patterns in mm on paper, told apart without colour; the file's linetype scale takes them to
the model."""

LayerLook = tuple[int, int, str, str]
"""Colour index, lineweight in hundredths of a mm, linetype, what is on the layer."""

LAYERS: dict[str, LayerLook] = {
    WALL: (7, 60, "Continuous", "Foundation walls, outside and inside face"),
    OPENINGS: (7, 25, "Continuous", "Openings and pipe sleeves in the walls"),
    STEPS: (7, 70, "Continuous", "Steps of the footing: riser faces"),
    DIG: (30, 30, "STK_DIG", "Dig outline"),
    FOOTING: (1, 30, "Continuous", "Footing outline, pads included"),
    PADS: (4, 25, "Continuous", "Isolated footings"),
    DRAIN: (140, 35, "STK_DRAIN", "Drain beside the footing"),
    STRINGS: (5, 18, "STK_STRING", "Strings, board to board"),
    BOARDS: (94, 50, "Continuous", "Batter boards and their marks"),
    STAY_CLEAR: (6, 25, "STK_STAY", "Shapes no string or tape may enter"),
    DIMENSIONS: (7, 13, "Continuous", "Dimensions"),
    TEXT: (7, 13, "Continuous", "Names and notes"),
    TITLE: (7, 25, "Continuous", "Sheet border and title"),
    NO_PLOT: (9, 13, "Continuous", "Viewport frame, not plotted"),
    CONTROL: (7, 25, "Continuous", "Control points, corner stakes and hubs"),
    PROPERTY: (200, 35, "STK_PROPERTY", "Property lines"),
    UTILITY: (34, 25, "STK_UTILITY", "Buried lines and the width to dig by hand"),
}
"""Every layer of the plan's drawing."""

TEXT_STYLE = "LAYOUT"
DIMENSION_STYLE = "LAYOUT"
MAIN_HEIGHT = 2.5
"""Height of names and dimensions on paper, mm: about 3/32" (ISO 3098 lists 1.8, 2.5, 3.5)."""
SMALL_HEIGHT = 1.8
"""Height of the labels on boards, mm on paper."""

_CODES = re.compile(r"\\(?=[UM]\+)", re.IGNORECASE)
_UNSAFE = {"Cc", "Cs", "Zl", "Zp"}
_DIRECTION_MARKS = frozenset("\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


def clean_text(text: str) -> str:
    r"""Make text from a job file safe for one line of a drawing file.

    Parameters
    ----------
    text
        Any text.

    Returns
    -------
    str
        One line: control characters and line ends become spaces, marks that reverse the reading
        direction go, and the three codes that a TEXT object would interpret (``^`` for control
        characters, ``%%`` for symbols, ``\U+`` and ``\M+`` for characters) are broken up.

    Examples
    --------
    >>> clean_text("50%%d of" + chr(10) + "A^J")
    '50% %d of A^ J'
    """
    kept = "".join(
        " " if unicodedata.category(char) in _UNSAFE else char
        for char in text
        if char not in _DIRECTION_MARKS
    )
    kept = " ".join(kept.split())
    kept = re.sub(r"%(?=%)", "% ", kept)
    kept = re.sub(r"\^(?! )", "^ ", kept)
    return _CODES.sub(r"\\ ", kept)


def add_tables(doc: Drawing, scale: float, measured: Mapping[str, float | int | str]) -> None:
    """Give a new drawing its layers, linetypes, text style and dimension style.

    Parameters
    ----------
    doc
        The drawing.
    scale
        Drawing units per mm on paper.
    measured
        How dimensions write what they measure, as
        `staking.output.drawing.dimension_style.measured_style` gives it.
    """
    for name, (note, pattern) in LINETYPES.items():
        doc.linetypes.add(name, pattern, description=note)
    for name, (colour, weight, linetype, note) in LAYERS.items():
        layer = doc.layers.add(name, color=colour, lineweight=weight, linetype=linetype)
        layer.description = note
    doc.layers.get(NO_PLOT).dxf.plot = 0
    doc.styles.add(TEXT_STYLE, font="arial.ttf")
    style = doc.dimstyles.new(DIMENSION_STYLE)
    style.dxf.update({
        "dimtxsty": TEXT_STYLE,
        "dimscale": scale,
        "dimtxt": MAIN_HEIGHT,
        "dimgap": MAIN_HEIGHT * DIMENSION_GAP,
        "dimtsz": TICK_SIZE,
        "dimasz": TICK_SIZE,
        "dimexo": EXTENSION_BEGINS,
        "dimexe": MAIN_HEIGHT * EXTENSION,
        "dimdle": 0.0,
        "dimclrd": 256,
        "dimclre": 256,
        "dimclrt": 256,
        "dimlwd": -1,
        "dimlwe": -1,
        "dimtad": 1,
        "dimtih": 0,
        "dimtoh": 0,
        "dimtix": 1,
        "dimtofl": 1,
        "dimtmove": 2,
        **measured,
    })


TICK_SIZE = 1.0
"""Half of a dimension's tick, along and across its line, mm."""
EXTENSION_BEGINS = 1.2
"""How far off what is measured an extension line begins, mm."""
EXTENSION = 0.48
"""How far an extension line runs past a dimension's line, in text heights."""
DIMENSION_GAP = 0.4
"""Air between a dimension's line and its text, in text heights."""
