"""Draws docs/pictures/architecture.svg from the package's own imports.

``python tests/draw_architecture.py`` writes it anew; tests/test_architecture.py holds it against
the code. A box is a package or a module at its top; it stands above everything that it
imports, so that data comes in at the bottom of the work and leaves at the top. A line is an
import that no other line stands for already.
"""

from __future__ import annotations

import ast
from collections import defaultdict
from graphlib import TopologicalSorter
from pathlib import Path
from xml.sax.saxutils import escape

import staking

ROOT = Path(__file__).resolve().parent.parent
PACKAGE = Path(staking.__file__).parent
"""Where the package really is: this runs against an installed one too."""
PICTURE = ROOT / "docs" / "pictures" / "architecture.svg"
BOX, GAP, ROW = 124, 64, 84
GROUND = ("errors", "notices", "tolerances", "units", "kinds")
"""What everybody uses; one box, and no line to it, since there would be one from everywhere."""
GROUND_NAME = "faults, words"
WHAT = {
    "commands": "what one types",
    "desk": "the form in the browser",
    "output": "files, papers, page",
    "project": "conducts",
    "job": "the job file",
    "survey": "survey files",
    "checked": "taped against layout",
    "weigh": "tops and places compared",
    "laid_out": "the whole layout",
    "order": "what to buy",
    "adjust": "readings, verdict",
    "grade": "levels and steps",
    "site": "the lot",
    "outline": "a drawing's outline",
    "layout": "strings, boards, tapes",
    "network": "what to tape",
    "footing": "bands and outlines",
    "lines": "lines and rings",
    "measure": "text and numbers",
    "plan": "the building",
    "points": "surveyed points",
    "crs": "projections",
    GROUND_NAME: "used by all above",
}


def part_of(module: str) -> str | None:
    """Return the box that a module of the package belongs to."""
    words = module.split(".")
    if len(words) < 2 or words[1] in {"__main__", "py"}:
        return None
    name = {"cli": "commands", "crs_register": "crs", "crs_text": "crs"}.get(words[1], words[1])
    return GROUND_NAME if name in GROUND or name not in WHAT else name


def imports() -> dict[str, set[str]]:
    """Return which box imports which."""
    uses: dict[str, set[str]] = defaultdict(set)
    for path in sorted(PACKAGE.rglob("*.py")):
        module = ".".join(path.relative_to(PACKAGE.parent).with_suffix("").parts)
        here = part_of(module)
        if here is None or path.name == "__init__.py":
            continue
        uses[here] |= set()
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("staking."):
                there = part_of(node.module or "")
                if there is not None and there != here:
                    uses[here].add(there)
    return uses


def rows_of(uses: dict[str, set[str]]) -> list[list[str]]:
    """Return the boxes in rows, lowest first: each above all that it imports."""
    height: dict[str, int] = {}
    for box in TopologicalSorter(uses).static_order():
        height[box] = 1 + max((height[each] for each in uses[box]), default=-1)
    rows: list[list[str]] = [[] for _ in range(max(height.values()) + 1)]
    for box, level in sorted(height.items()):
        rows[level].append(box)
    return rows


def needed(uses: dict[str, set[str]]) -> list[tuple[str, str]]:
    """Return the imports that no chain of other imports stands for."""
    reach: dict[str, set[str]] = {}
    for box in TopologicalSorter(uses).static_order():
        reach[box] = set(uses[box]).union(*(reach[each] for each in uses[box]))
    return [
        (box, each)
        for box in sorted(uses)
        for each in sorted(uses[box])
        if each != GROUND_NAME
        and not any(each in reach[other] for other in uses[box] if other != each)
    ]


def drawn() -> str:
    """Return the picture."""
    uses = imports()
    rows = rows_of(uses)
    width = max(len(row) for row in rows) * (BOX + GAP) + GAP
    height = len(rows) * ROW
    middle: dict[str, tuple[float, float]] = {}
    for level, row in enumerate(rows):
        left = (width - len(row) * (BOX + GAP) + GAP) / 2
        for at, box in enumerate(row):
            middle[box] = (
                left + at * (BOX + GAP) + BOX / 2,
                height - level * ROW - ROW / 2,
            )
    said = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" width="{width}" '
        f'height="{height}" font-family="sans-serif" text-anchor="middle">',
        "<title>Who imports whom in the package: each box stands above what it imports</title>",
        f'<rect width="{width}" height="{height}" fill="#fff"/>',
    ]
    for upper, lower in needed(uses):
        (x, y), (u, v) = middle[upper], middle[lower]
        said.append(f'<path d="M{x:g} {y + 22:g}L{u:g} {v - 22:g}" stroke="#999" fill="none"/>')
    for box, (x, y) in middle.items():
        said.append(
            f'<rect x="{x - BOX / 2:g}" y="{y - 22:g}" width="{BOX}" height="44" fill="#fff" '
            'stroke="#222"/>'
        )
        said.append(f'<text x="{x:g}" y="{y - 2:g}" font-size="12">{escape(box)}</text>')
        said.append(
            f'<text x="{x:g}" y="{y + 12:g}" font-size="9">{escape(WHAT.get(box, ""))}</text>'
        )
    return "\n".join([*said, "</svg>"]) + "\n"


if __name__ == "__main__":
    PICTURE.write_text(drawn(), encoding="utf-8")
