"""What a job file may hold at most: looked at before any work is done on it."""

from __future__ import annotations

from staking.tolerances import MOST_COURSES as MOST_COURSES
from staking.units import FOOT, INCH

MOST_BYTES = 1_000_000
"""No job file is larger."""

MOST_NODES = 20_000
"""No job file holds more keys, values and lists."""

MOST_LISTED = 50
"""So many faults are listed; of the rest it is said how many there are."""

LONGEST_SIDE = 1000 * FOOT
"""No side of a building is longer, m."""

MOST_CORNERS = 400
"""No job has more corners in all its buildings, and no shape to keep off has more."""

MOST_PARTS = 1000
"""No job has more pads, and no list of openings, sleeves or interior lines is longer."""

THINNEST_WALL = 2 * INCH
"""No wall is thinner, m."""
