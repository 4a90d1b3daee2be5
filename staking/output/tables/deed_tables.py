"""A lot by its deed in tables: its courses beside their words, how it closes, what was found."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from staking.deed import CurvedCourse, Deed, StraightCourse
from staking.measure.lengths import format_angle, format_bearing
from staking.output.blocks import Block, Column, Listing, Table
from staking.output.wording import Words, safe
from staking.site.deed.closing_words import figure, one_in
from staking.site.deed.slips import SlipKind
from staking.site.deed.traverse import CLOSED

if TYPE_CHECKING:
    from staking.deed import Course
    from staking.site.deed.deed_lot import DeedLot
    from staking.site.deed.slips import Slip
    from staking.site.deed.traverse import Leg, Traverse
    from staking.site.site_results import BoundaryLine


def deed_blocks(lot: DeedLot, words: Words) -> tuple[Block, ...]:
    """Set out a lot by its deed.

    Parameters
    ----------
    lot
        The boundary as made.
    words
        The job's words.

    Returns
    -------
    tuple of Block
        The courses, how they close, what would close them, and the found pins.
    """
    return (
        courses_table(lot.deed, lot.walked),
        closing_listing(lot.deed, lot.walked, words),
        slips_table(lot.deed, lot.walked, lot.slips),
        _pins(lot),
    )


def courses_table(deed: Deed, walked: Traverse) -> Table:
    """Set out the courses of a deed, each beside its words.

    Parameters
    ----------
    deed, walked
        The deed and its courses walked round.

    Returns
    -------
    Table
        The ties first.
    """
    rows = [("tie", _written(each), safe(each.words.text)) for each in deed.ties]
    rows += [
        (safe(f"{start}-{end}"), _read(course, leg, deed), safe(course.words.text))
        for (start, end), course, leg in zip(deed.lines, deed.courses, walked.legs, strict=True)
    ]
    return Table(
        title="The deed, course by course",
        columns=(
            Column(heading="course"),
            Column(heading="read as"),
            Column(heading="its words"),
        ),
        rows=tuple(rows),
        note="A tie leads to the first corner and is not a part of the lot." if deed.ties else "",
    )


def closing_listing(deed: Deed, walked: Traverse, words: Words) -> Listing:
    """Say how a deed closes, its area, and what its bearings are counted from.

    Parameters
    ----------
    deed, walked
        The deed and its courses walked round.
    words
        The job's words.

    Returns
    -------
    Listing
        One sentence for each.
    """
    lines = []
    if walked.misclosure <= CLOSED:
        lines.append(f"The courses close. Round the lot: {figure(walked.perimeter, deed)}.")
    else:
        lines.append(
            f"From the end of the last course back to corner {safe(deed.corners[0])}: "
            f"{figure(walked.misclosure, deed)}, {format_bearing(walked.azimuth)}. Round the lot: "
            f"{figure(walked.perimeter, deed)}, so it closes to one in {one_in(walked)}. Nothing "
            f"is balanced; the last course is drawn to corner {safe(deed.corners[0])}."
        )
    stated = (
        ""
        if deed.stated_area is None
        else (f"; the deed says {words.area(deed.stated_area)}{_acres(deed.stated_area, deed)}")
    )
    lines.append(f"Area: {words.area(walked.area)}{_acres(walked.area, deed)}{stated}.")
    basis = "not stated" if deed.basis is None else f'"{safe(deed.basis)}"'
    lines.append(f"Basis of bearings: {basis}.")
    if deed.opening:
        lines.append(f'Before the first course: "{safe(deed.opening)}".')
    return Listing(title="How the deed closes", lines=tuple(lines))


def _acres(square_metres: float, deed: Deed) -> str:
    from staking.measure.deed.description import ACRE
    from staking.units import FOOT, Unit

    if deed.courses[0].words.unit in {Unit.M, Unit.MM}:
        return ""
    return f" ({square_metres / (ACRE * FOOT**2):.4f} acre)"


def slips_table(deed: Deed, walked: Traverse, slips: Sequence[Slip]) -> Table:
    """Set out the courses with which, otherwise written, a deed would close.

    Parameters
    ----------
    deed, walked
        The deed and its courses walked round.
    slips
        What would close it.

    Returns
    -------
    Table
        Nothing is changed by it.
    """
    legs = dict(zip((start for start, _ in deed.lines), walked.legs, strict=True))
    rows = []
    for slip in slips:
        of_length = slip.kind in {SlipKind.DISTANCE, SlipKind.DISTANCE_DIGITS}
        leg = legs[slip.start]
        now = figure(leg.length, deed) if of_length else format_bearing(leg.azimuth)
        then = figure(slip.length, deed) if of_length else format_bearing(slip.azimuth)
        rows.append((
            safe(f"{slip.start}-{slip.end}"),
            now,
            then,
            str(slip.kind),
            figure(slip.left, deed),
        ))
    return Table(
        title="It would close if one of these were written otherwise",
        note="Look it up in the deed or on the plat: nothing is changed here.",
        columns=(
            Column(heading="course"),
            Column(heading="written", right=True),
            Column(heading="would close with", right=True),
            Column(heading="what it would be"),
            Column(heading="left", right=True),
        ),
        rows=tuple(rows),
    )


def record_beside_measured(lot: DeedLot) -> Table:
    """Set out the lines of a lot on found pins: record (R) beside measured (M).

    Parameters
    ----------
    lot
        The boundary.

    Returns
    -------
    Table
        Lengths in the deed's own unit, so that they can be compared.
    """
    deed = lot.deed
    return Table(
        title="Boundary: record (R) of the deed beside measured (M) from pin to pin",
        columns=(
            Column(heading="line"),
            Column(heading="R length", right=True),
            Column(heading="R bearing"),
            Column(heading="M length", right=True),
            Column(heading="M bearing"),
        ),
        rows=tuple(
            (
                safe(line.name),
                figure(line.given_length or 0.0, deed),
                format_bearing(line.given or 0.0),
                figure(line.length, deed) if line.doubt == 0.0 else "drawn",
                format_bearing(line.azimuth) if line.doubt == 0.0 else "by the deed",
            )
            for line in lot.lines
        ),
        note=_curved(lot.lines),
    )


def lines_from_paper(lot: DeedLot, words: Words) -> Table:
    """Set out the lines of a lot from its deed alone.

    Parameters
    ----------
    lot
        The boundary.
    words
        The job's words.

    Returns
    -------
    Table
        As they are drawn: the last closes on the first corner.
    """
    return Table(
        title="Boundary, drawn from the deed: no pin was found",
        columns=(
            Column(heading="line"),
            Column(heading="length", right=True),
            Column(heading="bearing on the deed's north"),
        ),
        rows=tuple(
            (safe(line.name), words.length(line.length), format_bearing(line.azimuth))
            for line in lot.lines
        ),
        note=_curved(lot.lines),
    )


def _curved(lines: Sequence[BoundaryLine]) -> str:
    curved = [safe(line.name) for line in lines if line.curve is not None]
    if not curved:
        return ""
    return f"{', '.join(curved)}: along the curve; the bearing is that of its chord."


def _pins(lot: DeedLot) -> Table:
    def way(metres: float, sides: tuple[str, str]) -> str:
        return f"{figure(abs(metres), lot.deed)} {sides[metres < 0]}"

    pins = () if lot.fit is None else lot.fit.pins
    return Table(
        title="Where the pins stand beside the deed, turned and shifted onto them",
        columns=(
            Column(heading="corner"),
            Column(heading="pin"),
            Column(heading="north or south", right=True),
            Column(heading="east or west", right=True),
            Column(heading="apart", right=True),
        ),
        rows=tuple(
            (
                safe(each.corner),
                safe(each.point),
                way(each.northing, ("north", "south")),
                way(each.easting, ("east", "west")),
                figure(each.distance, lot.deed),
            )
            for each in pins
        ),
    )


def _read(course: Course, leg: Leg, deed: Deed) -> str:
    if leg.curve is None:
        return _written(course)
    curve = leg.curve
    parts = [
        f"curve {curve.to}",
        f"radius {figure(curve.radius, deed)}",
        f"angle {format_angle(curve.angle)}",
        f"arc {figure(curve.arc, deed)}",
        f"chord {format_bearing(leg.azimuth)} {figure(leg.length, deed)}",
    ]
    return ", ".join(parts)


def _written(course: Course) -> str:
    deed = Deed(courses=(course,), corners=("1",))
    if isinstance(course, StraightCourse):
        return f"{format_bearing(course.azimuth)} {figure(course.length, deed)}"
    return ", ".join(_curve_parts(course, deed))


def _curve_parts(course: CurvedCourse, deed: Deed) -> Iterator[str]:
    yield f"curve {course.to}"
    for name in ("radius", "arc", "chord", "tangent"):
        length = getattr(course, name)
        if length is not None:
            yield f"{name} {figure(length, deed)}"
    if course.angle is not None and math.isfinite(course.angle):
        yield f"angle {format_angle(course.angle)}"
