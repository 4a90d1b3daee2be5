"""What the columns of a delimited file mean: as told, as headed, or by evidence that is stated."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from staking.errors import InputError, Problem
from staking.notices import Notice, Severity, notice
from staking.points import SurveySettings
from staking.survey.delimited.column_evidence import (
    NO_ORDER,
    both_ways,
    grid_pair,
    has_degrees,
    level_and_code,
    name_column,
    number_columns,
)
from staking.survey.delimited.first_lines import Sample
from staking.survey.delimited.heading import PASSED, ROLES, ReadHeading

DEGREES = ("latitude", "longitude")


@dataclass(frozen=True, slots=True, kw_only=True)
class Meaning:
    """The columns' roles and where they come from.

    Parameters
    ----------
    roles
        One for each column.
    source
        ``told`` by the user, ``headed`` by the file or ``inferred`` from evidence.
    notices
        What was assumed.
    """

    roles: tuple[str, ...]
    source: str
    notices: tuple[Notice, ...] = ()

    @property
    def is_degrees(self) -> bool:
        """Whether the file gives latitude and longitude."""
        return "latitude" in self.roles


def find_meaning(
    sample: Sample, settings: SurveySettings, crs: str | None, unit: str | None, name: str
) -> Meaning:
    """Settle what each column means.

    Parameters
    ----------
    sample
        What the first lines show.
    settings
        What the user says.
    crs
        The code of the file's grid where one is known.
    unit
        The file's unit where one is known.
    name
        The file, for messages.

    Returns
    -------
    Meaning
        The roles.

    Raises
    ------
    InputError
        Where the order of northing and easting cannot be told; shows one point read both ways.
    """
    if settings.columns is not None:
        return _told(sample, settings.columns, name)
    if sample.heading is not None and sample.heading.has_places:
        return _headed(sample, settings, unit, name)
    return _inferred(sample, crs, unit, name)


def check_columns(columns: Sequence[str], name: str) -> None:
    """Refuse columns that name no place or one thing twice.

    Raises
    ------
    InputError
        With every fault there is.
    """
    problems = []
    for word in columns:
        if word not in ROLES and word != PASSED:
            problems.append(
                Problem(
                    path=name, field="columns", message=f"“{word}” is no column",
                    remedy=f"write {', '.join(ROLES)}, or - for one to pass over",
                )
            )  # fmt: skip
        elif word != PASSED and list(columns).count(word) > 1:
            problem = Problem(path=name, field="columns", message=f"{word} is named twice")
            if problem not in problems:
                problems.append(problem)
    named = set(columns)
    if named & {"northing", "easting"} and named & set(DEGREES):
        problems.append(
            Problem(
                path=name, field="columns", message="both grid coordinates and degrees are named",
                remedy="name one kind, and - for the other",
            )
        )  # fmt: skip
    if not ({"northing", "easting"} <= named or set(DEGREES) <= named):
        problems.append(
            Problem(
                path=name, field="columns", message="northing and easting are not both named",
                remedy="write for example point,northing,easting,elevation,description",
            )
        )  # fmt: skip
    if problems:
        raise InputError(*problems)


def _told(sample: Sample, columns: tuple[str, ...], name: str) -> Meaning:
    check_columns(columns, name)
    if len(columns) > sample.width and any(
        word in {"northing", "easting", *DEGREES} for word in columns[sample.width :]
    ):
        raise InputError(
            Problem(
                path=name, line=sample.first_line, field="columns",
                message=f"{len(columns)} columns are named and the line has {sample.width}"
                f" between {sample.dialect.in_words}",
            )
        )  # fmt: skip
    roles = columns + (PASSED,) * (sample.width - len(columns))
    notices = []
    heading = sample.heading
    if len(columns) < sample.width:
        notices.append(
            notice(
                "columns-passed-over",
                "the columns from {first} to {last} are not named and are passed over",
                severity=Severity.NOTE,
                first=len(columns) + 1,
                last=sample.width,
            )
        )
    if heading is not None and heading.has_places:
        apart = [
            role
            for role in ("northing", "easting")
            if role in heading.roles and role in columns
            and heading.roles.index(role) != columns.index(role)
        ]  # fmt: skip
        if apart:
            notices.append(
                notice(
                    "columns-against-heading",
                    "the heading calls another column {roles} than the columns that were named;"
                    " the named ones are used",
                    roles=" and ".join(apart),
                )
            )
    return Meaning(roles=roles, source="told", notices=tuple(notices))


def _headed(sample: Sample, settings: SurveySettings, unit: str | None, name: str) -> Meaning:
    heading = sample.heading or ReadHeading(roles=(), units=())
    cells = sample.heading_cells
    roles = (heading.roles + (PASSED,) * sample.width)[: max(sample.width, len(heading.roles))]
    notices = [
        notice(
            "heading-misspelt",
            "the heading {word} is taken for {meant}",
            word=f"“{word}”",
            meant=meant,
        )
        for word, meant in heading.misspelt
    ]
    words = {role: cells[roles.index(role)].strip() for role in roles if role != PASSED}
    if words.get("easting", "").lower() == "x" and words.get("northing", "").lower() == "y":
        notices.append(
            notice(
                "x-is-easting",
                "the heading's X is read as easting and its Y as northing",
                severity=Severity.NOTE,
            )
        )
    passed = [
        cells[at].strip()
        for at, role in enumerate(roles[: len(cells)])
        if role == PASSED and cells[at].strip()
    ]
    if passed:
        notices.append(
            notice(
                "columns-passed-over",
                "passed over: column {columns}" if len(passed) == 1
                else "passed over: columns {columns}",
                severity=Severity.NOTE,
                columns=", ".join(passed[:12]) + (" …" if len(passed) > 12 else ""),
            )
        )  # fmt: skip
    if "northing" in roles:
        pair = (roles.index("northing"), roles.index("easting"))
        degrees = has_degrees(sample, pair[0], pair[1])
        if degrees and settings.unit is None and unit is None:
            roles, said = _as_degrees(sample, roles, pair, name)
            notices.append(said)
        elif degrees:
            notices.append(
                notice(
                    "like-degrees",
                    "the numbers look like latitude and longitude, and are read as lengths because"
                    " a unit is given",
                )
            )
    return Meaning(roles=roles, source="headed", notices=tuple(notices))


def _as_degrees(
    sample: Sample, roles: tuple[str, ...], pair: tuple[int, int], name: str
) -> tuple[tuple[str, ...], Notice]:
    """Take coordinates that are headed as lengths for the degrees they are."""
    north, east = pair
    if max(map(abs, sample.numbers(north) or [0.0])) > 90.0:
        row = sample.rows[0]
        raise InputError(
            Problem(
                path=name, line=sample.first_line,
                message=f"the northing {row[north]} can only be a longitude and the easting"
                f" {row[east]} a latitude, so the labels are the wrong way round",
                remedy="name the columns, as in --columns point,longitude,latitude",
            )
        )  # fmt: skip
    changed = list(roles)
    changed[north], changed[east] = DEGREES
    return tuple(changed), notice(
        "degrees-by-value",
        "the coordinates are degrees by their size and decimals: the northing is read as latitude"
        " and the easting as longitude",
    )


def _inferred(sample: Sample, crs: str | None, unit: str | None, name: str) -> Meaning:
    """Tell the columns from the numbers in them."""
    numeric = number_columns(sample)
    first = name_column(sample, numeric)
    places = [at for at in numeric if at != first]
    if len(places) < 2:
        raise InputError(
            Problem(
                path=name, line=sample.first_line,
                message=f"there are no two columns of numbers between {sample.dialect.in_words}: "
                f"{' | '.join(sample.rows[0])[:100]}",
                remedy="name the columns, as in --columns point,northing,easting,elevation",
            )
        )  # fmt: skip
    decided = grid_pair(sample, places, crs, unit)
    if decided.reason == NO_ORDER:
        problems = [both_ways(sample, first, decided.pair, name)]
        if unit is None and not decided.is_degrees:
            problems.append(unit_problem(name))
        raise InputError(*problems)
    north, east = decided.pair
    roles = [PASSED] * sample.width
    roles[north], roles[east] = DEGREES if decided.is_degrees else ("northing", "easting")
    if first is not None:
        roles[first] = "point"
    level, word = level_and_code(sample, decided.pair, numeric, name)
    if level is not None:
        roles[level] = "elevation"
    behind = max(north, east, level or 0) + 1
    if word is None:
        word = next((at for at in range(behind, sample.width) if at not in numeric), None)
    if word is not None:
        roles[word] = "description"
    said = [
        notice(
            "columns-inferred",
            "the columns are read as {columns}, because {reason}",
            columns=", ".join(roles),
            reason=decided.reason,
        )
    ]
    said += _zone_notices(sample, roles)
    if first is None:
        said.append(
            notice(
                "points-numbered",
                "the points have no names and are numbered as they come",
                severity=Severity.NOTE,
            )
        )
    return Meaning(roles=tuple(roles), source="inferred", notices=tuple(said))


def _zone_notices(sample: Sample, roles: Sequence[str]) -> list[Notice]:
    """Say which column of numbers passed over looks like several UTM zones in one file."""
    for at, role in enumerate(roles):
        values = sample.numbers(at) if role == PASSED else None
        if not values or not all(1 <= value <= 60 and value % 1 == 0 for value in values):
            continue
        low, high = int(min(values)), int(max(values))
        if low < high:
            return [
                notice(
                    "mixed-zones",
                    "column {column} is passed over; it looks like zone numbers, {low} to {high},"
                    " and points of several zones do not lie on one grid",
                    column=at + 1,
                    low=low,
                    high=high,
                )
            ]
    return []


def unit_problem(name: str) -> Problem:
    """Return the fault of a file whose unit nothing tells."""
    return Problem(
        path=name,
        message="nothing says whether the coordinates are metres, feet or U.S. survey feet",
        remedy="give --unit m, --unit ft or --unit us-ft (units: in the job file)",
    )
