"""The stepped footing as upright prisms: no two of them share ground."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import lru_cache
from itertools import pairwise

from staking.footing.bands_and_outlines import Ring
from staking.frozen import frozen
from staking.grade.graded import Graded, GradedWall
from staking.grade.run_digs import stretch_of
from staking.lines import clip_ring, direction, signed_area
from staking.plan import Point
from staking.tolerances import ON_LINE

_NOTHING = 1e-6
"""Ground smaller than this is left by rounding alone, m2."""


@frozen
class Prism:
    """Concrete over a convex piece of ground.

    Parameters
    ----------
    names
        The walls, interior lines and pads it belongs to, in the plan's order.
    ring
        The ground it covers, anticlockwise, m.
    bottom, top
        Elevations, m.
    """

    names: tuple[str, ...]
    ring: Ring
    bottom: float
    top: float


@lru_cache(maxsize=2)
def footing_prisms(graded: Graded) -> tuple[Prism, ...]:
    """Cut the concrete of a stepped footing into prisms beside one another.

    Parameters
    ----------
    graded
        Its levels.

    Returns
    -------
    tuple of Prism
        Of walls, interior lines and pads. Past the face of a step the lower footing reaches under
        the higher one as far as it is dug, and both are one prism there. Where footings share
        ground, one prism reaches from the lowest bottom to the highest top.
    """
    prisms: list[Prism] = []
    for wall in graded.walls:
        for each in _wall_prisms(wall):
            prisms = _beside_one_another(prisms, each)
    covered = graded.network.covered
    for pad in graded.pads:
        own = Prism(names=(pad.pad,), ring=covered[pad.pad], bottom=pad.bottom, top=pad.top)
        prisms = _beside_one_another(prisms, own)
    return tuple(prisms)


def _wall_prisms(wall: GradedWall) -> Iterator[Prism]:
    profile, strand = wall.profile, wall.strand
    overlaps = [(*sorted((each.step.station, each.dig_to)), each.step.lower) for each in wall.built]
    cuts = {0.0, profile.length}
    cuts |= {level.start for level in profile.levels}
    cuts |= {end for low, high, _ in overlaps for end in (low, high)}
    stops = sorted(each for each in cuts if 0.0 <= each <= profile.length)
    for start, end in pairwise(stops):
        if end - start <= ON_LINE:
            continue
        middle = (start + end) / 2
        level = next(each for each in profile.levels if each.start <= middle <= each.end)
        dug = [lower for low, high, lower in overlaps if low <= middle <= high]
        yield Prism(
            names=(profile.wall,),
            ring=stretch_of(strand, strand.hull, start, end),
            bottom=min([level.bottom, *dug]),
            top=level.top,
        )


def _beside_one_another(placed: Sequence[Prism], new: Prism) -> list[Prism]:
    # Adds a prism to some that share no ground, so that again none do.
    kept: list[Prism] = []
    rest = [new.ring]
    for old in placed:
        shared = [part for ring in rest for part in _common(ring, old.ring)]
        if not shared:
            kept.append(old)
            continue
        kept += [replace(old, ring=part) for part in _without(old.ring, new.ring)]
        kept += [
            Prism(
                names=tuple(dict.fromkeys((*old.names, *new.names))),
                ring=part,
                bottom=min(old.bottom, new.bottom),
                top=max(old.top, new.top),
            )
            for part in shared
        ]
        rest = [part for ring in rest for part in _without(ring, old.ring)]
    return [*kept, *(replace(new, ring=ring) for ring in rest)]


def _common(first: Ring, second: Ring) -> list[Ring]:
    # The ground two convex rings share: one convex ring or none.
    part: list[Point] = list(first)
    for a, b, c in _sides(second):
        part = clip_ring(part, a, b, c)
    return [tuple(part)] if _is_ground(part) else []


def _without(first: Ring, second: Ring) -> list[Ring]:
    # What of a convex ring lies outside another, in convex pieces.
    if not _common(first, second):
        return [first]
    pieces: list[Ring] = []
    left: list[Point] = list(first)
    for a, b, c in _sides(second):
        outside = clip_ring(left, -a, -b, -c)
        if _is_ground(outside):
            pieces.append(tuple(outside))
        left = clip_ring(left, a, b, c)
    return pieces


def _sides(ring: Ring) -> Iterator[tuple[float, float, float]]:
    # Of an anticlockwise ring: a x + b y + c is the distance inside each side, m.
    for start, end in zip(ring, (*ring[1:], ring[0]), strict=True):
        if start == end:
            continue
        x, y = direction(start, end)
        yield -y, x, y * start[0] - x * start[1]


def _is_ground(ring: Sequence[Point]) -> bool:
    return len(ring) > 2 and abs(signed_area(ring)) > _NOTHING
