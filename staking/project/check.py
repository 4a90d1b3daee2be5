"""The conductor of `staking check`: readings and stakes against the resolved job."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from staking.adjust.level_readings import Readings
    from staking.checked.stakes_checked import Checked
    from staking.checked.stakes_on_plan import StakesRead
    from staking.project.resolve import Resolved


def check_job(
    resolved: Resolved,
    readings: Readings,
    hold: str | None = None,
    stakes: StakesRead | None = None,
) -> Checked:
    """Check taped distances and surveyed stakes against a job.

    Parameters
    ----------
    resolved
        The resolved job: its boards, strings and tapes are those of its layout.
    readings, hold, stakes
        As `staking.checked.stakes_checked.check_stakes` takes them.

    Returns
    -------
    Checked
        The adjusted stakes, the verdict and the advice.
    """
    from staking.checked.stakes_checked import check_stakes

    return check_stakes(resolved.layout, resolved.job.notices, readings, hold, stakes)
