"""The conductor of `staking record`: what was measured after the pour, read and told apart."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.errors import InputError, Problem
from staking.frozen import frozen
from staking.kinds import WallMaterial

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from staking.adjust.level_readings import Readings
    from staking.adjust.pour.footing_edges import PlannedEdge
    from staking.adjust.pour.taped_rows import PouredRow
    from staking.checked.poured_on_plan import SurveyedFooting
    from staking.checked.poured_record import PouredRead, Record
    from staking.laid_out.layout_value import Layout
    from staking.notices import Notice
    from staking.points import SurveyPoints, SurveySettings
    from staking.project.resolve import Resolved


def record_job(
    resolved: Resolved,
    paths: Sequence[Path],
    settings: SurveySettings,
    *,
    carries: WallMaterial = WallMaterial.MASONRY,
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
        What stands on the footing.
    top
        The planned top of a level footing, m, where the job has no grade section.

    Returns
    -------
    Record
        Every figure with its limit.

    Notes
    -----
    `staking.errors.InputError` comes with every fault of the files, and for a file in which
    nothing is of a footing.
    """
    from staking.adjust.pour.footing_edges import planned_edges
    from staking.checked.poured_record import record_poured
    from staking.project.layout_marks import older_books

    layout = resolved.layout
    planned = planned_edges(layout.plan)
    read = _read(resolved, paths, settings, planned)
    said = (*resolved.job.notices, *older_books(layout, paths))
    return record_poured(layout, planned, read, said, carries=carries, top=top)


@frozen
class _Measured:
    """What the files hold: rows of poured books, tape books, surveys and what was assumed."""

    rows: tuple[PouredRow, ...]
    tapes: tuple[Readings, ...]
    surveys: tuple[SurveyPoints, ...]
    notices: tuple[Notice, ...]


def _read(
    resolved: Resolved,
    paths: Sequence[Path],
    settings: SurveySettings,
    planned: Sequence[PlannedEdge],
) -> PouredRead:
    from staking.adjust.pour.taped_rows import edges_and_levels
    from staking.checked.poured_record import PouredRead, string_level
    from staking.job.typed_tapes import merged
    from staking.project.check import check_job

    layout = resolved.layout
    found = _read_files(layout, paths, settings)
    edges, levels = edges_and_levels(found.rows, planned, string_level(layout))
    shot = _surveyed(layout, found.surveys, planned) if found.surveys else None
    return PouredRead(
        edges=(*edges, *(() if shot is None else shot.edges)),
        levels=(*levels, *(() if shot is None else shot.levels)),
        checked=check_job(resolved, merged(found.tapes)) if found.tapes else None,
        fitted=None if shot is None else shot.fitted,
        files=tuple(path.name for path in paths),
        notices=(
            *found.notices,
            *(() if shot is None else shot.notices),
        ),
    )


def _read_files(layout: Layout, paths: Sequence[Path], settings: SurveySettings) -> _Measured:
    from staking.job.poured_book import is_poured_book, is_tape_book, read_poured_book
    from staking.job.typed_tapes import COLUMNS, read_tape_book
    from staking.project.shots import read_surveys

    rows: list[PouredRow] = []
    tapes: list[Readings] = []
    surveys: list[Path] = []
    problems: list[Problem] = []
    for path in paths:
        head = _head(path)
        try:
            if is_poured_book(head):
                rows += read_poured_book(path, layout.plan, layout.options)
            elif is_tape_book(head):
                # what was taped before the pour is not a record of it
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
    return _Measured(
        rows=tuple(rows), tapes=tuple(tapes), surveys=tuple(found), notices=tuple(told)
    )


def _surveyed(
    layout: Layout, surveys: Sequence[SurveyPoints], planned: Sequence[PlannedEdge]
) -> SurveyedFooting:
    from staking.adjust.pour.on_footing import OnFooting
    from staking.checked.poured_on_plan import footing_names, footing_on_plan
    from staking.survey.words.edge_words import points_on_footing

    names = footing_names(layout.plan, planned)
    pads = [pad.name for pad in layout.plan.pads]
    points: list[tuple[SurveyPoints, OnFooting]] = []
    unread: list[str] = []
    for survey in surveys:
        found, left = points_on_footing(survey, names, pads)
        points += [(survey, each) for each in found]
        unread += left
    return footing_on_plan(layout, surveys, points, unread, planned)


def _head(path: Path) -> str:
    # a survey may be of any kind, its bytes no text at all
    try:
        with path.open("rb") as stream:
            return stream.read(4096).decode("utf-8", errors="replace")
    except OSError:
        return ""
