"""What the top of the wall must keep besides the job's own rules: street, sewer, doors."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.notices import Length, Notice, Severity, notice
from staking.plan import reversed_name
from staking.tolerances import ON_LINE
from staking.units import INCH

if TYPE_CHECKING:
    from collections.abc import Iterator

    from staking.grade.graded import Graded
    from staking.weigh.weigh_request import DoorAsked, FloorLimits

OVER_GUTTER = 12 * INCH
"""How far the foundation's top is over the street's gutter at least, m (IRC R403.1.7.3)."""

GUTTER_FALL = 0.02
"""And so much more for each metre between them (IRC R403.1.7.3)."""


def limit_notices(limits: FloorLimits, graded: Graded) -> tuple[Notice, ...]:
    """Say which limits a top of wall breaks.

    Parameters
    ----------
    limits
        What the job sets.
    graded
        The levels with that top.

    Returns
    -------
    tuple of Notice
        All ``broken``: ``top-too-low``, ``top-too-high``, ``gutter``, ``sewer``, ``risers``.
    """
    top = graded.request.top_of_wall
    found = []
    for kind, text, least in _least(limits):
        if top < least - ON_LINE:
            found.append(
                _broken(
                    kind,
                    text + ": it is {lacking} too low",
                    least=Length(least),
                    lacking=Length(least - top),
                )
            )
    if limits.highest is not None and top > limits.highest + ON_LINE:
        found.append(
            _broken(
                "top-too-high",
                "the top of wall may be at {highest} at most: it is {over} too high",
                highest=Length(limits.highest),
                over=Length(top - limits.highest),
            )
        )
    for door in limits.doors:
        found += _risers(door, graded)
    return tuple(found)


def _least(limits: FloorLimits) -> Iterator[tuple[str, str, float]]:
    if limits.lowest is not None:
        yield "top-too-low", "the top of wall has to be at {least} at least", limits.lowest
    if limits.gutter is not None:
        run = limits.gutter_run or 0.0
        yield (
            "gutter",
            "over the street's gutter the top of wall has to be at {least} at least (IRC "
            "R403.1.7.3)",
            limits.gutter + OVER_GUTTER + GUTTER_FALL * run,
        )
    if limits.sewer is not None:
        yield (
            "sewer",
            "for the sewer to run off the top of wall has to be at {least} at least",
            limits.sewer.at_wall + limits.sewer.below,
        )


def _risers(door: DoorAsked, graded: Graded) -> Iterator[Notice]:
    names = {door.wall, reversed_name(door.wall)}
    for wall in graded.walls:
        if wall.profile.wall not in names:
            continue
        rise = wall.profile.bounds.top - float(wall.ground.finished.min())
        most = door.risers * door.riser
        if rise > most + ON_LINE:
            yield _broken(
                "risers",
                "at the door in {wall} the floor stands up to {rise} over the ground, and "
                "{count} risers of {riser} reach {most}",
                wall=wall.profile.wall,
                rise=Length(rise),
                count=door.risers,
                riser=Length(door.riser),
                most=Length(most),
            )


def _broken(kind: str, text: str, /, **values: str | int | Length) -> Notice:
    return notice(kind, text, Severity.BROKEN, **values)
