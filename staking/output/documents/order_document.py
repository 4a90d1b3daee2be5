"""The order as one JSON document, and as a sheet of rows: quantities in the job's own units."""

from __future__ import annotations

import csv
from typing import TYPE_CHECKING, Any, TextIO

from staking.measure.lengths import Unit
from staking.notices import Length
from staking.order.forms.formwork import ROOM
from staking.output.tables.order.order_words import OrderWords
from staking.output.wording import Words, safe

if TYPE_CHECKING:
    from collections.abc import Callable
    from typing import TypeAlias

    from staking.laid_out.layout_value import Layout
    from staking.order.drain.arms_on_plan import DrainRun
    from staking.order.drain.drain_stations import DrainStation
    from staking.order.drain.outlets import DrainOutlet
    from staking.order.forms.formwork import Forms
    from staking.order.hauled.haul_off import HaulOff
    from staking.order.order_results import Ordered
    from staking.order.under_slab.bought_fill import BoughtFill

    Scale: TypeAlias = Callable[[float], float]

SCHEMA = "staking/order/1"

Record = dict[str, Any]


def order_document(layout: Layout, ordered: Ordered) -> Record:
    """Build the document of an order.

    Parameters
    ----------
    layout, ordered
        The order and what it is for.

    Returns
    -------
    dict
        Lengths in the job's unit, quantities in the unit beside them, nothing rounded.
    """
    metres = Unit(layout.options.unit).metres
    words, sums = Words(layout.options), OrderWords(layout.options)

    def length(value: float) -> float:
        return round(value / metres, 10) + 0.0

    def bulk(value: float) -> float:
        return round(value if sums.metric else value / 27 / 0.3048**3, 10) + 0.0

    return {
        "schema": SCHEMA,
        "job": safe(layout.plan.job),
        "unit": layout.options.unit,
        "volume_unit": "m3" if sums.metric else "cu yd",
        "graded": ordered.graded,
        "items": _items(ordered, sums, metres),
        "loads": _loads(ordered, bulk),
        "pour_order": _pour_order(ordered, length, bulk),
        "bars": _bars(ordered, length),
        "cut_list": _cut_lists(ordered, length),
        "blocks": _blocks(ordered, length),
        "bolts": [
            {"wall": safe(each.wall), "stations": [length(s) for s in each.stations]}
            for each in ordered.bolts
        ],
        "drain": [_drain_station(each, length) for each in ordered.drain.stations],
        "drain_arms": [_drain_arm(i, each, length) for i, each in enumerate(ordered.drain.runs, 1)],
        "drain_outlets": [_drain_outlet(each, length) for each in ordered.drain.outlets],
        "fill": _fill(ordered.fill, length, bulk, metres),
        "haul_off": _haul_off(ordered.haul, bulk),
        "forms": _forms(ordered.forms, length),
        "costs": [
            {"what": safe(what), "cost": round(cost, 2) + 0.0} for what, cost in ordered.costs
        ],
        "warnings": list(dict.fromkeys(words.notice(each) for each in ordered.notices)),
    }


def _drain_station(each: DrainStation, length: Scale) -> Record:
    return {
        "arm": each.arm,
        "kind": each.kind,
        "wall": safe(each.wall),
        "station": length(each.station),
        "corner": None if each.corner is None else safe(each.corner),
        "x": length(each.place[0]),
        "y": length(each.place[1]),
        "invert": length(each.invert),
        "trench": length(each.trench),
        "bottom_of_footing": length(each.bottom),
        "room": length(each.room),
        "add_to_benchmark": None if each.add is None else length(each.add),
    }


def _drain_arm(number: int, run: DrainRun, length: Scale) -> Record:
    return {
        "arm": number,
        "length": length(run.length),
        "fall": round(run.fall, 10) + 0.0,
        "high": length(run.high.invert),
        "low": length(run.low.invert),
    }


def _drain_outlet(each: DrainOutlet, length: Scale) -> Record:
    return {
        "wall": safe(each.low.wall),
        "station": length(each.low.station),
        "invert": length(each.low.invert),
        "length": length(each.length),
        "level": None if each.level is None else length(each.level),
        "fall": None if each.fall is None else round(each.fall, 10) + 0.0,
        "reach": each.reach,
    }


def _loads(ordered: Ordered, bulk: Scale) -> list[Record]:
    return [
        {
            "pour": pour.what,
            "volume": bulk(pour.volume),
            "truck": bulk(pour.truck),
            "count": pour.count,
            "last": bulk(pour.last),
            "minutes": pour.minutes,
        }
        for pour in ordered.pours
    ]


def _pour_order(ordered: Ordered, length: Scale, bulk: Scale) -> list[Record]:
    return [
        {
            "bottom": length(each.level) if ordered.graded else None,
            "under": [safe(name) for name in each.walls],
            "volume": bulk(each.volume),
            "total": bulk(each.total),
            "load": each.load,
        }
        for each in ordered.levels
    ]


def _bars(ordered: Ordered, length: Scale) -> list[Record]:
    return [
        {
            "what": piece.what,
            "where": safe(piece.where),
            "size": piece.size,
            "length": length(piece.length),
            "count": piece.count,
        }
        for piece in ordered.pieces
    ]


def _cut_lists(ordered: Ordered, length: Scale) -> list[Record]:
    return [
        {
            "size": each.size,
            "stock": length(each.stock),
            "bars": each.bars,
            "fewest": each.fewest,
            "sticks": [
                {
                    "count": stick.count,
                    "pieces": [length(piece) for piece in stick.pieces],
                    "left": length(stick.left),
                }
                for stick in each.sticks
            ],
        }
        for each in ordered.cut_lists
    ]


def _blocks(ordered: Ordered, length: Scale) -> list[Record]:
    return [
        {
            "wall": safe(each.wall),
            "course": each.course,
            "thickness": length(each.thickness),
            "stretchers": each.stretchers,
            "corners": each.corners,
            "halves": each.halves,
            "cuts": each.cuts,
        }
        for each in ordered.blocks
    ]


def _fill(fill: BoughtFill | None, length: Scale, bulk: Scale, metres: float) -> Record | None:
    # Areas are in the square of the job's unit.
    if fill is None:
        return None

    def area(value: float) -> float:
        return round(value / metres**2, 10) + 0.0

    slab, trench = fill.slab, fill.trench
    return {
        "kind": fill.asked.kind.value,
        "loose": fill.asked.loose,
        "under_slab": None
        if slab is None
        else {
            "floor": area(slab.floor),
            "compacted": bulk(slab.volume),
            "mean": length(slab.mean),
            "deepest": length(slab.deepest),
            "over_24_in": area(slab.over_granular),
            "earth": bulk(slab.earth),
            "earth_in_place": bulk(slab.earth_in_place),
            "bought": bulk(fill.under_slab),
        },
        "in_trench": None
        if trench is None
        else {"compacted": bulk(trench.room), "bought": bulk(fill.in_trench)},
        "held_outward": [
            {"wall": safe(e.wall), "station": length(e.station), "height": length(e.height)}
            for e in fill.held
        ],
        "loads": fill.loads,
    }


def _haul_off(haul: HaulOff | None, bulk: Scale) -> Record | None:
    if haul is None:
        return None
    return {
        "dug": bulk(haul.dug),
        "put_back": bulk(haul.put_back),
        "under_slab": bulk(haul.under_slab),
        "in_place": bulk(haul.in_place),
        "swell": haul.swell,
        "loose": bulk(haul.loose),
        "truck": bulk(haul.truck),
        "loads": haul.loads,
        "under_floor": bulk(haul.under_floor),
        "for_drain": bulk(haul.for_drain),
    }


def _forms(forms: Forms | None, length: Scale) -> Record | None:
    if forms is None:
        return None
    return {
        "boards": [
            {
                "board": each.board or None,
                "height": length(each.height),
                "stock": length(each.stock),
                "length": length(each.length),
                "count": each.boards,
            }
            for each in forms.boards
        ],
        "runs": [
            {
                "part": run.part.value,
                "where": safe(run.where),
                "length": length(run.length),
                "height": length(run.height),
                "board": run.board or None,
                "rows": run.rows,
                "count": run.count,
            }
            for run in forms.runs
        ],
        "rounds": [
            {
                "across": length(each.across),
                "around": length(each.around),
                "height": length(each.height),
                "tube": length(each.tube),
                "count": each.count,
            }
            for each in forms.rounds
        ],
        "stakes": forms.stakes,
        "kickers": forms.kickers,
        "spreaders": forms.spreaders,
        "braces": length(forms.brace_length),
        "room": length(forms.room),
        "room_needed": length(ROOM),
    }


def _items(ordered: Ordered, sums: OrderWords, metres: float) -> list[Record]:
    found = []
    for item in ordered.items:
        value, unit = sums.value(item)
        found.append({
            "group": item.group,
            "what": safe(item.what),
            "quantity": round(value, 10) + 0.0,
            "order": float(sums.quantity(item)[0]),
            "unit": unit,
            "arithmetic": sums.arithmetic(item.arithmetic),
            "sizes": {
                name: round(value.metres / metres, 10) + 0.0
                for name, value in item.sizes
                if isinstance(value, Length)
            },
            "price": item.price or None,
        })
    return found


def write_order_csv(layout: Layout, ordered: Ordered, stream: TextIO) -> None:
    """Write an order's items as comma separated rows.

    Parameters
    ----------
    layout, ordered
        The order and what it is for.
    stream
        Where to.
    """
    sums = OrderWords(layout.options)
    rows = csv.writer(stream, lineterminator="\n")
    rows.writerow(("group", "what", "quantity", "unit", "arithmetic"))
    for item in ordered.items:
        quantity, unit = sums.quantity(item)
        row = (item.group, safe(item.what), quantity, unit, sums.arithmetic(item.arithmetic))
        rows.writerow(row)
