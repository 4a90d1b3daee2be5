"""What a building becomes whose stakes are taken as they stand: walls, boards and block."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.output.blocks import Block, Column, Listing, Table
from staking.output.wording import Words, safe

if TYPE_CHECKING:
    from collections.abc import Sequence

    from staking.checked.as_accepted import Became, Become
    from staking.plan import Options


def accept_blocks(become: Become, options: Options, name: str) -> tuple[Block, ...]:
    """Set out what the stakes taken as they stand come to.

    Parameters
    ----------
    become
        The new job against the old one.
    options
        The job's options: how lengths are shown.
    name
        The file that was written.

    Returns
    -------
    tuple of Table or Listing
        Walls, boards and block that become other than they were; one line where none does.
    """
    words = Words(options)
    block = tuple((wall, str(one), str(other)) for wall, one, other in become.blocks)
    changed = tuple(row for row in block if row[1] != row[2])
    lines = [f"{safe(name)} has the corners as staked."]
    if become.out:
        points = ", ".join(safe(each) for each in become.out)
        lines.append(
            f"Off where the plan has them from these corners: {points}. Check the same readings "
            f"by {safe(name)}: it says how far to move them."
        )
    blocks: list[Block] = [
        Listing(title="Taken as they stand", lines=tuple(lines)),
        _table("The walls become", "wall", _rows(become.walls, words)),
        _table("The boards stand past the corner", "board", _rows(become.boards, words)),
        _table("Whole block", "wall", changed),
    ]
    if become.blocks and not changed:
        count = sum(other for _, _, other in become.blocks)
        blocks.append(Listing(title="Whole block", lines=(f"{count}, as before.",)))
    return tuple(b for b in blocks if (b.rows if isinstance(b, Table) else b.lines))


def _rows(became: Sequence[Became], words: Words) -> tuple[tuple[str, ...], ...]:
    def text(metres: float | None) -> str:
        return "none" if metres is None else words.length(metres)

    rows = ((each.name, text(each.before), text(each.after)) for each in became)
    return tuple(row for row in rows if row[1] != row[2])


def _table(title: str, what: str, rows: tuple[tuple[str, ...], ...]) -> Table:
    return Table(
        title=title,
        columns=(
            Column(heading=what),
            Column(heading="was", right=True),
            Column(heading="is", right=True),
        ),
        rows=rows,
    )
