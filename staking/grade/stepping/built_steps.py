"""Steps as built: the riser on the bond, how far the low level is dug, and the concrete."""

from __future__ import annotations

from staking.frozen import frozen
from staking.grade.stepped_footing import Step, WallProfile
from staking.grade.stepping.step_rules import GradeRules, overlap
from staking.grade.stepping.wall_network import Strand
from staking.kinds import FootingKind
from staking.notices import Length, Notice, notice
from staking.plan import Point, Sleeve, reversed_name
from staking.tolerances import ON_LINE
from staking.units import INCH

UPHILL = INCH / 2
"""A riser face may stand this far uphill of the bond, m, and never downhill (common practice, no
source)."""


@frozen
class BuiltStep:
    """A step to dig and form, m.

    Parameters
    ----------
    face
        Both ends of the riser face across the footing, on the building grid.
    dig_to
        Station to which the lower level is dug, past the face into the bank.
    dig_level
        Elevation of the lower dig, under its stone base.
    concrete
        The extra concrete of the overlap, m3.
    """

    step: Step
    overlap: float
    dig_to: float
    dig_level: float
    concrete: float
    face: tuple[Point, Point]


def as_built(
    profile: WallProfile, strand: Strand, rules: GradeRules, base: float = 0.0
) -> tuple[BuiltStep, ...]:
    """Give the steps of one wall as they are built.

    Parameters
    ----------
    profile, strand
        The wall's levels and the wall.
    rules
        The rule whose overlap counts.
    base
        Stone under the footing, m.

    Returns
    -------
    tuple of BuiltStep
        In the order of their stations. The overlap is limited to the wall's ends.
    """
    under = strand.footing
    found = []
    for step in profile.steps:
        reach = overlap(rules.rule, step.rise, under.thickness)
        # Downward along the wall the bank lies behind, toward the wall's start.
        dig_to = step.station - reach if step.down else step.station + reach
        dig_to = min(max(dig_to, 0.0), strand.length)
        outer, inner = under.outside, -under.inside
        if strand.kind is FootingKind.INTERIOR:
            outer, inner = under.width / 2, -under.width / 2
        found.append(
            BuiltStep(
                step=step,
                overlap=reach,
                dig_to=dig_to,
                dig_level=step.lower - base,
                concrete=reach * under.width * step.rise,
                face=(strand.place(step.station, outer), strand.place(step.station, inner)),
            )
        )
    return tuple(found)


def sleeve_notices(
    profile: WallProfile, built: tuple[BuiltStep, ...], sleeves: tuple[Sleeve, ...]
) -> tuple[Notice, ...]:
    """Say which sleeves run through a footing or a step.

    Parameters
    ----------
    profile, built
        One wall.
    sleeves
        All sleeves of the plan; those of other walls, and those without an invert, are passed
        over.

    Returns
    -------
    tuple of Notice
        ``sleeve-footing`` and ``sleeve-step``.
    """
    told = []
    turned = reversed_name(profile.wall)
    for sleeve in sleeves:
        if sleeve.wall not in {profile.wall, turned} or sleeve.invert is None:
            continue
        station = sleeve.station
        if sleeve.wall != profile.wall:
            station = profile.length - station
        half, crown = sleeve.size / 2, sleeve.invert + sleeve.size
        if any(_in_step(profile, step, sleeve, station) for step in built):
            told.append(
                notice(
                    "sleeve-step",
                    "the sleeve at {station} on {wall} runs through a step; move one of them",
                    wall=profile.wall,
                    station=Length(station),
                )
            )
            continue
        for level in profile.levels:
            beside = station + half > level.start + ON_LINE and station - half < level.end - ON_LINE
            if beside and level.bottom < crown - ON_LINE and sleeve.invert < level.top - ON_LINE:
                told.append(
                    notice(
                        "sleeve-footing",
                        "the sleeve at {station} on {wall} runs through the footing; lower the "
                        "footing there or raise the sleeve",
                        wall=profile.wall,
                        station=Length(station),
                    )
                )
                break
    return tuple(told)


def _in_step(profile: WallProfile, built: BuiltStep, sleeve: Sleeve, station: float) -> bool:
    # Whether a sleeve runs through the overlap of a step, from the low footing's bottom to the
    # upper one's top.
    low, high = sorted((built.step.station, built.dig_to))
    half, invert = sleeve.size / 2, sleeve.invert
    return (
        invert is not None
        and station + half > low + ON_LINE
        and station - half < high - ON_LINE
        and built.step.lower < invert + sleeve.size - ON_LINE
        and invert < built.step.upper + profile.bounds.thickness - ON_LINE
    )
