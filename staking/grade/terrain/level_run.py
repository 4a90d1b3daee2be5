"""A run of levels reduced: elevations carried by height of instrument, its misclosures shared."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from staking.errors import ComputationError
from staking.frozen import frozen


@frozen
class Sight:
    """One line of a level book, in m; None where nothing was read or is known.

    Parameters
    ----------
    point
        As the book names it.
    back, side, fore
        Backsight, intermediate sight and foresight.
    known
        Elevation that the book gives for the point.
    """

    point: str
    back: float | None = None
    side: float | None = None
    fore: float | None = None
    known: float | None = None


@frozen
class LevelledPoint:
    """One line of the run, reduced, m.

    Parameters
    ----------
    point
        As the book names it.
    carried
        Its elevation from the last known one, before any misclosure is shared.
    elevation
        The same with its share taken off.
    setup
        Set-ups of the instrument from the last known elevation to the reading; 0 at that itself.
    """

    point: str
    carried: float
    elevation: float
    setup: int


@frozen
class Closing:
    """Where the run met a known elevation: carried less known, m, and over how many set-ups."""

    point: str
    misclosure: float
    setups: int


@frozen
class LevelRun:
    """A reduced run: one point a line of the book, and every closing in order."""

    points: tuple[LevelledPoint, ...]
    closings: tuple[Closing, ...]


def reduce_run(sights: Sequence[Sight]) -> LevelRun:
    """Reduce a level book and share its misclosures by set-ups.

    Parameters
    ----------
    sights
        The lines of the book; the first one's elevation is known.

    Returns
    -------
    LevelRun
        Height of instrument = elevation + backsight; elevation = height of instrument - foresight
        or intermediate sight. Between two known elevations each point takes the part
        ``set-ups so far / all`` of the misclosure off; what follows is carried from the later of
        them. After the last known elevation nothing is shared.

    Raises
    ------
    ComputationError
        Where a point is read before any backsight, or has neither a reading nor an elevation.

    References
    ----------
    The shares by set-up: C. D. Ghilani and P. R. Wolf, Elementary Surveying, chapter 5 (from
    memory).
    """
    points: list[LevelledPoint] = []
    closings: list[Closing] = []
    instrument: float | None = None
    setup = first = 0
    for sight in sights:
        seen = sight.side if sight.fore is None else sight.fore
        if seen is None:
            if sight.known is None:
                raise ComputationError(f"{sight.point} has neither a reading nor an elevation")
            # A start: the run begins here, or begins anew.
            elevation, setup, first = sight.known, 0, len(points)
        elif instrument is None:
            raise ComputationError(f"{sight.point} is read before any backsight")
        else:
            elevation = instrument - seen
        points.append(
            LevelledPoint(point=sight.point, carried=elevation, elevation=elevation, setup=setup)
        )
        if seen is not None and sight.known is not None and instrument is not None:
            off = elevation - sight.known
            closings.append(Closing(point=sight.point, misclosure=off, setups=setup))
            points[first:] = [_shared(each, off, setup) for each in points[first:]]
            points[-1] = replace(points[-1], elevation=sight.known)
            # What follows is carried from here, by the same instrument where it stays.
            elevation, setup, first = sight.known, 0, len(points)
            instrument -= off
        if sight.back is not None:
            instrument = elevation + sight.back
            setup += 1
    return LevelRun(points=tuple(points), closings=tuple(closings))


def _shared(point: LevelledPoint, misclosure: float, setups: int) -> LevelledPoint:
    share = misclosure * point.setup / setups if setups else 0.0
    return replace(point, elevation=point.carried - share)
