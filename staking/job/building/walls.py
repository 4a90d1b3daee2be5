"""The walls and footings of a building: what is said once, what differs, and whether it stands."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

from staking.frozen import frozen
from staking.job.building.building_outline import BuildingOutline
from staking.job.building.outlines_by_name import OutlinesByName
from staking.job.contradictions import check_old_levels
from staking.job.keys.models import BuildingKeys, ExistingKeys, PartKeys, Section, WallKeys
from staking.job.tree.faults import Faults
from staking.job.tree.source import Branch, Place
from staking.notices import Severity, notice
from staking.plan import Existing, Footing, Wall
from staking.tolerances import ON_LINE


@frozen(kw_only=False)
class Given:
    """A length and where in the file it was given."""

    metres: float
    place: Place


def first_given(chain: Sequence[Section], key: str) -> Given | None:
    """Find a length in the first of the mappings that has it."""
    for keys in chain:
        value = getattr(keys, key)
        if value is not None:
            return Given(value, (*keys.place, key))
    return None


def stated(faults: Faults, homes: list[Branch], key: str, part: str | None = None) -> bool:
    """Note a wall thickness or footing size that is nowhere given.

    Returns
    -------
    bool
        Whether anything was noted, here or before, so that nothing else need be.
    """
    words = {"wall": 'add wall: 8"', "footing": 'add footing: {width: 20", thickness: 10"}'}
    if faults.touched((key,)) or any(faults.touched((*home.place, key)) for home in homes):
        return True
    home = homes[0]
    if part is not None and key in home:
        example = {"width": 'add width: 20"', "thickness": 'add thickness: 10"'}[part]
        faults.add((*home.place, key, part), "this key is missing", example)
    else:
        faults.add((*home.place, key), "this key is missing", words[key])
    return True


def read_walls(
    building: int,
    keys: BuildingKeys,
    shared: PartKeys | None,
    homes: list[Branch],
    frame: OutlinesByName,
) -> tuple[Wall, ...] | None:
    """Make the walls of one building.

    Parameters
    ----------
    building
        Its position among the buildings.
    keys, shared
        What is sound of its own keys, and of those beside the list.
    homes
        The mappings they came from, its own first.
    frame
        All outlines.

    Returns
    -------
    tuple of Wall or None
        None where a fault keeps a wall from being made.
    """
    outline = frame.outlines[building]
    faults = frame.faults
    parts: list[PartKeys] = [keys, shared] if shared is not None else [keys]
    if outline is None:
        _check_defaults(parts, faults)
        return None
    overrides: dict[int, list[WallKeys]] = defaultdict(list)
    for part in parts:
        seen: dict[int, str] = {}
        for name, wall_keys in part.walls.items():
            wall = frame.wall(
                name, (*part.place, "walls", name), building if part is keys else None
            )
            if wall is None or wall.building != building:
                continue
            if wall.index in seen:
                faults.add(
                    (*part.place, "walls", name),
                    f"this is the wall {seen[wall.index]} again",
                    "keep one of the two",
                )
            seen[wall.index] = name
            overrides[wall.index].append(wall_keys)
    walls = [
        _read_wall(outline, index, overrides[index], parts, homes, faults)
        for index in range(len(outline.corners))
    ]
    if walls and all(wall is not None and wall.existing is not None for wall in walls):
        faults.add(homes[0].place, "every side is existing", "leave at least one wall to build")
    return None if any(wall is None for wall in walls) else tuple(w for w in walls if w is not None)


def _read_wall(
    outline: BuildingOutline,
    index: int,
    own: list[WallKeys],
    parts: list[PartKeys],
    homes: list[Branch],
    faults: Faults,
) -> Wall | None:
    """Make one wall from what differs and what is inherited."""
    start, end = outline.wall_name(index).split("-")
    existing = next((keys.existing for keys in own if keys.existing is not None), None)
    chain: list[WallKeys | PartKeys] = [*own, *parts]
    footings = [keys.footing for keys in chain if keys.footing is not None]
    wall = first_given(chain, "wall")
    width = first_given(footings, "width")
    thickness = first_given(footings, "thickness")
    outside = first_given(footings, "outside")
    if existing is not None:
        for keys in own:
            for key in ("wall", "footing"):
                if getattr(keys, key) is not None:
                    faults.add(
                        (*keys.place, key),
                        "an existing side has no wall or footing of its own",
                        "take it out, or take out existing",
                    )
        return Wall(
            start=start,
            end=end,
            thickness=wall.metres if wall else 0.0,
            footing=_footing(wall, width, thickness, outside),
            existing=_existing(existing, faults),
        )
    if wall is None:
        stated(faults, homes, "wall")
    if width is None:
        stated(faults, homes, "footing", "width")
    if thickness is None:
        stated(faults, homes, "footing", "thickness")
    if width is None or thickness is None or wall is None:
        check_widths(wall, width, outside, faults)
        return None
    if not check_widths(wall, width, outside, faults):
        return None
    return Wall(
        start=start,
        end=end,
        thickness=wall.metres,
        footing=_footing(wall, width, thickness, outside),
    )


def _footing(
    wall: Given | None, width: Given | None, thickness: Given | None, outside: Given | None
) -> Footing:
    """Make a footing, centred under its wall unless its projection is given."""
    across = width.metres if width else 0.0
    centred = (across - wall.metres) / 2 if wall else 0.0
    return Footing(
        width=across,
        thickness=thickness.metres if thickness else 0.0,
        outside=outside.metres if outside else max(centred, 0.0),
    )


def _existing(keys: ExistingKeys, faults: Faults) -> Existing:
    check_old_levels(keys, faults)
    return Existing(footing_bottom=keys.footing_bottom, footing_out=keys.footing_out, top=keys.top)


def check_widths(
    wall: Given | None, width: Given | None, outside: Given | None, faults: Faults
) -> bool:
    """Note a footing that is narrower than its wall, or that its wall overhangs.

    Returns
    -------
    bool
        Whether the wall stands on its footing.
    """
    if wall is None or width is None:
        return False
    if width.metres < wall.metres - ON_LINE:
        place = max(width.place, wall.place, key=len)
        faults.add(
            place,
            f"a footing {faults.length(width.metres)} wide is narrower than its wall, "
            f"{faults.length(wall.metres)}",
            "make the footing wider",
        )
        return False
    if outside is not None and outside.metres > width.metres - wall.metres + ON_LINE:
        over = outside.metres - (width.metres - wall.metres)
        most = width.metres - wall.metres
        faults.add(
            max(outside.place, width.place, wall.place, key=len),
            f"the wall overhangs the footing inside by {faults.length(over)}",
            f"make outside {faults.length(most)} or less, or the footing wider",
        )
        return False
    return True


def _check_defaults(parts: list[PartKeys], faults: Faults) -> None:
    """Look at the inherited wall and footing where there is no outline to hang them on."""
    footings = [keys.footing for keys in parts if keys.footing is not None]
    check_widths(
        first_given(parts, "wall"),
        first_given(footings, "width"),
        first_given(footings, "outside"),
        faults,
    )


def say_unused(section: str, keys: list[str], faults: Faults) -> None:
    """Say that keys are known and not yet used."""
    verb = "is" if len(keys) == 1 else "are"
    faults.notices.append(
        notice(
            "not-yet-used",
            f"{{keys}} {verb} read, and change nothing yet",
            Severity.NOTE,
            keys=", ".join(f"{section}.{key}" for key in keys),
        )
    )
