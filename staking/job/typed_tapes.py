"""What was taped, as it was typed: arguments, lines of standard input, tape books."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from difflib import get_close_matches
from pathlib import Path
from typing import TYPE_CHECKING

from staking.adjust.level_readings import Reading, Readings
from staking.adjust.targets import canonical_point, targets_of
from staking.errors import InputError, MeasureError, Problem
from staking.job.tree.source import Branch, Items, Scalar, parse_tree, read_text
from staking.measure.lengths import Unit, parse_length
from staking.notices import Notice, Severity, notice

if TYPE_CHECKING:
    from staking.plan import Options, Plan

__all__ = ["Reading", "Readings", "merged", "read_arguments", "read_lines", "read_tape_book"]

COLUMNS = ("before digging", "on the forms", "on the poured footing")
"""The columns of an empty tape book, in the order they are filled in."""

PLANNED = "plan distance"
"""The column of what each tape is to read."""

OTHER_COLUMNS = ("distance", "measured")
"""What else a column of readings may be called."""

_LINE = re.compile(
    r"^\s*(?P<pair>[^\s=:,;]+(?: (?:from|to)\b)?)\s*(?:=|:|,|;|\t|\s)\s*(?P<length>\S.*?)\s*$"
)


class _TapeReader:
    """Turns text into readings of one job, collecting every fault."""

    def __init__(self, plan: Plan, options: Options, path: str | None) -> None:
        self.corners = [corner.name for b in plan.buildings for corner in b.corners]
        self.targets = targets_of(plan)
        self.unit = Unit(options.unit)
        self.path = path
        self.problems: list[Problem] = []
        self.readings: list[Reading] = []
        self.heights: dict[str, float] = {}

    def fault(self, message: str, remedy: str = "", line: int | None = None) -> None:
        self.problems.append(Problem(message=message, remedy=remedy, path=self.path, line=line))

    def length(self, text: str, line: int | None, of: str) -> float | None:
        try:
            return parse_length(text, self.unit)
        except MeasureError as fault:
            self.fault(f"{of}: {fault.message}", fault.remedy, line)
            return None

    def end(self, name: str, line: int | None) -> str | None:
        """Give the corner, pad or end of an interior line that a name means."""
        if name in self.corners:
            return name
        point = canonical_point(name, self.targets)
        if point is not None:
            return point
        known = [*self.corners, *(each.name for each in self.targets)]
        near = get_close_matches(name.upper(), known, n=1)
        there = ", ".join(self.corners[:12]) + (" …" if len(self.corners) > 12 else "")
        if self.targets:
            there += ", and " + ", ".join(each.name for each in self.targets[:6])
            there += " …" if len(self.targets) > 6 else ""
            hint = f"the corners are {there}"
        else:
            hint = f"the corners are {there}"
        if near:
            hint = f"did you mean {near[0]}?"
        self.fault(f"{name} is not a corner of the job", hint, line)
        return None

    def take(self, one: str, other: str, text: str, line: int | None) -> None:
        ends = [self.end(name, line) for name in (one, other)]
        distance = self.length(text, line, f"{one}-{other}")
        if ends[0] is None or ends[1] is None or distance is None:
            return
        one, other = ends[0], ends[1]
        if one not in self.corners:
            # a tape to a pad or an end of an interior line is hooked on the corner
            one, other = other, one
        if one not in self.corners:
            self.fault(
                f"{other}-{one} runs between two points that are not corners",
                "tape each of them from two corners",
                line,
            )
        elif one == other:
            self.fault(f"the tape runs from {one} to itself", "name two corners", line)
        elif distance <= 0:
            self.fault(f"{one}-{other} is not longer than zero", "write what was read", line)
        else:
            self.readings.append(
                Reading(from_name=one, to_name=other, distance=distance, line=line)
            )

    def take_pair(self, pair: str, text: str, line: int | None) -> None:
        names = [name.strip() for name in pair.split("-")]
        if len(names) != 2 or not all(names):
            self.fault(f"{pair} names no two corners", "write A-C=43-3-3/8", line)
            return
        self.take(names[0], names[1], text, line)

    def take_height(self, name: str, text: str, line: int | None) -> None:
        known = self.end(name, line)
        height = self.length(text, line, f"the height of {name}")
        if known is None or height is None:
            return
        name = known
        before = self.heights.get(name)
        if before is not None and abs(before - height) > 1e-9:
            self.fault(f"{name} is given two heights", "give each stake top one height", line)
        self.heights[name] = height

    def done(self, notices: Iterable[Notice] = ()) -> Readings:
        if self.problems:
            raise InputError(*self.problems)
        return Readings(readings=tuple(self.readings), heights=self.heights, notices=tuple(notices))


def read_arguments(
    arguments: Sequence[str], heights: Sequence[str], plan: Plan, options: Options
) -> Readings:
    """Read distances and heights as they are typed at a prompt.

    Parameters
    ----------
    arguments
        ``A-C=43-3-3/8`` each.
    heights
        ``A=1-6`` each: how high a stake's top stands over any one level.
    plan, options
        The job: its corners and its unit.

    Returns
    -------
    Readings
        In the order given.

    Raises
    ------
    InputError
        Every argument that is not two corners of the job and a length.
    """
    reader = _TapeReader(plan, options, None)
    for text in arguments:
        pair, sign, length = text.partition("=")
        if not sign:
            reader.fault(f"{text} is not a reading", "write A-C=43-3-3/8, without blanks")
            continue
        reader.take_pair(pair.strip(), length.strip(), None)
    for text in heights:
        name, sign, height = text.partition("=")
        if not sign:
            reader.fault(f"--height {text} is not a height", "write --height A=1-6")
            continue
        reader.take_height(name.strip(), height.strip(), None)
    return reader.done()


def read_lines(text: str, plan: Plan, options: Options) -> Readings:
    """Read distances line by line, as they come from standard input.

    Parameters
    ----------
    text
        Lines such as ``A-C 43' 3 3/8"`` or ``A-C = 43-3-3/8``; blank lines and what follows a
        ``#`` are passed over.
    plan, options
        The job.

    Returns
    -------
    Readings
        In the order given.

    Raises
    ------
    InputError
        Every line that is not two corners of the job and a length.
    """
    reader = _TapeReader(plan, options, "standard input")
    for number, line in enumerate(text.lstrip("\ufeff").splitlines(), start=1):
        said = line.partition("#")[0].strip()
        if not said:
            continue
        match = _LINE.match(said)
        if match is None:
            reader.fault(f"{said} is not a reading", "write A-C 43' 3 3/8\"", number)
            continue
        reader.take_pair(match["pair"], match["length"], number)
    return reader.done()


def read_tape_book(path: Path, plan: Plan, options: Options, column: str | None = None) -> Readings:
    """Read a tape book: a CSV as `staking tape-book` writes it, or YAML.

    Parameters
    ----------
    path
        The file; ``.yaml`` and ``.yml`` are YAML, anything else is delimited text.
    plan, options
        The job.
    column
        Which column of readings; the last one with a reading in it by default.

    Returns
    -------
    Readings
        Lines without a reading are passed over.

    Raises
    ------
    InputError
        Every fault of the file.
    """
    reader = _TapeReader(plan, options, str(path))
    try:
        text = read_text(path)
    except InputError as fault:
        # what is missing here is no job file
        hint = "name the file; `staking tape-book` writes one to fill in"
        raise InputError(
            *(replace(each, remedy=hint) if each.line is None else each for each in fault.problems)
        ) from fault
    if path.suffix.lower() in {".yaml", ".yml"}:
        return _read_yaml(text, reader, column)
    return _read_csv(text, reader, column)


def merged(parts: Iterable[Readings]) -> Readings:
    """Put readings from several places together.

    Parameters
    ----------
    parts
        What was read, in order.

    Returns
    -------
    Readings
        All of it; a later height of a corner counts over an earlier one.
    """
    listed = tuple(parts)
    return Readings(
        readings=tuple(reading for part in listed for reading in part.readings),
        heights={name: height for part in listed for name, height in part.heights.items()},
        notices=tuple(each for part in listed for each in part.notices),
    )


def _read_csv(text: str, reader: _TapeReader, column: str | None) -> Readings:
    text = text.lstrip("\ufeff")
    head = text.partition("\n")[0]
    sign = max((",", ";", "\t"), key=head.count)
    rows = csv.reader(io.StringIO(text), delimiter=sign)
    headings: list[str] = []
    kept: list[tuple[int, dict[str, str]]] = []
    for row in rows:
        cells = [cell.strip() for cell in row]
        if not any(cells) or cells[0].startswith("#"):
            continue
        if not headings:
            headings = [" ".join(cell.lower().split()) for cell in cells]
            continue
        kept.append((rows.line_num, dict(zip(headings, cells, strict=False))))
    missing = [name for name in ("from", "to") if name not in headings]
    if missing:
        reader.fault(
            f"the first line has no column {' and no column '.join(missing)}",
            "write from,to,distance, or start from what `staking tape-book` writes",
            1,
        )
        return reader.done()
    read = _column(headings, [said for _, said in kept], reader, column)
    for line, said in kept:
        one, other = said.get("from", ""), said.get("to", "")
        if read and said.get(read):
            reader.take(one, other, said[read], line)
        for name, heading in ((one, "from height"), (other, "to height")):
            if said.get(heading):
                reader.take_height(name, said[heading], line)
    return reader.done(_column_notice(read, reader, column))


def _column(
    headings: Sequence[str],
    rows: Sequence[Mapping[str, str]],
    reader: _TapeReader,
    column: str | None,
) -> str | None:
    there = [name for name in (*OTHER_COLUMNS, *COLUMNS) if name in headings]
    if column is not None:
        asked = " ".join(column.lower().split())
        if asked == PLANNED and asked in headings:
            reader.fault(
                f"the column {PLANNED} is what the plan says, not what was read",
                f"name one of {', '.join(there)}" if there else "add a column distance",
                1,
            )
            return None
        if asked in headings and asked not in {"from", "to", "from height", "to height"}:
            if not any(row.get(asked) for row in rows):
                reader.fault(f"the column {asked} has no readings", "fill it in")
                return None
            return asked
        reader.fault(f"there is no column {column}", f"there are {', '.join(there) or 'none'}", 1)
        return None
    filled = [name for name in there if any(row.get(name) for row in rows)]
    if not filled:
        reader.fault(
            "the tape book has no readings",
            f"fill in a column {', '.join(there) if there else 'distance'}",
        )
        return None
    return filled[-1]


def _column_notice(read: str | None, reader: _TapeReader, column: str | None) -> tuple[Notice, ...]:
    if read is None or column is not None:
        return ()
    count = len(reader.readings)
    return (
        notice(
            "tape-book-column",
            "{count} taken from the column {column} of the tape book",
            Severity.NOTE,
            count="1 reading" if count == 1 else f"{count} readings",
            column=read,
        ),
    )


def _read_yaml(text: str, reader: _TapeReader, column: str | None) -> Readings:
    root, problems = parse_tree(text, reader.path or "")
    reader.problems.extend(problems)
    if problems:
        return reader.done()
    named = root.get(column) if column is not None else None
    tapes = named if named is not None else root.get("distances")
    if isinstance(tapes, Branch):
        for pair, value in tapes.items():
            for text_of, line in _scalars(value):
                reader.take_pair(pair, text_of, line or tapes.line)
    elif isinstance(tapes, Items):
        for item in tapes:
            _take_item(item, reader)
    else:
        reader.fault(
            f"the tape book has no {column or 'distances'}", "write distances: {A-C: 43' 3 3/8\"}"
        )
    heights = root.get("heights")
    _refuse_strange(root, reader, column)
    if isinstance(heights, Branch):
        for name, value in heights.items():
            for text_of, line in _scalars(value):
                reader.take_height(name, text_of, line)
    return reader.done()


def _refuse_strange(root: Branch, reader: _TapeReader, column: str | None) -> None:
    # a column of readings may have any name; what holds none is a misspelling
    for key, value in root.items():
        if key in {"distances", column} or (key == "heights" and isinstance(value, Branch)):
            continue
        if key == "heights":
            line = root.lines.get(key)
            reader.fault("heights name no corners", "write heights: {A: 1' 6\"}", line)
        elif not isinstance(value, Branch) or not any("-" in pair for pair, _ in value.items()):
            line = root.lines.get(key)
            reader.fault(f"a tape book has no {key}", "write distances or heights", line)


def _take_item(item: object, reader: _TapeReader) -> None:
    line = item.line if isinstance(item, Branch | Items | Scalar) else None
    values = (
        [item.get(key) for key in ("from", "to", "distance")] if isinstance(item, Branch) else []
    )
    if len(values) != 3 or not all(isinstance(value, Scalar) for value in values):
        reader.fault("this is not a reading", "write {from: A, to: C, distance: 43' 3 3/8\"}", line)
        return
    one, other, length = (value.text for value in values if isinstance(value, Scalar))
    reader.take(one, other, length, line)


def _scalars(value: object) -> list[tuple[str, int | None]]:
    if isinstance(value, Scalar):
        return [(value.text, value.line)]
    if isinstance(value, Items):
        return [(each.text, each.line) for each in value if isinstance(each, Scalar)]
    return [("", None)]
