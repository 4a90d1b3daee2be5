"""The layout's mark on what is filled in and brought back: written, and held against the layout."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from staking.errors import InputError, Problem
from staking.laid_out.content_mark import dated_mark, mark_in
from staking.notices import Notice, notice

if TYPE_CHECKING:
    import datetime as dt
    from pathlib import Path

    from staking.job.typed_tapes import Readings
    from staking.laid_out.layout_value import Layout

_MOST = 5_000_000
"""Bytes of a file that are looked through for a mark; ours are far smaller."""


def dated(layout: Layout, day: dt.date | None) -> str:
    """Give the layout's mark and day, as files to fill in carry them.

    Parameters
    ----------
    layout
        The layout.
    day
        The day that the job's files bear; None leaves room to write it.

    Returns
    -------
    str
        As `staking.laid_out.content_mark.dated_mark`.
    """
    return dated_mark(layout.mark, None if day is None else day.isoformat())


def with_older_books(readings: Readings, layout: Layout, paths: Sequence[Path]) -> Readings:
    """Say which tape books were written for an older layout.

    Parameters
    ----------
    readings
        What was taped.
    layout
        The layout as it is now.
    paths
        The tape books that were read.

    Returns
    -------
    Readings
        With a notice for each older book.
    """
    return replace(readings, notices=(*readings.notices, *older_books(layout, paths)))


def older_books(layout: Layout, paths: Sequence[Path]) -> tuple[Notice, ...]:
    """Say which books to fill in were written for an older layout.

    Parameters
    ----------
    layout
        The layout as it is now.
    paths
        Books that were filled in.

    Returns
    -------
    tuple of Notice
        A warning for each; a book without a mark is one of the user's own.
    """
    return tuple(
        notice(
            "older-book",
            "{file} was written for layout {older}, and the job's layout is now {mark}: what it "
            "says is held against the job as it is now; if the plan changed after the stakes were "
            "set, write a new book",
            file=path.name,
            older=older,
            mark=layout.mark,
        )
        for path, older in _older(layout, paths)
    )


def refuse_older_nails(layout: Layout, paths: Sequence[Path], boards: Sequence[str]) -> None:
    """Refuse names of boards out of a file that was written for an older layout.

    Parameters
    ----------
    layout
        The layout as it is now.
    paths
        The files with what was surveyed.
    boards
        Names of nails and board ends that were found in them.

    Raises
    ------
    InputError
        For every such file: its numbers may mean other boards.
    """
    older = _older(layout, paths) if boards else []
    if not older:
        return
    named = ", ".join(boards[:4]) + (" …" if len(boards) > 4 else "")
    raise InputError(
        *(
            Problem(
                message=f"the file carries layout {mark}, and the job's layout is now "
                f"{layout.mark}: {named} may stand on other boards than it says",
                remedy="write points.csv anew with `staking layout` and name the nails as there, "
                "or leave the nails out",
                path=str(path),
            )
            for path, mark in older
        )
    )


def _older(layout: Layout, paths: Sequence[Path]) -> list[tuple[Path, str]]:
    found = []
    for path in paths:
        with path.open("rb") as stream:
            carried = mark_in(stream.read(_MOST).decode("utf-8", errors="replace"))
        if carried is not None:
            found.append((path, carried))
    # The layout's own mark is worked out only where a file carries one.
    now = layout.mark if found else ""
    return [(path, carried) for path, carried in found if carried != now]
