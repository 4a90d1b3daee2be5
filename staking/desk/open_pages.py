"""How long the desk stays: until a minute after its last page said goodbye."""

from __future__ import annotations

import threading
import time
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable

GRACE_SECONDS = 60.0
"""A page that comes back within this time, as after a reload, takes its goodbye back."""


class OpenPages:
    """Counts the pages that are open; a page that only sleeps has not said goodbye.

    Parameters
    ----------
    grace
        Seconds from the last goodbye to the end.
    clock
        Gives seconds that only grow.
    """

    def __init__(
        self, grace: float = GRACE_SECONDS, clock: Callable[[], float] = time.monotonic
    ) -> None:
        self._grace = grace
        self._clock = clock
        self._lock = threading.Lock()
        self._open: set[str] = set()
        self._left: float | None = None
        self._unsaved = False

    def hello(self, page: str) -> None:
        """Note that a page is open."""
        with self._lock:
            self._open.add(page)
            self._left = None

    def goodbye(self, page: str, *, unsaved: bool) -> None:
        """Note that a page was closed, and whether it left work that is not on file."""
        with self._lock:
            self._open.discard(page)
            self._unsaved = unsaved
            if not self._open:
                self._left = self._clock()

    @property
    def over(self) -> bool:
        """Whether the last page is gone for good; never with unsaved work."""
        with self._lock:
            return (
                self._left is not None
                and not self._unsaved
                and self._clock() - self._left >= self._grace
            )
