"""Pads and rows of them, openings and sleeves: what stands beside, in and through the walls."""

from __future__ import annotations

import math

from staking.errors import MeasureError
from staking.job.building.closed_shapes import overlap, strip
from staking.job.building.interior import InteriorReader
from staking.job.building.outlines_by_name import OutlinesByName, WallOn, plain_name
from staking.job.keys.models import OpeningKeys, PadKeys, SleeveKeys
from staking.job.tree.faults import Faults
from staking.job.tree.source import Branch
from staking.notices import Severity, notice
from staking.plan import Building, InteriorLine, Opening, Pad, Point, Sleeve
from staking.tolerances import SAME_POINT

ROUND_SIDES = 32
"""Sides of the shape that stands for a round pad when it is held against a wall."""


class OnLines:
    """Finds the wall or the interior line that a name means, with its length."""

    def __init__(
        self, frame: OutlinesByName, interior: InteriorReader, existing: frozenset[str]
    ) -> None:
        self.frame = frame
        self.interior = interior
        self.existing = existing
        self.faults: Faults = frame.faults

    def find(
        self, text: str, place: tuple[str | int, ...], remedy: str = "name another wall"
    ) -> WallOn | None:
        """Find a wall or line that is ours to build, noting where there is none."""
        name = plain_name(text)
        length = self.interior.length(name)
        if length is not None:
            return WallOn(building=0, index=0, name=name, length=length, turned=False)
        if name in self.interior.by_name or ("-" not in name and self.interior.lost):
            return None
        wall = self.frame.wall(text, place)
        if wall is not None and wall.name in self.existing:
            self.faults.add(place, f"{text} is an existing side, with no wall to build", remedy)
            return None
        return wall

    def direction(self, text: str, place: tuple[str | int, ...]) -> float:
        """Give the direction of a wall or line from its first end, rad; 0 where there is none."""
        name = plain_name(text)
        turn = self.interior.direction(name)
        if turn is not None or name in self.interior.by_name:
            return turn or 0.0
        wall = self.frame.wall(text, place)
        return self.frame.direction(wall) if wall is not None else 0.0


def read_pads(keys: PadKeys, branch: Branch, lines: OnLines) -> tuple[Pad, ...]:
    """Make one pad, or the pads of a row, noting what is wrong with them."""
    faults, place = lines.faults, keys.place
    if keys.size is not None and keys.diameter is not None:
        faults.add((*place, "diameter"), "size is given as well", "keep one of the two")
    if keys.size is None and keys.diameter is None:
        faults.add(place, "no size is given", 'add size: [24", 24"] or diameter: 12"')
    turn = lines.direction(keys.along, (*place, "along")) if keys.along is not None else 0.0
    row_keys = [key for key in ("from", "to", "count") if key in branch]
    if "at" in branch and row_keys:
        faults.add((*place, row_keys[0]), "at is given as well", "keep at, or from, to and count")
        return ()

    def pad(name: str, point: Point, row: str | None) -> Pad:
        return Pad(
            name=name,
            x=point[0],
            y=point[1],
            size=keys.size,
            diameter=keys.diameter,
            thickness=keys.thickness,
            turn=turn,
            row=row,
        )

    if keys.at is not None:
        return (pad(keys.name, keys.at, None),)
    if not row_keys:
        faults.add(place, "no place is given", "add at: [x, y], or from, to and count")
        return ()
    first, last, count = keys.from_, keys.to, keys.count
    missing = [key for key in ("from", "to", "count") if key not in row_keys]
    if missing:
        faults.add(
            place, f"a row needs from, to and count, and has no {missing[0]}", f"add {missing[0]}"
        )
    if first is None or last is None or count is None:
        return ()
    if math.dist(first, last) <= SAME_POINT:
        faults.add((*place, "to"), "the row ends where it starts", "give its last pad's centre")
        return ()
    return tuple(
        pad(
            f"{keys.name}{number + 1}",
            (
                first[0] + (last[0] - first[0]) * number / (count - 1),
                first[1] + (last[1] - first[1]) * number / (count - 1),
            ),
            keys.name,
        )
        for number in range(count)
    )


def read_openings(all_keys: list[OpeningKeys], lines: OnLines) -> tuple[Opening, ...]:
    """Make the openings, noting those past their wall's end or over one another."""
    faults = lines.faults
    found: list[Opening] = []
    for keys in all_keys:
        wall = lines.find(keys.wall, (*keys.place, "wall"))
        if wall is None:
            continue
        end = keys.from_ + keys.width
        if end > wall.length + SAME_POINT:
            faults.add(
                (*keys.place, "width"),
                f"the opening ends {faults.length(end)} along {keys.wall}, past the wall's end",
                f"{keys.wall} is {faults.length(wall.length)} long",
            )
            continue
        opening = Opening(
            wall=wall.name,
            start=max(wall.station(end if wall.turned else keys.from_), 0.0),
            width=keys.width,
            drop=keys.drop,
        )
        for other in found:
            if other.wall == opening.wall and (
                min(other.start + other.width, opening.start + opening.width)
                - max(other.start, opening.start)
                > SAME_POINT
            ):
                faults.add(
                    keys.place, f"two openings of {keys.wall} overlap", "check from and width"
                )
        found.append(opening)
    return tuple(found)


def read_sleeves(all_keys: list[SleeveKeys], lines: OnLines) -> tuple[Sleeve, ...]:
    """Make the sleeves, noting those past their wall's end."""
    found: list[Sleeve] = []
    for keys in all_keys:
        wall = lines.find(keys.wall, (*keys.place, "wall"))
        if wall is None:
            continue
        try:
            along = lines.frame.on_wall(wall, keys.at, keys.wall)
        except MeasureError as error:
            lines.faults.add_error((*keys.place, "at"), error)
            continue
        found.append(
            Sleeve(wall=wall.name, station=wall.station(along), invert=keys.invert, size=keys.size)
        )
    return tuple(found)


def pad_shape(pad: Pad) -> tuple[Point, ...]:
    """Give a pad's corners, m; a round one's stand on its circle."""
    if pad.size is None:
        radius = (pad.diameter or 0.0) / 2
        step = 2 * math.pi / ROUND_SIDES
        offsets = [
            (radius * math.cos(step * number), radius * math.sin(step * number))
            for number in range(ROUND_SIDES)
        ]
    else:
        half_width, half_depth = pad.size[0] / 2, pad.size[1] / 2
        cos, sin = math.cos(pad.turn), math.sin(pad.turn)
        offsets = [
            (cos * u - sin * v, sin * u + cos * v)
            for u, v in (
                (-half_width, -half_depth),
                (half_width, -half_depth),
                (half_width, half_depth),
                (-half_width, half_depth),
            )
        ]
    return tuple((pad.x + u, pad.y + v) for u, v in offsets)


def tell_pads_under_walls(
    pads: tuple[Pad, ...],
    buildings: tuple[Building, ...],
    interior: tuple[InteriorLine, ...],
    faults: Faults,
) -> None:
    """Tell of pads that lie under a wall: allowed, and worth a second look at the plan."""
    strips: list[tuple[str, tuple[Point, ...]]] = []
    for building in buildings:
        for side in building.sides:
            wall, thick = side.wall, side.wall.thickness
            if wall.existing is None:
                left, right = (thick, 0.0) if side.anticlockwise else (0.0, thick)
                strips.append((wall.sorted_name, strip(side.start, side.end, left, right)))
    for line in interior:
        half = line.thickness / 2
        strips.append((line.name, strip(line.start, line.end, half, half)))
    for pad in pads:
        shape = pad_shape(pad)
        over = sorted(name for name, wall in strips if overlap(shape, wall))
        if over:
            faults.notices.append(
                notice(
                    "pad-under-wall",
                    "pad {pad} lies under {walls}",
                    Severity.NOTE,
                    pad=pad.name,
                    walls=", ".join(over),
                )
            )
