"""The conductor of what is weighed: whole jobs at other tops of wall and other places."""

from __future__ import annotations

import os
import signal
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from contextlib import contextmanager
from dataclasses import replace
from typing import TYPE_CHECKING

from staking.errors import ComputationError, InputError, Problem, ProjectError
from staking.frozen import frozen
from staking.notices import Severity, notice
from staking.progress import long_work
from staking.weigh.candidates import (
    MOST,
    Candidate,
    candidates_of,
    is_own,
    levels_at,
    moved_place,
    options_at,
    place_as_bearing,
    places_of,
    plan_at,
    tops_of,
)
from staking.weigh.finer_places import STARTS, first_step, round_about
from staking.weigh.weigh_request import WeighAsked
from staking.weigh.weighed import (
    FewerSteps,
    Weighed,
    best_row,
    cheapest_rows,
    least_rows,
    weigh_notices,
)
from staking.weigh.weighed_row import WeighRow, row_of, unpriced

if TYPE_CHECKING:
    from pathlib import Path

    from staking.job.build import Job
    from staking.laid_out.layout_value import Layout
    from staking.points import SurveyPoints
    from staking.project.layout import PlacedJob
    from staking.project.resolve import Resolved
    from staking.site.site_request import PlaceByBearing

_FEW = 4
"""So few rows are worked out here: starting other processes would take longer."""

_TURNS = 4
"""Each process is handed rows at least so many times, so that none waits long for the last."""

_Rows = Callable[[Sequence[Candidate]], Iterator[WeighRow]]


@frozen
class _Bench:
    """What every row starts from: the job, its own top, and its place as a corner and a bearing."""

    job: Job
    asked: WeighAsked
    top: float
    place: PlaceByBearing | None
    files: tuple[SurveyPoints, ...]


def weigh_job(path: Path, job: Job) -> Weighed:
    """Work out every row.

    Parameters
    ----------
    path
        The job file, for faults.
    job
        What was read from it; without a weigh section the defaults hold.

    Returns
    -------
    Weighed
        Every row is a whole job through the same levels and the same order.

    Notes
    -----
    `staking.errors.InputError` comes where nothing can be weighed: no levels, a move without a
    place, or too many rows; and from the job itself.
    """
    asked = WeighAsked() if job.weigh is None else job.weigh
    _refuse(path, job, asked)
    maker, found = _start(path, job, asked)
    bench = maker.bench
    with _workers(maker, len(found)) as work:
        rows = list(_shown(work, found))
        if len(found) > len({each.top for each in found}):
            rows += _finer(work, rows, asked)
    best = best_row(rows)
    return Weighed(
        job=job.plan.job,
        options=job.options,
        own=Candidate(top=bench.top),
        rows=tuple(rows),
        least=least_rows(rows),
        best=best,
        fewer=_fewer(maker, rows, best),
        notices=weigh_notices(rows, asked),
    )


def _start(path: Path, job: Job, asked: WeighAsked) -> tuple[_RowMaker, tuple[Candidate, ...]]:
    from staking.project.layout import lay_out_placed, place_job
    from staking.project.lot import read_files
    from staking.project.resolve import Resolved

    files = read_files(job.site)
    placed = place_job(job, files=files)
    resolved = Resolved(job=job, layout=lay_out_placed(job, placed))
    graded = resolved.levels
    if graded is None or job.grade is None:
        raise TypeError("a job with a grade section has levels")
    _refuse_unpriced(path, resolved)
    tops = tops_of(asked.tops, graded, veneer=job.grade.veneer)
    place = _place_of(job, resolved)
    bench = _Bench(
        job=job,
        asked=asked,
        top=graded.request.top_of_wall,
        place=place,
        files=files,
    )
    count = len(tops) * len(places_of(asked.move))
    if not 0 < count <= MOST:
        raise _fault(
            path,
            f"{count} rows would be weighed, and {MOST} are the most",
            "take a smaller range, or larger steps",
        )
    return _RowMaker(bench, placed, resolved.layout), candidates_of(asked, tops)


def place_after(job: Job, candidate: Candidate) -> PlaceByBearing | None:
    """Give the place of a row as it is written into the job file.

    Parameters
    ----------
    job
        The job as it is written.
    candidate
        The row's.

    Returns
    -------
    PlaceByBearing or None
        None for a job that places nothing.
    """
    from staking.project.resolve import resolve

    place = _place_of(job, resolve(job))
    return None if place is None else moved_place(place, candidate)


def _refuse(path: Path, job: Job, asked: WeighAsked) -> None:
    if job.grade is None:
        raise _fault(
            path,
            "the job has no grade section, so that no other top of wall can be worked out",
            "add grade: with ground, top_of_wall and frost_depth",
        )
    moves = asked.move.north > 0 or asked.move.east > 0 or asked.move.turn > 0
    if moves and (job.site is None or job.site.place is None):
        raise _fault(
            path,
            "the building is not placed on a lot, so that it cannot be moved there",
            "add site: with survey and place, or take move: out",
        )
    against = [
        wall.name
        for building in job.plan.buildings
        for wall in building.walls
        if wall.existing is not None
    ]
    if moves and against:
        raise _fault(
            path,
            f"{against[0]} is against a standing building, which stays where it is",
            "take move: out",
        )


def _refuse_unpriced(path: Path, resolved: Resolved) -> None:
    from staking.project.order import order_job

    order = resolved.job.order
    if order is None or not order.prices:
        return
    missing = unpriced(order_job(resolved).items, dict(order.prices))
    if missing:
        raise _fault(
            path,
            f"the price list has no price for {', '.join(missing)}, which every row takes: what "
            "costs least cannot be told",
            "add the price, or take prices: out of order:",
        )


def _fault(path: Path, message: str, remedy: str) -> InputError:
    return InputError(Problem(message=message, remedy=remedy, path=str(path), field="weigh"))


def _place_of(job: Job, resolved: Resolved) -> PlaceByBearing | None:
    if job.site is None or job.site.place is None or resolved.lot is None:
        return None
    return place_as_bearing(job.site.place, resolved.lot, resolved.plan)


def _job_at(bench: _Bench, candidate: Candidate) -> Job:
    job = bench.job
    if job.grade is None:
        raise TypeError("only a job with a grade section is weighed")
    rise = candidate.top - bench.top
    site = job.site
    if site is not None and bench.place is not None and not candidate.stays:
        site = replace(site, place=moved_place(bench.place, candidate))
    return replace(
        job,
        plan=plan_at(job.plan, rise),
        options=options_at(job.options, rise),
        grade=levels_at(job.grade, candidate.top, rise),
        site=site,
    )


def _fewer(maker: _RowMaker, rows: Sequence[WeighRow], best: int | None) -> FewerSteps | None:
    from staking.laid_out.step_choices import step_choices

    row, bench = best, maker.bench
    if row is None:
        own = [i for i, each in enumerate(rows) if is_own(each.candidate, bench.top)]
        row = own[0] if own else None
    candidate = Candidate(top=bench.top) if row is None else rows[row].candidate
    try:
        drain = None if bench.job.order is None else bench.job.order.drain
        choices = step_choices(maker.layout(candidate), drain)
    except (ComputationError, InputError):
        return None
    return FewerSteps(row=row, top=candidate.top, choices=choices) if choices else None


class _RowMaker:
    """Works rows out one after another; what no top changes is made once for a place.

    Parameters
    ----------
    bench
        What every row starts from.
    placed, own
        The job as it is written, placed and laid out, where that has been done.
    """

    def __init__(
        self, bench: _Bench, placed: PlacedJob | None = None, own: Layout | None = None
    ) -> None:
        self.bench = bench
        self._own = own
        self._at = (0.0, 0.0, 0.0)
        self._placed = placed

    def row(self, candidate: Candidate) -> WeighRow:
        """Work out the whole job with this top at this place."""
        from staking.project.order import order_job
        from staking.project.resolve import Resolved

        try:
            layout = self.layout(candidate)
            ordered = order_job(Resolved(job=_job_at(self.bench, candidate), layout=layout))
            return row_of(candidate, layout, ordered, self.bench.asked.limits)
        except (ComputationError, InputError) as error:
            why = notice("weigh-cannot-be", "{why}", Severity.BROKEN, why=_sentence(error))
            return WeighRow(candidate=candidate, figures=None, broken=(why,))

    def layout(self, candidate: Candidate) -> Layout:
        """Lay the job out with this top at this place."""
        from staking.project.layout import lay_out_placed

        if self._own is not None and candidate == Candidate(top=self.bench.top):
            return self._own
        job = _job_at(self.bench, candidate)
        return lay_out_placed(job, self._place(job, candidate))

    def _place(self, job: Job, candidate: Candidate) -> PlacedJob:
        from staking.project.layout import place_job

        at = (candidate.north, candidate.east, candidate.turn)
        if self._placed is None or self._at != at:
            self._placed = None
            self._placed = place_job(job, files=self.bench.files)
            self._at = at
        return self._placed


def _sentence(error: ProjectError) -> str:
    if isinstance(error, InputError):
        return "; ".join(problem.message for problem in error.problems)
    if isinstance(error, ComputationError) and error.problem is not None:
        # Where in the job file it stands is the same for every row.
        return error.problem.sentence
    return str(error).splitlines()[0]


def _shown(work: _Rows, found: Sequence[Candidate]) -> Iterator[WeighRow]:
    with long_work("weighing", len(found)) as advance:
        for row in work(found):
            advance(1)
            yield row


def _finer(work: _Rows, rows: Sequence[WeighRow], asked: WeighAsked) -> list[WeighRow]:
    """Search round the cheapest places; the rows that were the best so far, one after another."""
    found: list[WeighRow] = []
    for at in cheapest_rows(rows, STARTS):
        best, step = rows[at], first_step(asked.move)
        while not step.is_done:
            near = [
                replace(each, refined=True)
                for each in work(round_about(best.candidate, step, asked.move))
            ]
            at = best_row([best, *near]) or 0
            if at:
                best = near[at - 1]
                if best_row([*rows, *found, best]) == len(rows) + len(found):
                    found.append(best)
            else:
                step = step.half
    return found


@contextmanager
def _workers(maker: _RowMaker, count: int) -> Iterator[_Rows]:
    """Give what works rows out, in processes beside each other where there are many."""
    if count <= _FEW:
        yield lambda found: map(maker.row, found)
        return
    processes = os.cpu_count() or 1
    with ProcessPoolExecutor(processes, initializer=_begin, initargs=(maker.bench,)) as pool:
        try:
            yield lambda found: pool.map(_row_there, found, chunksize=_together(found, processes))
        except BaseException:
            pool.shutdown(wait=False, cancel_futures=True)
            raise


def _together(found: Sequence[Candidate], processes: int) -> int:
    """Say how many rows go to one process at a time: those of a place, but some for each."""
    places = len({(each.north, each.east, each.turn) for each in found})
    return max(1, min(len(found) // places, len(found) // (_TURNS * processes)))


_maker: list[_RowMaker] = []
"""In a process of its own, what makes its rows."""


def _begin(bench: _Bench) -> None:
    # Whoever stops the command stops its parent, which ends these.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    _maker.append(_RowMaker(bench))


def _row_there(candidate: Candidate) -> WeighRow:
    return _maker[0].row(candidate)
