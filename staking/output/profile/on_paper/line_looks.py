"""How the lines of a profile look on paper, black on white."""

from __future__ import annotations

PALE = "#dcdcdc"
"""The footing in section."""

LOOKS: dict[str, tuple[float, tuple[float, ...]]] = {
    "existing and finished ground": (0.5, ()),
    "finished ground": (0.5, ()),
    "existing ground": (0.35, (2.4, 1.2)),
    "undisturbed ground": (0.25, (1.0, 0.8)),
    "frost line": (0.25, (3.0, 0.8, 0.4, 0.8, 0.4, 0.8)),
    "string": (0.25, (5.0, 1.0, 1.0, 1.0)),
    "wall and its courses": (0.35, ()),
    "course": (0.09, ()),
    "footing": (0.35, ()),
    "riser face of a step": (0.7, ()),
    "bottom of the dig, stone over it": (0.18, ()),
    "another wall joins": (0.18, (0.4, 1.0)),
    "deep trench, greatest depth": (1.0, ()),
}
"""What a line is, its width and its dashes, mm."""
