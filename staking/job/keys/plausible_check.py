"""Values held against what such values commonly are: refused, or taken and said."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from staking.errors import MeasureError
from staking.job.keys.models import Section
from staking.job.keys.plausible import BY_KEY, Range
from staking.job.tree.faults import Faults
from staking.job.tree.source import Place, field_words, scalar_at
from staking.measure.lengths import Unit, parse_length
from staking.notices import Length, Value, notice

_WORDS = {
    Unit.FT: "feet",
    Unit.US_FT: "survey feet",
    Unit.IN: "inches",
    Unit.M: "metres",
    Unit.MM: "millimetres",
}
_MARKS = {Unit.FT: "'", Unit.US_FT: "'", Unit.IN: '"', Unit.M: " m", Unit.MM: " mm"}

_OTHERS = {
    Unit.FT: (Unit.IN, Unit.MM, Unit.M),
    Unit.US_FT: (Unit.IN, Unit.MM, Unit.M),
    Unit.IN: (Unit.FT, Unit.MM, Unit.M),
    Unit.M: (Unit.MM, Unit.IN, Unit.FT),
    Unit.MM: (Unit.M, Unit.IN, Unit.FT),
}
"""In which other units a bare number may have been meant, the likeliest first."""


def refused(section: Section, faults: Faults, unit: Unit) -> list[Place]:
    """Hold every value of a section against its range.

    Parameters
    ----------
    section
        The section as read.
    faults
        Where faults and notices are noted.
    unit
        What a bare number is in.

    Returns
    -------
    list of Place
        What was refused, and is to be left out.
    """
    return [
        place
        for key, place, value in _values(section)
        if not judge(key, place, value, faults, unit)
    ]


def _values(section: Section) -> Iterator[tuple[str, Place, float]]:
    """Give each number that has a range: its key in the table, its place, its value."""
    model = type(section)
    for name, field in model.model_fields.items():
        value = getattr(section, name)
        key = field.alias or name
        found = next(
            (
                f"{each.__name__.removesuffix('Keys').lower()}.{key}"
                for each in model.__mro__
                if f"{each.__name__.removesuffix('Keys').lower()}.{key}" in BY_KEY
            ),
            None,
        )
        yield from _inside(found, (*section.place, key), value)


def _inside(key: str | None, place: Place, value: Any) -> Iterator[tuple[str, Place, float]]:
    """Give the numbers of one field, down through its lists, tables and sections."""
    if isinstance(value, Section):
        yield from _values(value)
    elif isinstance(value, dict):
        for name, part in value.items():
            yield from _inside(key, (*place, name), part)
    elif isinstance(value, (list, tuple)):
        for number, part in enumerate(value):
            yield from _inside(key, (*place, number), part)
    elif key is not None and isinstance(value, (int, float)) and not isinstance(value, bool):
        yield key, place, float(value)


def judge(
    key: str, place: Place, value: float, faults: Faults, unit: Unit, text: str | None = None
) -> bool:
    """Hold one value against its range, noting a fault or a notice where it lies outside.

    Parameters
    ----------
    key
        Its key in the table of ranges.
    place
        Where it stands in the file.
    value
        The value: m, or in the figure's own unit.
    faults
        Where faults and notices are noted.
    unit
        What a bare number is in.
    text
        The value as typed, where it is only a part of what stands in the file.

    Returns
    -------
    bool
        False where it was refused.
    """
    limits = BY_KEY[key]
    if limits.holds(value):
        return True
    if text is None:
        node = scalar_at(faults.root, place)
        if node is None:
            return True
        text = node.text.strip()
    if limits.is_length and _is_bare(text, unit):
        faults.add(place, f"{text} here is {text} {unit.value}", _meant(limits, text, faults, unit))
        return False
    if not limits.is_length and limits.is_absurd(value):
        faults.add(
            place,
            f"{text} is out of range for {limits.title}",
            f"write one from {_ends(limits, faults)}",
        )
        return False
    _say(limits, place, text, value, faults)
    return True


def _is_bare(text: str, unit: Unit) -> bool:
    """Say whether a length was written without its unit."""
    try:
        parse_length(text)
    except MeasureError:
        try:
            parse_length(text, unit)
        except MeasureError:
            return False
        return True
    return False


def _meant(limits: Range, text: str, faults: Faults, unit: Unit) -> str:
    """Say what to write for what was probably meant, and for what stands there."""
    own = f"{text}{_MARKS[unit]} if {_WORDS[unit]} are meant"
    for other in _OTHERS[unit]:
        try:
            metres = parse_length(text, other)
        except MeasureError:
            continue
        if limits.holds(metres):
            return f"write {text}{_MARKS[other]} for {_WORDS[other]}, or {own}"
    return f"write one from {_ends(limits, faults)}, or {own}"


def _ends(limits: Range, faults: Faults) -> str:
    """Write the range's ends as the job shows lengths, or as plain figures."""
    if limits.shown is None:
        return f"{faults.length(limits.least)} to {faults.length(limits.most)}"
    unit, scale = limits.shown
    return f"{limits.least * scale:g}{unit} to {limits.most * scale:g}{unit}"


def _say(limits: Range, place: Place, text: str, value: float, faults: Faults) -> None:
    """Say that a value is taken although it lies outside the range."""
    over = value > limits.most
    at = limits.most if over else limits.least
    if limits.shown is None:
        end: Value = Length(at)
    else:
        unit, scale = limits.shown
        end = f"{at * scale:g}{unit}"
    faults.unlikely(
        notice(
            "unlikely-value",
            f"{{field}}: {{text}} is {'over' if over else 'under'} {{end}}, the "
            f"{'most' if over else 'least'} on jobs of this kind; check the number"
            f"{' and its unit' if limits.is_length else ''}",
            field=field_words(place, faults.root) or "",
            text=text,
            end=end,
        ),
        (limits.title, text),
    )
