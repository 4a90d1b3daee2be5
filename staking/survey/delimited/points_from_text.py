"""Points from delimited text: any separator, any order of columns, with or without a heading."""

from __future__ import annotations

from dataclasses import replace
from itertools import chain
from typing import BinaryIO

import numpy as np
import numpy.typing as npt

from staking.errors import InputError, Problem
from staking.notices import Notice, Severity, notice
from staking.points import Array, SurveyPoints, SurveySettings
from staking.survey.assemble import survey_points
from staking.survey.degree_doubts import Degrees
from staking.survey.delimited.angle_parts import with_parts, with_whole_angles
from staking.survey.delimited.byte_blocks import read_blocks
from staking.survey.delimited.column_meaning import Meaning, find_meaning
from staking.survey.delimited.dialect import has_thousands
from staking.survey.delimited.first_lines import Sample, read_sample
from staking.survey.delimited.heading import PASSED
from staking.survey.delimited.line_blocks import FAULTS_SHOWN, BlockRows
from staking.survey.delimited.unit_and_grid import (
    CoordinateFrame,
    find_frame,
    known_frame,
    project,
    written_step,
)
from staking.survey.name_list import listed
from staking.units import Unit

FORMAT = "delimited text"


def parse_delimited(
    stream: BinaryIO, name: str, settings: SurveySettings | None = None
) -> SurveyPoints:
    """Read points from delimited text.

    Parameters
    ----------
    stream
        The bytes.
    name
        The file as the user named it.
    settings
        What the user says of it; None says nothing.

    Returns
    -------
    SurveyPoints
        The points, in metres.

    Raises
    ------
    InputError
        Where lines are faulty, with each line and its text; where neither the file nor the user
        tells the unit or the order of the columns; where the labels contradict the grid.
    """
    said = settings or SurveySettings()
    blocks = read_blocks(stream, name)
    first = next(blocks, None)
    if first is None:
        raise InputError(Problem(path=name, message="the file is empty"))
    sample = read_sample(first.text()[0], first.first_line, name)
    sample, said, angle_notices = with_whole_angles(sample, said, name)
    crs, unit = known_frame(sample, said, name)
    meaning = find_meaning(sample, said, crs, unit, name)
    frame = find_frame(sample, meaning, said, name)
    rows = BlockRows(
        name=name,
        dialect=sample.dialect,
        roles=meaning.roles,
        packed=meaning.packed,
        counted_back=meaning.counted_back,
    )
    for block in chain([first.below(sample.first_line)], blocks):
        rows.take(block)
    meaning = replace(meaning, notices=(*meaning.notices, *angle_notices))
    return _result(name, said, sample, meaning, frame, rows)


def _result(
    name: str,
    settings: SurveySettings,
    sample: Sample,
    meaning: Meaning,
    frame: CoordinateFrame,
    rows: BlockRows,
) -> SurveyPoints:
    metres = 1.0 if meaning.is_degrees else Unit(frame.unit).metres
    level_metres = Unit(frame.level_unit).metres
    names, northing, easting, level, words, lines = rows.finish(metres, level_metres)
    left = _faults(name, settings, rows)
    if len(names) == 0:
        raise InputError(Problem(path=name, message="the file has no line with a point"))
    said: list[Notice] = []
    if meaning.is_degrees:
        given = _degrees(name, sample, meaning, northing, easting, lines)
        northing, easting, said = project(given, frame, settings)
    return survey_points(
        name=name,
        format=FORMAT,
        names=names,
        northing=northing,
        easting=easting,
        elevation=level,
        descriptions=words,
        unit=frame.unit,
        source_line=lines,
        columns=tuple(with_parts(meaning.words, sample.dialect.angles)),
        crs=frame.crs,
        names_differ=rows.names_differ,
        settings=settings,
        elevation_unit=frame.level_unit,
        notices=(
            *meaning.notices,
            *frame.notices,
            *said,
            *_reading_notices(sample, rows),
            *left,
        ),
    )


def _degrees(
    name: str,
    sample: Sample,
    meaning: Meaning,
    latitude: Array,
    longitude: Array,
    lines: npt.NDArray[np.int64],
) -> Degrees:
    """Return the degrees read, with what the file shows of how they are written."""
    at = meaning.roles.index("longitude")
    turned = replace(meaning, counted_back=meaning.counted_back | {"longitude"})
    words = with_parts(turned.words, sample.dialect.angles)
    while words[-1] == PASSED:
        words.pop()
    return Degrees(
        path=name,
        latitude=latitude,
        longitude=longitude,
        lines=lines,
        step=written_step(sample, meaning),
        says_side="longitude" in meaning.counted_back or sample.side(at) is not None,
        west_remedy=f"give --columns {','.join(words)} (columns: under site:)",
    )


def _faults(name: str, settings: SurveySettings, rows: BlockRows) -> list[Notice]:
    """Refuse the faulty lines, or say which were left out where the user allows that."""
    count = rows.fault_count
    if count == 0:
        return []
    if not settings.skip_bad_lines:
        total = count + rows.count
        raise InputError(
            *(
                Problem(path=name, line=fault.line, message=f"{fault.message}: {fault.text}")
                for fault in rows.faults
            ),
            Problem(
                path=name,
                message=f"{count} of {total} {'line' if total == 1 else 'lines'} cannot be read"
                + (f"; the first {FAULTS_SHOWN} are shown" if count > FAULTS_SHOWN else ""),
                remedy="correct them, or let staking survey --skip-bad-lines --to "
                "write the rest anew",
            ),
        )
    found = [
        notice(
            "line-left-out",
            "line {line} is left out, {why}: {text}",
            line=fault.line,
            why=fault.message,
            text=fault.text,
        )
        for fault in rows.faults
    ]
    if count > len(rows.faults):
        found.append(
            notice(
                "lines-left-out",
                "{more} more lines are left out, {count} in all",
                more=count - len(rows.faults),
                count=count,
            )
        )
    return found


def _reading_notices(sample: Sample, rows: BlockRows) -> list[Notice]:
    """Say what the cutting into fields assumed or repaired."""
    found = []
    if sample.passed_lines:
        found.append(
            notice(
                "lines-above-heading",
                "the lines above the heading are passed over: {lines}",
                severity=Severity.NOTE,
                lines=listed([str(line) for line in sample.passed_lines]),
            )
        )
    if sample.heading is None and sample.heading_line is not None:
        found.append(
            notice("heading-unread", "the heading on line {line} is not understood",
                   line=sample.heading_line)
        )  # fmt: skip
    if sample.units_line is not None:
        found.append(
            notice(
                "units-row",
                "line {line} is read as the columns' units",
                severity=Severity.NOTE,
                line=sample.units_line,
            )
        )
    if sample.in_comment:
        found.append(
            notice(
                "heading-in-comment",
                "the heading is read from the comment on line {line}",
                severity=Severity.NOTE,
                line=sample.heading_line or 0,
            )
        )
    return [*found, *_field_notices(sample, rows)]


def _comma_notice(sample: Sample) -> Notice:
    """Say that a comma is decimal, and warn where it may stand between thousands."""
    text = "the numbers are read with a decimal comma"
    cells = [cell for row in sample.rows for cell in row if "," in cell]
    numbers = [cell for cell in cells if sample.dialect.number(cell) is not None]
    if not numbers or not all(has_thousands(cell) for cell in numbers):
        return notice("decimal-comma", text, severity=Severity.NOTE)
    return notice(
        "decimal-comma",
        text + ": {shown} is {value}; if its comma stands between thousands, take it out",
        shown=numbers[0],
        value=f"{float(numbers[0].replace(',', '.')):g}",
    )


def _field_notices(sample: Sample, rows: BlockRows) -> list[Notice]:
    """Say what was repaired or left out among the fields."""
    found = []
    if sample.dialect.has_decimal_comma:
        found.append(_comma_notice(sample))
    if rows.marked_levels:
        found.append(
            notice(
                "elevation-marks",
                "{count} elevations of {marks} are read as none",
                severity=Severity.NOTE,
                count=rows.marked_levels,
                marks=", ".join(f"{value:G}" for value in sorted(rows.level_marks)[:5]),
            )
        )
    if rows.joined_lines:
        found.append(
            notice(
                "descriptions-joined",
                "{count} lines have more fields than columns; the rest of each is its description",
                count=rows.joined_lines,
            )
        )
    if rows.comment_lines:
        found.append(
            notice(
                "comments",
                "comments are passed over on lines {lines}",
                severity=Severity.NOTE,
                lines=listed([str(line) for line in rows.comment_lines]),
            )
        )
    if not rows.is_utf8:
        found.append(
            notice("not-utf8", "the text is not UTF-8 and is read as Windows Western text")
        )
    if "point" not in rows.roles and sample.heading is not None:
        found.append(
            notice(
                "points-numbered",
                "the points have no names and are numbered as they come",
                severity=Severity.NOTE,
            )
        )
    return found
