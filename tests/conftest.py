"""How the property tests draw: the same each time, or anew where a search is wanted.

A change is taken or refused by what it does, not by the day's draw, so the same examples come on
every machine. `STAKING_SEARCH=1` draws new ones; a failure found that way prints the example.
"""

from __future__ import annotations

import os

from hypothesis import HealthCheck, Phase, settings
from hypothesis.internal.conjecture import providers

# A busy machine is slow, and slow is no fault: nothing is timed.
_UNTIMED = {"deadline": None, "suppress_health_check": [HealthCheck.too_slow]}

# A failure is shown as it was drawn; the search makes it small, which can take minutes.
settings.register_profile(
    "same-each-time",
    derandomize=True,
    database=None,
    print_blob=True,
    phases=(Phase.explicit, Phase.reuse, Phase.generate, Phase.target),
    **_UNTIMED,
)
# Numbers that stand in the package's loaded modules would be drawn too, and which of them are
# loaded depends on the tests that ran before in the same process.
setattr(providers, "is_local_module_file", lambda _path: False)  # noqa: B010

settings.register_profile("search", derandomize=False, print_blob=True, **_UNTIMED)
settings.load_profile("search" if os.environ.get("STAKING_SEARCH") else "same-each-time")
