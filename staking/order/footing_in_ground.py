"""The footing as it stands in the ground: its strips, the walls on it, and its trench."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from staking.footing.bands import dig_bands, footing_bands
from staking.footing.bands_and_outlines import Band
from staking.frozen import frozen
from staking.grade.stepping.wall_network import Network, join_walls
from staking.kinds import Casting
from staking.order.trench import Bank, DigPiece, Edge, banks_of, dig_pieces
from staking.order.wall_levels import Levels
from staking.plan import Dig, Footing, Plan


@frozen(eq=False)
class FootingInGround:
    """The footings of a job at their levels, and all strips of ground that the order measures.

    Parameters
    ----------
    plan
        The building.
    dig
        How it is dug, and what the footing is cast against.
    levels
        The footings as level stretches.
    drawn
        The strips as drawn, m.
    trench
        The strips of the trench's bottom, over-dig and bucket counted, the bank not.
    pieces
        The trench's bottom by level, the deepest first.
    banks
        The trench's sloping sides.
    walls
        The walls and interior walls; the strip of each is the ground that the wall itself covers.
    inside
        The ground inside the walls' outside faces, a shapely geometry, m.
    floor
        The same less the walls and interior walls that stand in it.
    standing
        The sides against standing buildings, m.
    """

    plan: Plan
    dig: Dig
    levels: Levels
    drawn: tuple[Band, ...]
    trench: tuple[Band, ...]
    pieces: tuple[DigPiece, ...]
    banks: tuple[Bank, ...]
    walls: Network
    inside: Any
    floor: Any
    standing: tuple[Edge, ...]

    @property
    def cast(self) -> tuple[Band, ...]:
        """The strips filled with concrete: as drawn in forms, else the trench's whole bottom."""
        return self.drawn if self.dig.cast is Casting.FORMS else self.trench

    def at(self, levels: Levels) -> FootingInGround:
        """Give the same footings at other levels.

        Returns
        -------
        FootingInGround
            The strips are the same; where the trench's bottom changes its level is not.
        """
        pieces = dig_pieces(levels, self.trench)
        banks = banks_of(pieces, self.dig.bank, self.standing)
        return replace(self, levels=levels, pieces=pieces, banks=banks)


def footing_in_ground(
    plan: Plan, levels: Levels, dig: Dig, drawn: tuple[Band, ...] | None = None
) -> FootingInGround:
    """Lay all strips of a job's footings out, once for the whole order.

    Parameters
    ----------
    plan, levels
        The building and its footings' levels.
    dig
        How it is dug.
    drawn
        The strips as drawn, m; None has them made here.

    Returns
    -------
    FootingInGround
        Its strips, walls, floor and trench.
    """
    from shapely.geometry import Polygon
    from shapely.ops import unary_union

    # On a footing as wide as its wall a strip is the wall itself.
    bare = _bare(plan)
    standing = footing_bands(bare)[0]
    inside = unary_union([Polygon(building.ring) for building in plan.buildings])
    trench = dig_bands(plan, replace(dig, bank=0.0, depth=0.0))[0]
    pieces = dig_pieces(levels, trench)
    upright = tuple(
        (side.start, side.end)
        for building in plan.buildings
        for side in building.sides
        if side.wall.existing is not None
    )
    return FootingInGround(
        plan=plan,
        dig=dig,
        levels=levels,
        drawn=footing_bands(plan)[0] if drawn is None else drawn,
        trench=trench,
        pieces=pieces,
        banks=banks_of(pieces, dig.bank, upright),
        walls=join_walls(bare, standing),
        inside=inside,
        floor=inside.difference(unary_union([Polygon(band.hull) for band in standing])),
        standing=upright,
    )


def _bare(plan: Plan) -> Plan:
    # The plan with footings that are the walls themselves, without pads.
    def under(thickness: float, footing: Footing, outside: float) -> Footing:
        return replace(footing, width=thickness, outside=outside)

    buildings = tuple(
        replace(
            building,
            walls=tuple(
                replace(wall, footing=under(wall.thickness, wall.footing, 0.0))
                for wall in building.walls
            ),
        )
        for building in plan.buildings
    )
    interior = tuple(
        replace(line, footing=under(line.thickness, line.footing, line.thickness / 2))
        for line in plan.interior
    )
    return replace(plan, buildings=buildings, interior=interior, pads=())
