"""A bar on the terminal while long work is done; nothing where nobody looks."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager

from staking.progress import Advance

SHORT = 200_000
"""Work of fewer parts than this is done before anybody looks."""


@contextmanager
def progress_bar(what: str, total: int) -> Iterator[Advance]:
    """Show how far work has come, on standard error, and take the bar away in the end.

    Parameters
    ----------
    what
        What is done.
    total
        How much there is to do.

    Yields
    ------
    callable
        To be called with every part that is done.
    """
    if total <= SHORT or not sys.stderr.isatty():
        yield lambda _: None
        return
    from rich.console import Console
    from rich.markup import escape
    from rich.progress import (
        BarColumn,
        Progress,
        TaskProgressColumn,
        TextColumn,
        TimeRemainingColumn,
    )

    from staking.output.wording import safe

    columns = (
        TextColumn("{task.description}"),
        BarColumn(),
        TaskProgressColumn(),
        TimeRemainingColumn(),
    )
    with Progress(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task(escape(safe(what)), total=total)

        def advance(done: int) -> None:
            bar.advance(task, done)

        yield advance
