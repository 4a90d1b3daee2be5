"""How far long work has come, told to whoever shows it; by itself nobody does.

A reader of millions of points cannot print, and the command that runs it does not see it work.
The command line puts something here that draws a bar; everything else runs without one.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from contextvars import ContextVar

Advance = Callable[[int], None]
"""Is called with how much more is done."""

Shower = Callable[[str, int], AbstractContextManager[Advance]]
"""Shows one piece of work, given what it is and how much of it there is."""

_shower: ContextVar[Shower | None] = ContextVar("shower", default=None)


def show_progress(shower: Shower | None) -> None:
    """Have long work shown from now on.

    Parameters
    ----------
    shower
        What shows it; None for nothing.
    """
    _shower.set(shower)


@contextmanager
def long_work(what: str, total: int) -> Iterator[Advance]:
    """Do work that takes long enough for somebody to wait for it.

    Parameters
    ----------
    what
        What is done, as in ``reading tile.laz``.
    total
        How much there is to do.

    Yields
    ------
    callable
        To be called with every part that is done.

    Examples
    --------
    >>> with long_work("counting", 2) as advance:
    ...     advance(2)
    """
    shower = _shower.get()
    if shower is None:
        yield lambda _: None
        return
    with shower(what, total) as advance:
        yield advance
