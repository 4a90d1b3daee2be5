"""How the property tests search: anew each time at a desk, the same each time in CI."""

from __future__ import annotations

import os

from hypothesis import settings

settings.register_profile("same-each-time", derandomize=True, print_blob=True)
if os.environ.get("CI"):
    # A change is taken or refused by what it does, not by the day's draw.
    settings.load_profile("same-each-time")
