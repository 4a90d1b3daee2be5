"""How long something takes, beside something else in the same run."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence

_BYTE_CODE = tempfile.TemporaryDirectory()


def least_seconds(work: Callable[[], object], rounds: int = 7) -> float:
    """Return the least time of `rounds` calls after one that does not count, s.

    The least is what the work takes when nothing else runs; other programs only add to it.
    """
    work()
    taken = []
    for _ in range(rounds):
        start = time.perf_counter()
        work()
        taken.append(time.perf_counter() - start)
    return min(taken)


def interleaved_seconds(
    works: Sequence[Callable[[], object]], rounds: int = 9
) -> tuple[float, ...]:
    """Return the least time of each of `works`, called in turn so that all share the weather."""
    taken: list[list[float]] = [[] for _ in works]
    for turn in range(rounds + 1):
        for times, work in zip(taken, works, strict=True):
            start = time.perf_counter()
            work()
            if turn:
                times.append(time.perf_counter() - start)
    return tuple(map(min, taken))


def process(code: str, *arguments: str, cwd: str | None = None) -> Callable[[], object]:
    """Return a call that runs a line of Python in a process of its own.

    The first call leaves the byte code in place, as an installation does.
    """
    environment = {**os.environ, "PYTHONPYCACHEPREFIX": _BYTE_CODE.name}
    environment.pop("PYTHONDONTWRITEBYTECODE", None)

    def run() -> None:
        subprocess.run(
            [sys.executable, "-c", code, *arguments],
            check=True,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            cwd=cwd,
            env=environment,
        )

    return run


def say(what: str, figure: float, limit: float | None, unit: str = "times") -> None:
    """Print one figure with the limit it is meant to keep."""
    kept = "" if limit is None else f"   (at most {limit:g})"
    sys.stdout.write(f"{what:<64} {figure:9.3g} {unit}{kept}\n")
