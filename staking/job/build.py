"""The job file read whole: its tree, its sections, then the plan and the options."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations
from pathlib import Path
from typing import TYPE_CHECKING

from staking.job.check import check_section
from staking.job.faults import Faults
from staking.job.frame import Frame
from staking.job.interior import Entry, InteriorReader
from staking.job.models import (
    BoardKeys,
    BuildingKeys,
    DigKeys,
    GradeKeys,
    HeadKeys,
    OrderKeys,
    PartKeys,
    TapeKeys,
    ToleranceKeys,
    respell_top,
)
from staking.job.options import (
    make_options,
    read_boards,
    read_dig,
    read_head,
    read_tape,
    read_tolerances,
)
from staking.job.outline import Outline, automatic_names, read_outline
from staking.job.pads import (
    OnLines,
    read_openings,
    read_pads,
    read_sleeves,
    tell_pads_under_walls,
)
from staking.job.sections import mapping_at, part_of, refuse, section_of
from staking.job.shapes import sides_meet
from staking.job.site import read_site
from staking.job.source import Branch, Items, Place, Scalar, parse_tree, read_text
from staking.job.walls import read_walls, say_unused
from staking.notices import Notice, Severity, notice
from staking.plan import Building, Options, Plan, Slab, StayClear, Wall

if TYPE_CHECKING:
    from staking.job.lot import LotReader
    from staking.site.asked import SiteAsked

PART_KEYS = (
    "wall", "footing", "walls", "openings", "interior", "pads", "sleeves", "slab",
)  # fmt: skip
"""What may stand in each building, or once beside a list of them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """A job file read: the plan, the options, what was assumed, and what the lot asks for."""

    plan: Plan
    options: Options
    notices: tuple[Notice, ...] = ()
    site: SiteAsked | None = None


@dataclass(slots=True)
class _Home:
    """A building as it stands in the file, with what is sound of it."""

    branch: Branch
    keys: BuildingKeys


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


def parse_job(text: str, name: str) -> Job:
    """Read a job from its text.

    Parameters
    ----------
    text
        The whole file.
    name
        What faults call it.

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
    faults = Faults(root, name)
    faults.problems.extend(problems)
    respell_top(root, faults)
    head = check_section(HeadKeys, part_of(root, tuple(HeadKeys.keys())), faults)
    read_head(head, faults)
    options = _read_options(root, head, faults)
    stay_clear, lot = read_site(root, faults)
    for section, model in (("grade", GradeKeys), ("order", OrderKeys)):
        branch = section_of(root, section, faults)
        if branch:
            check_section(model, branch, faults)
            say_unused(section, list(branch), faults)
    plan, site = _read_plan(root, head.job or "", stay_clear, lot, faults)
    faults.stop_if_any()
    return Job(plan=plan, options=options, notices=tuple(faults.notices), site=site)


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


def _homes(root: Branch, faults: Faults) -> list[_Home]:
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
                "a list of buildings is due here",
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
    return [_Home(branch, check_section(BuildingKeys, branch, faults)) for branch in found]


def _read_plan(
    root: Branch,
    job: str,
    stay_clear: tuple[StayClear, ...],
    lot: LotReader | None,
    faults: Faults,
) -> tuple[Plan, SiteAsked | None]:
    """Read what is built, and where."""
    if "job" not in root:
        faults.add(("job",), "the job has no name", "add job: and a name at the top")
    homes = _homes(root, faults)
    shared_branch = part_of(root, PART_KEYS) if "building" not in root else Branch((), root.line)
    shared = check_section(PartKeys, shared_branch, faults) if shared_branch else None
    taken = [name for home in homes for name in home.keys.corners or {}]
    names = automatic_names(taken)
    frame = Frame([read_outline(home.keys, home.branch, names, faults) for home in homes], faults)
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
    site = None
    if lot is not None:
        outlines = [outline for outline in frame.outlines if outline is not None]
        known = outlines if len(outlines) == len(homes) else []
        site = lot.read(
            tuple(name for outline in known for name in _sides(outline)),
            tuple(corner.name for outline in known for corner in outline.corners),
        )
    plan = _read_parts(job, homes, shared, shared_branch, frame, buildings, stay_clear)
    return plan, site


def _sides(outline: Outline) -> list[str]:
    """Name an outline's sides, in its order."""
    names = [corner.name for corner in outline.corners]
    return [f"{a}-{b}" for a, b in zip(names, (*names[1:], names[0]), strict=True)]


def _read_parts(
    job: str,
    homes: list[_Home],
    shared: PartKeys | None,
    shared_branch: Branch,
    frame: Frame,
    buildings: tuple[Building, ...],
    stay_clear: tuple[StayClear, ...],
) -> Plan:
    """Read what stands on, in and beside the outlines.

    Returns
    -------
    Plan
        The plan.

    Raises
    ------
    InputError
        With every fault of the file.
    TypeError
        Where a part is lost without a fault: a slip of this program.
    """
    faults = frame.faults
    sources: list[tuple[PartKeys, int | None]] = [
        (home.keys, number) for number, home in enumerate(homes)
    ]
    if shared is not None:
        sources.append((shared, None))
    reader = _interior_reader(sources, homes, shared_branch, frame)
    interior = reader.read(_inherited(homes, shared, shared_branch))
    existing = frozenset(
        wall.name for building in buildings for wall in building.walls if wall.existing is not None
    )
    lines = OnLines(frame, reader, existing)
    pads = tuple(
        pad
        for part, _ in sources
        for keys in part.pads
        for pad in read_pads(keys, mapping_at(faults.root, keys.place), lines)
    )
    openings = read_openings([keys for part, _ in sources for keys in part.openings], lines)
    sleeves = read_sleeves([keys for part, _ in sources for keys in part.sleeves], lines)
    slab = _read_slab([part for part, _ in sources], faults)
    _check_names(frame, sources, faults)
    faults.stop_if_any()
    if len(buildings) < len(homes) or len(interior) < len(reader.entries):
        raise TypeError("a part of the building went missing without a fault")
    tell_pads_under_walls(pads, buildings, interior, faults)
    return Plan(
        job=job,
        buildings=buildings,
        interior=interior,
        pads=pads,
        openings=openings,
        sleeves=sleeves,
        slab=slab,
        stay_clear=stay_clear,
    )


def _inherited(
    homes: list[_Home], shared: PartKeys | None, shared_branch: Branch
) -> dict[int, tuple[list[PartKeys], list[Branch]]]:
    """Say for each building what its lines inherit from, and where that stands in the file."""
    found: dict[int, tuple[list[PartKeys], list[Branch]]] = {}
    for number, home in enumerate(homes):
        found[number] = ([home.keys], [home.branch])
        if shared is not None:
            found[number][0].append(shared)
            found[number][1].append(shared_branch)
    return found


def _interior_reader(
    sources: list[tuple[PartKeys, int | None]],
    homes: list[_Home],
    shared_branch: Branch,
    frame: Frame,
) -> InteriorReader:
    """Gather the interior lines of every building, and those beside the list."""
    entries = [
        Entry(keys, number, [part], [shared_branch] if number is None else [homes[number].branch])
        for part, number in sources
        for keys in part.interior
    ]
    lost = any(frame.faults.touched((*part.place, "interior")) for part, _ in sources)
    return InteriorReader(entries, lost, frame)


def _read_slab(parts: list[PartKeys], faults: Faults) -> Slab | None:
    """Read the slab, given once in the job."""
    slabs = [part.slab for part in parts if part.slab is not None]
    for extra in slabs[1:]:
        faults.add(extra.place, "a slab is given already", "keep one of them")
    if not slabs:
        return None
    return Slab(top=slabs[0].top, thickness=slabs[0].thickness, base=slabs[0].base)


def _check_names(frame: Frame, sources: list[tuple[PartKeys, int | None]], faults: Faults) -> None:
    """Note names that are used twice: of buildings, corners, lines and pads."""

    def used() -> Iterator[tuple[str, Place]]:
        for outline in frame.outlines:
            if outline is None:
                continue
            if outline.name is not None:
                yield (outline.name, (*outline.place[:-1], "name"))
            for corner in outline.corners:
                yield (corner.name, (*outline.place, corner.name))
        for part, _ in sources:
            for line in part.interior:
                yield (line.name, (*line.place, "name"))
            for pad in part.pads:
                yield (pad.name, (*pad.place, "name"))
                for number in range(pad.count or 0):
                    yield (f"{pad.name}{number + 1}", (*pad.place, "name"))

    counts: Counter[str] = Counter()
    for name, place in used():
        counts[name] += 1
        if counts[name] == 2:
            faults.add(place, f"the name {name} is used twice", "give each its own name")


def _check_overlaps(frame: Frame, stay_clear: tuple[StayClear, ...], faults: Faults) -> None:
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
