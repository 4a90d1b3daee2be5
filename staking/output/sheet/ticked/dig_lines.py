"""What is to be seen to before the machine comes: the call, the lot, the lines, the depths."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.kinds import CheckKind, LotPart
from staking.layout.steps.early_steps import WHITE_MARGIN, WHITE_MARGIN_METRIC
from staking.output.sheet.ticked.said_alike import counted, diagonals, first_of, footings, readings
from staking.output.wording import Words, safe
from staking.plan import Show

if TYPE_CHECKING:
    from collections.abc import Iterator

    from staking.laid_out.layout_value import Layout

BLANK = "________"
"""Room to write in."""
TAPED_THERE = "Every tape of Boards and tapes is read, written there, and right."
"""Where the tapes stand on another sheet."""
UTILITIES = (
    ("electric", "red"),
    ("gas, oil or steam", "yellow"),
    ("telephone and cable", "orange"),
    ("water", "blue"),
    ("reclaimed water", "purple"),
    ("sewer and drain", "green"),
)
"""Who answers the call, and the colour of each one's marks (American Public Works Association)."""


def white_line(layout: Layout) -> str:
    """Say what is painted before the call."""
    words = Words(layout.options)
    metric = words.show in {Show.METRES, Show.MILLIMETRES}
    margin = words.length(WHITE_MARGIN_METRIC if metric else WHITE_MARGIN)
    return (
        f"Before the call the outline of the dig is painted in white, {margin} outside where the "
        "machine digs. Nothing of ours is painted in a utility's colour."
    )


def ticket() -> Iterator[str]:
    """Give the lines for the ticket and for each utility's answer."""
    yield (
        f"Ticket number {BLANK}{BLANK}, called on {BLANK}, first day to dig {BLANK}, runs out on "
        f"{BLANK}."
    )
    answers = ", ".join(f"{name} ({colour}) {BLANK}" for name, colour in UTILITIES)
    yield f"Marked or clear, as each answered: {answers}."


def buried(layout: Layout) -> Iterator[str]:
    """Say where the known lines run and what is dug by hand."""
    if layout.site is None:
        return
    words = Words(layout.options)
    for line in layout.site.buried:
        width = ""
        if line.hand_dig:
            width = f"; {words.length(line.hand_dig)} each side of it is dug by hand"
        yield f"On the ground stand the marks of {safe(line.name)}{width}."
    pads = {pad.name for pad in layout.plan.pads}
    for each in layout.site.hand_dig:
        if each.wall in pads:
            yield f"Dig all of {each.wall} by hand for {safe(each.name)}."
            continue
        stretch = f"from {words.length(max(each.start, 0.0))} to {words.length(each.end)}"
        yield (
            f"Dig by hand for {safe(each.name)} along {each.wall}, {stretch} from "
            f"{first_of(each.wall)}."
        )


def lot(layout: Layout) -> Iterator[str]:
    """Say which pins are seen, and how far the walls stand from the lines."""
    site = layout.site
    if site is None:
        return
    words = Words(layout.options)
    pins = ", ".join(safe(each.name) for each in site.boundary)
    if pins and site.from_paper:
        yield f"Pins {pins} are found: the lot comes from its deed alone."
    elif pins:
        yield f"Pins {pins} are uncovered and flagged."
    clear = [
        f"{safe(each.line)} {words.length(each.distance)} ({words.length(each.setback)})"
        for each in site.clearances
        if each.setback is not None and each.what is LotPart.WALL
    ]
    if clear:
        yield f"The walls stand clear of the boundary, setback behind: {'; '.join(clear)}."
    for kept in site.kept_off:
        yield (
            f"The {kept.what} stands {words.length(kept.distance)} clear of {safe(kept.name)}; "
            f"{words.length(kept.least)} is to be kept."
        )


def squared(layout: Layout) -> Iterator[str]:
    """Say what is taped before anything is dug."""
    words = Words(layout.options)
    pairs = diagonals(layout)
    if pairs:
        yield f"Taped and right: {readings('diagonals', pairs, words)}."
    sides = [each for each in layout.checks if each.kind is CheckKind.SIDE]
    if sides:
        yield f"Taped and right: {readings('sides', sides, words)}."


def set_up(layout: Layout) -> Iterator[str]:
    """Say which boards, strings and hubs stand."""
    words = Words(layout.options)
    if layout.boards:
        least = min(board.clear for board in layout.boards)
        yield (
            f"{counted(len(layout.boards), 'board')} braced, level and nailed; the nearest stands "
            f"{words.length(least)} clear of the dig."
        )
    at = layout.options.boards.at
    if layout.grade is not None and layout.grade.string is not None:
        at = layout.grade.string
    if at is not None:
        yield f"Strings pulled and level, at elevation {words.level(at)}."
    if layout.hubs:
        yield (
            f"{counted(len(layout.hubs), 'hub')} driven, flagged and taped: the corner stakes go "
            "with the dig."
        )


def painted(layout: Layout) -> str:
    """Say what the machine follows."""
    words = Words(layout.options)
    widths = sorted({footing.width for _, footing in footings(layout)})
    wide = ", ".join(map(words.length, widths))
    if layout.digs_wider:
        return f"The dig line is painted outside the footing edges (footings {wide} wide)."
    return f"Both footing edges are painted ({wide} apart): the trench is dug to them."


def benchmarks(layout: Layout) -> str:
    """Say what two benchmarks are read, with room for the readings."""
    named = None if layout.grade is None else layout.grade.benchmark
    first = BLANK if named is None else safe(named)
    return (
        f"Two benchmarks stand off the dig, where no machine drives: {first}, rod reads {BLANK}; "
        f"{BLANK}, rod reads {BLANK}."
    )


def depths(layout: Layout) -> Iterator[str]:
    """Say how deep the trench is."""
    graded, words = layout.grade, Words(layout.options)
    if graded is None:
        if layout.options.dig.depth > 0:
            yield f"The trench is {words.length(layout.options.dig.depth)} deep."
        return
    yield f"The deepest dig is {words.length(graded.greatest_depth)} below the ground."
    deep = [each for wall in graded.walls for each in wall.deep]
    for limit in sorted({each.limit for each in deep}):
        stretches = "; ".join(
            f"{each.wall} {words.length(each.start)} to {words.length(each.end)} from "
            f"{first_of(each.wall)}, up to {words.length(each.deepest)}"
            for each in deep
            if each.limit == limit
        )
        yield f"The trench is {words.length(limit)} deep or more on {stretches}."
