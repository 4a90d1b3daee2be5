"""How the job is measured, shown and set out: the sections beside the building."""

from __future__ import annotations

from staking.job.keys.models import BoardKeys, DigKeys, HeadKeys, TapeKeys, ToleranceKeys
from staking.job.tree.faults import Faults
from staking.kinds import Casting
from staking.measure.lengths import FOOT, INCH, Unit
from staking.notices import Severity, notice
from staking.plan import BoardRules, Dig, Options, Show, Tape, ToleranceRules

FRACTIONS = (1, 2, 4, 8, 16, 32, 64)
"""The parts of an inch that feet and inches may be shown to."""


def read_head(keys: HeadKeys, faults: Faults) -> None:
    """Take over the units, and check what lengths are shown to."""
    faults.unit = Unit(keys.units) if keys.units else Unit.FT
    faults.show = Show(keys.show) if keys.show else Show.FEET_INCHES
    if keys.show is None and faults.unit in {Unit.M, Unit.MM}:
        faults.notices.append(
            notice(
                "shown-in-feet",
                "lengths are shown in feet and inches; show: metres or millimetres changes that",
                Severity.NOTE,
            )
        )
    if keys.nearest is None:
        return
    parts = INCH / keys.nearest
    if faults.show is Show.FEET_INCHES and not any(abs(parts - part) < 1e-6 for part in FRACTIONS):
        faults.add(
            ("nearest",), "this is not a part of an inch on a tape", 'write 1/16", 1/8" or 1/32"'
        )
    else:
        faults.nearest = keys.nearest


def read_boards(keys: BoardKeys) -> BoardRules:
    """Fill in the defaults of the boards."""
    default = BoardRules()
    return BoardRules(
        stand_off=_or(keys.stand_off, default.stand_off),
        clearance=_or(keys.clearance, default.clearance),
        inside_boards=bool(keys.inside_boards),
        at=keys.at,
        max_height=_or(keys.max_height, default.max_height),
    )


def read_dig(keys: DigKeys) -> Dig:
    """Fill in the defaults of the dig: nothing beyond the footing, cast against earth."""
    default = Dig()
    return Dig(
        overdig=_or(keys.overdig, default.overdig),
        bucket=_or(keys.bucket, default.bucket),
        bank=_or(keys.bank, default.bank),
        depth=_or(keys.depth, default.depth),
        base=_or(keys.base, default.base),
        cast=Casting(keys.cast) if keys.cast else default.cast,
    )


def read_tape(keys: TapeKeys, faults: Faults) -> Tape:
    """Fill in the defaults of the tape, and check that its error is given one way."""
    default = Tape()
    if keys.error is not None and keys.class_ is not None:
        faults.add((*keys.place, "class"), "error is given as well", "keep one of the two")
    standard = keys.standard
    for key in ("temperature", "tension"):
        given = getattr(keys, key) is not None
        known = standard is not None and getattr(standard, key) is not None
        if given and not known:
            if not faults.touched((*keys.place, "standard")):
                faults.add(
                    (*keys.place, key),
                    f"the tape's standard {key} is not given",
                    "add standard: {temperature: 68 F, tension: 20 lbf} as the tape states it",
                )
        elif known and not given and not faults.touched((*keys.place, key)):
            faults.add(
                (*keys.place, "standard", key),
                f"the {key} of the work is not given",
                f"add {key} beside standard, or take it out here",
            )
    return Tape(
        length=_or(keys.length, default.length),
        error=None if keys.class_ else _or(keys.error, default.error or 0.0),
        grade=keys.class_,
        temperature=keys.temperature,
        standard_temperature=standard.temperature if standard else None,
        tension=keys.tension,
        standard_tension=standard.tension if standard else None,
    )


def read_tolerances(keys: ToleranceKeys) -> ToleranceRules:
    """Fill in the preset and turn the diagonal's allowance into a ratio."""
    per_100ft = keys.diagonal_per_100ft
    return ToleranceRules(
        preset=keys.preset or ToleranceRules().preset,
        side=keys.side,
        diagonal_per_length=None if per_100ft is None else per_100ft / (100 * FOOT),
        stake=keys.stake,
    )


def _or(value: float | None, default: float) -> float:
    return default if value is None else value


def make_options(
    head: HeadKeys,
    boards: BoardRules,
    dig: Dig,
    tape: Tape,
    tolerances: ToleranceRules,
    faults: Faults,
) -> Options:
    """Put the options together."""
    return Options(
        unit=faults.unit.value,
        show=faults.show,
        nearest=faults.nearest,
        boards=boards,
        dig=dig,
        tape=tape,
        tolerances=tolerances,
        paper=head.paper or "letter",
    )
