"""What the page's own script works with: corners, tapes and levels as JSON, in metres."""

from __future__ import annotations

import hashlib
import json
from typing import TYPE_CHECKING, Any

from staking.adjust.blunders import LIMIT
from staking.adjust.limits import z_of
from staking.adjust.linear import HOLDS_TO
from staking.adjust.moves import SQUARE_SINE
from staking.job.tape_book import COLUMNS
from staking.output.page.rod_box import rod_data
from staking.output.tables.blank_tape_book import HEADINGS
from staking.output.wording import Words, safe
from staking.tolerances import ON_LINE, SAME_POINT

if TYPE_CHECKING:
    from collections.abc import Sequence

    from staking.adjust.linear import TapeMap
    from staking.layout.layout_parts import Check
    from staking.output.blocks import Block
    from staking.project.layout import Layout
    from staking.project.page import PageTapes

Record = dict[str, Any]

SCHEMA = "staking/page/1"


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
    matrix = tapes.matrix
    return {
        "schema": SCHEMA,
        "job": safe(layout.plan.job),
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
        "walls": [[w.start, w.end] for b in layout.plan.buildings for w in b.walls],
        "tapes": [_tape(check, words) for check in tapes.tapes if check.in_network],
        "judged": [_judged(check) for check in tapes.judged],
        "stretch": tapes.stretch,
        "rectangles": [list(each) for each in tapes.rectangles],
        "matrix": None if matrix is None else _matrix(matrix),
        "limits": {
            "misfit": LIMIT,
            "half95": z_of(1),
            "holdsTo": HOLDS_TO,
            "onLine": ON_LINE,
            "samePoint": SAME_POINT,
            "squareSine": SQUARE_SINE,
            "reach": None if matrix is None else matrix.reach,
            "error": _rectangle_error(layout, tapes),
        },
        "rod": rod_data(layout),
    }


def content_hash(data: Record, blocks: Sequence[Block]) -> str:
    """Name a page's content: the same for the same job, another as soon as a figure changes.

    Parameters
    ----------
    data
        What the script works with.
    blocks
        What is shown.

    Returns
    -------
    str
        Twelve hexadecimal digits.
    """
    said = json.dumps(data, sort_keys=True) + "\n".join(map(repr, blocks))
    return hashlib.sha256(said.encode()).hexdigest()[:12]


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


def _tape(check: Check, words: Words) -> Record:
    return {
        "kind": check.kind,
        "from": check.from_name,
        "to": check.to_name,
        "planned": check.distance,
        "shown": words.length(check.distance),
    }


def _judged(check: Check) -> Record:
    return {
        "at": check.at,
        "from": check.from_name,
        "to": check.to_name,
        "distance": check.distance,
        "allowed": check.allowed,
        "legs": None if check.legs is None else list(check.legs),
    }


def _matrix(matrix: TapeMap) -> Record:
    # In hundred-thousandths: three inches off in every reading then put a stake off by a hundredth
    # of a mm, and the numbers take a quarter less room.
    return {
        "errors": [float(f"{each:.6g}") for each in matrix.errors.tolist()],
        "moves": [[round(each * 1e5) for each in row] for row in matrix.moves.tolist()],
    }


def _rectangle_error(layout: Layout, tapes: PageTapes) -> float:
    # the standard error of a diagonal of the largest rectangle, for the rule of the two diagonals
    from staking.network.tape_error import standard_error

    lengths = [check.distance for check in tapes.tapes if check.kind == "diagonal"]
    return standard_error(layout.options.tape, max(lengths, default=10.0))
