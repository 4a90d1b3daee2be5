"""What is to be seen to before the concrete comes: sizes, depths, steps, steel, what is cast in."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.output.sheet.ticked.dig_lines import BLANK
from staking.output.sheet.ticked.said_alike import counted, diagonals, first_of, footings, readings
from staking.output.wording import Words, safe
from staking.plan import Show

if TYPE_CHECKING:
    from collections.abc import Iterator

    from staking.laid_out.layout_value import Layout
    from staking.plan import Pad
    from staking.project.sheets import Sheets

CLEAN = (
    "Trench bottoms are level, firm and dry, with nothing loose and no water in them. Nothing is "
    "frozen, and nothing frozen is poured on."
)
AGAIN_THERE = "The diagonals are taped again on the forms, and written on the cards."
"""Where the tapes stand on another sheet."""
INSPECTED = (
    "The inspector has seen the trench, the forms and the steel in its place and held up, and has "
    f"signed (IRC R109.1.1): {BLANK}{BLANK}."
)


def electrode(words: Words) -> str:
    """Say what the electrode is: 20 feet of bar, half an inch, two inches of concrete round it."""
    metric = words.show in {Show.METRES, Show.MILLIMETRES}
    long, thick, round_it = ("6.1 m", "13 mm", "50 mm") if metric else ("20'", '1/2"', '2"')
    return (
        f"Where power comes to the building, the electrode lies in the footing: at least {long} of "
        f"bare steel bar, {thick} or thicker, its pieces tied, with {round_it} of concrete round "
        "it, and one end left standing for the electrician (NEC 250.52(A)(3))."
    )


def sizes(layout: Layout, words: Words) -> Iterator[str]:
    """Give the sizes of footings and pads."""
    found: dict[tuple[str, str], list[str]] = {}
    for name, footing in footings(layout):
        size = (words.length(footing.width), words.length(footing.thickness))
        found.setdefault(size, []).append(name)
    for (width, thick), names in found.items():
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


def bottoms(layout: Layout, words: Words) -> Iterator[str]:
    """Say how deep the bottoms and tops of the footings lie."""
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


def steps(layout: Layout, words: Words) -> Iterator[str]:
    """Say where the footing steps, wall by wall."""
    if layout.grade is None:
        return
    rises = {round(e.step.rise, 6) for wall in layout.grade.walls for e in wall.built}
    if len(rises) == 1:
        yield f"Every step rises {words.length(rises.pop())}."
        rises = set()
    for wall in layout.grade.walls:
        if not wall.built:
            continue
        places = "; ".join(
            f"face {words.length(each.step.station)}, "
            + (f"rise {words.length(each.step.rise)}, " if rises else "")
            + f"dug to {words.length(each.dig_to)}"
            for each in wall.built
        )
        name = wall.profile.wall
        yield f"{counted(len(wall.built), 'step')} on {name}, from {first_of(name)}: {places}."


def counted_steps(layout: Layout, words: Words) -> Iterator[str]:
    """Say how many steps there are on which wall; the profiles show where."""
    if layout.grade is None:
        return
    stepped = [wall for wall in layout.grade.walls if wall.built]
    if not stepped:
        return
    rises = {round(each.step.rise, 6) for wall in stepped for each in wall.built}
    rise = f", each {words.length(rises.pop())} high" if len(rises) == 1 else ""
    places = ", ".join(f"{len(wall.built)} on {wall.profile.wall}" for wall in stepped)
    yield f"The steps{rise}, faces and digs as on the profiles: {places}."


def steel(sheets: Sheets, words: Words) -> Iterator[str]:
    """Say which bars lie in the footings and how they are held."""
    asked = None if sheets.asked is None else sheets.asked.steel
    if asked is None:
        return
    from staking.order.bars.laps import bar_name

    yield (
        f"{counted(asked.bars, 'bar')} {bar_name(asked.size)} along every footing, tied and held "
        f"up on chairs or blocks, {words.length(asked.cover)} of concrete under and beside them; "
        f"laps {words.length(asked.lap)}{f' ({asked.lap_rule})' if asked.lap_rule else ''}."
    )
    if asked.dowels is not None:
        yield f"Dowels stand and are tied, no farther apart than {words.length(asked.dowels)}."
    if asked.pad_bars and sheets.layout.plan.pads:
        yield f"{counted(asked.pad_bars, 'bar')} each way in every pad."


def loads(sheets: Sheets) -> Iterator[str]:
    """Say how much concrete comes in how many loads."""
    if sheets.ordered is None or sheets.asked is None:
        return
    from staking.output.tables.order.order_words import OrderWords

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
        loads = counted(pour.count, "load").lower()
        yield (
            f"Concrete for the {safe(pour.what)}: {asked_for} ordered "
            f"({gross} with waste), in {loads}{limit}."
        )


def sleeves(layout: Layout, words: Words) -> Iterator[str]:
    """Say which sleeves go through which wall."""
    for each in layout.plan.sleeves:
        level = ""
        if each.invert is not None:
            level = f", invert at {words.level(each.invert)}"
        yield (
            f"{words.length(each.size)} sleeve through {each.wall} at {words.length(each.station)} "
            f"from {first_of(each.wall)}{level}."
        )


def openings(layout: Layout, words: Words) -> Iterator[str]:
    """Say where the wall is dropped."""
    for each in layout.plan.openings:
        yield (
            f"{each.wall} is dropped {words.length(each.drop)} from {words.length(each.start)} to "
            f"{words.length(each.start + each.width)} from {first_of(each.wall)}; "
            "the footing runs on."
        )


def bolts(sheets: Sheets) -> Iterator[str]:
    """Say where the anchor bolts go."""
    ordered = sheets.ordered
    count = 0 if ordered is None else sum(len(each.stations) for each in ordered.bolts)
    if count:
        yield (
            f"{counted(count, 'anchor bolt')} at hand for the top of the wall, at the stations of "
            "the order; none goes into the footing."
        )


def again(layout: Layout, words: Words) -> Iterator[str]:
    """Say what is taped again on the forms."""
    pairs = diagonals(layout)
    if pairs:
        yield f"Taped again on the forms: {readings('diagonals', pairs, words)}."
