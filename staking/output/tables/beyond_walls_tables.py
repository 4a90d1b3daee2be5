"""The ground beyond the walls in tables: where water runs, and how far slopes are."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.kinds import LotPart
from staking.output.blocks import Column, Table
from staking.output.wording import Words, safe

if TYPE_CHECKING:
    from staking.grade.graded import Graded


def water_table(graded: Graded, words: Words) -> Table:
    """Set out grade at each wall against the ground ten feet out.

    Returns
    -------
    Table
        Without rows where that ground is not known.
    """

    def fall(metres: float) -> str:
        return words.length(metres) if metres >= 0 else f"up {words.length(-metres)}"

    return Table(
        title="Water: from each wall to the ground 10 ft (3.05 m) out",
        columns=(
            Column(heading="wall"),
            Column(heading="at", right=True),
            Column(heading="grade there", right=True),
            Column(heading="falls", right=True),
            Column(heading="swale at", right=True),
            Column(heading="or top at", right=True),
        ),
        rows=tuple(
            (
                safe(each.wall),
                words.length(each.station),
                words.level(each.at_wall),
                fall(each.fall),
                *(
                    ("", "")
                    if each.runs_off
                    else (words.level(each.swale), words.at_least(each.top))
                ),
            )
            for each in graded.water
        ),
        note="Where it falls least; up: where the ground rises. It has to fall 6 in (152 mm) (IRC "
        "2015, R401.3), else a swale between has its bottom at that level or lower and leads off, "
        "or grade is raised, for which the top of wall has to be at that level at least.",
    )


def slopes_table(graded: Graded, words: Words) -> Table:
    """Set out how far each wall stands from slopes steeper than one in three.

    Returns
    -------
    Table
        Without rows where there is no such slope.
    """
    return Table(
        title="Slopes steeper than one in three",
        columns=(
            Column(heading="wall"),
            Column(heading="slope"),
            Column(heading="high", right=True),
            Column(heading="distance", right=True),
            Column(heading="to keep", right=True),
            Column(heading="kept"),
        ),
        rows=tuple(
            (
                safe(each.wall),
                "above" if each.part is LotPart.WALL else "below",
                words.length(each.height),
                words.length(each.distance),
                words.length(each.needed),
                "yes" if each.is_kept else "no",
            )
            for each in graded.slopes
        ),
        note="above: from its toe to the wall, half its height, 15 ft (4.57 m) at most; below: "
        "from the footing's lower outer edge, level, to its face, a third, 40 ft (12.19 m) at most "
        "(IRC 2018, R403.1.7). Heights are as far as the ground is known.",
    )
