"""What every layout is told before the machine comes."""

from __future__ import annotations

LAYOUT_CAUTIONS = (
    "Call the utility locating service before digging and wait for its marks; private lines "
    "are not marked. Dig by hand in the tolerance zone beside a mark.",
    "A trench 4' (1.22 m) deep needs a way out. One 5' (1.52 m) deep, or a shallower one unless a "
    "competent person has looked and found no sign of a cave-in, is protected as that person "
    "chooses before anyone gets in. Keep the spoil 2' (0.61 m) back.",
    "Do not backfill before the floor braces the wall.",
    "Frost depth, setbacks, footing sizes and reinforcement come from the local code and the "
    "permit.",
    "Soft ground, fill, an old footing, retaining or unusual loads: ask a licensed engineer.",
    "Property lines come from a licensed surveyor.",
)
"""Cautions that hold for every dig.

Locating lines first is 29 CFR 1926.651(b)(1) to (3), the way out at 4' 1926.651(c)(2), the spoil's
2' 1926.651(j)(2); the 5', and what is exempt below it, 1926.652(a)(1)(i) and (ii). Backfill before
the floor braces the wall: International Residential Code 2024, R404.1.7. Metres are the feet's. The
rest is common practice, no source.
"""
