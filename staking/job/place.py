"""How the building is placed on its lot: the names that are given, held against the building."""

from __future__ import annotations

from staking.job.keys.site_keys import AlongKeys, ByBearingKeys, ByTapeKeys, FitKeys
from staking.job.tree.faults import Faults
from staking.job.tree.source import Place as FilePlace
from staking.plan import reversed_name
from staking.site.site_request import (
    Place,
    PlaceAlong,
    PlaceByBearing,
    PlaceByFit,
    PlaceByTape,
    TapedCorner,
)

PlaceKeys = AlongKeys | ByBearingKeys | ByTapeKeys | FitKeys


def read_place(
    keys: PlaceKeys, walls: tuple[str, ...], corners: tuple[str, ...], faults: Faults
) -> Place | None:
    """Make the placement, noting names that the building has not.

    Parameters
    ----------
    keys
        What is sound of the section.
    walls, corners
        The names that the building has, walls in the outline's order; empty where the building
        is not sound itself.
    faults
        Where faults are noted.

    Returns
    -------
    Place or None
        None where a name is wrong.
    """
    if isinstance(keys, FitKeys):
        whole = [_is_corner((*keys.place, "fit", name), name, corners, faults) for name in keys.fit]
        return PlaceByFit(pairs=tuple(keys.fit.items())) if all(whole) else None
    if isinstance(keys, ByTapeKeys):
        return _by_tape(keys, corners, faults)
    wall = _wall(keys, walls, faults)
    if isinstance(keys, AlongKeys):
        if len(keys.along) != 2:
            faults.add(
                (*keys.place, "along"),
                f"{len(keys.along)} points where two are due",
                "write the two points along which the wall runs",
            )
            return None
        if wall is None:
            return None
        return PlaceAlong(
            wall=wall,
            along=(keys.along[0], keys.along[1]),
            from_first=keys.from_first or 0.0,
            offset=keys.offset or 0.0,
        )
    if not _is_corner((*keys.place, "corner"), keys.corner, corners, faults) or wall is None:
        return None
    return PlaceByBearing(
        corner=keys.corner,
        wall=wall,
        northing=keys.north,
        easting=keys.east,
        azimuth=keys.bearing,
    )


def _wall(keys: AlongKeys | ByBearingKeys, walls: tuple[str, ...], faults: Faults) -> str | None:
    """Give the wall's name, the first by default; None where there is no such wall."""
    if keys.wall is None:
        return walls[0] if walls else None
    known = {*walls, *(reversed_name(wall) for wall in walls)}
    if walls and keys.wall not in known:
        faults.add(
            (*keys.place, "wall"),
            f"{keys.wall} is not a wall of the building",
            f"write one of {', '.join(walls)}",
        )
        return None
    return keys.wall


def _is_corner(place: FilePlace, name: str, corners: tuple[str, ...], faults: Faults) -> bool:
    """Say whether the building has such a corner, noting where it has not."""
    if corners and name not in corners:
        faults.add(
            place,
            f"{name} is not a corner of the building",
            f"write one of {', '.join(corners)}",
        )
        return False
    return True


def _by_tape(keys: ByTapeKeys, corners: tuple[str, ...], faults: Faults) -> PlaceByTape | None:
    """Make the placement of two corners by two tapes each."""
    found = []
    for corner, ties in keys.tape.items():
        if _is_corner((*keys.place, "tape", corner), corner, corners, faults):
            first, second = ties.items()
            found.append(TapedCorner(corner=corner, ties=(first, second)))
    return PlaceByTape(corners=(found[0], found[1]), side=keys.side) if len(found) == 2 else None
