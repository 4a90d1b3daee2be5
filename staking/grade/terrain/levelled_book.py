"""The ground out of a level book: reduced, its points found on the building, its faults named."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import replace

from staking.errors import InputError, Problem
from staking.footing.bands_and_outlines import Ring
from staking.frozen import frozen
from staking.grade.grade_request import GradeAsked, GroundAsked
from staking.grade.stepping.wall_network import Network
from staking.grade.terrain.level_run import LevelRun, Sight, reduce_run
from staking.grade.terrain.named_levels import NamedLevels, named_levels
from staking.kinds import FootingKind, GroundSource
from staking.notices import Length, Notice, Severity, notice
from staking.units import INCH

GREAT_MISCLOSURE = INCH / 2
"""A run of levels over a building's lot that closes worse than this, m, holds a slip (common
practice, no source)."""


SAME_BENCHMARK = INCH / 16
"""Two elevations of one benchmark that differ by more, m, are two benchmarks (common practice, no
source)."""


@frozen
class LevelLine:
    """One line of a level book, in m; None where nothing was read or is known.

    Parameters
    ----------
    point, description
        As the book has them.
    back, side, fore
        Backsight, intermediate sight and foresight.
    known
        The elevation the book gives for the point.
    line
        Its line in the file, from 1.
    """

    point: str
    back: float | None
    side: float | None
    fore: float | None
    known: float | None
    description: str
    line: int


@frozen
class LevelBook:
    """A level book as it was kept: its lines in order, the unit, and whether the book names it."""

    name: str
    lines: tuple[LevelLine, ...]
    unit: str
    unit_named: bool


def levelled_ground(
    asked: GradeAsked, book: LevelBook, network: Network, pads: Mapping[str, Ring]
) -> tuple[GroundAsked, tuple[Notice, ...]]:
    """Take the ground's elevations from the job's level book.

    Parameters
    ----------
    asked
        The grade section.
    book
        The level book that it names.
    network, pads
        The walls, and the pads by name: what the book's points are named after.

    Returns
    -------
    tuple
        The elevations as readings at corners, pads and along walls; what is to be told of the
        book.

    Raises
    ------
    InputError
        For every fault of the book, a corner that it leaves out, and a benchmark that it knows at
        another elevation than the job.
    """
    run = reduce_run([
        Sight(point=e.point, back=e.back, side=e.side, fore=e.fore, known=e.known)
        for e in book.lines
    ])
    walls = [strand for strand in network.strands if strand.kind is FootingKind.WALL]
    corners = list(dict.fromkeys(network.nodes[s.nodes[end][0]] for s in walls for end in (0, -1)))
    found = named_levels(
        [(each.point, each.elevation) for each in run.points],
        corners,
        list(pads),
        {strand.name: strand.length for strand in network.strands},
        asked.ground.unit,
    )
    _refuse(asked, book, found, corners)
    told = [*_closings(run, book.name), *_names(found, book)]
    levelled = replace(
        asked.ground,
        source=GroundSource.READINGS,
        corners=found.corners,
        pads=found.pads,
        along=found.along,
    )
    return levelled, tuple(told)


def _refuse(
    asked: GradeAsked, book: LevelBook, found: NamedLevels, corners: Collection[str]
) -> None:
    problems = [
        Problem(
            path=book.name,
            line=book.lines[each.number].line,
            message=each.message,
            remedy=each.remedy,
        )
        for each in found.misplaced
    ]
    benchmark = asked.benchmark
    if benchmark is not None and benchmark.elevation is not None:
        known = next((e for e in book.lines if e.point == benchmark.name and e.known), None)
        if known is not None and abs((known.known or 0.0) - benchmark.elevation) > SAME_BENCHMARK:
            problems.append(
                asked.written.problem(
                    "benchmark",
                    f"{benchmark.name} has another elevation here than in {book.name}, line "
                    f"{known.line}",
                    "give it one elevation in both",
                    "elevation",
                )
            )
    levelled = {name for name, _ in found.corners}
    missing = [name for name in corners if name not in levelled]
    if missing:
        problems.append(
            asked.written.problem(
                "ground",
                f"nothing is read at {', '.join(missing)} in {book.name}",
                "level the ground at every corner, and name the point after it",
                "level_book",
            )
        )
    if problems:
        raise InputError(*problems)


def _closings(run: LevelRun, name: str) -> list[Notice]:
    if not run.closings:
        return [
            notice(
                "level-book-open",
                "{book} ends on no point of known elevation, so that a misread rod would not show: "
                "read back to the first point, and give its elevation there again",
                book=name,
            )
        ]
    told = []
    for each in run.closings:
        great = abs(each.misclosure) > GREAT_MISCLOSURE
        shares = f"each of {each.setups} set-ups takes an equal share of it off"
        if each.setups == 1:
            shares = "its one set-up takes all of it off"
        told.append(
            notice(
                "level-book-misclosure" if great else "level-book-closed",
                "{book}: carried to {point}, the levels come out {off} {way}, and {shares}"
                + ("; that much is a slip in a reading: level it again" if great else ""),
                Severity.WARNING if great else Severity.NOTE,
                book=name,
                point=each.point,
                off=Length(abs(each.misclosure)),
                way="high" if each.misclosure > 0 else "low",
                shares=shares,
            )
        )
    return told


def _names(found: NamedLevels, book: LevelBook) -> list[Notice]:
    told = [
        notice(
            "level-book-twice",
            "{name} was levelled more than once in {book}, and its levels lie {apart} apart: the "
            "mean is taken, look at the readings",
            name=each.name,
            book=book.name,
            apart=Length(each.apart),
        )
        for each in found.twice
    ]
    if found.others:
        told.append(
            notice(
                "level-book-others",
                "{names} in {book} name no corner, pad or point of a wall: they carry the levels, "
                "and are not ground",
                Severity.NOTE,
                names=", ".join(found.others),
                book=book.name,
            )
        )
    if not book.unit_named:
        told.append(
            notice(
                "level-book-unit",
                "{book} does not say its unit: its bare numbers are read in {unit}, the job's; "
                "write it in the heading, as in backsight (ft)",
                Severity.NOTE,
                book=book.name,
                unit=book.unit,
            )
        )
    return told
