"""The site section alone: its keys, and the shapes to keep off in the building grid."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.job.building.building_outline import BuildingOutline, check_shape
from staking.job.keys.site_keys import SiteKeys
from staking.job.tree.faults import Faults
from staking.job.tree.job_limits import MOST_CORNERS
from staking.job.tree.section_check import check_section
from staking.job.tree.sections import mapping_at, part_of, section_of
from staking.job.tree.source import Branch
from staking.measure.lengths import Unit
from staking.notices import Severity, notice
from staking.plan import Corner, StayClear

if TYPE_CHECKING:
    from staking.job.site_section import LotReader


def read_site(root: Branch, faults: Faults) -> tuple[tuple[StayClear, ...], LotReader | None]:
    """Read the shapes to keep off, and give what reads the rest once the corners are known."""
    branch = section_of(root, "site", faults)
    if not branch:
        return (), None
    head = part_of(branch, ("units",))
    head.place = branch.place
    units = check_section(SiteKeys, head, faults).units
    keys = check_section(SiteKeys, branch, faults, Unit(units) if units else None)
    if keys.stay_clear and units and Unit(units) is not faults.unit:
        faults.notices.append(
            notice(
                "site-units",
                "bare numbers under site are in {site_unit}, elsewhere in {unit}",
                Severity.NOTE,
                site_unit=units,
                unit=faults.unit.value,
            )
        )
    shapes: list[StayClear] = []
    for shape in keys.stay_clear:
        name, place = shape.name, shape.place
        given = mapping_at(root, place)
        if "corners" not in given:
            if "through" not in given:
                faults.add(place, "no corners are given", "add corners: [[x, y], …]")
            continue
        if len(shape.corners) > MOST_CORNERS:
            faults.add(
                (*place, "corners"),
                f"there are {len(shape.corners)} corners; a shape has {MOST_CORNERS} at most",
                "leave out corners that lie on a straight line",
            )
            continue
        outline = BuildingOutline(
            name=name,
            corners=tuple(
                Corner(name=str(number + 1), x=x, y=y)
                for number, (x, y) in enumerate(shape.corners)
            ),
            place=(*place, "corners"),
        )
        if name in {other.name for other in shapes}:
            faults.add((*place, "name"), f"{name} is used twice", "give each shape its own name")
        elif check_shape(outline, faults, "side"):
            shapes.append(StayClear(name=name, corners=tuple(shape.corners)))
    from staking.job.site_section import LotReader

    return tuple(shapes), LotReader(keys, faults)
