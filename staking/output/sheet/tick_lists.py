"""Two lists to tick off, before the dig and before the pour, with the job's own numbers."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.kinds import CheckKind, LotPart
from staking.notices import Severity
from staking.output import cautions
from staking.output.blocks import Listing
from staking.output.tables.notice_listings import sentence
from staking.output.wording import Words, safe

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from staking.laid_out.layout_value import Layout
    from staking.layout.layout_parts import Check
    from staking.plan import Footing, Pad
    from staking.project.sheets import Sheets

_MOST = 16
"""Readings that a sentence lists."""
_NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")


def before_the_dig(sheets: Sheets) -> Listing:
    """List what is to be seen to before the machine comes.

    Parameters
    ----------
    sheets
        What is shown of the job.

    Returns
    -------
    Listing
        One sentence for each thing.
    """
    layout = sheets.layout
    words = Words(layout.options)
    lines = [
        cautions.SERVICES,
        *_buried(layout, words),
        cautions.PROPERTY,
        *_setbacks(layout, words),
        *_squared(layout, words),
        *_set_up(layout, words),
        _painted(layout, words),
        *_depths(layout, words),
        cautions.TRENCH,
        cautions.BUCKET,
        cautions.WIRES,
        cautions.CODE,
        cautions.ENGINEER,
        *(
            sentence(words.notice(each))
            for each in layout.notices
            if each.severity is Severity.BROKEN
        ),
    ]
    return Listing(title="Before you dig", lines=tuple(dict.fromkeys(lines)))


def before_the_pour(sheets: Sheets) -> Listing:
    """List what is to be seen to before the concrete comes.

    Parameters
    ----------
    sheets
        What is shown of the job.

    Returns
    -------
    Listing
        One sentence for each thing.
    """
    layout = sheets.layout
    words = Words(layout.options)
    lines = [
        *_footings(layout, words),
        *_bottoms(layout, words),
        *_steps(layout, words),
        *_steel(sheets, words),
        "Trench bottoms are level, firm and dry, with nothing loose in them; nothing frozen is "
        "poured on.",
        *_sleeves(layout, words),
        *_openings(layout, words),
        *_again(layout, words),
        *_loads(sheets),
        "The inspector has seen the trench, the forms and the steel and has signed.",
        cautions.CAPS,
        cautions.FORMS,
        cautions.BACKFILL,
        cautions.CODE,
    ]
    return Listing(title="Before you pour", lines=tuple(dict.fromkeys(lines)))


def _buried(layout: Layout, words: Words) -> Iterator[str]:
    if layout.site is None:
        return
    for line in layout.site.buried:
        width = ""
        if line.hand_dig:
            width = f", and {words.length(line.hand_dig)} each side of it is dug by hand"
        yield f"{safe(line.name)} is marked on the ground{width}."
    pads = {pad.name for pad in layout.plan.pads}
    for each in layout.site.hand_dig:
        if each.wall in pads:
            yield f"Dig all of {each.wall} by hand for {safe(each.name)}."
            continue
        stretch = f"from {words.length(max(each.start, 0.0))} to {words.length(each.end)}"
        first = each.wall.split("-", maxsplit=1)[0]
        yield f"Dig by hand for {safe(each.name)} along {each.wall}, {stretch} from {first}."


def _setbacks(layout: Layout, words: Words) -> Iterator[str]:
    if layout.site is None:
        return
    for each in layout.site.clearances:
        if each.setback is not None and each.what is LotPart.WALL:
            yield (
                f"The wall stands {words.length(each.distance)} clear of the boundary line "
                f"{safe(each.line)}; the setback is {words.length(each.setback)}."
            )
    for kept in layout.site.kept_off:
        yield (
            f"The {kept.what} stands {words.length(kept.distance)} clear of {safe(kept.name)}; "
            f"{words.length(kept.least)} is to be kept."
        )


def _squared(layout: Layout, words: Words) -> Iterator[str]:
    pairs = [each for each in layout.checks if each.kind is CheckKind.DIAGONAL and each.in_network]
    if pairs:
        yield f"Taped and right: {_readings('diagonals', pairs, words)}."
    sides = [each for each in layout.checks if each.kind is CheckKind.SIDE]
    if sides:
        yield f"Taped and right: {_readings('sides', sides, words)}."


def _readings(what: str, checks: Sequence[Check], words: Words) -> str:
    if len(checks) > _MOST:
        return f"all {len(checks)} {what} of the table, each within what it allows"
    # Each reading stays on one line as a whole.
    return f"{what} " + ", ".join(
        f"{safe(each.from_name)}-{safe(each.to_name)} {words.length(each.distance)} "
        f"(+/- {words.allowed(each.allowed)})".replace(" ", "\N{NO-BREAK SPACE}")
        for each in checks
    )


def _set_up(layout: Layout, words: Words) -> Iterator[str]:
    if layout.boards:
        least = min(board.clear for board in layout.boards)
        yield (
            f"{_count(len(layout.boards), 'board')} braced, level and nailed; the nearest stands "
            f"{words.length(least)} clear of the dig."
        )
    at = layout.options.boards.at
    if layout.grade is not None and layout.grade.string is not None:
        at = layout.grade.string
    if at is not None:
        yield f"Strings pulled and level, at elevation {words.level(at)}."
    if layout.hubs:
        yield (
            f"{_count(len(layout.hubs), 'hub')} driven, flagged and taped: the corner stakes go "
            "with the dig."
        )


def _painted(layout: Layout, words: Words) -> str:
    widths = sorted({each.footing.width for each in _footed(layout)})
    wide = ", ".join(map(words.length, widths))
    if layout.digs_wider:
        return f"The dig line is painted outside the footing edges (footings {wide} wide)."
    return f"Both footing edges are painted ({wide} apart): the trench is dug to them."


def _depths(layout: Layout, words: Words) -> Iterator[str]:
    graded = layout.grade
    if graded is None:
        if layout.options.dig.depth > 0:
            yield f"The trench is {words.length(layout.options.dig.depth)} deep."
        return
    if graded.benchmark is not None:
        yield f"The benchmark {safe(graded.benchmark)} is out of the machine's way and protected."
    yield f"The deepest dig is {words.length(graded.greatest_depth)} below the ground."
    for wall in graded.walls:
        for deep in wall.deep:
            first = deep.wall.split("-", maxsplit=1)[0]
            yield (
                f"Along {deep.wall} from {words.length(deep.start)} to {words.length(deep.end)} "
                f"from {first} the trench is {words.length(deep.limit)} deep or more, up to "
                f"{words.length(deep.deepest)}."
            )


def _footed(layout: Layout) -> list[_Footed]:
    walls = [
        _Footed(wall.name, wall.footing)
        for building in layout.plan.buildings
        for wall in building.walls
        if wall.existing is None
    ]
    return walls + [_Footed(line.name, line.footing) for line in layout.plan.interior]


class _Footed:
    """A wall or interior line with its footing."""

    def __init__(self, name: str, footing: Footing) -> None:
        self.name = name
        self.footing = footing


def _footings(layout: Layout, words: Words) -> Iterator[str]:
    sizes: dict[tuple[str, str], list[str]] = {}
    for each in _footed(layout):
        size = (words.length(each.footing.width), words.length(each.footing.thickness))
        sizes.setdefault(size, []).append(each.name)
    for (width, thick), names in sizes.items():
        yield f"Footing {width} wide and {thick} thick under {', '.join(names)}."
    pads: dict[str, list[str]] = {}
    for pad in layout.plan.pads:
        pads.setdefault(_pad_size(pad, words), []).append(pad.name)
    for size_words, names in pads.items():
        yield f"{'Pad' if len(names) == 1 else 'Pads'} {', '.join(names)}: {size_words}."


def _pad_size(pad: Pad, words: Words) -> str:
    thick = f"{words.length(pad.thickness)} thick"
    if pad.size is None:
        return f"{words.length(pad.diameter or 0.0)} round, {thick}"
    return f"{' x '.join(map(words.length, pad.size))}, {thick}"


def _bottoms(layout: Layout, words: Words) -> Iterator[str]:
    stone = layout.options.dig.base
    if stone > 0:
        yield f"Stone {words.length(stone)} thick lies tamped under every footing."
    graded = layout.grade
    if graded is None:
        return
    rules = graded.request.rules
    frost = getattr(rules, "frost_depth", None)
    if frost:
        yield f"Bottom of footing at least {words.length(frost)} below finished grade."
    ground = getattr(rules, "in_ground", None)
    if ground:
        yield f"Bottom of footing at least {words.length(ground)} into undisturbed ground."
    tops = sorted(
        {round(level.top, 6) for wall in graded.walls for level in wall.profile.levels},
        reverse=True,
    )
    if not tops:
        return
    if graded.benchmark_level is None:
        yield f"Footing tops checked with the rod: {', '.join(map(words.level, tops))}."
        return
    rods = ", ".join(words.added(graded.benchmark_level - top, graded.rod) for top in tops)
    yield f"Footing tops checked with the rod: benchmark reading plus {rods}."


def _steps(layout: Layout, words: Words) -> Iterator[str]:
    if layout.grade is None:
        return
    for wall in layout.grade.walls:
        if not wall.built:
            continue
        first = wall.profile.wall.split("-", maxsplit=1)[0]
        places = ", ".join(
            f"{words.length(each.step.station)} (rise {words.length(each.step.rise)}, low level "
            f"dug to {words.length(each.dig_to)})"
            for each in wall.built
        )
        yield (f"{_count(len(wall.built), 'step')} on {wall.profile.wall}, from {first}: {places}.")


def _steel(sheets: Sheets, words: Words) -> Iterator[str]:
    steel = None if sheets.asked is None else sheets.asked.steel
    if steel is None:
        return
    from staking.order.bars.laps import bar_name

    yield (
        f"{_count(steel.bars, 'bar')} {bar_name(steel.size)} along every footing, "
        f"{words.length(steel.cover)} of concrete under and beside them, laps "
        f"{words.length(steel.lap)}{f' ({steel.lap_rule})' if steel.lap_rule else ''}."
    )
    if steel.dowels is not None:
        yield f"Dowels stand and are tied, no farther apart than {words.length(steel.dowels)}."
    if steel.pad_bars and sheets.layout.plan.pads:
        yield f"{_count(steel.pad_bars, 'bar')} each way in every pad."


def _loads(sheets: Sheets) -> Iterator[str]:
    if sheets.ordered is None or sheets.asked is None:
        return
    from staking.output.tables.order_words import OrderWords

    sums = OrderWords(sheets.layout.options)
    concrete = [
        (" ".join(sums.quantity(item)), sums.bulk(item.quantity))
        for item in sheets.ordered.items
        if item.price == "concrete" and item.quantity > 0
    ]
    for pour, (asked_for, gross) in zip(sheets.ordered.pours, concrete, strict=True):
        limit = ""
        if sheets.asked.discharge_limit is not None:
            limit = f", each to be out within {sheets.asked.discharge_limit:g} minutes"
        loads = _count(pour.count, "load").lower()
        yield (
            f"Concrete for the {safe(pour.what)}: {asked_for} ordered "
            f"({gross} with waste), in {loads}{limit}."
        )


def _sleeves(layout: Layout, words: Words) -> Iterator[str]:
    for each in layout.plan.sleeves:
        level = ""
        if each.invert is not None:
            level = f", invert at {words.level(each.invert)}"
        first = each.wall.split("-", maxsplit=1)[0]
        yield (
            f"{words.length(each.size)} sleeve through {each.wall} at {words.length(each.station)} "
            f"from {first}{level}."
        )


def _openings(layout: Layout, words: Words) -> Iterator[str]:
    for each in layout.plan.openings:
        first = each.wall.split("-", maxsplit=1)[0]
        yield (
            f"{each.wall} is dropped {words.length(each.drop)} from {words.length(each.start)} to "
            f"{words.length(each.start + each.width)} from {first}; the footing runs on."
        )


def _again(layout: Layout, words: Words) -> Iterator[str]:
    pairs = [each for each in layout.checks if each.kind is CheckKind.DIAGONAL and each.in_network]
    if pairs:
        yield f"Taped again on the forms: {_readings('diagonals', pairs, words)}."


def _count(number: int, thing: str) -> str:
    shown = _NUMBERS[number] if number < len(_NUMBERS) else str(number)
    return f"{shown} {thing}{'' if number == 1 else 's'}".capitalize()
