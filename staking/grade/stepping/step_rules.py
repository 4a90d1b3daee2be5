"""Rules for steps: the job's own figures and the published ones, each with its source."""

from __future__ import annotations

import math

from staking.errors import ComputationError
from staking.frozen import frozen
from staking.units import FOOT, INCH


@frozen
class StepRule:
    """A published rule for stepped footings, m.

    Parameters
    ----------
    name
        As the job file names it.
    source
        Where it stands; ``from memory`` where the text could not be looked up.
    rise
        The greatest rise of a step, or None.
    rise_within_thickness
        Whether a step may rise no more than the footing is thick.
    rise_to_run
        The greatest rise for one unit of run, or None.
    run
        The least distance between risers.
    overlap, overlap_per_rise, overlap_thickness_limit
        The overlap is the largest of a fixed length, a multiple of the rise, and the thickness
        up to a limit (0 where the thickness does not count). All zero: the rule says nothing.
    wall, wall_at_step, length_at_step
        The greatest height of the wall over its footing, what it may reach at a step instead,
        and over what length; None and 0 where the rule says nothing.
    """

    name: str
    source: str
    rise: float | None = None
    rise_within_thickness: bool = False
    rise_to_run: float | None = None
    run: float = 0.0
    overlap: float = 0.0
    overlap_per_rise: float = 0.0
    overlap_thickness_limit: float = 0.0
    wall: float | None = None
    wall_at_step: float = 0.0
    length_at_step: float = 0.0


PLAIN = StepRule(name="none", source="common practice, no source")
"""No published rule: the overlap is the greater of 6 inches and the thickness."""

PRESETS = (
    PLAIN,
    StepRule(
        name="Ontario",
        source="Ontario Building Code 2024, division B, 9.15.3.9",
        rise=0.6,
        run=0.6,
    ),
    StepRule(
        name="NHBC strip",
        source="NHBC Standards, 4.3.8, strip foundations",
        rise_within_thickness=True,
        overlap=0.3,
        overlap_per_rise=2.0,
        overlap_thickness_limit=0.5,
    ),
    StepRule(
        name="NHBC trench fill",
        source="NHBC Standards, 4.3.8, trench fill foundations",
        rise_within_thickness=True,
        overlap=1.0,
        overlap_per_rise=2.0,
    ),
    StepRule(
        name="New Zealand",
        source="NZS 3604:2011, 6.11 and figure 6.12 (as quoted by others)",
        overlap=0.45,
        wall=2.0,
        wall_at_step=2.6,
        length_at_step=1.5,
    ),
    StepRule(
        name="United States practice",
        source="practice after USDA Agriculture Handbook 73 (from memory)",
        rise_to_run=0.75,
        run=2 * FOOT,
    ),
)
"""The named rules a job may ask for."""


def preset(name: str) -> StepRule:
    """Find a published rule by name.

    Parameters
    ----------
    name
        As in `PRESETS`; capitals do not matter.

    Returns
    -------
    StepRule
        The rule.

    Raises
    ------
    ComputationError
        Where there is none of that name.
    """
    for rule in PRESETS:
        if rule.name.casefold() == name.strip().casefold():
            return rule
    known = ", ".join(rule.name for rule in PRESETS)
    raise ComputationError(f"there is no step rule {name!r}; name one of {known}")


@frozen
class GradeRules:
    """How deep and how to step, m and m2.

    Parameters
    ----------
    frost_depth, in_ground
        Cover under finished grade, and depth into undisturbed ground.
    strip
        Topsoil taken off, which is not bearing ground.
    max_step
        Courses one step may rise.
    min_run, corner_run
        Least distance between steps, and from a step to a corner or junction; `corner_run` None
        takes the crossing footing's inner edge plus the overlap, rounded up to the module.
    module
        Length of a cell, half a block.
    step_cost
        What one step is worth in wall area, m2.
    most_steps
        How many steps there may be in all; None for as many as come out cheapest.
    """

    frost_depth: float
    in_ground: float = 12 * INCH
    strip: float = 6 * INCH
    course: float = 8 * INCH
    least_courses: int = 2
    max_step: int = 1
    min_run: float = 32 * INCH
    corner_run: float | None = None
    module: float = 8 * INCH
    step_cost: float = 6 * FOOT * FOOT
    most_steps: int | None = None
    rule: StepRule = PLAIN

    def __post_init__(self) -> None:
        lengths = (self.frost_depth, self.in_ground, self.strip, self.min_run, self.step_cost)
        if not all(math.isfinite(value) and value >= 0 for value in lengths):
            raise ValueError("depths, runs and costs must be finite and not negative")
        if not (self.course > 0 and self.module > 0):
            raise ValueError("course and module must be above zero")
        if self.max_step < 0 or self.least_courses < 0:
            raise ValueError("max_step and least_courses must not be negative")

    @property
    def run(self) -> float:
        """The least distance between steps, m: the job's and the published rule's."""
        run = max(self.min_run, self.rule.run)
        if self.rule.rise_to_run is not None:
            run = max(run, self.max_step * self.course / self.rule.rise_to_run)
        return run


def overlap(rule: StepRule, rise: float, thickness: float) -> float:
    """Give how far the lower level runs under the upper one.

    Parameters
    ----------
    rule
        The rule in force.
    rise, thickness
        Of the step and of the footing, m.

    Returns
    -------
    float
        The rule's overlap, m; where it has none, the greater of 6 inches and the thickness
        (common practice, no source).
    """
    asked = max(
        rule.overlap,
        rule.overlap_per_rise * rise,
        min(thickness, rule.overlap_thickness_limit),
    )
    return asked if asked > 0 else max(6 * INCH, thickness)


def check_rise(rule: StepRule, rise: float, thickness: float, wall: str) -> None:
    """Refuse a step that a published rule forbids.

    Parameters
    ----------
    rule
        The rule in force.
    rise, thickness
        Of the step and of the footing under `wall`, m.
    wall
        Named in the message.

    Raises
    ------
    ComputationError
        Where the rise is greater than the rule allows.
    """
    if rule.rise is not None and rise > rule.rise + 1e-6:
        raise ComputationError(
            f"{wall}: {rule.name} ({rule.source}) forbids this rise; "
            "make max_step or the course smaller"
        )
    if rule.rise_within_thickness and rise > thickness + 1e-6:
        raise ComputationError(
            f"{wall}: {rule.name} ({rule.source}) forbids a rise greater than the footing's "
            "thickness; make max_step smaller or the footing thicker"
        )
