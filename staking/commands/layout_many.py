"""Several jobs laid out at once: a process for each, a line of verdict for each."""

from __future__ import annotations

import os
import sys
import traceback
from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from staking.errors import InputError, Problem, ProjectError
from staking.frozen import frozen
from staking.output.standard_streams import end_when_told

if TYPE_CHECKING:
    from concurrent.futures import Executor, Future

    from staking.kinds import SheetKind

CRASHED = 1
BROKEN = 5

_GRAVITY = (0, BROKEN, 3, 4, CRASHED)
"""Statuses from the best to the worst: all done, something broken, bad input, cannot, a crash."""


_interrupted: list[Path] = []
"""The job at which this process was interrupted, if it was."""


@frozen
class JobOfMany:
    """One job of several: what a process is told."""

    path: Path
    folder: Path
    only: tuple[str, ...] | None
    pairs: bool
    quiet: bool
    force: bool = False
    sheets: tuple[SheetKind, ...] | None = None


@frozen
class JobEnded:
    """What a process answers: the status, one line, and what is told on standard error."""

    status: int
    line: str
    told: tuple[str, ...] = ()


def lay_out_many(
    paths: Sequence[Path],
    out: Path | None,
    only: tuple[str, ...] | None,
    sheets: tuple[SheetKind, ...] | None = None,
    *,
    pairs: bool,
    quiet: bool,
    force: bool = False,
) -> int:
    """Lay out several jobs and tell each one's verdict in a line, in the order given.

    Parameters
    ----------
    paths
        The job files.
    out
        A folder that gets a folder for each job; None for one beside each job file.
    only, sheets, pairs, quiet, force
        As for a single job; with `quiet` only what went wrong is told.

    Returns
    -------
    int
        The worst of their statuses: a crash (1), then 4, 3 and 5, then 0.

    Notes
    -----
    A job that fails, or a process that dies, harms no other.
    """
    from staking.output.wording import safe

    asked = [
        JobOfMany(
            path=path,
            folder=path.with_name(f"{path.stem}-layout")
            if out is None
            else out / f"{path.stem}-layout",
            only=only,
            pairs=pairs,
            quiet=quiet,
            force=force,
            sheets=sheets,
        )
        for path in paths
    ]
    try:
        _refuse_same_folders(asked)
    except InputError as error:
        for line in str(error).splitlines():
            click.echo(safe(line), err=True)
        return error.exit_status
    verdicts = _run_all(asked)
    for verdict in verdicts:
        for line in verdict.told:
            click.echo(line, err=True)
    for verdict in verdicts:
        if verdict.status != 0 or not quiet:
            click.echo(verdict.line)
    if not quiet:
        _say_ending(paths, verdicts, sheets=only is None or "pdf" in only)
    return max((verdict.status for verdict in verdicts), key=_gravity)


def _say_ending(paths: Sequence[Path], verdicts: Sequence[JobEnded], *, sheets: bool) -> None:
    from staking.commands.last_words import say_ending
    from staking.output.endings.several_ending import several_ending

    done, broken, not_done = (
        [path for path, each in zip(paths, verdicts, strict=True) if is_so(each.status)]
        for is_so in (
            lambda status: status == 0,
            lambda status: status == BROKEN,
            lambda status: status not in {0, BROKEN},
        )
    )
    say_ending(several_ending(done, broken, not_done, sheets=sheets))


def lay_out_quietly(asked: JobOfMany) -> JobEnded:
    """Lay out one job in a process of its own.

    Parameters
    ----------
    asked
        What to do.

    Returns
    -------
    JobEnded
        Never an exception: a crash is a verdict too, with its traceback.
    """
    from staking.output.wording import safe

    name = safe(str(asked.path))
    stopped = JobEnded(status=CRASHED, line=f"{name}: not done: interrupted")
    if _interrupted:
        return stopped
    try:
        return _laid_out(asked, name)
    except (KeyboardInterrupt, SystemExit):
        # the pool would hand this process the next job
        _interrupted.append(asked.path)
        return stopped
    except ProjectError as error:
        lines = [safe(line) for line in str(error).splitlines()]
        more = f" (and {len(lines) - 1} more)" if len(lines) > 1 else ""
        said = safe(_without_path(error, str(asked.path)))
        return JobEnded(
            status=error.exit_status, line=f"{name}: not done: {said}{more}", told=tuple(lines)
        )
    except Exception:
        told = tuple(safe(line) for line in traceback.format_exc().splitlines())
        return JobEnded(status=CRASHED, line=f"{name}: not done: crashed", told=told)


def _without_path(error: ProjectError, path: str) -> str:
    # The first fault, without the job's own path, which stands at the head of the line.
    if not isinstance(error, InputError):
        return str(error).partition("\n")[0]
    first = error.problems[0]
    return str(replace(first, path=None) if first.path == path else first)


def _laid_out(asked: JobOfMany, name: str) -> JobEnded:
    from staking.commands.layout_files import LayoutPapers, changes_since, kinds_of, write_files
    from staking.commands.write_target import write_target
    from staking.laid_out.staked_out import refuse_names_of_the_survey
    from staking.notices import Severity
    from staking.output.tables.notice_listings import sentence
    from staking.output.wording import Words, safe
    from staking.project.layout import load_job, pair_table
    from staking.project.resolve import resolve

    resolved = resolve(load_job(asked.path))
    done = resolved.layout
    refuse_names_of_the_survey(done)
    table = pair_table(done) if asked.pairs else ()
    target = write_target(asked.path, resolved.job, asked.folder, force=asked.force)
    changes = changes_since(done, target.folder)
    made = LayoutPapers(resolved, target.day, asked.sheets, changes)
    written = write_files(made, table, target, kinds_of(done, asked.only))
    words = Words(done.options)
    notices = (*done.notices, *written.notices)
    broken = [words.notice(each) for each in notices if each.severity is Severity.BROKEN]
    looks = [words.notice(each) for each in notices if each.severity is Severity.WARNING]
    told = tuple(f"{name}: {sentence(text)}" for text in dict.fromkeys([*broken, *looks]))
    since = [words.notice(each) for each in changes if each.severity is not Severity.NOTE]
    told += tuple(f"{name}: since the last layout: {text}." for text in since)
    where = (
        f"{len(written.paths)} file{'s' * (len(written.paths) > 1)} in {safe(str(asked.folder))}"
    )
    if broken:
        more = f" (and {len(broken) - 1} more)" if len(broken) > 1 else ""
        return JobEnded(
            status=BROKEN, line=f"{name}: broken: {broken[0]}{more}; {where}", told=told
        )
    look = f", {len(looks)} to look at" if looks else ""
    return JobEnded(status=0, line=f"{name}: done{look}; {where}", told=told)


def _refuse_same_folders(asked: Sequence[JobOfMany]) -> None:
    first: dict[Path, Path] = {}
    faults = []
    for each in asked:
        # two names that differ only by case are one folder on many disks
        whole = each.folder.resolve()
        place = whole.with_name(whole.name.casefold())
        if place in first:
            faults.append(
                Problem(
                    message=f"{each.path} and {first[place]} would both write to {each.folder}",
                    remedy="give each job once, or rename one of the files",
                )
            )
        first.setdefault(place, each.path)
    if faults:
        raise InputError(*faults)


def _run_all(asked: Sequence[JobOfMany]) -> list[JobEnded]:
    from concurrent.futures import ProcessPoolExecutor, as_completed
    from multiprocessing import active_children, get_context

    workers = max(1, min(len(asked), os.cpu_count() or 1))
    # new interpreters: a copy of this one could hold another's lock for ever
    with ProcessPoolExecutor(
        workers,
        mp_context=get_context("spawn"),
        initializer=end_when_told,
        initargs=("SIGINT",),
    ) as pool:
        found: dict[int, JobEnded] = {}
        try:
            futures = {_submit(pool, each): place for place, each in enumerate(asked)}
            for future in _watched(as_completed(futures), len(asked)):
                place = futures[future]
                found[place] = _verdict_of(future, asked[place])
        except (KeyboardInterrupt, SystemExit):
            # what has not begun never does; what has begun is told to stop, and tidies up
            for child in active_children():
                child.terminate()
            pool.shutdown(wait=True, cancel_futures=True)
            raise
    return [found[place] for place in range(len(asked))]


def _submit(pool: Executor, asked: JobOfMany) -> Future[JobEnded]:
    from concurrent.futures import Future
    from concurrent.futures.process import BrokenProcessPool

    try:
        return pool.submit(lay_out_quietly, asked)
    except BrokenProcessPool as error:
        # the pool broke while jobs were still handed to it
        late: Future[JobEnded] = Future()
        late.set_exception(error)
        return late


def _verdict_of(future: Future[JobEnded], asked: JobOfMany) -> JobEnded:
    from concurrent.futures.process import BrokenProcessPool

    from staking.output.wording import safe

    try:
        return future.result()
    except BrokenProcessPool:
        # one process died and took the pool along: the job is tried once more, by itself
        return _alone(asked)
    except Exception as error:
        name = safe(str(asked.path))
        told = (f"{name}: {safe(str(error))}",)
        return JobEnded(status=CRASHED, line=f"{name}: not done: crashed", told=told)


def _alone(asked: JobOfMany) -> JobEnded:
    from concurrent.futures import ProcessPoolExecutor
    from concurrent.futures.process import BrokenProcessPool
    from multiprocessing import get_context

    from staking.output.wording import safe

    try:
        with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as pool:
            return pool.submit(lay_out_quietly, asked).result()
    except BrokenProcessPool:
        name = safe(str(asked.path))
        told = (f"{name}: its process ended before it was done",)
        return JobEnded(status=CRASHED, line=f"{name}: not done: crashed", told=told)


def _watched(done: Iterator[Any], count: int) -> Iterator[Any]:
    if not sys.stderr.isatty():
        yield from done
        return
    with click.progressbar(done, length=count, label="jobs", file=sys.stderr) as bar:
        yield from bar


def _gravity(status: int) -> int:
    return _GRAVITY.index(status) if status in _GRAVITY else len(_GRAVITY)
