"""What every layout is told before the machine comes, before the pour and after it."""

from __future__ import annotations

SERVICES = (
    "Call the utility locating service before digging and wait for its marks; private lines "
    "are not marked. Dig by hand in the tolerance zone beside a mark."
)
WIRES = (
    "Look up: keep the machine's boom, the concrete truck and its chute or pump 10' (3.05 m) from "
    "overhead wires, and ask the power company how far at more than 50 kV."
)
TRENCH = (
    "A trench 4' (1.22 m) deep needs a way out. One 5' (1.52 m) deep, and a shallower one in "
    "ground that may cave in, is sloped, shored or shielded before anyone gets in. A competent "
    "person chooses how, and looks at the trench every day before work and after every rain. Keep "
    "the spoil 2' (0.61 m) back."
)
BUCKET = "Nobody stands under the bucket."
CAPS = "Cap or guard every standing bar that someone could fall on."
FORMS = "Brace the forms for the weight of the wet concrete, and fill them slowly."
BACKFILL = (
    "Do not backfill before the floor braces the wall. Then fill inside and out together, in thin "
    "lifts, with no roller near the wall."
)
CODE = (
    "Frost depth, setbacks, footing sizes and reinforcement come from the local code and the "
    "permit."
)
ENGINEER = "Soft ground, fill, an old footing, retaining or unusual loads: ask a licensed engineer."
PROPERTY = "Property lines come from a licensed surveyor."

LAYOUT_CAUTIONS = (
    SERVICES, WIRES, TRENCH, BUCKET, CAPS, FORMS, BACKFILL, CODE, ENGINEER, PROPERTY,
)  # fmt: skip
"""Cautions that hold for every dig.

Locating lines first is 29 CFR 1926.651(b)(1) to (3), the way out at 4' 1926.651(c)(2), nobody under
the bucket 1926.651(e), the spoil's 2' 1926.651(j)(2), the daily look and the one after rain
1926.651(k)(1), the protection at 5' and above it where the ground may cave in 1926.652(a)(1) (which
lets trenches all in stable rock go without). Standing bars are 1926.701(b), forms 1926.703(a)(1),
10' from wires of up to 50 kV 1926.600(a)(6) (from memory). Backfill before the floor braces the
wall: International Residential Code 2024, R404.1.7. Metres are the feet's. The rest is common
practice, no source.
"""

CAUTIONS_IN_SHORT = (
    "Cautions: utilities, wires, trench, bucket, bars, forms, fill, code, soil, lot."
)
"""The same cautions by name, in one line of the terminal; sheets and page have them in full."""
