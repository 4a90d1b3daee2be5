"""What stands at the top of the job file: its sections, and which keys are known there."""

from __future__ import annotations

from staking.job.keys.grade_keys import GradeKeys
from staking.job.keys.models import (
    BoardKeys,
    DigKeys,
    HeadKeys,
    PartKeys,
    Section,
    TapeKeys,
    ToleranceKeys,
    respell,
)
from staking.job.keys.order_keys import OrderKeys
from staking.job.keys.site_keys import SiteKeys
from staking.job.keys.weigh_keys import WeighKeys
from staking.job.tree.faults import Faults
from staking.job.tree.source import Branch

SECTIONS: dict[str, type[Section]] = {
    "boards": BoardKeys,
    "dig": DigKeys,
    "tape": TapeKeys,
    "tolerances": ToleranceKeys,
    "site": SiteKeys,
    "grade": GradeKeys,
    "order": OrderKeys,
    "weigh": WeighKeys,
}
"""The sections that stand at the top of the file beside the building."""


def respell_top(root: Branch, faults: Faults) -> None:
    """Note keys at the top of the file that are not known."""
    parts_known = PartKeys.keys()
    parts = [] if "building" in root else parts_known
    known = [*HeadKeys.keys(), "building", "buildings", *SECTIONS]
    hidden = [key for key in parts_known if key in root]
    respell(root, [*known, *(parts or hidden)], faults)
