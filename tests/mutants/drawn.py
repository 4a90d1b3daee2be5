"""Single changes drawn at random from the package: operators, comparisons, signs, constants."""

from __future__ import annotations

import ast
import copy
import hashlib
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

from listed import Change

COMPARED: dict[type[ast.cmpop], type[ast.cmpop]] = {
    ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt, ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq, ast.Is: ast.IsNot, ast.IsNot: ast.Is, ast.In: ast.NotIn, ast.NotIn: ast.In,
}  # fmt: skip
REVERSED: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult,
}  # fmt: skip
NAMED = {"min": "max", "max": "min", "ceil": "floor", "floor": "ceil", "sin": "cos", "cos": "sin"}
PASSED_OVER = ("output", "commands")
"""Folders that are left out: what is drawn and printed is looked at, not worked out."""

COMMANDS = {
    "adjust": ("check", "record"),
    "footing": ("layout",),
    "grade": ("grade",),
    "job": ("layout", "grade", "order"),
    "layout": ("layout", "plan"),
    "measure": ("diagonal",),
    "network": ("layout", "check"),
    "order": ("order", "drain_order", "fill_under_slab", "same_order"),
    "outline": ("outline",),
    "project": ("layout", "check", "grade", "order", "record", "weigh"),
    "site": ("ways_to_place", "stakeout"),
    "checked": ("check", "record"),
    "laid_out": ("layout", "order"),
    "survey": ("survey",),
    "weigh": ("weigh",),
}
"""Commands whose tests reach a folder of the package: the files named after them."""


def draw(root: Path, count: int, seed: int) -> tuple[Change, ...]:
    """Draw changes of the package, one a line of code at most.

    Parameters
    ----------
    root
        The tree.
    count
        How many.
    seed
        Of the drawing. Each change has a lot of its own, by its file, its words and the seed, so
        that the source may change elsewhere without another set being drawn.
    """
    lots: list[tuple[str, Path, int, str, str]] = []
    for path in sorted((root / "staking").rglob("*.py")):
        if path.relative_to(root).parts[1] not in PASSED_OVER:
            lots += _lots(root, path.relative_to(root), seed)
    taken: dict[tuple[Path, int], Change] = {}
    for _, path, line, what, new in sorted(lots):
        if len(taken) == count:
            break
        if (path, line) not in taken:
            taken[path, line] = Change(
                what=f"{path}:{line}: {what}",
                file=str(path),
                old=(root / path).read_text(encoding="utf-8"),
                new=new,
                tests=_nearest(root, path),
            )
    return tuple(taken.values())


def _lots(root: Path, path: Path, seed: int) -> Iterator[tuple[str, Path, int, str, str]]:
    # Every change of one file with its lot: the lot, file, line, words, and the whole new file.
    text = (root / path).read_text(encoding="utf-8")
    same: Counter[str] = Counter()
    lines = text.splitlines(keepends=True)
    starts = [0]
    for line in lines:
        starts.append(starts[-1] + len(line.encode()))
    raw = text.encode()
    tree = ast.parse(text)
    shut = _passed_over(tree)
    for node in ast.walk(tree):
        if id(node) in shut or not isinstance(node, ast.expr):
            continue
        for other in _others(node):
            first = starts[node.lineno - 1] + node.col_offset
            last = starts[(node.end_lineno or 0) - 1] + (node.end_col_offset or 0)
            new = raw[:first] + f"({ast.unparse(other)})".encode() + raw[last:]
            what = f"{ast.unparse(node)}  ->  {ast.unparse(other)}"
            same[what] += 1
            lot = hashlib.sha256(f"{seed} {path} {what} {same[what]}".encode()).hexdigest()
            yield lot, path, node.lineno, what, new.decode()


def _passed_over(tree: ast.Module) -> set[int]:
    # Annotations, what is imported for the types only, slices of formats, decorators, and whether
    # a zip is strict, which asserts what nothing may break.
    shut: set[int] = set()
    for node in ast.walk(tree):
        parts: list[ast.AST | None] = []
        if isinstance(node, ast.FunctionDef):
            parts += [node.returns, *node.decorator_list]
        elif isinstance(node, ast.arg | ast.AnnAssign):
            parts.append(node.annotation)
        elif isinstance(node, ast.ClassDef):
            parts += node.decorator_list
        elif isinstance(node, ast.keyword) and node.arg == "strict":
            parts.append(node.value)
        elif isinstance(node, ast.JoinedStr) or _is_for_types(node):
            parts.append(node)
        for part in parts:
            if part is not None:
                shut.update(id(each) for each in ast.walk(part))
    return shut


def _is_for_types(node: ast.AST) -> bool:
    return isinstance(node, ast.If) and ast.unparse(node.test) == "TYPE_CHECKING"


def _others(node: ast.expr) -> Iterator[ast.expr]:
    # What may stand in the place of one expression.
    other = copy.copy(node)
    if isinstance(other, ast.Compare) and len(other.ops) == 1 and type(other.ops[0]) in COMPARED:
        other.ops = [COMPARED[type(other.ops[0])]()]
        yield other
    elif isinstance(other, ast.BinOp) and type(other.op) in REVERSED:
        if not _is_text(other):
            other.op = REVERSED[type(other.op)]()
            yield other
    elif isinstance(other, ast.BoolOp):
        other.op = ast.And() if isinstance(other.op, ast.Or) else ast.Or()
        yield other
    elif isinstance(other, ast.UnaryOp) and isinstance(other.op, ast.USub | ast.Not):
        yield other.operand
    elif isinstance(other, ast.Constant) and type(other.value) in {int, float}:
        value = other.value
        other.value = value + 1 if isinstance(value, int) else (value * 1.5 or 1.0)
        yield other
    elif isinstance(other, ast.Constant) and isinstance(other.value, bool):
        other.value = not other.value
        yield other
    elif isinstance(other, ast.Name) and other.id in NAMED:
        other.id = NAMED[other.id]
        yield other
    elif isinstance(other, ast.Attribute) and other.attr in NAMED:
        other.attr = NAMED[other.attr]
        yield other


def _is_text(node: ast.BinOp) -> bool:
    # Whether two texts or types are joined, which cannot be taken apart.
    return any(
        isinstance(each, ast.JoinedStr | ast.List | ast.Tuple)
        or (isinstance(each, ast.Constant) and isinstance(each.value, str))
        for each in (node.left, node.right)
    )


def _nearest(root: Path, path: Path) -> tuple[str, ...]:
    # Tests that import the module first, then those named after what it or its folder is about,
    # then those that import its folder, then the rest of the package's and of its commands.
    module = ".".join(path.with_suffix("").parts)
    package = path.parts[1] if len(path.parts) > 2 else path.stem
    texts = {each: each.read_text("utf-8") for each in _test_files(root)}
    importing = [each for each, text in texts.items() if f"from {module} import" in text]
    near = [*sorted((root / "tests" / package).rglob("test_*.py"))]
    near.append(root / "tests" / f"test_{package}.py")
    for name in COMMANDS.get(package, ()):
        near += sorted((root / "tests" / "commands").glob(f"test_{name}*.py"))
    words = {_stem(word) for part in path.with_suffix("").parts[2:] for word in part.split("_")}
    named = sorted(
        (each for each in near if words & {_stem(word) for word in each.stem.split("_")[1:]}),
        key=lambda each: -len(words & {_stem(word) for word in each.stem.split("_")[1:]}),
    )
    folder = module.rsplit(".", 1)[0]
    beside = [each for each in near if f"from {folder}." in texts.get(each, "")]
    wide = [root / "tests" / "test_project.py"]
    order = dict.fromkeys([*importing, *named, *beside, *near, *wide])
    return (str(path), *(str(each.relative_to(root)) for each in order if each.exists()))


def _stem(word: str) -> str:
    return word.rstrip("s")


def _test_files(root: Path) -> list[Path]:
    return [
        each
        for each in sorted((root / "tests").rglob("test_*.py"))
        if not {"browser", "benchmarks", "fuzz", "mutants"} & set(each.parts)
    ]
