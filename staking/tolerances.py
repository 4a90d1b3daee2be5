"""Numerical limits, all absolute and in metres unless the name says otherwise.

At a northing of 5,000,000 m a relative tolerance of 1e-6 is 5 m, so none is used. What the
builder may be out by (`tolerances:` in the job file) is a different thing: `layout.allowed`.
"""

from __future__ import annotations

SAME_POINT = 0.0005
"""Two corners nearer than this repeat; walls within it of one line share a string (common practice,
no source)."""

ON_LINE = 1e-6
"""A computed point this close to a line is on it: well over rounding, well under a pencil line."""

AREA = 1e-9
"""An area below this, m2, is none."""

STRAIGHT_RAD = 0.17453292519943295
"""Neighbouring walls that turn by less than this (10 degrees) are in one line for mitres (common
practice, no source)."""

ROUND_PAD_SAGITTA = 0.0254 / 32
"""How far a round pad's polygon may fall short of the circle in the footing outline."""

MOST_COURSES = 100
"""No wall has more courses: a greater number is a slip of a level, or of the course's height."""
