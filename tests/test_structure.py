"""How the package is built: names found once, folders taken in at a glance, short functions."""

from __future__ import annotations

import ast
from collections import Counter, defaultdict
from pathlib import Path

import staking

# Where the package really is: these tests run against an installed one too.
ROOT = Path(staking.__file__).parent
MOST_IN_A_FOLDER = 22
FAMILY = 4
LONGEST_BODY = 60
LONGEST_MODULE = 600

# A command is called by its own name, and so is the conductor that answers it.
NAMED_BY_COMMAND = ("commands", "project")


def modules() -> list[Path]:
    return sorted(path for path in ROOT.rglob("*.py") if path.name != "__init__.py")


def folders() -> dict[Path, list[str]]:
    found: dict[Path, list[str]] = defaultdict(list)
    for path in modules():
        found[path.parent.relative_to(ROOT)].append(path.stem)
    return found


def tree_of(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


def body_lines(function: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    """Count a function's lines without its heading and its docstring."""
    body = function.body
    if len(body) > 1 and ast.get_docstring(function, clean=False) is not None:
        body = body[1:]
    return (function.end_lineno or 0) - body[0].lineno + 1


def test_a_folder_holds_few_enough_modules_to_take_in() -> None:
    counts = {str(folder): len(names) for folder, names in folders().items()}
    assert len(counts) > 20
    assert {folder: count for folder, count in counts.items() if count > MOST_IN_A_FOLDER} == {}


def test_a_prefix_that_four_files_share_is_a_folder() -> None:
    families = {}
    for folder, names in folders().items():
        for prefix, count in Counter(name.split("_")[0] for name in names).items():
            if count >= FAMILY:
                families[f"{folder}/{prefix}_"] = count
    assert families == {}


def test_a_class_name_has_one_home() -> None:
    homes = defaultdict(list)
    for path in modules():
        for node in tree_of(path).body:
            if isinstance(node, ast.ClassDef):
                homes[node.name].append(str(path.relative_to(ROOT)))
    assert len(homes) > 300
    assert {name: found for name, found in homes.items() if len(found) > 1} == {}


def test_a_file_is_found_by_its_name() -> None:
    homes = defaultdict(list)
    for path in modules():
        folder = path.relative_to(ROOT).parts[0]
        if folder not in NAMED_BY_COMMAND:
            homes[path.name].append(str(path.relative_to(ROOT)))
    assert {name: found for name, found in homes.items() if len(found) > 1} == {}


def test_functions_are_short() -> None:
    long = {}
    for path in modules():
        for node in ast.walk(tree_of(path)):
            if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
                lines = body_lines(node)
                if lines >= LONGEST_BODY:
                    long[f"{path.relative_to(ROOT)}: {node.name}"] = lines
    assert long == {}


def test_a_long_module_says_why_it_is_one() -> None:
    for path in modules():
        if len(path.read_text(encoding="utf-8").splitlines()) > LONGEST_MODULE:
            assert "one module because" in (ast.get_docstring(tree_of(path)) or ""), path
