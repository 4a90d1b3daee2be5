"""Which pieces stand beside one another in a row: as few rows as there may be, none too tight."""

from __future__ import annotations

from collections.abc import Sequence

from staking.frozen import frozen

_WINDOW = 7
"""So many pieces at once are put together in the best way there is."""

_FREE = 30.0
"""What the least width of a piece leaves free for what is drawn, mm."""


@frozen
class PieceInRow:
    """The least width of a piece, mm, and how long what is drawn in it is."""

    width: float
    length: float


def packed(pieces: Sequence[PieceInRow], width: float, between: float) -> list[list[int]]:
    """Put pieces into rows.

    Parameters
    ----------
    pieces
        In order.
    width, between
        Of a row, and between two pieces, mm.

    Returns
    -------
    list of list of int
        The places of each row's pieces, ascending, each row beginning with the first piece that
        is left. Of seven pieces at a time there are the fewest rows, and of those ways the one
        whose most crowded row has the most room for what is drawn. A piece wider than a row has
        one by itself.

    Examples
    --------
    >>> packed([PieceInRow(width=each, length=1.0) for each in (50, 60, 40, 30)], 100, 5)
    [[0, 2], [1, 3]]
    """
    left, rows = list(range(len(pieces))), []
    while left:
        row = _best([pieces[at] for at in left[:_WINDOW]], width, between)
        rows.append([left[at] for at in row])
        left = [each for at, each in enumerate(left) if at not in row]
    return rows


def _best(pieces: Sequence[PieceInRow], width: float, between: float) -> tuple[int, ...]:
    # The first row of the best way to put a few pieces together.
    known: dict[int, tuple[int, float, tuple[int, ...]]] = {0: (0, 0.0, ())}

    def crowding(chosen: int) -> float | None:
        # How much is drawn in what the words leave free; None where they leave nothing.
        members = [each for at, each in enumerate(pieces) if chosen >> at & 1]
        spare = width - between * (len(members) - 1) - sum(each.width for each in members)
        if spare < 0 and len(members) > 1:
            return None
        return sum(each.length for each in members) / max(1.0, spare + _FREE * len(members))

    def found(left: int) -> tuple[int, float, tuple[int, ...]]:
        if left not in known:
            first = left & -left
            rest = left ^ first
            ways = []
            others = rest
            while True:
                chosen = others | first
                crowded = crowding(chosen)
                if crowded is not None:
                    rows, worst, _ = found(left ^ chosen)
                    row = tuple(at for at in range(len(pieces)) if chosen >> at & 1)
                    ways.append((rows + 1, max(worst, crowded), row))
                if not others:
                    break
                others = (others - 1) & rest
            known[left] = min(ways)
        return known[left]

    return found((1 << len(pieces)) - 1)[2]
