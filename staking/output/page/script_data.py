"""What the page's own script works with: corners, tapes and levels as JSON, in metres."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from staking.adjust.blunders import ALIKE, misfit_limit
from staking.adjust.check_limits import STEPS, z_of
from staking.adjust.common_error import FEWEST
from staking.adjust.explanations import FOREIGN
from staking.adjust.moves import SEEN_SINE, SQUARE_SINE
from staking.adjust.verdict import COARSE
from staking.job.typed_tapes import COLUMNS
from staking.layout.steps.base_line import LEAST_SHARE
from staking.network.tape_error import CLASSES
from staking.network.unfixed import LOOSE
from staking.output.page.rod_box import rod_data
from staking.output.page.unbroken import UNBROKEN
from staking.output.tables.blank_tape_book import HEADINGS
from staking.output.wording import Words, safe
from staking.plan import Show
from staking.tolerances import ON_LINE, SAME_POINT
from staking.units import FOOT

if TYPE_CHECKING:
    from staking.adjust.moves import Hold
    from staking.adjust.nail_slides import SlidingString
    from staking.adjust.targets import Target
    from staking.checked.page_tapes import PageTapes
    from staking.laid_out.layout_value import Layout
    from staking.layout.layout_parts import Check
    from staking.plan import Tape

Record = dict[str, Any]

SCHEMA = "staking/page/2"


def page_data(layout: Layout, tapes: PageTapes) -> Record:
    """Build what the page's script works with.

    Parameters
    ----------
    layout
        The layout.
    tapes
        What readings say of the stakes.

    Returns
    -------
    dict
        Lengths in metres.
    """
    options, words = layout.options, Words(layout.options)
    walls = [w for b in layout.plan.buildings for w in b.walls]
    return {
        "schema": SCHEMA,
        "job": safe(layout.plan.job),
        "mark": layout.mark,
        "unbroken": UNBROKEN,
        "unit": options.unit,
        "show": str(options.show),
        "nearest": options.nearest,
        "step": tapes.step,
        "stages": list(COLUMNS),
        "headings": list(HEADINGS),
        "corners": [
            {
                "name": corner.name,
                "x": _metres(corner.x),
                "y": _metres(corner.y),
                "before": tapes.beside[corner.name].before,
                "after": tapes.beside[corner.name].after,
                "leftIsInside": tapes.beside[corner.name].left_is_inside,
            }
            for building in layout.plan.buildings
            for corner in building.corners
        ],
        "walls": [[wall.start, wall.end] for wall in walls],
        "against": [wall.existing is not None for wall in walls],
        "least_share": LEAST_SHARE,
        "targets": [_target(each) for each in tapes.targets],
        "tapes": [_tape(check, words) for check in tapes.tapes],
        "judged": _judged(tapes),
        "strings": [_string(each) for each in tapes.strings],
        "holds": [_hold(hold) for hold in tapes.holds],
        "stretch": tapes.stretch,
        "rectangles": [list(each) for each in tapes.rectangles],
        "solvable": tapes.solvable,
        "tapeError": _tape_error(options.tape),
        "wholeMark": FOOT if options.show in {Show.FEET_INCHES, Show.DECIMAL_FEET} else 0.1,
        "limits": _limits(tapes),
        "rod": rod_data(layout),
    }


def embedded(data: Record) -> str:
    r"""Write JSON so that no text in it can end the element it stands in.

    Parameters
    ----------
    data
        The document.

    Returns
    -------
    str
        ASCII; ``<``, ``>`` and ``&`` as ``\u003c`` and so on.
    """
    text = json.dumps(data, allow_nan=False, separators=(",", ":"))
    return text.replace("&", "\\u0026").replace("<", "\\u003c").replace(">", "\\u003e")


def _metres(value: float) -> float:
    return round(value, 9) + 0.0


def _tape(check: Check, words: Words) -> list[Any]:
    # kind, from, to, planned length and how that is written: the script names them
    planned = _metres(check.distance)
    return [check.kind, check.from_name, check.to_name, planned, words.length(check.distance)]


def _judged(tapes: PageTapes) -> list[list[Any]]:
    # a tape by its place and what it may be out by; another check by all there is of it
    places = {id(check): place for place, check in enumerate(tapes.tapes)}
    found: list[list[Any]] = []
    for check in tapes.judged:
        place, allowed = places.get(id(check)), _metres(check.allowed)
        if place is not None:
            found.append([place, allowed])
            continue
        ends = (check.at, check.from_name, check.to_name)
        legs = None if check.legs is None else list(check.legs)
        found.append([*ends, _metres(check.distance), allowed, legs])
    return found


def _hold(hold: Hold | None) -> Record:
    if hold is None:
        return {"corner": None, "wall": None}
    return {"corner": hold.corner, "wall": list(hold.wall)}


def _string(string: SlidingString) -> Record:
    return {
        "name": string.name,
        "byWall": string.by_wall,
        "out": [_metres(each) for each in string.out],
        "stakes": list(string.stakes),
        "boards": [
            {"name": each.name, "end": each.end, "x": _metres(each.x), "y": _metres(each.y)}
            for each in string.boards
        ],
    }


def _target(target: Target) -> Record:
    return {
        "name": target.name,
        "x": _metres(target.x),
        "y": _metres(target.y),
        "on": None if target.on is None else list(target.on),
        "toward": list(target.toward),
        "towardName": list(target.toward_name),
        "across": list(target.across),
        "acrossNames": list(target.across_names),
    }


def _tape_error(tape: Tape) -> Record:
    if tape.grade is None:
        return {"error": tape.error}
    fixed, per_metre = CLASSES[tape.grade]
    return {"error": None, "fixed": fixed, "perMetre": per_metre}


def _limits(tapes: PageTapes) -> Record:
    return {
        "misfit": [round(misfit_limit(count), 12) for count in range(len(tapes.tapes) + 1)],
        "z": [round(z_of(count), 12) for count in range(1, len(tapes.judged) + 1)],
        "steps": STEPS,
        "alike": ALIKE,
        "loose": LOOSE,
        "fewest": FEWEST,
        "foreign": FOREIGN,
        "coarse": COARSE,
        "onLine": ON_LINE,
        "samePoint": SAME_POINT,
        "squareSine": SQUARE_SINE,
        "seenSine": SEEN_SINE,
    }
