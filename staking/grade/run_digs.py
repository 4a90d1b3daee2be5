"""What is dug under each level stretch: how deep, how wide with its bank, and beside what."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from staking.footing.bands import dig_bands
from staking.footing.bands_and_outlines import Band, Ring
from staking.frozen import frozen
from staking.grade.neighbours import Beside
from staking.grade.stepped_footing import PadLevel, SteppedFooting, WallProfile
from staking.grade.stepping.built_steps import BuiltStep
from staking.grade.stepping.cells import Patch, SiteGround, cell_patches
from staking.grade.stepping.wall_network import Network, Strand
from staking.kinds import FootingKind
from staking.plan import Dig, Plan, Point
from staking.tolerances import ON_LINE


@frozen
class RunDig:
    """The dig under one level stretch of a wall, or under a pad; m.

    Parameters
    ----------
    start, end
        Stations it is dug from and to, the overlap under a higher neighbour included.
    level
        Elevation it is dug to, under the stone base.
    bottom
        Elevation of the footing's bottom.
    depth
        The greatest depth below existing ground.
    """

    wall: str
    start: float
    end: float
    level: float
    bottom: float
    depth: float


def run_digs(
    strand: Strand,
    profile: WallProfile,
    built: Sequence[BuiltStep],
    site: SiteGround,
    base: float = 0.0,
) -> tuple[RunDig, ...]:
    """Give the dig under each level stretch of one wall.

    Parameters
    ----------
    strand, profile, built
        The wall, its levels and its steps as built.
    site
        The ground; the dig is from the existing one.
    base
        Stone under the footing, m.

    Returns
    -------
    tuple of RunDig
        From the wall's first corner. A depth is from the highest ground over the cells dug.
    """
    edges = np.array(profile.bounds.edges)
    highest = site.existing.highest(cell_patches(strand, edges))
    found = []
    for i, level in enumerate(profile.levels):
        start, end = level.start, level.end
        if i > 0 and built[i - 1].step.down:
            start = min(start, built[i - 1].dig_to)
        if i < len(built) and not built[i].step.down:
            end = max(end, built[i].dig_to)
        dug = (edges[:-1] < end - ON_LINE) & (edges[1:] > start + ON_LINE)
        found.append(
            RunDig(
                wall=profile.wall,
                start=start,
                end=end,
                level=level.bottom - base,
                bottom=level.bottom,
                depth=float(highest[dug].max()) - level.bottom + base,
            )
        )
    return tuple(found)


def pad_digs(
    network: Network, pads: Sequence[PadLevel], site: SiteGround, base: float = 0.0
) -> tuple[RunDig, ...]:
    """Give the dig under each pad.

    Parameters
    ----------
    network
        Knows the ground each pad covers.
    pads
        Their levels.
    site
        The ground.
    base
        Stone under them, m.

    Returns
    -------
    tuple of RunDig
        In the order given; stations are 0.
    """
    covered = network.covered
    found = []
    for pad in pads:
        patch = Patch(wall=pad.pad, start=0.0, end=0.0, ring=covered[pad.pad])
        level = pad.bottom - base
        found.append(
            RunDig(
                wall=pad.pad,
                start=0.0,
                end=0.0,
                level=level,
                bottom=pad.bottom,
                depth=float(site.existing.highest([patch])[0]) - level,
            )
        )
    return tuple(found)


def stepped_dig_bands(
    plan: Plan, dig: Dig, network: Network, digs: Sequence[RunDig]
) -> tuple[Band, ...]:
    """Give the strips that are dug where the bank follows each stretch's own depth.

    Parameters
    ----------
    plan, dig
        The building and how it is dug; `dig.depth` is not used.
    network, digs
        Its walls, and what is dug under each stretch and pad.

    Returns
    -------
    tuple of Band
        Walls in the plan's order, a band for each stretch from the wall's first corner and one
        for each end at the greater depth of its corner, then interior lines and pads. Without a
        bank the depth makes no difference, and the strips are those of `dig_bands`.
    """
    if dig.bank <= 0:
        return dig_bands(plan, dig)[0]
    by_wall: dict[str, list[RunDig]] = {}
    for each in digs:
        by_wall.setdefault(each.wall, []).append(each)
    strands = {strand.name: strand for strand in network.strands}
    corners = _corner_depths(network, by_wall)
    depths = {max(each.depth, 0.0) for each in digs} | set(corners.values())
    at_depth = {
        depth: {band.name: band.hull for band in dig_bands(plan, replace(dig, depth=depth))[0]}
        for depth in sorted(depths)
    }
    bands = []
    for plain in network.bands:
        strand = strands.get(plain.name)
        hulls = []
        for each in by_wall.get(plain.name, ()):
            hull = at_depth[max(each.depth, 0.0)][plain.name]
            hulls.append(hull if strand is None else stretch_of(strand, hull, each.start, each.end))
        if strand is not None and strand.kind is FootingKind.WALL:
            for place in (0, -1):
                depth = corners[strand.nodes[place][0]]
                hulls.append(_at_end(strand, at_depth[depth][plain.name], first=place == 0))
        bands += [Band(name=plain.name, kind=plain.kind, hull=hull) for hull in hulls]
    return tuple(bands)


def _corner_depths(network: Network, by_wall: Mapping[str, Sequence[RunDig]]) -> dict[int, float]:
    # The greater depth of the stretches that meet at each corner.
    found: dict[int, float] = {}
    for strand in network.strands:
        for place in (0, -1):
            number, depth = strand.nodes[place][0], by_wall[strand.name][place].depth
            if strand.kind is FootingKind.WALL:
                found[number] = max(found.get(number, 0.0), depth)
    return found


def _at_end(strand: Strand, hull: Ring, *, first: bool) -> Ring:
    # A strip's end, past its inner mitre. Both walls of a corner give theirs at one depth, so
    # that these meet in the very same points and no slit is left between unlike stretches.
    stations = [station for station, _ in strand.local(hull)]
    middle, more = strand.length / 2, strand.footing.width
    if first:
        reach = max((each for each in stations if each < middle), default=0.0)
        return stretch_of(strand, hull, 0.0, min(reach + more, strand.length))
    reach = min((each for each in stations if each >= middle), default=strand.length)
    return stretch_of(strand, hull, max(reach - more, 0.0), strand.length)


def beside(
    plan: Plan, dig: Dig, network: Network, digs: Sequence[RunDig], stepped: SteppedFooting
) -> tuple[tuple[Beside, ...], tuple[Beside, ...]]:
    """Give what is dug and the footings it may come near.

    Parameters
    ----------
    plan, dig, network, digs, stepped
        The building, how it is dug, its walls, what is dug, and the levels.

    Returns
    -------
    tuple
        Digs, without their banks; and footings: of standing buildings along a side where their
        bottom is known, of pads, and of every joined set of walls.
    """
    parts = _parts(network)
    dug = {band.name: band.hull for band in dig_bands(plan, replace(dig, bank=0.0))[0]}
    hulls = network.covered
    strands = {strand.name: strand for strand in network.strands}
    joined = {pad.pad: _joined(pad.pad, hulls, parts) for pad in stepped.pads}
    digs_beside: list[Beside] = []
    footings = list(_old_footings(plan))
    for each in digs:
        strand = strands.get(each.wall)
        part = joined[each.wall] if strand is None else parts[each.wall]
        for rings, level, found in (
            (dug, each.level, digs_beside),
            (hulls, each.bottom, footings),
        ):
            ring = rings[each.wall]
            if strand is not None:
                ring = stretch_of(strand, ring, each.start, each.end)
            name = f"pad {each.wall}" if strand is None else each.wall
            found.append(Beside(name=name, part=part, ring=ring, level=level))
    return tuple(digs_beside), tuple(footings)


def _old_footings(plan: Plan) -> list[Beside]:
    found = []
    for building in plan.buildings:
        for side in building.sides:
            old, a, b = side.wall.existing, side.start, side.end
            if old is None or old.footing_bottom is None:
                continue
            # The old footing reaches from the side toward our building.
            reach, (x, y) = old.footing_out or 0.0, side.inward
            shift = (reach * x, reach * y)
            name = f"the old footing along {side.wall.name}"
            ring = ((a[0] + shift[0], a[1] + shift[1]), (b[0] + shift[0], b[1] + shift[1]))
            found.append(
                Beside(name=name, part=name, ring=ring, level=old.footing_bottom, stands=True)
            )
    return found


def _parts(network: Network) -> dict[str, str]:
    # Walls that meet at a corner or junction are built together.
    part = list(range(len(network.strands)))
    for i, strand in enumerate(network.strands):
        mine = {number for number, _ in strand.nodes}
        for k in range(i):
            if mine & {number for number, _ in network.strands[k].nodes}:
                old, new = part[i], part[k]
                part = [new if each == old else each for each in part]
    return {
        strand.name: f"walls {number}" for strand, number in zip(network.strands, part, strict=True)
    }


def _joined(pad: str, hulls: dict[str, Ring], parts: dict[str, str]) -> str:
    # A pad whose footing overlaps a wall's is cast with it.
    from shapely.geometry import Polygon

    shape = Polygon(hulls[pad])
    for wall, part in parts.items():
        if float(shape.intersection(Polygon(hulls[wall])).area) > ON_LINE:
            return part
    return f"pad {pad}"


def stretch_of(strand: Strand, ring: Ring, start: float, end: float) -> Ring:
    """Cut a wall's strip of ground to what lies between two stations.

    Parameters
    ----------
    strand
        The wall.
    ring
        The strip, convex, m.
    start, end
        Stations, m. The strip's own ends stay where they are the wall's.

    Returns
    -------
    Ring
        The part between; corners of the strip stay to the last bit, or slits would open between
        neighbours.
    """
    kept = list(ring)
    if start > ON_LINE:
        kept = _beyond(strand, kept, start, 1.0)
    if end < strand.length - ON_LINE:
        kept = _beyond(strand, kept, end, -1.0)
    return tuple(kept)


def _beyond(strand: Strand, ring: list[Point], station: float, sign: float) -> list[Point]:
    along = [sign * (each - station) for each, _ in strand.local(tuple(ring))]
    kept: list[Point] = []
    for i, (x, y) in enumerate(ring):
        (before_x, before_y), here, there = ring[i - 1], along[i], along[i - 1]
        if (here < 0) != (there < 0):
            share = there / (there - here)
            kept.append((before_x + share * (x - before_x), before_y + share * (y - before_y)))
        if here >= 0:
            kept.append((x, y))
    return kept
