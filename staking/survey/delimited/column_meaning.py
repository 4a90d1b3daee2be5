"""What the columns of a delimited file mean: as given, as headed, or by evidence that is stated."""

from __future__ import annotations

from collections.abc import Sequence

from staking.errors import InputError, Problem
from staking.frozen import frozen
from staking.notices import Notice, Severity, notice
from staking.points import SurveySettings
from staking.survey.delimited.column_evidence import (
    NO_ORDER,
    Decided,
    both_ways,
    grid_pair,
    has_degrees,
    level_and_code,
    name_column,
    number_columns,
)
from staking.survey.delimited.dialect import has_thousands
from staking.survey.delimited.first_lines import Sample
from staking.survey.delimited.heading import PASSED, ROLES, ReadHeading

DEGREES = ("latitude", "longitude")

_WAYS = {
    f"{side}{role}{packed}": (role, bool(packed), bool(side))
    for role, back in (("latitude", "south-"), ("longitude", "west-"))
    for side in ("", back)
    for packed in ("", "-dms")
}
"""What the words for columns of degrees mean: the role, whether packed, whether counted back."""


def column_word(role: str, *, is_packed: bool, counts_back: bool) -> str:
    """Return the word by which a user names a column, one of `staking.points.COLUMN_WORDS`."""
    return next(
        (word for word, way in _WAYS.items() if way == (role, is_packed, counts_back)), role
    )


@frozen
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
    packed, counted_back
        Which of latitude and longitude are packed degrees, minutes and seconds, and which count
        south or west as positive.
    """

    roles: tuple[str, ...]
    source: str
    notices: tuple[Notice, ...] = ()
    packed: frozenset[str] = frozenset()
    counted_back: frozenset[str] = frozenset()

    @property
    def words(self) -> tuple[str, ...]:
        """The columns by the words a user would name them with."""
        return tuple(
            column_word(role, is_packed=role in self.packed, counts_back=role in self.counted_back)
            for role in self.roles
        )

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
    columns = [_WAYS[word][0] if word in _WAYS else word for word in columns]
    for word in columns:
        if word not in ROLES and word != PASSED:
            problems.append(
                Problem(
                    path=name, field="columns", message=f"“{word}” is not a column",
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
    ways = [_WAYS.get(word, (word, False, False)) for word in columns]
    columns = tuple(role for role, _, _ in ways)
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
    return Meaning(
        roles=roles,
        source="told",
        notices=(*notices, *_zone_notices(sample, roles)),
        packed=frozenset(role for role, is_packed, _ in ways if is_packed),
        counted_back=frozenset(role for role, _, counts_back in ways if counts_back),
    )


def _passed_over(cells: Sequence[str], roles: Sequence[str]) -> list[Notice]:
    """Say which columns carry nothing that is read."""
    passed = [
        cells[at].strip()
        for at, role in enumerate(roles[: len(cells)])
        if role == PASSED and cells[at].strip()
    ]
    if not passed:
        return []
    columns = "column {columns}" if len(passed) == 1 else "columns {columns}"
    return [
        notice(
            "columns-passed-over",
            f"passed over: {columns}",
            severity=Severity.NOTE,
            columns=", ".join(passed[:12]) + (" …" if len(passed) > 12 else ""),
        )
    ]


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
    notices += _passed_over(cells, roles)
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
    degrees_named = frozenset(DEGREES).intersection(roles)
    packed, back = (
        heading.packed.intersection(degrees_named),
        heading.counted_back.intersection(degrees_named),
    )
    return Meaning(
        roles=roles,
        source="headed",
        notices=(*notices, *_angle_notices(packed, back)),
        packed=packed,
        counted_back=back,
    )


def _angle_notices(packed: frozenset[str], back: frozenset[str]) -> list[Notice]:
    """Say how degrees are read as the heading says."""
    said = []
    if packed:
        said.append(
            notice(
                "packed-degrees",
                "as the heading says, the {what} stand as packed degrees, minutes and seconds: "
                "42.000150 is 42 degrees 0 minutes 1.50 seconds"
                if len(packed) > 1
                else "as the heading says, the {what} stands as packed degrees, minutes and "
                "seconds: 42.000150 is 42 degrees 0 minutes 1.50 seconds",
                severity=Severity.NOTE,
                what=" and the ".join(sorted(packed)),
            )
        )
    said += [
        notice(
            "counted-back",
            "the {what} counts {side} as positive, as the heading says",
            severity=Severity.NOTE,
            what=what,
            side="west" if what == "longitude" else "south",
        )
        for what in sorted(back)
    ]
    return said


def _as_degrees(
    sample: Sample, roles: tuple[str, ...], pair: tuple[int, int], name: str
) -> tuple[tuple[str, ...], Notice]:
    """Take coordinates that are headed as lengths for the degrees they are."""
    north, east = pair
    if max(map(abs, sample.numbers(north) or [0.0])) > 90.0:
        row = sample.first_row
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
        "as lengths all points would lie within half a unit of one another, with four decimals and"
        " more, so the numbers are degrees: the northing is read as latitude and the easting as"
        " longitude",
    )


def _inferred(sample: Sample, crs: str | None, unit: str | None, name: str) -> Meaning:
    """Tell the columns from the numbers in them."""
    _refuse_thousands(sample, name)
    lettered = _lettered_pair(sample)
    numeric = sorted({*number_columns(sample), *lettered})
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
    if lettered:
        reason = "their letters say which is north or south and which is east or west"
        decided = Decided(lettered, reason, is_degrees=True)
    else:
        decided = grid_pair(sample, places, crs, unit)
    if decided.reason == NO_ORDER:
        problems = [both_ways(sample, first, decided.pair, name)]
        if unit is None and not decided.is_degrees:
            problems.append(unit_problem(name))
        try:
            level_and_code(sample, decided.pair, numeric, name)
        except InputError as fault:
            problems += fault.problems
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


def _refuse_thousands(sample: Sample, name: str) -> None:
    """Refuse numbers with marks between their thousands, which leave no column of numbers."""
    for at in range(sample.width):
        texts = sample.texts(at)
        numbers = [sample.dialect.number(text) for text in texts]
        if texts and not any(numbers) and all(has_thousands(text) for text in texts):
            raise InputError(
                Problem(
                    path=name,
                    line=sample.first_line,
                    message=f"“{texts[0]}” has a mark between its thousands, where none belongs",
                    remedy="export the points without such marks",
                )
            )


def _lettered_pair(sample: Sample) -> tuple[int, int] | tuple[()]:
    """Return the columns of latitudes and longitudes that their letters tell, or none."""
    sides = {sample.side(at): at for at in range(sample.width)}
    if "latitude" in sides and "longitude" in sides:
        return sides["latitude"], sides["longitude"]
    return ()


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
