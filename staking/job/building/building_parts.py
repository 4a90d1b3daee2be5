"""What stands on, in and beside the outlines: interior lines, pads, openings, sleeves, levels."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from staking.job.building.building_outline import BuildingOutline
from staking.job.building.interior import Entry, InteriorReader
from staking.job.building.outlines_by_name import OutlinesByName
from staking.job.building.pads import (
    OnLines,
    read_openings,
    read_pads,
    read_sleeves,
    tell_pads_under_walls,
)
from staking.job.building.walls import say_unused
from staking.job.keys.models import BuildingKeys, PartKeys
from staking.job.tree.faults import Faults
from staking.job.tree.job_limits import MOST_PARTS
from staking.job.tree.sections import mapping_at
from staking.job.tree.source import Branch, Place
from staking.plan import Building, Pad, Plan, Slab, StayClear

if TYPE_CHECKING:
    from staking.grade.grade_request import GradeAsked
    from staking.job.grade_section import GradeReader


@dataclass(slots=True)
class Home:
    """A building as it stands in the file, with what is sound of it."""

    branch: Branch
    keys: BuildingKeys


def too_many_parts(parts: list[PartKeys], faults: Faults) -> bool:
    """Note more pads, openings, sleeves or lines than any job has, before they are made."""
    for key in ("pads", "openings", "sleeves", "interior"):
        held = [each for part in parts for each in getattr(part, key)]
        count = sum((each.count or 1) if key == "pads" else 1 for each in held)
        if count > MOST_PARTS:
            faults.add(
                held[0].place[:-1],
                f"there are {count} in all; a job has {MOST_PARTS} at most",
                "check the counts, or split the job",
            )
            return True
    return False


def sides_of(outline: BuildingOutline) -> list[str]:
    """Name an outline's sides, in its order."""
    names = [corner.name for corner in outline.corners]
    return [f"{a}-{b}" for a, b in zip(names, (*names[1:], names[0]), strict=True)]


def read_parts(
    job: str,
    homes: list[Home],
    common: tuple[PartKeys | None, Branch],
    frame: OutlinesByName,
    buildings: tuple[Building, ...],
    stay_clear: tuple[StayClear, ...],
    levels: GradeReader | None,
) -> tuple[Plan, GradeAsked | None]:
    """Read what stands on, in and beside the outlines.

    Returns
    -------
    tuple
        The plan, and what is asked of its levels.

    Raises
    ------
    InputError
        With every fault of the file.
    TypeError
        Where a part is lost without a fault: a slip of this program.
    """
    faults = frame.faults
    shared, shared_branch = common
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
    grade = _read_levels(levels, lines, [part for part, _ in sources], pads)
    faults.stop_if_any()
    if len(buildings) < len(homes) or len(interior) < len(reader.entries):
        raise TypeError("a part of the building went missing without a fault")
    tell_pads_under_walls(pads, buildings, interior, faults)
    plan = Plan(
        job=job,
        buildings=buildings,
        interior=interior,
        pads=pads,
        openings=openings,
        sleeves=sleeves,
        slab=slab,
        stay_clear=stay_clear,
    )
    return plan, grade


def _read_levels(
    levels: GradeReader | None, lines: OnLines, parts: list[PartKeys], pads: tuple[Pad, ...]
) -> GradeAsked | None:
    """Read the grade section, now that walls, lines and wall tops are known."""
    tops = [
        (name, keys.top_of_wall)
        for part in parts
        for name, keys in part.walls.items()
        if keys.top_of_wall is not None
    ]
    if levels is None:
        if tops:
            say_unused("walls", [f"{name}.top_of_wall" for name, _ in tops], lines.faults)
        return None
    outlines = [outline for outline in lines.frame.outlines if outline is not None]
    whole = outlines if lines.frame.is_whole else []
    corners = tuple(corner.name for outline in whole for corner in outline.corners)
    ours = {
        name
        for outline in whole
        for side in sides_of(outline)
        if side not in lines.existing
        for name in side.split("-")
    }
    needed = tuple(name for name in corners if name in ours)
    return levels.read(lines, corners, needed, tuple(pad.name for pad in pads), tuple(tops))


def _inherited(
    homes: list[Home], shared: PartKeys | None, shared_branch: Branch
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
    homes: list[Home],
    shared_branch: Branch,
    frame: OutlinesByName,
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


def _check_names(
    frame: OutlinesByName, sources: list[tuple[PartKeys, int | None]], faults: Faults
) -> None:
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
