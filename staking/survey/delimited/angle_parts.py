"""Degrees, minutes, seconds and the letter of an angle in columns of their own, made one field."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from staking.errors import InputError, Problem
from staking.frozen import frozen
from staking.notices import Notice, Severity, notice
from staking.points import SurveySettings
from staking.survey.delimited.dialect import AngleColumns
from staking.survey.delimited.first_lines import Sample
from staking.survey.delimited.heading import PASSED, ReadHeading

_ROLES = {"latitude": r"lat(?:itude)?s?", "longitude": r"l(?:on|ong|ng)(?:itude)?s?"}
_PARTS = {
    "degrees": r"d|dd|ddd|deg|degs|degrees?",
    "minutes": r"m|mm|min|mins|minutes?",
    "seconds": r"s|ss|sss|sec|secs|seconds?",
    "letter": r"dir|direction|hemi|hemisphere|letter|side|quadrant",
}
_OWN_LETTERS = {"ns": "latitude", "nors": "latitude", "ew": "longitude", "eorw": "longitude",
                "we": "longitude", "sn": "latitude"}  # fmt: skip
_DEGREE_WORDS = {
    "latitude": ("latitude", "south-latitude"),
    "longitude": ("longitude", "west-longitude"),
}
_BEHIND = ("minutes", "seconds", "letter")


@frozen(kw_only=False)
class _Part:
    role: str
    part: str


def with_whole_angles(
    sample: Sample, settings: SurveySettings, name: str
) -> tuple[Sample, SurveySettings, tuple[Notice, ...]]:
    """Make one field of each angle that is spread over several columns.

    Parameters
    ----------
    sample
        What the first lines show.
    settings
        What the user says, of which `columns` counts: ``latitude-minutes`` and the like.
    name
        The file, for messages.

    Returns
    -------
    tuple
        The first lines and the user's columns with whole angles, and what is said of them; all
        as they were where no angle is spread.

    Raises
    ------
    InputError
        Where minutes, seconds or a letter are named without their degrees.
    """
    if settings.columns is not None:
        angles = _told(settings.columns, name)
        settings = replace(settings, columns=tuple(without_parts(settings.columns, angles)))
    else:
        angles = _headed(sample)
    if not angles:
        return sample, settings, ()
    dialect = replace(sample.dialect, angles=angles)
    heading = sample.heading
    return (
        replace(
            sample,
            dialect=dialect,
            heading=None if heading is None else _whole(heading, angles),
            heading_cells=tuple(without_parts(sample.heading_cells, angles)),
            rows=tuple(tuple(dialect.with_whole_angles(list(row))) for row in sample.rows),
            width=sample.width - sum(len(angle.behind) for angle in angles),
        ),
        settings,
        tuple(_notice(angle) for angle in angles),
    )


def without_parts(cells: Sequence[str], angles: Sequence[AngleColumns]) -> list[str]:
    """Leave out the cells of minutes, seconds and letters."""
    behind = {at for angle in angles for at in angle.behind}
    return [cell for at, cell in enumerate(cells) if at not in behind]


def with_parts(words: Sequence[str], angles: Sequence[AngleColumns]) -> list[str]:
    """Put the words for minutes, seconds and letters back among the words for columns.

    Parameters
    ----------
    words
        One for each column with whole angles.
    angles
        Where the parts stand.

    Returns
    -------
    list of str
        One for each column of the file.
    """
    found = {
        at: f"{angle.role}-{part}"
        for angle in angles
        for part, at in zip(_BEHIND, (angle.minutes, angle.seconds, angle.letter), strict=True)
        if at is not None
    }
    rest = iter(words)
    count = len(words) + len(found)
    return [found[at] if at in found else next(rest) for at in range(count)]


def _told(columns: Sequence[str], name: str) -> tuple[AngleColumns, ...]:
    angles = []
    problems = []
    for role, words in _DEGREE_WORDS.items():
        at = {part: f"{role}-{part}" for part in _BEHIND if f"{role}-{part}" in columns}
        if not at:
            continue
        degrees = next((columns.index(word) for word in words if word in columns), None)
        if degrees is None:
            problems.append(
                Problem(
                    path=name, field="columns",
                    message=f"{' and '.join(at.values())} are named without the degrees"
                    if len(at) > 1 else f"{next(iter(at.values()))} is named without the degrees",
                    remedy=f"name the column of degrees {' or '.join(words)}",
                )
            )  # fmt: skip
            continue
        angles.append(
            _angle(role, degrees, {part: columns.index(word) for part, word in at.items()})
        )
    if problems:
        raise InputError(*problems)
    return tuple(angles)


def _headed(sample: Sample) -> tuple[AngleColumns, ...]:
    """Find the angles that a heading, and a row of units below it, spread over columns."""
    heading = sample.heading
    if heading is None or {"northing", "easting"} <= set(heading.roles):
        return ()
    found: dict[str, dict[str, int]] = {"latitude": {}, "longitude": {}}
    last = ""
    for at, cell in enumerate(sample.heading_cells):
        below = sample.units_cells[at] if at < len(sample.units_cells) else ""
        part = _part(cell, below, last)
        last = part.role if part is not None else ""
        if part is not None:
            found[part.role].setdefault(part.part, at)
    angles = [
        _angle(role, parts["degrees"], {part: parts[part] for part in _BEHIND if part in parts})
        for role, parts in found.items()
        # Seconds without minutes are no such angle: “Lat S” is a latitude counted south.
        if "degrees" in parts and ("minutes" in parts or {*parts} == {"degrees", "letter"})
    ]
    return tuple(angles) if len(angles) == 2 else ()


def _part(cell: str, below: str, last: str) -> _Part | None:
    """Read one cell of a heading, or the unit below it; `last` is the angle to the left of it."""
    word, unit = (re.sub(r"[^a-z]", "", text.lower()) for text in (cell, below))
    if word in _OWN_LETTERS:
        return _Part(_OWN_LETTERS[word], "letter")
    for role, pattern in _ROLES.items():
        for part, words in _PARTS.items():
            if re.fullmatch(f"(?:{pattern})(?:{words})|(?:{words})(?:{pattern})", word):
                return _Part(role, part)
        if re.fullmatch(pattern, word):
            part = next((part for part, words in _PARTS.items() if re.fullmatch(words, unit)), "")
            return _Part(role, part or "degrees")
    if last:
        for text in (word, unit if not word else ""):
            if text in _OWN_LETTERS and _OWN_LETTERS[text] == last:
                return _Part(last, "letter")
            for part in _BEHIND:
                if text and re.fullmatch(_PARTS[part], text):
                    return _Part(last, part)
    return None


def _angle(role: str, degrees: int, parts: dict[str, int]) -> AngleColumns:
    return AngleColumns(
        role=role, degrees=degrees, minutes=parts.get("minutes"), seconds=parts.get("seconds"),
        letter=parts.get("letter"),
    )  # fmt: skip


def _whole(heading: ReadHeading, angles: Sequence[AngleColumns]) -> ReadHeading:
    """Return a heading in which each spread angle is one column, its degrees'."""
    own = {angle.degrees: angle.role for angle in angles}
    roles = [
        own.get(at) or (PASSED if role in own.values() else role)
        for at, role in enumerate(heading.roles)
    ]
    behind = {at for angle in angles for at in angle.behind}
    return replace(
        heading,
        roles=tuple(role for at, role in enumerate(roles) if at not in behind),
        units=tuple(unit for at, unit in enumerate(heading.units) if at not in behind),
        packed=heading.packed - {*own.values()},
        counted_back=heading.counted_back - {*own.values()},
        misspelt=(),
    )


def _notice(angle: AngleColumns) -> Notice:
    parts = [("degrees", angle.degrees), ("minutes", angle.minutes), ("seconds", angle.seconds),
             ("a letter", angle.letter)]  # fmt: skip
    there = [f"{word} in column {at + 1}" for word, at in parts if at is not None]
    return notice(
        "angle-in-columns",
        "the {role} has its {parts}",
        severity=Severity.NOTE,
        role=angle.role,
        parts=", ".join(there),
    )
