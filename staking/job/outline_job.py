"""The job file of an outline traced from a drawing: its corners, and what was read off."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.job.starter import Beginning, default_beginning, exact_length, starter_text
from staking.units import Unit

if TYPE_CHECKING:
    from staking.outline.found_outline import FoundOutline


def outline_job_text(found: FoundOutline) -> str:
    """Write the job file of a traced outline.

    Parameters
    ----------
    found
        The outline; its wall and footing stand in the file where they were read off, the usual
        ones where not.

    Returns
    -------
    str
        YAML that runs as it is, in feet for a drawing in feet or inches, else in its own unit.
    """
    own = found.unit.unit or Unit.FT
    unit = own if own in {Unit.M, Unit.MM} else Unit.FT
    usual = default_beginning(unit)
    corners = "".join(
        f"\n    {each.name}: [{exact_length(each.x, unit)}, {exact_length(each.y, unit)}]"
        for each in found.corners
    )
    footing = found.footing
    return starter_text(
        Beginning(
            unit=unit,
            outline=f"corners:{corners}",
            wall=usual.wall if found.wall is None else exact_length(found.wall, unit),
            footing_width=(
                usual.footing_width if footing is None else exact_length(footing.width, unit)
            ),
            footing_thickness=usual.footing_thickness,
            footing_outside=None if footing is None else exact_length(footing.outside, unit),
        )
    )
