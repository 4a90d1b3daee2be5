"""Footings below the published minimums: told with the clause, never changed.

What a footing must be is for the local code and the permit; these are the figures of the model
code for houses, so that a slip of the pen is seen before it is dug.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.notices import Length, Notice, notice
from staking.tolerances import ON_LINE

if TYPE_CHECKING:
    from collections.abc import Iterator

    from staking.plan import Plan

INCH = 0.0254

LEAST_WIDTH = 12 * INCH
"""IRC 2024, R403.1.1, read in a reprint: a footing is at least 12 inches wide."""

LEAST_THICKNESS = 6 * INCH
"""The same: a footing is at least 6 inches thick."""

LEAST_PROJECTION = 2 * INCH
"""The same: it projects at least 2 inches, and not more than its thickness."""

CLAUSE = "IRC R403.1.1"


def minimum_notices(plan: Plan) -> tuple[Notice, ...]:
    """Name the footings that the model code for houses would not take.

    Parameters
    ----------
    plan
        The building on paper, m.

    Returns
    -------
    tuple of Notice
        One for each kind and size of shortfall with every wall and interior line that has it:
        ``narrow-footing``, ``thin-footing``, ``short-projection``, ``long-projection``. Exactly
        the minimum meets it. Pads have no wall and are not judged.

    References
    ----------
    International Residential Code, 2024, R403.1.1; 2021 has the same (from memory).
    """
    found: dict[tuple[str, str, tuple[float, float]], list[str]] = {}
    for name, kind, text, sizes in _shortfalls(plan):
        # To a hundredth of a millimetre: walls of one size are told in one sentence.
        rounded = (round(sizes[0], 5), round(sizes[1], 5))
        found.setdefault((kind, text, rounded), []).append(name)
    return tuple(
        notice(
            kind,
            text,
            names=", ".join(names),
            clause=CLAUSE,
            size=Length(size),
            limit=Length(limit),
        )
        for (kind, text, (size, limit)), names in found.items()
    )


def _shortfalls(plan: Plan) -> Iterator[tuple[str, str, str, tuple[float, float]]]:
    walls = [
        (wall.name, wall.thickness, wall.footing)
        for building in plan.buildings
        for wall in building.walls
        if wall.existing is None
    ]
    lines = [(line.name, line.thickness, line.footing) for line in plan.interior]
    for name, wall_thickness, footing in (*walls, *lines):
        if footing.width < LEAST_WIDTH - ON_LINE:
            text = "the footing under {names} is {size} wide; {clause} asks for {limit}"
            yield name, "narrow-footing", text, (footing.width, LEAST_WIDTH)
        if footing.thickness < LEAST_THICKNESS - ON_LINE:
            text = "the footing under {names} is {size} thick; {clause} asks for {limit}"
            yield name, "thin-footing", text, (footing.thickness, LEAST_THICKNESS)
        sides = (footing.outside, footing.inside - wall_thickness)
        if min(sides) < LEAST_PROJECTION - ON_LINE:
            text = (
                "the footing under {names} reaches {size} past its wall; {clause} asks for {limit}"
            )
            yield name, "short-projection", text, (min(sides), LEAST_PROJECTION)
        if max(sides) > footing.thickness + ON_LINE:
            text = (
                "the footing under {names} reaches {size} past its wall; {clause} allows no more "
                "than its thickness, {limit}"
            )
            yield name, "long-projection", text, (max(sides), footing.thickness)
