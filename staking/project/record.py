"""The conductor of `staking record`: what was measured after the pour, against the plan."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from staking.errors import InputError, Problem
from staking.notices import Notice, Severity, notice

if TYPE_CHECKING:
    from pathlib import Path

    from staking.adjust.pour.footing_edges import PlannedEdge
    from staking.adjust.pour.poured import EdgeFound, LevelFound, Poured, Terms, TopRun
    from staking.job.build import Job
    from staking.job.poured_book import PouredRow
    from staking.job.tape_book import Readings
    from staking.laid_out.layout_value import Layout
    from staking.points import SurveyPoints, SurveySettings
    from staking.project.check import Checked
    from staking.project.resolve import Resolved


@dataclass(frozen=True, slots=True, kw_only=True)
class PouredRead:
    """What was measured after the pour, on the plan; `fitted` says how points came onto it.

    `fitted` is ``lot``, ``stakes``, ``edges``, or empty where nothing was surveyed.
    """

    edges: tuple[EdgeFound, ...] = ()
    levels: tuple[LevelFound, ...] = ()
    checked: Checked | None = None
    fitted: str = ""
    files: tuple[str, ...] = ()
    notices: tuple[Notice, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    """The record of a poured footing, complete at birth.

    Parameters
    ----------
    layout
        The layout.
    terms
        What the footing is judged by.
    poured
        Every figure with its limit.
    checked
        The tapes from corner to corner on the poured footing; None where none was taken.
    has_tops
        Whether planned tops are known.
    read
        What was measured.
    notices
        What must be told.
    """

    layout: Layout
    terms: Terms
    poured: Poured
    checked: Checked | None
    has_tops: bool
    read: PouredRead
    notices: tuple[Notice, ...]

    @property
    def good(self) -> bool:
        """Whether everything is within its limit."""
        return self.poured.good and (self.checked is None or self.checked.verdict.square)


def record_job(
    resolved: Resolved,
    paths: Sequence[Path],
    settings: SurveySettings,
    *,
    carries: str = "masonry",
    top: float | None = None,
) -> Record:
    """Judge what was measured after the pour.

    Parameters
    ----------
    resolved
        The resolved job.
    paths
        Surveys, books of the poured footing, tape books; told apart by their first line.
    settings
        What the user says of the surveys.
    carries
        ``masonry`` or ``concrete``: what stands on the footing.
    top
        The planned top of a level footing, m, where the job has no grade section.

    Returns
    -------
    Record
        Every figure with its limit.

    Raises
    ------
    InputError
        Every fault of the files, or a file in which nothing is of a footing.
    """
    from staking.adjust.pour.footing_edges import planned_edges
    from staking.adjust.pour.poured import Terms, judge_poured
    from staking.project.layout_marks import older_books

    layout = resolved.layout
    planned = planned_edges(layout.plan)
    runs = planned_tops(layout, planned, top)
    read = _read(resolved, paths, settings, planned)
    terms = Terms(carries=carries, cast=layout.options.dig.cast)
    poured = judge_poured(layout.plan, planned, read.edges, read.levels, runs, terms)
    return Record(
        layout=layout,
        terms=terms,
        poured=poured,
        checked=read.checked,
        has_tops=bool(runs),
        read=read,
        notices=(
            *resolved.job.notices,
            *older_books(layout, paths),
            *read.notices,
            *_of_tapes(resolved.job, read.checked),
            *_told(poured, read, bool(runs), carries),
        ),
    )


def planned_tops(
    layout: Layout, planned: Sequence[PlannedEdge], top: float | None = None
) -> tuple[TopRun, ...]:
    """Give the planned tops of the footing, run by run.

    Parameters
    ----------
    layout
        The layout, with its levels where the job has a grade section.
    planned
        The footing's edges: what there is a top of.
    top
        One top for all, m; None for the job's own.

    Returns
    -------
    tuple of TopRun
        Empty where nothing says.
    """
    from staking.adjust.pour.poured import TopRun

    if top is not None:
        lengths = {edge.where: edge.length for edge in planned}
        return tuple(TopRun(where=w, start=0.0, end=far, top=top) for w, far in lengths.items())
    graded = layout.grade
    if graded is None:
        return ()
    walls = tuple(
        TopRun(where=each.profile.wall, start=run.start, end=run.end, top=run.top)
        for each in graded.walls
        for run in each.profile.levels
    )
    pads = tuple(TopRun(where=p.pad, start=0.0, end=0.0, top=p.top) for p in graded.pads)
    return (*walls, *pads)


def _read(
    resolved: Resolved,
    paths: Sequence[Path],
    settings: SurveySettings,
    planned: Sequence[PlannedEdge],
) -> PouredRead:
    from staking.job.poured_book import is_poured_book, is_tape_book, read_poured_book
    from staking.job.tape_book import COLUMNS, merged, read_tape_book
    from staking.project.check import check_job
    from staking.project.poured import surveyed
    from staking.project.shots import read_surveys

    layout = resolved.layout
    books: list[PouredRow] = []
    tapes: list[Readings] = []
    surveys: list[Path] = []
    problems: list[Problem] = []
    for path in paths:
        head = _head(path)
        try:
            if is_poured_book(head):
                books += read_poured_book(path, layout.plan, layout.options)
            elif is_tape_book(head):
                # what was taped before the pour is no record of it
                column = COLUMNS[-1] if COLUMNS[-1] in head.partition("\n")[0].lower() else None
                tapes.append(read_tape_book(path, layout.plan, layout.options, column))
            else:
                surveys.append(path)
        except InputError as fault:
            problems += fault.problems
    found: list[SurveyPoints] = []
    told: list[Notice] = []
    try:
        found, told = read_surveys(layout, surveys, settings)
    except InputError as fault:
        problems += fault.problems
    if problems:
        raise InputError(*problems)
    edges, levels = taped(books, planned, _string_level(layout))
    fitted = ""
    if found:
        shot_edges, shot_levels, fitted, said = surveyed(layout, found, planned)
        edges, levels, told = [*edges, *shot_edges], [*levels, *shot_levels], [*told, *said]
    return PouredRead(
        edges=tuple(edges),
        levels=tuple(levels),
        checked=check_job(resolved, merged(tapes)) if tapes else None,
        fitted=fitted,
        files=tuple(path.name for path in paths),
        notices=tuple(told),
    )


def _head(path: Path) -> str:
    # a survey may be of any kind, its bytes no text at all
    try:
        with path.open("rb") as stream:
            return stream.read(4096).decode("utf-8", errors="replace")
    except OSError:
        return ""


def _string_level(layout: Layout) -> float | None:
    graded = layout.grade
    level = graded.string if graded is not None else None
    return level if level is not None else layout.options.boards.at


def taped(
    rows: Iterable[PouredRow], planned: Sequence[PlannedEdge], string: float | None
) -> tuple[list[EdgeFound], list[LevelFound]]:
    """Turn taped rows into edges and levels.

    Parameters
    ----------
    rows
        What was taped.
    planned
        The footing's edges.
    string
        Elevation of the strings, m; None counts levels down from them.

    Returns
    -------
    tuple
        Edges and levels.
    """
    from staking.adjust.pour.poured import EdgeFound, LevelFound

    of = {(edge.where, edge.side): edge for edge in planned}
    edges, levels = [], []
    for row in rows:
        sides = _sides(row, of)
        for side, value in zip(sides, (row.outer, row.inner), strict=True):
            if value is not None:
                edges.append(
                    EdgeFound(
                        where=row.where,
                        side=side,
                        station=row.station,
                        more=value - of[row.where, side].from_string,
                        row=row.line,
                        name=f"line {row.line}",
                    )
                )
        top = row.top
        if row.down is not None:
            top = (string or 0.0) - row.down
        for what, value in (("top", top), ("thickness", row.thickness)):
            if value is not None:
                levels.append(
                    LevelFound(
                        where=row.where,
                        what=what,
                        station=row.station,
                        value=value,
                        name=f"line {row.line}",
                    )
                )
    return edges, levels


def _sides(row: PouredRow, planned: Mapping[tuple[str, str], PlannedEdge]) -> tuple[str, str]:
    from staking.adjust.pour.footing_edges import ROUND

    # the edges that a row's two cells belong to; a pad's are numbered round it from greater x
    if row.station is not None:
        return ("outer", "inner") if (row.where, "outer") in planned else ("left", "right")
    if (row.where, ROUND) in planned:
        return (ROUND, ROUND)
    return ("1", "3") if row.way == "x" else ("2", "4")


def _of_tapes(job: Job, checked: Checked | None) -> tuple[Notice, ...]:
    # a reading that does not fit, a verdict too close to call: what the check itself would say
    told = () if checked is None else checked.notices
    return tuple(each for each in told if each not in job.notices)


def _told(poured: Poured, read: PouredRead, has_tops: bool, carries: str) -> tuple[Notice, ...]:
    told = []
    if poured.missing:
        told.append(
            notice(
                "not-measured",
                "nothing was measured on the footing of {names}: the record says nothing of it",
                names=", ".join(poured.missing),
            )
        )
    if not has_tops and any(each.what == "top" for each in read.levels):
        told.append(
            notice(
                "no-planned-tops",
                "the job does not say how high the footing's top is to be: tops are only judged "
                "level among themselves; add grade: to the job, or give --top",
            )
        )
    if read.fitted == "edges":
        told.append(
            notice(
                "fitted-by-edges",
                "the job is not placed and no stake is in the survey: the footing is laid on the "
                "plan as well as its edges fit, so its shape is judged and not its place",
            )
        )
    if read.fitted == "stakes":
        told.append(
            notice(
                "fitted-by-stakes",
                "the job is not placed: the survey is laid on the plan by the stakes in it",
                Severity.NOTE,
            )
        )
    if carries == "masonry":
        told.append(
            notice(
                "carries-masonry",
                "judged as a footing that carries block or brick, which has the tighter limits; "
                "--carries concrete for a cast wall",
                Severity.NOTE,
            )
        )
    return tuple(told)
