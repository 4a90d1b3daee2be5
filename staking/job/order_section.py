"""The order section read whole: waste, trucks, steel, block, stone and prices."""

from __future__ import annotations

import difflib
import re
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from staking.errors import InputError, MeasureError
from staking.job.keys.fields import length_of, listed, own_text
from staking.job.keys.order_keys import (
    BlockKeys,
    DrainKeys,
    FillKeys,
    FormsKeys,
    MortarKeys,
    OrderKeys,
    SteelKeys,
)
from staking.job.keys.plausible_check import judge
from staking.job.tree.faults import Faults, not_beside
from staking.job.tree.section_check import check_section
from staking.job.tree.sections import section_of
from staking.job.tree.source import Branch, Scalar, parse_tree, read_text
from staking.kinds import FillKind, Grout
from staking.lines import place_in
from staking.measure.lengths import FOOT, Unit
from staking.order.bars.bars_in_footing import dowel_length, room_needed
from staking.order.bars.laps import LAP_RULES, POUND, bar_name, lap_rule
from staking.order.forms.lumber import BOARD_HEIGHTS
from staking.order.order_request import (
    LOOSE,
    BlockAsked,
    DrainAsked,
    FillAsked,
    FormsAsked,
    MortarAsked,
    MortarKind,
    MortarType,
    OrderAsked,
    OutletAsked,
    SteelAsked,
)
from staking.order.ordered_by import Measured
from staking.order.prices import PRICED
from staking.order.under_slab.slab_fill import EARTH
from staking.tolerances import ON_LINE

if TYPE_CHECKING:
    from staking.plan import Plan

_CLOSEST = 0.05
"""Dowels nearer to each other than this, m, are a slip (common practice, no source)."""

_TWO_FEET = '24"'
_BOARD = '9 1/4"'

_LINES = "write a line for each price, such as concrete: 165.50"
_PRICE = re.compile(r"[0-9]{1,9}(\.[0-9]{1,6})?")


def read_order(root: Branch, faults: Faults) -> OrderAsked | None:
    """Read the order section.

    Parameters
    ----------
    root, faults
        The whole file, and where faults are noted.

    Returns
    -------
    OrderAsked or None
        None where the job has no such section.
    """
    if "order" not in root:
        return None
    branch = section_of(root, "order", faults)
    keys = check_section(OrderKeys, branch, faults)
    default = OrderAsked()
    steel = _steel(keys.steel, faults) if keys.steel is not None else None
    block = _block(keys.block, faults) if keys.block is not None else None
    if block is not None and keys.wall_height is not None:
        faults.add(
            ("order", "wall_height"),
            "the walls are of block as well",
            "keep wall_height: for cast walls, or block: with courses:",
        )
    bolts = default.bolt_spacing
    if "bolts" in branch and not faults.touched(("order", "bolts")):
        bolts = keys.bolts
    return OrderAsked(
        waste=_or(keys.waste, default.waste),
        truck=_or(keys.truck, default.truck),
        haul=_or(keys.haul, default.haul),
        discharge_limit=keys.discharge_limit,
        minutes_per_load=_or(keys.minutes_per_load, default.minutes_per_load),
        steel=steel,
        block=block,
        wall_height=keys.wall_height,
        pier=keys.pier,
        bolt_spacing=bolts,
        mortar=_mortar(keys.mortar),
        mortar_waste=_or(keys.mortar_waste, default.mortar_waste),
        swell=_or(keys.swell, default.swell),
        stone=keys.stone,
        drain=_drain(keys.drain, branch) if keys.drain is not None else None,
        fill=_fill(keys.fill, faults),
        forms=_forms(keys.forms, faults) if keys.forms is not None else None,
        prices=_prices(keys.prices, faults) if keys.prices is not None else (),
        price_list=str(_beside(keys.prices, faults)) if keys.prices is not None else "",
    )


def _or(value: float | None, default: float) -> float:
    return default if value is None else value


def _drain(keys: DrainKeys, branch: Branch) -> DrainAsked:
    default = DrainAsked()
    own = branch["drain"]
    alone = keys.size is None and isinstance(own, Branch) and "size" in own
    outlet = None
    if keys.outlet is not None:
        outlet = OutletAsked(at=keys.outlet.at, level=keys.outlet.level)
    return DrainAsked(
        size=None if alone else _or(keys.size, default.size or 0.0),
        fall=_or(keys.fall, default.fall),
        outlet=outlet,
        beside=_or(keys.beside, default.beside),
    )


def _mortar(keys: MortarKeys | None) -> MortarAsked:
    default = MortarAsked()
    if keys is None:
        return default
    kind = default.kind if keys.kind is None else MortarKind(keys.kind)
    # A preblended bag states its type itself.
    grade = default.type if kind is default.kind else None
    return MortarAsked(
        kind=kind,
        type=grade if keys.type is None else MortarType(keys.type),
        block_per_bag=keys.block_per_bag,
    )


def _fill(keys: FillKeys | None, faults: Faults) -> FillAsked:
    default = FillAsked()
    if keys is None:
        return default
    kind = default.kind if keys.kind is None else FillKind(keys.kind)
    spoil = keys.spoil or 0.0
    if spoil > EARTH + ON_LINE:
        faults.add(
            ("order", "fill", "spoil"),
            f"earth that was dug is laid no deeper than {faults.length(EARTH)} under a slab "
            f"without approval (IRC R506.2.1, edition from memory), and here it is "
            f"{faults.length(spoil)}",
            f"write {faults.length(EARTH)} or less, or leave it out",
        )
        spoil = 0.0
    return FillAsked(kind=kind, loose=_or(keys.loose, LOOSE[kind]), spoil=spoil)


def _forms(keys: FormsKeys, faults: Faults) -> FormsAsked:
    default = FormsAsked()
    stock = _or(keys.stock, default.stock)
    if keys.board is None:
        return FormsAsked(stock=stock)
    name = "".join(keys.board.split()).lower()
    if name in BOARD_HEIGHTS:
        return FormsAsked(stock=stock, board=name, height=BOARD_HEIGHTS[name])
    place = ("order", "forms", "board")
    try:
        height = length_of(Scalar(keys.board, 0), faults.unit)
    except MeasureError:
        height = 0.0
    if height <= 0:
        faults.add(
            place,
            f"{keys.board} is not a board",
            f"write {listed(list(BOARD_HEIGHTS))}, or how high the boards really are, such as "
            f"{_such(faults, _BOARD, '240 mm')}",
        )
        return FormsAsked(stock=stock)
    if not judge("forms.board", place, height, faults, faults.unit):
        return FormsAsked(stock=stock)
    return FormsAsked(stock=stock, height=height)


def _steel(keys: SteelKeys, faults: Faults) -> SteelAsked | None:
    default = SteelAsked()
    size = keys.size if keys.size is not None else default.size
    lap, rule = _lap(keys, size, faults)
    steel = SteelAsked(
        bars=keys.bars if keys.bars is not None else default.bars,
        size=size,
        cover=_or(keys.cover, default.cover),
        lap=lap,
        lap_rule=rule,
        stock=_or(keys.stock, default.stock),
        dowels=keys.dowels,
        dowel_length=keys.dowel_length,
        dowel_size=keys.dowel_size,
        pad_bars=keys.pad_bars if keys.pad_bars is not None else default.pad_bars,
    )
    if 2 * steel.lap > steel.stock + ON_LINE:
        longer = "longer than the stock" if steel.lap > steel.stock else "over half the stock"
        faults.add(
            ("order", "steel", "lap"),
            f"a lap of {faults.length(steel.lap)} is {longer} of {faults.length(steel.stock)}: no "
            "corner bar can be cut from it",
            "check lap: and stock:",
        )
    return steel


def _lap(keys: SteelKeys, size: int, faults: Faults) -> tuple[float, str]:
    # The lap, m, and the rule it is taken from.
    place = ("order", "steel", "lap")
    text = keys.lap if keys.lap is not None else LAP_RULES[0].name
    rule = lap_rule(text)
    if rule is None:
        try:
            lap = length_of(Scalar(text, 0), faults.unit)
        except MeasureError:
            names = listed([each.name for each in LAP_RULES])
            faults.add(
                place,
                f"{text} is neither a length nor a rule",
                f"write {_such(faults, _TWO_FEET, '600 mm')}, or {names}",
            )
            return SteelAsked().lap, ""
        if lap <= 0:
            faults.add(
                place,
                f"{text} is not a lap",
                f"write one such as {_such(faults, _TWO_FEET, '600 mm')}",
            )
            return SteelAsked().lap, ""
        if not judge("steel.lap", place, lap, faults, faults.unit):
            return SteelAsked().lap, ""
        return lap, ""
    lap_of_rule = rule.lap(size)
    if lap_of_rule is None:
        sizes = listed([str(number) for number, _ in rule.lengths])
        faults.add(
            place,
            f"{rule.name} has no lap for bar {bar_name(size)}, only for No. {sizes}",
            "give lap: a length, or write 48 diameters",
        )
        return SteelAsked().lap, ""
    return lap_of_rule, rule.name


def _such(faults: Faults, feet: str, metric: str) -> str:
    # An example in the units that the job is written in.
    return metric if faults.unit in {Unit.M, Unit.MM} else feet


def _block(keys: BlockKeys, faults: Faults) -> BlockAsked:
    default = BlockAsked()
    block = BlockAsked(
        length=_or(keys.length, default.length),
        height=_or(keys.height, default.height),
        courses=keys.courses if keys.courses else None,
        grout=Grout(keys.grout) if keys.grout else default.grout,
    )
    for key, value, least, most in (
        ("length", block.length, 0.1, 1.0),
        ("height", block.height, 0.04, 0.6),
    ):
        if not least <= value <= most:
            faults.add(
                ("order", "block", key),
                f"no block is {faults.length(value)} {'long' if key == 'length' else 'high'}",
                "write the nominal size with its joint, such as "
                + _such(faults, '16" long and 8" high', "400 mm long and 200 mm high"),
            )
            return default
    return block


def check_order(asked: OrderAsked, plan: Plan, faults: Faults) -> None:
    """Hold the order against the building, once it is known.

    Parameters
    ----------
    asked, plan
        What is ordered for what.
    faults
        Where faults are noted: bars without room for their cover, pieces longer than the stock.
    """
    _check_outlet(asked, plan, faults)
    steel = asked.steel
    if steel is None or faults.touched(("order", "steel")):
        return
    width, thickness = room_needed(steel)
    walls = [wall for each in plan.buildings for wall in each.walls if wall.existing is None]
    footings = [(each.name, each.footing) for each in walls]
    footings += [(each.name, each.footing) for each in plan.interior]
    for key, least, told in (
        ("bars", width, [(name, footing.width) for name, footing in footings]),
        ("cover", thickness, [(name, footing.thickness) for name, footing in footings]),
    ):
        small = [(name, size) for name, size in told if size < least - ON_LINE]
        if small and steel.bars:
            what = "wide" if key == "bars" else "thick"
            names = ", ".join(name for name, _ in small)
            faults.add(
                ("order", "steel", key),
                f"the footing under {names} is {faults.length(small[0][1])} {what}; {steel.bars} "
                f"bars {bar_name(steel.size)} in {faults.length(steel.cover)} of cover need "
                f"{faults.length(least)}",
                f"make the footing {'wider' if key == 'bars' else 'thicker'}, or check bars: and "
                "cover:",
            )
    _check_pads(steel, plan, faults)
    if steel.dowels is not None:
        if steel.dowels < _CLOSEST:
            faults.add(
                ("order", "steel", "dowels"),
                f"dowels {faults.length(steel.dowels)} apart leave no room for concrete",
                "write how far apart they stand, such as " + _such(faults, '48"', "1200 mm"),
            )
        longest = max((dowel_length(steel, f.thickness) for _, f in footings), default=0.0)
        if longest > steel.stock + ON_LINE:
            faults.add(
                ("order", "steel", "dowels"),
                f"a dowel of {faults.length(longest)} is longer than the stock of "
                f"{faults.length(steel.stock)}",
                "check dowel_length: and stock:",
            )


def _check_outlet(asked: OrderAsked, plan: Plan, faults: Faults) -> None:
    outlet = None if asked.drain is None else asked.drain.outlet
    if outlet is None or faults.touched(("order", "drain", "outlet")):
        return
    for building in plan.buildings:
        if place_in(outlet.at, building.ring, ON_LINE) >= 0:
            faults.add(
                ("order", "drain", "outlet", "at"),
                "the drain's outlet lies under the building",
                "write where its water comes to the open, outside, as x and y on the building grid",
            )


def _check_pads(steel: SteelAsked, plan: Plan, faults: Faults) -> None:
    if not steel.pad_bars:
        return
    for pad in plan.pads:
        sides = pad.size if pad.size is not None else (pad.diameter or 0.0,)
        length = min(sides) - 2 * steel.cover
        if length <= ON_LINE:
            faults.add(
                ("order", "steel", "pad_bars"),
                f"the pad {pad.name} is {faults.length(min(sides))} across: no bar fits in "
                f"{faults.length(steel.cover)} of cover",
                "make the pad larger, or check cover: and pad_bars:",
            )
        elif max(sides) - 2 * steel.cover > steel.stock + ON_LINE:
            faults.add(
                ("order", "steel", "stock"),
                f"a bar of the pad {pad.name} is longer than the stock of "
                f"{faults.length(steel.stock)}",
                "order longer stock:",
            )


def _beside(name: str, faults: Faults) -> Path:
    return Path(faults.path).parent / name


def _prices(name: str, faults: Faults) -> tuple[tuple[str, float], ...]:
    # A price list beside the job: names with plain numbers, each for the unit it is sold in.
    path = _beside(name, faults)
    if faults.within is not None and not path.resolve().is_relative_to(faults.within.resolve()):
        faults.add(("order", "prices"), *not_beside(name))
        return ()
    try:
        tree, problems = parse_tree(read_text(path), str(path))
    except InputError as error:
        # A price list is not a job file: what to do is said in its own words.
        where = "name a price list beside the job, or take prices: out"
        for each in error.problems:
            other = "staking init" in each.remedy or "job" in each.remedy
            remedy = (where if each.line is None else _LINES) if other else each.remedy
            faults.problems.append(replace(each, remedy=remedy))
        return ()
    told = Faults(tree, str(path))
    told.problems.extend(problems)
    found: dict[str, float] = {}
    for key, node in tree.items():
        plain = " ".join(key.split()).casefold()
        if plain not in PRICED:
            near = difflib.get_close_matches(plain, PRICED, n=1, cutoff=0.6)
            remedy = f"write {near[0]}" if near else f"there are {', '.join(PRICED)}"
            told.add((key,), "there is no such price", remedy)
            continue
        try:
            text = own_text(node).strip()
            if not _PRICE.fullmatch(text):
                raise MeasureError(f"{text} is not a price", "write a plain number such as 165.50")
        except MeasureError as error:
            told.add_error((key,), error)
            continue
        if plain in found:
            told.add((key,), "this price is given twice", "keep one of them")
        found[plain] = float(text) / _sold_in(PRICED[plain], faults.unit)
    if "steel" in found and any(key.startswith("bar ") for key in found):
        told.add(("steel",), "bars are priced one by one as well", "keep one of the two")
    faults.problems.extend(told.problems)
    return tuple(found.items())


def _sold_in(measured: Measured, unit: Unit) -> float:
    # How many of our units the price's unit has.
    if unit in {Unit.M, Unit.MM}:
        return 1.0
    return {
        Measured.BULK: (3 * FOOT) ** 3,
        Measured.LENGTH: FOOT,
        Measured.AREA: FOOT**2,
        Measured.MASS: POUND,
    }.get(measured, 1.0)
