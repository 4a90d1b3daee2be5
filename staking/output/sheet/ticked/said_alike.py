"""What both lists say in the same way: counts, taped readings, footings with their names."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.kinds import CheckKind
from staking.output.wording import Words, safe

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from staking.laid_out.layout_value import Layout
    from staking.layout.layout_parts import Check
    from staking.plan import Footing

_MOST = 16
"""Readings that a sentence lists."""
_NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")


def diagonals(layout: Layout) -> list[Check]:
    """List the diagonals that are taped."""
    return [each for each in layout.checks if each.kind is CheckKind.DIAGONAL and each.in_network]


def readings(what: str, checks: Sequence[Check], words: Words) -> str:
    """Write checks in a row: what each tape reads, and what it may be out by."""
    if len(checks) > _MOST:
        return f"all {len(checks)} {what} of the table, each within what it allows"
    # Each reading stays on one line as a whole.
    return f"{what} " + ", ".join(
        f"{safe(each.from_name)}-{safe(each.to_name)} {words.length(each.distance)} "
        f"(+/- {words.allowed(each.allowed)})".replace(" ", "\N{NO-BREAK SPACE}")
        for each in checks
    )


def counted(number: int, thing: str) -> str:
    """Count things in words, as in "Two bars"."""
    shown = _NUMBERS[number] if number < len(_NUMBERS) else str(number)
    return f"{shown} {thing}{'' if number == 1 else 's'}".capitalize()


def footings(layout: Layout) -> Iterator[tuple[str, Footing]]:
    """Give every wall's and interior line's footing with its name, standing sides left out."""
    for building in layout.plan.buildings:
        for wall in building.walls:
            if wall.existing is None:
                yield wall.name, wall.footing
    for line in layout.plan.interior:
        yield line.name, line.footing


def first_of(wall: str) -> str:
    """Name the corner from which a wall's stations run."""
    return wall.split("-", maxsplit=1)[0]
