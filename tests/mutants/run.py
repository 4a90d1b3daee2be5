"""Change the source in one place at a time and see whether the tests notice.

``python tests/mutants/run.py`` makes the listed changes, ``--drawn 40 --seed 1`` forty random ones.
Everything happens in a temporary copy of the tree. The exit status is 1 where a listed change
went unnoticed or no longer fits the source.
"""

from __future__ import annotations

import argparse
import os
import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from drawn import draw
from listed import LISTED, Change

ROOT = Path(__file__).parents[2]
COPIED = ("staking", "tests", "fixtures", "docs", "README.md", "DEVELOPERS.md", "pyproject.toml")
LONGEST = 900.0
"""Tests that take longer, s, are stopped, and the change counts as "too long"; `--longest` for a
busy machine, where slow tests say nothing of the change."""


def main() -> int:
    """Make the changes that the command line asks for."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--drawn", type=int, default=0, metavar="N", help="random changes")
    parser.add_argument("--seed", type=int, default=1, help="of the random changes")
    parser.add_argument("--only", default="", help="changes whose description has this in it")
    parser.add_argument("--part", default="1/1", metavar="K/N", help="every Nth from the Kth on")
    parser.add_argument("--longest", type=float, default=LONGEST, metavar="S", help="for tests, s")
    options = parser.parse_args()
    first, apart = map(int, options.part.split("/"))
    changes = draw(ROOT, options.drawn, options.seed) if options.drawn else LISTED
    with tempfile.TemporaryDirectory() as folder:
        tree = Path(folder)
        for name in COPIED:
            copied = shutil.copytree if (ROOT / name).is_dir() else shutil.copy2
            copied(ROOT / name, tree / name)
        failed = 0
        for change in changes[first - 1 :: apart]:
            if options.only in change.what:
                verdict, by = _try(tree, change, options.longest)
                failed += verdict != "noticed"
                sys.stdout.write(f"{verdict:9} {change.what}{by and '  by '}{by}\n")
                sys.stdout.flush()
    sys.stdout.write(f"{failed} not noticed\n")
    return int(bool(failed) and not options.drawn)


def _try(tree: Path, change: Change, longest: float) -> tuple[str, str]:
    # "noticed" and the first test that fails, "survived" or "too long"; "stale" where the change
    # fits the source no more, and "broken" where that test fails without the change too.
    path = tree / change.file
    before = path.read_text(encoding="utf-8") if path.exists() else ""
    if before.count(change.old) != 1:
        return "stale", ""
    _write(path, before.replace(change.old, change.new))
    try:
        first = _first_failure(tree, change.tests, longest)
    except subprocess.TimeoutExpired:
        return "too long", ""
    finally:
        _write(path, before)
    if not first:
        return "survived", ""
    return ("broken" if _first_failure(tree, (first,), longest) else "noticed"), first


def _write(path: Path, text: str) -> None:
    # What is compiled is known by its time in whole seconds: each text gets one of its own.
    path.write_text(text, encoding="utf-8")
    _written.append(1)
    os.utime(path, (1_000_000_000 + len(_written),) * 2)


_written: list[int] = []


def _first_failure(tree: Path, tests: tuple[str, ...], longest: float) -> str:
    # The first test that fails in the copy, empty where all pass; the package is taken from there.
    words = [sys.executable, "-m", "pytest", "-q", "-x", "--no-header", "-rfE", "--tb=no", *tests]
    setting = {**os.environ, "PYTHONPATH": str(tree), "PYTHONPYCACHEPREFIX": str(tree / "compiled")}
    setting.pop("PYTHONDONTWRITEBYTECODE", None)
    done = subprocess.run(
        words, cwd=tree, env=setting, capture_output=True, timeout=longest, check=False
    )
    if done.returncode == 0:
        return ""
    found = re.search(r"^(?:FAILED|ERROR) ((?:tests|staking)/[^\s\[]+)", done.stdout.decode(), re.M)
    if done.returncode not in {1, 2} or found is None:
        # What breaks the very start of the tests is noticed by every one of them.
        if b"conftest" in done.stderr:
            return tests[-1]
        raise RuntimeError(done.stdout.decode() + done.stderr.decode())
    return found[1]


if __name__ == "__main__":
    raise SystemExit(main())
