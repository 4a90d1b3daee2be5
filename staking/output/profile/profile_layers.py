"""Layers and linetypes of the profile drawing, beside those the plan drawing has too."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.output.drawing import layers

if TYPE_CHECKING:
    from ezdxf.document import Drawing

EXISTING = "C-TOPO-EXST"
FINISHED = "C-TOPO-FNSH"
UNDISTURBED = "C-TOPO-UNDS"
FROST = "C-TOPO-FRST"
COURSES = "S-FNDN-CRSE"
STONE = "S-FNDN-BASE"
CONCRETE = "S-FNDN-PATT"
JUNCTION = "S-FNDN-JNCT"
DEEP = "S-ANNO-DEEP"
TABLE = "S-ANNO-TABL"

PROFILE_LINETYPES = {
    "STK_FROST": (
        "Dash and three dots ___ . . . ___",
        [8.2, 3.0, -1.0, 0.4, -1.0, 0.4, -1.0, 0.4, -1.0],
    ),
    "STK_DOTTED": ("Dots . . . . . .", [1.6, 0.4, -1.2]),
}
"""Patterns in mm on paper."""

PROFILE_LAYERS = {
    EXISTING: (32, 35, "STK_DASHED", "Ground as it is"),
    FINISHED: (92, 50, "Continuous", "Finished ground"),
    UNDISTURBED: (34, 25, "STK_STAY", "Undisturbed ground: topsoil off"),
    FROST: (140, 25, "STK_FROST", "Frost line: the frost depth under finished ground"),
    COURSES: (8, 9, "Continuous", "Courses of block"),
    STONE: (8, 18, "Continuous", "Stone under the footing"),
    CONCRETE: (8, 9, "Continuous", "Shading of the footing"),
    JUNCTION: (8, 18, "STK_DOTTED", "Where another wall joins"),
    DEEP: (10, 100, "Continuous", "Where the trench is deep"),
    TABLE: (8, 13, "Continuous", "Lines of the table and to the stations"),
}
"""Colour index, lineweight in hundredths of a mm, linetype, what is on it."""

_ALSO = (
    layers.WALL,
    layers.FOOTING,
    layers.DIG,
    layers.OPENINGS,
    layers.STEPS,
    layers.STRINGS,
    layers.TEXT,
    layers.TITLE,
    layers.NO_PLOT,
)

ALL_LAYERS = {**{name: layers.LAYERS[name] for name in _ALSO}, **PROFILE_LAYERS}
"""Every layer of the profile drawing."""


def add_tables(doc: Drawing) -> None:
    """Give a new drawing the profile's layers, linetypes and text style.

    Parameters
    ----------
    doc
        The drawing.
    """
    for name, (note, pattern) in {**layers.LINETYPES, **PROFILE_LINETYPES}.items():
        doc.linetypes.add(name, pattern, description=note)
    for name, (colour, weight, linetype, note) in ALL_LAYERS.items():
        layer = doc.layers.add(name, color=colour, lineweight=weight, linetype=linetype)
        layer.description = note
    doc.layers.get(layers.NO_PLOT).dxf.plot = 0
    doc.styles.add(layers.TEXT_STYLE, font="arial.ttf")
