"""The conductor of `staking check --accept`: a job file anew, and what the building becomes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.frozen import frozen

if TYPE_CHECKING:
    from pathlib import Path

    from staking.checked.as_accepted import Become
    from staking.checked.stakes_checked import Checked
    from staking.project.resolve import Resolved


@frozen
class Accepted:
    """The stakes as they stand, as a job: the file with their corners, and what it comes to."""

    text: str
    become: Become


def accept_stakes(resolved: Resolved, checked: Checked, path: Path) -> Accepted:
    """Take the stakes as they stand.

    Parameters
    ----------
    resolved
        The job.
    checked
        Its check.
    path
        The job file, whose text is kept but for its corners.

    Returns
    -------
    Accepted
        The new text, read again, and what differs.

    Notes
    -----
    `staking.errors.ComputationError` comes when the readings do not say where every corner stands.
    """
    from staking.checked.as_accepted import corners_as_they_stand, what_becomes
    from staking.job.as_staked import with_corners
    from staking.job.build import parse_job
    from staking.job.tree.source import read_text
    from staking.measure.lengths import Unit
    from staking.project.order import order_job
    from staking.project.resolve import resolve

    buildings = corners_as_they_stand(checked)
    text = with_corners(read_text(path), buildings, Unit(resolved.options.unit))
    after = resolve(parse_job(text, str(path)))
    ordered = resolved.job.order is not None
    orders = (order_job(resolved), order_job(after)) if ordered else None
    become = what_becomes(resolved.layout, after.layout, checked, orders)
    return Accepted(text=text, become=become)
