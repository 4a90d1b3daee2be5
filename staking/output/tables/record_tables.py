"""The record of a poured footing as tables: what is out, each footing's worst, every figure."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from staking.kinds import PouredFigure
from staking.output.blocks import Block, Column, Listing, Table
from staking.output.tables.differences import fine, signed
from staking.output.wording import Words, safe

if TYPE_CHECKING:
    from staking.adjust.pour.poured import Deviation
    from staking.adjust.pour.poured_limits import PouredLimit
    from staking.checked.poured_record import Record
    from staking.plan import Options

KINDS = (
    ("edge", tuple(each for each in PouredFigure if each.is_edge)),
    ("width", (PouredFigure.WIDTH,)),
    ("top", (PouredFigure.TOP,)),
    ("level", (PouredFigure.LEVEL,)),
    ("thick", (PouredFigure.THICKNESS,)),
)
"""The columns of the overview and what each looks at."""


def record_blocks(record: Record) -> tuple[Block, ...]:
    """Set out a record as tables.

    Parameters
    ----------
    record
        The record.

    Returns
    -------
    tuple of Table or Listing
        The verdict, what is out, each footing's worst, every figure, the limits.
    """
    blocks: list[Block] = [
        Listing(title="The poured footing", lines=(record_verdict(record),)),
        Listing(title="Out of tolerance", lines=out_lines(record)),
        overview(record),
        figures_table(record),
        tapes_table(record),
        limits_table(record),
    ]
    return tuple(
        block for block in blocks if (block.rows if isinstance(block, Table) else block.lines)
    )


def record_verdict(record: Record) -> str:
    """Say in a sentence whether the footing is within its tolerances."""
    count = len(record.poured.deviations)
    bad = [each.where for each in record.poured.verdicts if not each.good]
    tapes = record.checked
    taped = "" if tapes is None else ", and the tapes from corner to corner"
    if record.good:
        said = f"all {count} figures" if count else "the tapes from corner to corner"
        return f"Within its tolerances: {said}{taped if count else ''}."
    where = ", ".join(safe(each) for each in bad)
    if tapes is not None and not tapes.verdict.square:
        where = f"{where}, and it is not square" if where else "it is not square"
    return f"Out of tolerance: {where}."


def out_lines(record: Record) -> tuple[str, ...]:
    """Say what is out, footing by footing, the worst first."""
    lines = []
    for verdict in record.poured.verdicts:
        bad = sorted((d for d in verdict.deviations if not d.good), key=lambda d: -d.share)
        lines += [f"{deviation_text(each, record.layout.options)}." for each in bad]
    return tuple(lines)


def deviation_text(each: Deviation, options: Options) -> str:
    """Say one figure in words: ``A-B at 12' 0": the outer edge lies 7/8" too far in``."""
    at = "" if each.station is None else f" at {Words(options).length(each.station)}"
    return f"{safe(each.where)}{at}: {_what(each, options)}"


def _what(each: Deviation, options: Options) -> str:
    size = fine(abs(each.off), options)
    allowed = allowed_text(each.limit, each.off, options)
    if size == allowed and not each.good:
        size = f"just over {size}"
    if each.what.is_edge:
        way = "out" if each.off > 0 else "short"
        said = f"the {each.what} lies {size} {'too far ' if way == 'out' else ''}{way}"
    elif each.what is PouredFigure.LEVEL:
        said = f"the top falls {size} on one level run"
    elif each.what is PouredFigure.TOP:
        said = f"the top is {size} {'high' if each.off > 0 else 'low'}"
    elif each.what is PouredFigure.WIDTH:
        said = f"the footing is {size} {'wide' if each.off > 0 else 'narrow'}"
    else:
        said = f"the footing is {size} {'thick' if each.off > 0 else 'thin'}"
    return f"{said} (allowed {allowed})"


def allowed_text(limit: PouredLimit, off: float, options: Options) -> str:
    """Write what is allowed on the side of a difference."""
    side = limit.more if off > 0 else limit.less
    return "no limit" if math.isinf(side) else Words(options).allowed(side)


def overview(record: Record) -> Table:
    """Set out each footing's worst figure of every kind."""
    options = record.layout.options

    def cell(worst: Deviation | None) -> str:
        if worst is None:
            return ""
        return f"{signed(worst.off, options)}{'' if worst.good else ' !'}"

    rows = []
    for verdict in record.poured.verdicts:
        worst = verdict.worst()
        assert worst is not None
        at = "" if worst.station is None else f" at {Words(options).length(worst.station)}"
        rows.append((
            safe(verdict.where),
            *(cell(verdict.worst(*kinds)) for _, kinds in KINDS),
            f"{worst.what}{at}",
            "good" if verdict.good else "out",
        ))
    return Table(
        title="The worst of each footing",
        columns=(
            Column(heading="footing"),
            *(Column(heading=heading, right=True) for heading, _ in KINDS),
            Column(heading="nearest to its limit"),
            Column(heading=""),
        ),
        rows=tuple(rows),
        note="Edge: + is beyond its line, away from the footing's middle. ! is out of tolerance. "
        "Stations are from the wall's first corner.",
    )


def _read(words: Words, what: PouredFigure, metres: float) -> str:
    # A top is an elevation, all else a length.
    return words.level(metres) if what is PouredFigure.TOP else words.length(metres)


def figures_table(record: Record) -> Table:
    """Set out every figure with its limit."""
    words = Words(record.layout.options)
    options = record.layout.options
    rows = tuple(
        (
            safe(each.where),
            "" if each.station is None else words.length(each.station),
            each.what,
            "" if each.what is PouredFigure.LEVEL else _read(words, each.what, each.measured),
            "" if each.what is PouredFigure.LEVEL else _read(words, each.what, each.planned),
            signed(each.off, options),
            allowed_text(each.limit, each.off, options),
            "good" if each.good else "out",
        )
        for each in record.poured.deviations
    )
    return Table(
        title="Every figure",
        columns=(
            Column(heading="on"),
            Column(heading="at", right=True),
            Column(heading="what"),
            Column(heading="measured", right=True),
            Column(heading="plan", right=True),
            Column(heading="off", right=True),
            Column(heading="allowed", right=True),
            Column(heading=""),
        ),
        rows=rows,
        note="Edges are measured from the string: the outside face, or a line's centre.",
    )


def tapes_table(record: Record) -> Table:
    """Set out the tapes from corner to corner on the poured footing."""
    options, words = record.layout.options, Words(record.layout.options)
    judged = () if record.checked is None else record.checked.verdict.judged
    return Table(
        title="Corner to corner on the poured footing",
        columns=(
            Column(heading="tape"),
            Column(heading="now", right=True),
            Column(heading="plan", right=True),
            Column(heading="off", right=True),
            Column(heading="allowed", right=True),
            Column(heading=""),
        ),
        rows=tuple(
            (
                f"{each.check.from_name}-{each.check.to_name}",
                words.length(each.now),
                words.length(each.check.distance),
                signed(each.off, options),
                words.allowed(each.check.allowed),
                "good" if each.square else "out",
            )
            for each in judged
            if each.check.at is None
        ),
    )


def limits_table(record: Record) -> Table:
    """Set out the limits that were used, each with who says so."""
    options = record.layout.options
    seen: dict[tuple[str, ...], None] = {}
    for each in record.poured.deviations:
        what = PouredFigure.EDGE if each.what.is_edge else each.what
        seen[what, *limit_texts(each.limit, options), each.limit.source] = None
    return Table(
        title="What it is judged by",
        columns=(
            Column(heading="what"),
            Column(heading="less", right=True),
            Column(heading="more", right=True),
            Column(heading="who says so"),
        ),
        rows=tuple(sorted(seen)),
    )


def limit_texts(limit: PouredLimit, options: Options) -> tuple[str, str]:
    """Write both sides of a limit."""
    return allowed_text(limit, -1.0, options), allowed_text(limit, 1.0, options)
