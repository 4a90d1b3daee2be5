"""The record of a poured footing: every figure with its limit, and the notices about it."""

from __future__ import annotations

from collections.abc import Sequence

from staking.adjust.pour.footing_edges import PlannedEdge
from staking.adjust.pour.poured import EdgeFound, LevelFound, Poured, Terms, TopRun, judge_poured
from staking.checked.stakes_checked import Checked
from staking.frozen import frozen
from staking.kinds import OntoPlan, PouredFigure, WallMaterial
from staking.laid_out.layout_value import Layout
from staking.notices import Notice, Severity, notice


@frozen
class PouredRead:
    """What was measured after the pour, on the plan; `fitted` says how points came onto it.

    `fitted` is None where nothing was surveyed.
    """

    edges: tuple[EdgeFound, ...] = ()
    levels: tuple[LevelFound, ...] = ()
    checked: Checked | None = None
    fitted: OntoPlan | None = None
    files: tuple[str, ...] = ()
    notices: tuple[Notice, ...] = ()


@frozen
class Record:
    """The record of a poured footing, complete at birth.

    Parameters
    ----------
    layout
        The layout.
    terms
        What the footing is judged by.
    poured
        Every figure with its limit.
    checked
        The tapes from corner to corner on the poured footing; None where none was taken.
    has_tops
        Whether planned tops are known.
    read
        What was measured.
    notices
        The notices for whoever reads the answer.
    """

    layout: Layout
    terms: Terms
    poured: Poured
    checked: Checked | None
    has_tops: bool
    read: PouredRead
    notices: tuple[Notice, ...]

    @property
    def good(self) -> bool:
        """Whether everything is within its limit."""
        return self.poured.good and (self.checked is None or self.checked.verdict.square)


def record_poured(
    layout: Layout,
    planned: Sequence[PlannedEdge],
    read: PouredRead,
    said: Sequence[Notice],
    *,
    carries: WallMaterial,
    top: float | None,
) -> Record:
    """Judge what was measured after the pour.

    Parameters
    ----------
    layout, planned
        The layout, and its footing's edges.
    read
        What was measured.
    said
        What was said of the job in reading it.
    carries
        What stands on the footing.
    top
        The planned top of a level footing, m, where the job has no grade section.

    Returns
    -------
    Record
        Every figure with its limit.
    """
    runs = planned_tops(layout, planned, top)
    terms = Terms(carries=carries, cast=layout.options.dig.cast)
    poured = judge_poured(layout.plan, planned, read.edges, read.levels, runs, terms)
    return Record(
        layout=layout,
        terms=terms,
        poured=poured,
        checked=read.checked,
        has_tops=bool(runs),
        read=read,
        notices=(
            *said,
            *read.notices,
            *_of_tapes(said, read.checked),
            *_told(poured, read, bool(runs), carries),
        ),
    )


def planned_tops(
    layout: Layout, planned: Sequence[PlannedEdge], top: float | None = None
) -> tuple[TopRun, ...]:
    """Give the planned tops of the footing, run by run.

    Parameters
    ----------
    layout
        The layout, with its levels where the job has a grade section.
    planned
        The footing's edges: what there is a top of.
    top
        One top for all, m; None for the job's own.

    Returns
    -------
    tuple of TopRun
        Empty where nothing says.
    """
    if top is not None:
        lengths = {edge.where: edge.length for edge in planned}
        return tuple(TopRun(where=w, start=0.0, end=far, top=top) for w, far in lengths.items())
    graded = layout.grade
    if graded is None:
        return ()
    walls = tuple(
        TopRun(where=each.profile.wall, start=run.start, end=run.end, top=run.top)
        for each in graded.walls
        for run in each.profile.levels
    )
    pads = tuple(TopRun(where=p.pad, start=0.0, end=0.0, top=p.top) for p in graded.pads)
    return (*walls, *pads)


def string_level(layout: Layout) -> float | None:
    """Give the elevation of the strings, m; None where nothing says."""
    graded = layout.grade
    level = graded.string if graded is not None else None
    return level if level is not None else layout.options.boards.at


def _of_tapes(said: Sequence[Notice], checked: Checked | None) -> tuple[Notice, ...]:
    # a reading that does not fit, a verdict too close to call: what the check itself would say
    told = () if checked is None else checked.notices
    return tuple(each for each in told if each not in said)


def _told(
    poured: Poured, read: PouredRead, has_tops: bool, carries: WallMaterial
) -> tuple[Notice, ...]:
    told = []
    if poured.missing:
        told.append(
            notice(
                "not-measured",
                "nothing was measured on the footing of {names}: the record says nothing of it",
                names=", ".join(poured.missing),
            )
        )
    if not has_tops and any(each.what is PouredFigure.TOP for each in read.levels):
        told.append(
            notice(
                "no-planned-tops",
                "the job does not say how high the footing's top is to be: tops are only judged "
                "level among themselves; add grade: to the job, or give --top",
            )
        )
    if read.fitted is OntoPlan.EDGES:
        told.append(
            notice(
                "fitted-by-edges",
                "the job is not placed and no stake is in the survey: the footing is laid on the "
                "plan as well as its edges fit, so its shape is judged and not its place",
            )
        )
    if read.fitted is OntoPlan.STAKES:
        told.append(
            notice(
                "fitted-by-stakes",
                "the job is not placed: the survey is laid on the plan by the stakes in it",
                Severity.NOTE,
            )
        )
    if carries is WallMaterial.MASONRY:
        told.append(
            notice(
                "carries-masonry",
                "judged as a footing that carries block or brick, which has the tighter limits; "
                "--carries concrete for a cast wall",
                Severity.NOTE,
            )
        )
    return tuple(told)
