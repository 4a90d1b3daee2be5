"""The steps that set the corner stakes, each a sentence with its numbers and who does what."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping

from staking.kinds import BaseLineKind, SettingMethod, WorkKind, WorkPart
from staking.layout.layout_parts import Check
from staking.layout.steps.base_line import BaseLine, KnownTapes, PlacedOnLot
from staking.layout.steps.corner_setting import CornerSetting
from staking.layout.steps.fourth_stake import FourthStake
from staking.layout.steps.work import Squaring, WorkStep
from staking.notices import Length, Notice, Severity, notice
from staking.plan import Options
from staking.tolerances import ON_LINE

Tapes = tuple[tuple[str, str, float], ...]
"""From, to and the distance, m."""


def says(kind: str, text: str, values: Mapping[str, str | float]) -> Notice:
    """Make a sentence; numbers among its values are lengths, m."""
    made = {
        key: Length(value) if isinstance(value, float) else value for key, value in values.items()
    }
    return notice(f"work-{kind}", text, Severity.NOTE, **made)


def listed(
    tapes: Iterable[tuple[str, float]], between: str = " "
) -> tuple[str, dict[str, str | float]]:
    """Write names with their lengths one after another: the text with gaps, and what fills them."""
    parts: list[str] = []
    values: dict[str, str | float] = {}
    for place, (name, length) in enumerate(tapes):
        values |= {f"n{place}": name, f"d{place}": float(length)}
        parts.append(f"{{n{place}}}{between}{{d{place}}}")
    return ", ".join(parts), values


def stake_steps(
    base: BaseLine,
    settings: tuple[CornerSetting, ...],
    squarings: tuple[Squaring, ...],
    fourth: FourthStake | None,
    checks: tuple[Check, ...],
    options: Options,
    on_lot: PlacedOnLot | None,
) -> tuple[WorkStep, ...]:
    """Say how the corner stakes are set.

    Parameters
    ----------
    base, settings, squarings, fourth
        The base line, the corners in order, the large rectangle of each building, and the temporary
        stake that may be one of the first one's four.
    checks
        The layout's checks; a 3-4-5 is taken from them where a corner is squared off.
    options
        The tape.
    on_lot
        How the base line is set from known points; None where the building is not placed.

    Returns
    -------
    tuple of WorkStep
        Who does what; the base line; the other corners, and each rectangle's squaring as soon as
        its four corners stand.
    """
    made = [_people(), *_base_steps(base, options, on_lot)]
    standing = {base.first, base.second}
    waiting = list(squarings)
    for setting in settings[2:]:
        made.append(_setting_step(setting, checks, fourth))
        if setting.method is not SettingMethod.OUT_OF_REACH:
            standing.add(setting.corner)
        ready = [each for each in waiting if {*each.held, *each.moved} <= standing]
        made += [_squaring_step(each) for each in ready]
        waiting = [each for each in waiting if each not in ready]
    return tuple(made)


def _people() -> WorkStep:
    text = (
        "hook holds the tape's end on the nail named and calls out; reel pulls the tape level and "
        "tight, down a slope over a plumb line, reads it, scratches the arcs and drives the "
        "stakes; both say each number aloud"
    )
    return WorkStep(
        part=WorkPart.PEOPLE, kind=WorkKind.RULE, names=(), tapes=(), says=says("people", text, {})
    )


_MARK_IT = "start at {a}: mark it on the standing building"


def _base_steps(
    base: BaseLine, options: Options, on_lot: PlacedOnLot | None
) -> tuple[WorkStep, ...]:
    a, b = base.first, base.second
    values: dict[str, str | float] = {"a": a, "b": b, "d": float(base.length)}
    tapes = ((a, b, base.length),)
    more: dict[str, str | float] = {}
    if base.kind is BaseLineKind.NEIGHBOUR:
        start = "start at {a}: mark it on the standing building"
        line = "{b}: hook on {a}, reel pulls {d} along the standing building and marks it there"
    elif on_lot is not None:
        start, values = _from_known("start at {a}", on_lot.first, on_lot, values)
        line, more = _from_known("{b}", on_lot.second, on_lot, {"a": a, "b": b})
        line += ". Then hook on {a}, reel reads {d} at {b}"
    else:
        start = "start at {a}: reel drives its stake and puts a nail in the top"
        line = (
            "{b}: hook on {a}, reel pulls {d} along the base line {a}-{b}, drives the stake and "
            "nails it at that reading"
        )
    if base.length > options.tape.length + ON_LINE:
        line += "; the tape is shorter: carry it along a tight string in two pulls"
    return (
        _joined(WorkKind.STAKE, (a,), (), start, values, base.why_corner),
        _joined(WorkKind.STAKE, (b,), tapes, line, {**values, **more}, base.why_line),
    )


def _from_known(
    lead: str, known: KnownTapes | None, on_lot: PlacedOnLot, values: dict[str, str | float]
) -> tuple[str, dict[str, str | float]]:
    # By two tapes from known points, by instrument, or not before pins are found.
    if known is None:
        if on_lot.from_paper:
            text = (
                ": no two pins of the deed reach it with this tape; have a licensed surveyor set "
                "it from pins that are found"
            )
        else:
            text = ", set by instrument from the survey's points as staking stakeout gives it"
        return lead + text, values
    (one, first), (other, second) = known.tapes
    told = {**values, "k0": one, "t0": float(first), "k1": other, "t1": float(second)}
    pin = "pin " if on_lot.from_paper else ""
    found = "once pins {k0} and {k1} are found, " if on_lot.from_paper else ""
    text = (
        f": {found}hook on {pin}{{k0}}, reel scratches an arc at {{t0}}; hook on {pin}{{k1}}, reel "
        "drives the stake where {t1} crosses the arc, on the {side} looking from {k0} to {k1}"
    )
    return lead + text, {**told, "side": known.side}


def _joined(
    kind: WorkKind,
    names: tuple[str, ...],
    tapes: Tapes,
    text: str,
    values: Mapping[str, str | float],
    why: Notice,
) -> WorkStep:
    # the reason keeps its own gaps; both share no name but a corner's, which is then the same
    inner = {f"why_{key}": value for key, value in why.values}
    reason = why.text
    for key, _ in why.values:
        reason = reason.replace(f"{{{key}}}", f"{{why_{key}}}")
    lead = says(kind, text, values)
    told = Notice(
        kind=lead.kind,
        text=f"{lead.text} ({reason})",
        values=(*lead.values, *inner.items()),
        severity=Severity.NOTE,
    )
    brief = says(kind, _briefly(text), values)
    return WorkStep(part=WorkPart.BASE, kind=kind, names=names, tapes=tapes, says=told, brief=brief)


def _briefly(text: str) -> str:
    # Two tapes in fewer words, for who has read what hook and reel do.
    for long, short in (
        ("reel scratches an arc at", "arc at"),
        ("reel drives the stake where", "stake where"),
        ("crosses the arc", "crosses it"),
        (" looking from", " from"),
    ):
        text = text.replace(long, short)
    return text


def _setting_step(
    setting: CornerSetting, checks: tuple[Check, ...], fourth: FourthStake | None
) -> WorkStep:
    values: dict[str, str | float] = {"c": setting.corner, "s": setting.sight}
    for place, (name, distance) in enumerate(setting.tapes):
        values |= {f"n{place}": name, f"d{place}": float(distance)}
    match setting.method:
        case SettingMethod.TWO_TAPES:
            values["side"] = setting.side or ""
            values["swing"] = f"{math.degrees(setting.swing or 0.0):.0f}°"
            text = (
                "hook on {n0}, reel scratches an arc at {d0}; hook on {n1}, reel drives the "
                "stake where {d1} crosses the arc, on the {side} looking from {n0} to {n1} "
                "(the tapes meet at {swing})"
            )
        case SettingMethod.IN_LINE:
            text = (
                "hook on {n0}, reel pulls {d0} along the line through {n0} and {s}, which "
                "hook sights, and drives the stake there"
            )
        case SettingMethod.SQUARE:
            text, more = _square_text(setting, checks)
            values |= more
        case _:
            text = (
                "no two stakes that stand fix it with this tape; take a longer tape, or have "
                "it set by instrument"
            )
    brief = _briefly(text).removesuffix(" (the tapes meet at {swing})")
    lead = "{c}: "
    if fourth is not None and fourth.name == setting.corner:
        lead = "{c}, a temporary stake that is not a corner but makes a rectangle with {corners}: "
        end = "; pull it out when all corners stand"
        text, brief = text + end, brief + end
        values["corners"] = ", ".join(fourth.corners)
    return WorkStep(
        part=WorkPart.CORNERS,
        kind=WorkKind.STAKE,
        names=(setting.corner,),
        tapes=tuple((name, setting.corner, distance) for name, distance in setting.tapes),
        says=says(WorkKind.STAKE, lead + text, values),
        brief=says(WorkKind.STAKE, lead + brief, values),
    )


def _square_text(
    setting: CornerSetting, checks: tuple[Check, ...]
) -> tuple[str, dict[str, str | float]]:
    at = setting.tapes[0][0]
    check = next(
        each
        for each in checks
        if each.at == at and {each.from_name, each.to_name} == {setting.sight, setting.corner}
    )
    legs = check.legs or (0.0, 0.0)
    own, other = (legs[1], legs[0]) if check.from_name == setting.sight else legs
    text = (
        "set it off from the wall {n0}-{s}: {other} from {n0} toward {s}, {own} toward {c}, "
        "{across} across; then hook on {n0}, reel pulls {d0} along that line and drives the stake"
    )
    return text, {"own": float(own), "other": float(other), "across": float(check.distance)}


def _squaring_step(squaring: Squaring) -> WorkStep:
    (a, c), (b, d) = squaring.diagonals
    text = (
        "square the rectangle {a}, {b}, {c}, {d} before anything is added to it: hook on {a}, "
        "reel reads {c}; hook on {b}, reel reads {d}; both should read {length}, within {allowed}. "
        "If they differ, hold {held} and slide {moved} together along their line toward the end "
        "of the short diagonal: {slide} for every {difference} between the two"
    )
    values: dict[str, str | float] = {
        "a": a,
        "b": b,
        "c": c,
        "d": d,
        "length": squaring.length,
        "allowed": squaring.allowed,
        "held": " and ".join(squaring.held),
        "moved": " and ".join(squaring.moved),
        "slide": squaring.slide,
        "difference": squaring.difference,
    }
    return WorkStep(
        part=WorkPart.CORNERS,
        kind=WorkKind.SQUARE,
        names=(a, b, c, d),
        tapes=((a, c, squaring.length), (b, d, squaring.length)),
        says=says(WorkKind.SQUARE, text, values),
    )
