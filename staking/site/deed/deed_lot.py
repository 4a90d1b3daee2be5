"""The boundary made of a deed: on found pins where there are any, else as a sketch from paper."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np

from staking.deed import CurvedCourse, Deed, StraightCourse
from staking.errors import InputError, Problem
from staking.frozen import frozen
from staking.lines import Array
from staking.points import KnownPoint
from staking.site.deed.arcs import arc_between
from staking.site.deed.closing_words import closing_words, slip_words
from staking.site.deed.pinned import PinFit, fit_pins
from staking.site.deed.slips import Slip, find_slips
from staking.site.deed.traverse import Traverse, walk_round
from staking.site.site_request import DeedAsked
from staking.site.site_results import BoundaryLine
from staking.units import FOOT

CLOSES_BADLY = 1_000
"""A misclosure over one in so many is looked at (common practice, no source)."""

DOES_NOT_CLOSE = 100
"""A misclosure over one in so many is refused (common practice, no source)."""

ON_PAPER = FOOT
"""A line drawn from a deed alone is trusted no nearer than this, m (common practice, no source)."""

SHORTEST = 1e-3
"""No course is shorter than this, m: its two corners would be one place."""


@frozen(eq=False)
class DeedLot:
    """A boundary by its deed.

    Parameters
    ----------
    deed, walked
        The deed, and its courses walked round.
    slips
        What would explain that it does not close.
    fit
        How it lies on the pins that were found; None where none was.
    boundary, lines
        The corners in order and the line from each to the next, on the lot's plane.
    found
        The corners at which a pin was found.
    """

    deed: Deed
    walked: Traverse
    slips: tuple[Slip, ...]
    fit: PinFit | None
    boundary: tuple[KnownPoint, ...]
    lines: tuple[BoundaryLine, ...]
    found: tuple[str, ...]

    @property
    def from_paper(self) -> bool:
        """Whether no pin was found."""
        return self.fit is None


def lot_of_deed(asked: DeedAsked, points: Mapping[str, KnownPoint]) -> DeedLot:
    """Make the boundary of a deed.

    Parameters
    ----------
    asked
        The deed and the pins that were found.
    points
        The survey's points by name, on the lot's plane.

    Returns
    -------
    DeedLot
        Corners at which a pin was found stand there; the others where the courses put them, turned
        and shifted onto the pins and never stretched. Without any pin the first corner is 0, 0.

    Raises
    ------
    InputError
        Where the courses come back to their beginning by no more than one in `DOES_NOT_CLOSE`,
        two corners are one place, or the pins are not those of this deed.
    """
    deed = asked.deed
    walked = walk_round(deed)
    slips = find_slips(deed, walked)
    problems = open_problems(walked, slips, deed)
    if problems:
        raise InputError(*problems)
    fit = fit_pins(deed.corners, walked, asked.pins, points) if asked.pins else None
    pins = dict(asked.pins)
    places = walked.corners if fit is None else fit.places
    boundary = tuple(
        _corner(name, place, points[pins[name]] if name in pins else None)
        for name, place in zip(deed.corners, places.tolist(), strict=True)
    )
    _refuse_one_place(boundary)
    return DeedLot(
        deed=deed,
        walked=walked,
        slips=slips,
        fit=fit,
        boundary=boundary,
        lines=_lines(deed, walked, boundary, _doubts(deed, walked, fit, pins)),
        found=tuple(name for name in deed.corners if name in pins),
    )


def _corner(name: str, place: Sequence[float], pin: KnownPoint | None) -> KnownPoint:
    if pin is None:
        return KnownPoint(
            name=name, northing=place[0], easting=place[1], description="corner by the deed"
        )
    return KnownPoint(
        name=name,
        northing=pin.northing,
        easting=pin.easting,
        elevation=pin.elevation,
        description=f"corner, found at {pin.name}",
    )


def _doubts(
    deed: Deed, walked: Traverse, fit: PinFit | None, pins: Mapping[str, str]
) -> tuple[float, ...]:
    """Give how far off each line may be: nothing from pin to pin."""
    if fit is None or len(pins) < 2:
        return (max(walked.misclosure, ON_PAPER),) * len(deed.corners)
    drawn = walked.misclosure + fit.worst
    return tuple(0.0 if start in pins and end in pins else drawn for start, end in deed.lines)


def _lines(
    deed: Deed, walked: Traverse, boundary: Sequence[KnownPoint], doubts: Sequence[float]
) -> tuple[BoundaryLine, ...]:
    places = np.array([(each.northing, each.easting) for each in boundary])
    ends = np.roll(places, -1, axis=0)
    lines = []
    for (start, end), course, leg, place, far, doubt in zip(
        deed.lines, deed.courses, walked.legs, places, ends, doubts, strict=True
    ):
        north, east = (far - place).tolist()
        length, through, curve = math.hypot(north, east), np.empty((0, 2)), None
        if isinstance(course, CurvedCourse) and leg.curve is not None:
            curve, through = arc_between(place, far, course.to, leg.curve.angle)
            length = curve.arc
        lines.append(
            BoundaryLine(
                start=start,
                end=end,
                length=length,
                azimuth=math.atan2(east, north) % (2 * math.pi),
                given=leg.azimuth,
                given_length=leg.length if isinstance(course, StraightCourse) else leg.run,
                curve=curve,
                through=tuple((float(n), float(e)) for n, e in through),
                doubt=doubt,
            )
        )
    return tuple(lines)


def boundary_ring(lines: Sequence[BoundaryLine], corners: Array) -> tuple[Array, tuple[int, ...]]:
    """Give the ring of a boundary with the places along its curves.

    Parameters
    ----------
    lines
        The lines in order.
    corners
        ``(n, 2)`` where each begins, north and east, m.

    Returns
    -------
    Array
        ``(k, 2)`` north and east, m.
    tuple of int
        To which line each stretch of it belongs; empty where no line is curved.
    """
    if not any(line.through for line in lines):
        return corners, ()
    rows: list[tuple[float, float]] = []
    owner: list[int] = []
    for index, (line, corner) in enumerate(zip(lines, corners.tolist(), strict=True)):
        rows += [(corner[0], corner[1]), *line.through]
        owner += [index] * (1 + len(line.through))
    return np.array(rows), tuple(owner)


def open_problems(walked: Traverse, slips: Sequence[Slip], deed: Deed) -> tuple[Problem, ...]:
    """Say that a deed does not close, and which courses would close it, otherwise written.

    Parameters
    ----------
    walked, slips, deed
        The courses walked round, what would explain that they do not close, and the deed.

    Returns
    -------
    tuple of Problem
        None where it closes to one in `DOES_NOT_CLOSE`.
    """
    if walked.one_in >= DOES_NOT_CLOSE:
        return ()
    problems = [
        Problem(
            field="site boundary deed",
            message=f"the courses do not close: {closing_words(walked, deed)}",
            remedy="one of them is wrong or missing"
            if slips
            else "compare them with the deed, course by course: one is wrong or missing",
        )
    ]
    problems += [
        Problem(
            field=f"site boundary course {slip.start}-{slip.end}",
            message=slip_words(slip, deed),
            remedy="look it up in the deed, or on the plat; nothing is changed here",
        )
        for slip in slips
    ]
    return tuple(problems)


def _refuse_one_place(boundary: Sequence[KnownPoint]) -> None:
    for one, other in zip(boundary, (*boundary[1:], boundary[0]), strict=True):
        if math.hypot(one.northing - other.northing, one.easting - other.easting) <= SHORTEST:
            raise InputError(
                Problem(
                    field="site boundary deed",
                    message=f"corners {one.name} and {other.name} are in the same place",
                    remedy="leave out a course that only comes back, or look for the one that is "
                    "missing",
                )
            )
