"""The job file read whole: its tree, its sections, then the plan and the options."""

from __future__ import annotations

from itertools import combinations
from pathlib import Path
from typing import TYPE_CHECKING

from staking.frozen import frozen
from staking.job.building.building_outline import automatic_names, read_outline, too_many_corners
from staking.job.building.building_parts import Home, read_parts, sides_of, too_many_parts
from staking.job.building.closed_shapes import sides_meet
from staking.job.building.outlines_by_name import OutlinesByName
from staking.job.building.us_sizes import us_sizes
from staking.job.building.walls import read_walls
from staking.job.contradictions import check_contradictions
from staking.job.keys.models import (
    BoardKeys,
    BuildingKeys,
    DigKeys,
    HeadKeys,
    PartKeys,
    TapeKeys,
    ToleranceKeys,
)
from staking.job.keys.top import respell_top
from staking.job.options import (
    make_options,
    read_boards,
    read_dig,
    read_head,
    read_tape,
    read_tolerances,
)
from staking.job.stay_clear import read_site
from staking.job.tree.faults import Faults
from staking.job.tree.section_check import check_section
from staking.job.tree.sections import part_of, refuse, section_of
from staking.job.tree.source import Branch, Items, Scalar, parse_tree, read_text
from staking.notices import Notice, Severity, notice
from staking.plan import Building, Options, Plan, StayClear, Wall

if TYPE_CHECKING:
    from staking.grade.grade_request import GradeAsked
    from staking.job.grade_section import GradeReader
    from staking.job.site_section import LotReader
    from staking.order.order_request import OrderAsked
    from staking.site.site_request import SiteAsked
    from staking.weigh.weigh_request import WeighAsked

PART_KEYS = (
    "wall", "footing", "walls", "openings", "interior", "pads", "sleeves", "slab",
)  # fmt: skip
"""What may stand in each building, or once beside a list of them."""


@frozen
class Job:
    """A job file read: the plan, the options, what was assumed, and what the lot asks for."""

    plan: Plan
    options: Options
    notices: tuple[Notice, ...] = ()
    site: SiteAsked | None = None
    grade: GradeAsked | None = None
    order: OrderAsked | None = None
    weigh: WeighAsked | None = None


def read_job(path: Path) -> Job:
    """Read a job file.

    Parameters
    ----------
    path
        The file, as the user named it; faults name it so.

    Returns
    -------
    Job
        The plan in metres on the building grid, the options, and the notices.

    Raises
    ------
    InputError
        With every fault that was found, in the order of the file's lines.
    """
    return parse_job(read_text(path), str(path))


def parse_job(text: str, name: str, within: Path | None = None) -> Job:
    """Read a job from its text.

    Parameters
    ----------
    text
        The whole file.
    name
        What faults call it.
    within
        The folder in which a price list must stand; None for anywhere.

    Returns
    -------
    Job
        As `read_job` gives it.

    Raises
    ------
    InputError
        With every fault that was found.
    """
    root, problems = parse_tree(text, name)
    faults = Faults(root, name, within)
    faults.problems.extend(problems)
    respell_top(root, faults)
    head = check_section(HeadKeys, part_of(root, tuple(HeadKeys.keys())), faults)
    read_head(head, faults)
    options = _read_options(root, head, faults)
    stay_clear, lot = read_site(root, faults)
    levels = _grade_reader(root, faults)
    order = None
    if "order" in root:
        from staking.job.order_section import check_order, read_order

        order = read_order(root, faults)
    weigh = None
    if "weigh" in root:
        from staking.job.weigh_section import check_weigh, read_weigh

        weigh = read_weigh(root, faults)
    plan, site, grade = _read_plan(root, head.job or "", stay_clear, (lot, levels), faults)
    if order is not None:
        check_order(order, plan, faults)
    if weigh is not None:
        check_weigh(weigh, plan, faults)
    check_contradictions(plan, options, order, faults)
    faults.notices.extend(us_sizes(root, faults.unit, order))
    faults.stop_if_any()
    return Job(
        plan=plan,
        options=options,
        notices=tuple(faults.notices),
        site=site,
        grade=grade,
        order=order,
        weigh=weigh,
    )


def _grade_reader(root: Branch, faults: Faults) -> GradeReader | None:
    """Give what reads the grade section; its reader is loaded only where there is one."""
    if "grade" not in root:
        return None
    from staking.job.grade_section import read_grade

    return read_grade(root, faults)


def _read_options(root: Branch, head: HeadKeys, faults: Faults) -> Options:
    """Read the sections beside the building, each alone."""
    value = root.get("tolerances")
    if isinstance(value, Scalar) and not value.is_empty:
        preset = Branch(("tolerances",), value.line)
        preset["preset"] = value
        preset.lines["preset"] = value.line
        tolerance_branch = preset
    else:
        tolerance_branch = section_of(root, "tolerances", faults)
    return make_options(
        head,
        read_boards(check_section(BoardKeys, section_of(root, "boards", faults), faults)),
        read_dig(check_section(DigKeys, section_of(root, "dig", faults), faults)),
        read_tape(check_section(TapeKeys, section_of(root, "tape", faults), faults), faults),
        read_tolerances(check_section(ToleranceKeys, tolerance_branch, faults)),
        faults,
    )


def _homes(root: Branch, faults: Faults) -> list[Home]:
    """Find the buildings, one or several."""
    if "building" in root and "buildings" in root:
        faults.add(("buildings",), "building is given as well", "keep one of the two")
    found: list[Branch] = []
    if "building" in root:
        branch = section_of(root, "building", faults)
        if not faults.touched(("building",)):
            found.append(branch)
        for key in PART_KEYS:
            if key in root:
                faults.add((key,), f"{key} stands outside building", "move it under building")
    elif "buildings" in root:
        value = root["buildings"]
        if not isinstance(value, Items) or not value:
            faults.add(
                ("buildings",),
                "a list of buildings belongs here",
                "start each with a dash, or write building: for one",
            )
        else:
            for number, item in enumerate(value):
                if isinstance(item, Branch):
                    found.append(item)
                else:
                    refuse(item, ("buildings", number), faults)
    else:
        faults.add((), "there is no building", "add building: with its corners, wall and footing")
    return [Home(branch, check_section(BuildingKeys, branch, faults)) for branch in found]


def _read_plan(
    root: Branch,
    job: str,
    stay_clear: tuple[StayClear, ...],
    readers: tuple[LotReader | None, GradeReader | None],
    faults: Faults,
) -> tuple[Plan, SiteAsked | None, GradeAsked | None]:
    """Read what is built, and where."""
    if "job" not in root:
        faults.add(("job",), "the job has no name", "add job: and a name at the top")
    homes = _homes(root, faults)
    shared_branch = part_of(root, PART_KEYS) if "building" not in root else Branch((), root.line)
    shared = check_section(PartKeys, shared_branch, faults) if shared_branch else None
    if too_many_corners([home.keys for home in homes], faults) or too_many_parts(
        [*(home.keys for home in homes), *([shared] if shared is not None else [])], faults
    ):
        faults.stop_if_any()
    taken = [name for home in homes for name in home.keys.corners or {}]
    names = automatic_names(taken)
    frame = OutlinesByName(
        [read_outline(home.keys, home.branch, names, faults) for home in homes], faults
    )
    walls: list[tuple[Wall, ...] | None] = []
    for number, home in enumerate(homes):
        mappings = [home.branch, *([shared_branch] if shared is not None else [])]
        walls.append(read_walls(number, home.keys, shared, mappings, frame))
    buildings = tuple(
        Building(name=outline.name, corners=outline.corners, walls=own)
        for outline, own in zip(frame.outlines, walls, strict=True)
        if outline is not None and own is not None
    )
    _check_overlaps(frame, stay_clear, faults)
    lot, levels = readers
    site = None
    if lot is not None:
        outlines = [outline for outline in frame.outlines if outline is not None]
        known = outlines if len(outlines) == len(homes) else []
        site = lot.read(
            tuple(name for outline in known for name in sides_of(outline)),
            tuple(corner.name for outline in known for corner in outline.corners),
        )
    plan, grade = read_parts(
        job, homes, (shared, shared_branch), frame, buildings, stay_clear, levels
    )
    return plan, site, grade


def _check_overlaps(
    frame: OutlinesByName, stay_clear: tuple[StayClear, ...], faults: Faults
) -> None:
    """Warn of buildings that stand on one another, or on a shape to keep off."""
    whole = [outline for outline in frame.outlines if outline is not None]
    for first, second in combinations(whole, 2):
        if sides_meet(first.points, second.points):
            faults.notices.append(
                notice(
                    "buildings-overlap",
                    "the outlines at corners {first} and {second} stand on one another",
                    Severity.WARNING,
                    first=first.corners[0].name,
                    second=second.corners[0].name,
                )
            )
    for outline in whole:
        for shape in stay_clear:
            if sides_meet(outline.points, shape.corners):
                faults.notices.append(
                    notice(
                        "building-on-stay-clear",
                        "the outline at corner {corner} stands on {shape}, which is to be kept off",
                        Severity.WARNING,
                        corner=outline.corners[0].name,
                        shape=shape.name,
                    )
                )
