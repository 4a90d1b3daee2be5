"""Interior lines: on walls or on one another, given in any order."""

from __future__ import annotations

import math

from staking.errors import MeasureError
from staking.frozen import frozen
from staking.job.building.closed_shapes import stretch_outside
from staking.job.building.outlines_by_name import OutlinesByName, plain_name
from staking.job.building.walls import check_widths, first_given, stated
from staking.job.keys.fields import Station
from staking.job.keys.models import InteriorKeys, PartKeys
from staking.job.tree.faults import Faults
from staking.job.tree.source import Branch
from staking.plan import Footing, InteriorLine, Point
from staking.tolerances import SAME_POINT


@frozen(kw_only=False)
class Entry:
    """An interior line as given: its keys, the building it stands under, where it inherits from."""

    keys: InteriorKeys
    building: int | None
    parts: list[PartKeys]
    homes: list[Branch]


@frozen(kw_only=False)
class _Run:
    """Where a line runs: its ends, what they stand on, and its building."""

    start: Point
    end: Point
    on: tuple[str, str]
    building: int


class InteriorReader:
    """Finds where each line runs; a line on a line waits for that one.

    Parameters
    ----------
    entries
        The lines as given.
    lost
        Whether a line was given that is not sound, so that a name may mean that one.
    frame
        All outlines.
    """

    def __init__(self, entries: list[Entry], lost: bool, frame: OutlinesByName) -> None:
        self.entries = entries
        self.lost = lost
        self.frame = frame
        self.faults: Faults = frame.faults
        self.by_name = {entry.keys.name: entry for entry in reversed(entries)}
        self._runs: dict[str, _Run | None] = {}
        self._open: list[str] = []

    def read(
        self, parts_of: dict[int, tuple[list[PartKeys], list[Branch]]]
    ) -> tuple[InteriorLine, ...]:
        """Make the lines.

        Parameters
        ----------
        parts_of
            For each building, what its lines inherit from, and the mappings it came from.

        Returns
        -------
        tuple of InteriorLine
            Without those that a fault keeps from being made.
        """
        lines: list[InteriorLine | None] = []
        for entry in self.entries:
            run = self._run(entry)
            building = run.building if run else entry.building
            inherited = parts_of.get(0 if building is None else building)
            parts, homes = inherited if inherited else (entry.parts, entry.homes)
            lines.append(self._line(entry, run, parts, homes))
        return tuple(line for line in lines if line is not None)

    def length(self, name: str) -> float | None:
        """Give a line's length, m, or None where it is not sound."""
        run = self._runs.get(name)
        return math.dist(run.start, run.end) if run else None

    def direction(self, name: str) -> float | None:
        """Give a line's direction from-to, rad anticlockwise from x, or None."""
        run = self._runs.get(name)
        if run is None:
            return None
        return math.atan2(run.end[1] - run.start[1], run.end[0] - run.start[0])

    def _run(self, entry: Entry) -> _Run | None:
        name = entry.keys.name
        if name in self._runs:
            return self._runs[name]
        if name in self._open:
            ring = [*self._open[self._open.index(name) :], name]
            self.faults.add(
                (*entry.keys.place, "from"),
                f"the lines stand on one another in a ring: {' on '.join(ring)}",
                "start one of them from a wall",
            )
            return None
        if len(self._open) >= 100:
            self.faults.add(
                entry.keys.place, "over 100 lines stand one on another", "start one from a wall"
            )
            return None
        self._open.append(name)
        run = self._find(entry)
        self._open.pop()
        self._runs[name] = run
        return run

    def _find(self, entry: Entry) -> _Run | None:
        ends = [
            self._end(entry, "from", entry.keys.from_),
            self._end(entry, "to", entry.keys.to),
        ]
        first, last = ends
        if first is None or last is None:
            return None
        place = entry.keys.place
        if first[2] != last[2]:
            self.faults.add(
                place, "the line runs from one building to another", "keep it in one of them"
            )
            return None
        if math.dist(first[0], last[0]) <= SAME_POINT:
            self.faults.add(place, "the line has no length", "let it end elsewhere")
            return None
        outline = self.frame.outlines[first[2]]
        inside = stretch_outside(first[0], last[0], outline.points) if outline else 1
        if inside < 1:
            said = "runs along a wall" if inside == 0 else "leaves the building"
            self.faults.add(place, f"the line {said}", "check where it starts and ends")
            return None
        return _Run(first[0], last[0], (first[1], last[1]), first[2])

    def _end(self, entry: Entry, key: str, station: Station) -> tuple[Point, str, int] | None:
        """Find one end: the point, what it stands on, and the building."""
        place = (*entry.keys.place, key)
        name = plain_name(station.on)
        target = self.by_name.get(name)
        try:
            if target is not None:
                run = self._run(target)
                if run is None:
                    return None
                _within(station, math.dist(run.start, run.end), self.faults)
                return (_along(run, station.along), name, run.building)
            if "-" not in name:
                if not self.lost:
                    self.faults.add(
                        place,
                        f"there is no interior line {name}",
                        "name a wall such as A-B, or a line",
                    )
                return None
            wall = self.frame.wall(name, place, entry.building)
            if wall is None:
                return None
            along = self.frame.on_wall(wall, station.along, name)
            return (self.frame.point_on(wall, along), wall.name, wall.building)
        except MeasureError as error:
            self.faults.add_error(place, error)
            return None

    def _line(
        self, entry: Entry, run: _Run | None, parts: list[PartKeys], homes: list[Branch]
    ) -> InteriorLine | None:
        """Make one line with what it inherits."""
        keys, faults = entry.keys, self.faults
        own = [keys.footing] if keys.footing is not None else []
        if keys.footing is not None and keys.footing.outside is not None:
            faults.add(
                (*keys.footing.place, "outside"),
                "the footing of an interior line is centred",
                "take it out",
            )
        footings = [*own, *(part.footing for part in parts if part.footing is not None)]
        wall = first_given([keys, *parts], "wall")
        width = first_given(footings, "width")
        thickness = first_given(footings, "thickness")
        if wall is None:
            stated(faults, homes, "wall")
        if width is None:
            stated(faults, homes, "footing", "width")
        if thickness is None:
            stated(faults, homes, "footing", "thickness")
        if not check_widths(wall, width, None, faults):
            return None
        if wall is None or width is None or thickness is None or run is None:
            return None
        return InteriorLine(
            name=keys.name,
            start=run.start,
            end=run.end,
            start_on=run.on[0],
            end_on=run.on[1],
            thickness=wall.metres,
            footing=Footing(
                width=width.metres,
                thickness=thickness.metres,
                outside=(width.metres - wall.metres) / 2,
            ),
            building=run.building,
        )


def _along(run: _Run, along: float) -> Point:
    share = along / math.dist(run.start, run.end)
    return (
        run.start[0] + share * (run.end[0] - run.start[0]),
        run.start[1] + share * (run.end[1] - run.start[1]),
    )


def _within(station: Station, length: float, faults: Faults) -> None:
    if station.along < -SAME_POINT or station.along > length + SAME_POINT:
        raise MeasureError(
            f"{faults.length(station.along)} along {station.on} is past its end",
            f"{station.on} is {faults.length(length)} long",
        )
