"""What was taped on a poured footing, row by row, as edges and levels."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from staking.adjust.pour.footing_edges import PlannedEdge
from staking.adjust.pour.poured import EdgeFound, LevelFound
from staking.frozen import frozen
from staking.kinds import FootingEdge, PouredFigure


@frozen
class PouredRow:
    """One place on a wall or interior line, or a pad, as it was taped, m.

    Parameters
    ----------
    where
        The wall's, line's or pad's name in the plan.
    station
        From its first corner; None on a pad.
    outer, inner
        From the string to the outer and to the inner edge (left and right of a line), away from
        each other; on a pad from its centre, toward greater and toward lesser x (or y); None where
        not taken.
    top
        Elevation of the footing's top, or None.
    down
        From the string down to the top, or None.
    thickness
        Of the footing, or None.
    line
        Of the file.
    way
        Which way across a pad the edges were taped: ``x`` or ``y`` of the pad; else empty.
    """

    where: str
    station: float | None
    outer: float | None
    inner: float | None
    top: float | None
    down: float | None
    thickness: float | None
    line: int
    way: str = ""


def edges_and_levels(
    rows: Iterable[PouredRow], planned: Sequence[PlannedEdge], string: float | None
) -> tuple[list[EdgeFound], list[LevelFound]]:
    """Turn taped rows into edges and levels.

    Parameters
    ----------
    rows
        What was taped.
    planned
        The footing's edges.
    string
        Elevation of the strings, m; None counts levels down from them.

    Returns
    -------
    tuple
        Edges and levels.
    """
    of = {(edge.where, edge.side): edge for edge in planned}
    edges, levels = [], []
    for row in rows:
        sides = _sides(row, of)
        for side, value in zip(sides, (row.outer, row.inner), strict=True):
            if value is not None:
                edges.append(
                    EdgeFound(
                        where=row.where,
                        side=side,
                        station=row.station,
                        more=value - of[row.where, side].from_string,
                        row=row.line,
                        name=f"line {row.line}",
                    )
                )
        top = row.top
        if row.down is not None:
            top = (string or 0.0) - row.down
        for what, value in ((PouredFigure.TOP, top), (PouredFigure.THICKNESS, row.thickness)):
            if value is not None:
                levels.append(
                    LevelFound(
                        where=row.where,
                        what=what,
                        station=row.station,
                        value=value,
                        name=f"line {row.line}",
                    )
                )
    return edges, levels


def _sides(
    row: PouredRow, planned: Mapping[tuple[str, FootingEdge], PlannedEdge]
) -> tuple[FootingEdge, FootingEdge]:
    # the edges that a row's two cells belong to; a pad's are numbered round it from greater x
    if row.station is not None:
        if (row.where, FootingEdge.OUTER) in planned:
            return FootingEdge.OUTER, FootingEdge.INNER
        return FootingEdge.LEFT, FootingEdge.RIGHT
    if (row.where, FootingEdge.ROUND) in planned:
        return FootingEdge.ROUND, FootingEdge.ROUND
    if row.way == "x":
        return FootingEdge.FIRST, FootingEdge.THIRD
    return FootingEdge.SECOND, FootingEdge.FOURTH
