"""The units of a survey in words."""

IN_WORDS = {
    "ft": "international feet",
    "us-ft": "U.S. survey feet",
    "in": "inches",
    "m": "metres",
    "mm": "millimetres",
}
"""By the unit's name in the job file."""
