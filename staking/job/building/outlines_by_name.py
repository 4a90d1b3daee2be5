"""All outlines of the job together: which wall or corner a name means."""

from __future__ import annotations

import difflib
import math
import re

from staking.errors import MeasureError
from staking.frozen import frozen
from staking.job.building.building_outline import BuildingOutline
from staking.job.tree.faults import Faults
from staking.job.tree.source import Place
from staking.plan import Point, reversed_name
from staking.tolerances import SAME_POINT


@frozen
class WallOn:
    """A wall by its building and position; `turned` where it was named from its other end."""

    building: int
    index: int
    name: str
    length: float
    turned: bool

    def station(self, along: float) -> float:
        """Turn a length from the end named first into one from the wall's own first corner, m."""
        return self.length - along if self.turned else along


class OutlinesByName:
    """The outlines that are sound, and the names on them.

    Parameters
    ----------
    outlines
        One for each building, None where it is not sound.
    faults
        Where faults are noted.
    """

    def __init__(self, outlines: list[BuildingOutline | None], faults: Faults) -> None:
        self.outlines = outlines
        self.faults = faults
        self.is_whole = all(outline is not None for outline in outlines)
        self.walls: dict[str, WallOn] = {}
        for building, outline in enumerate(outlines):
            if outline is None:
                continue
            for index in range(len(outline.corners)):
                name = outline.wall_name(index)
                for spelling in (name, reversed_name(name)):
                    self.walls[spelling] = WallOn(
                        building=building,
                        index=index,
                        name=name,
                        length=outline.wall_length(index),
                        turned=spelling != name,
                    )

    def wall(self, text: str, place: Place, building: int | None = None) -> WallOn | None:
        """Find a wall by its name from either end, noting where there is none.

        Parameters
        ----------
        text
            The name as typed.
        place
            Where it stands in the file.
        building
            The building it must be of, or None.

        Returns
        -------
        WallOn or None
            None where there is no such wall.
        """
        found = self.walls.get(plain_name(text))
        if found is not None and (building is None or found.building == building):
            return found
        if self.is_whole:
            self.faults.add(place, f"there is no wall {text}", self._nearest(text, building))
        return None

    def _nearest(self, text: str, building: int | None) -> str:
        names = [
            wall.name
            for wall in self.walls.values()
            if not wall.turned and building in {None, wall.building}
        ]
        if len(names) <= 12:
            return f"the walls are {', '.join(names)}"
        near = difflib.get_close_matches(plain_name(text), names, n=1, cutoff=0.0)
        return f"the nearest is {near[0]}"

    def point_on(self, wall: WallOn, along: float) -> Point:
        """Give the point on a wall's outside face, `along` from the end named first, m."""
        outline = self.outlines[wall.building]
        if outline is None:
            raise TypeError("a wall of an outline that is not sound")
        start = outline.corners[wall.index].point
        end = outline.corners[(wall.index + 1) % len(outline.corners)].point
        share = wall.station(along) / wall.length
        return (start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1]))

    def on_wall(self, wall: WallOn, along: float, text: str) -> float:
        """Keep a length along a wall within it, forgiving 0.5 mm.

        Returns
        -------
        float
            The length, m.

        Raises
        ------
        MeasureError
            Where it is past either end.
        """
        if along < -SAME_POINT or along > wall.length + SAME_POINT:
            raise MeasureError(
                f"{self.faults.length(along)} along {text} is past its end",
                f"{text} is {self.faults.length(wall.length)} long",
            )
        return min(max(along, 0.0), wall.length)

    def direction(self, wall: WallOn) -> float:
        """Give a wall's direction from the end named first, rad anticlockwise from x."""
        first = self.point_on(wall, 0.0)
        last = self.point_on(wall, wall.length)
        return math.atan2(last[1] - first[1], last[0] - first[0])


def plain_name(text: str) -> str:
    """Give a wall's or line's name without blanks round its dash."""
    return re.sub(r"\s*-\s*", "-", text.strip())
