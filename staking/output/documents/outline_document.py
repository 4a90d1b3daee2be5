"""A drawing's layers and outline as one JSON document: lengths in its unit, nothing rounded."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from staking.output.wording import Words, safe

if TYPE_CHECKING:
    from staking.outline.found_outline import FoundOutline

SCHEMA = "staking/outline/1"

Record = dict[str, Any]


def outline_document(found: FoundOutline, words: Words) -> Record:
    """Build the document of a drawing.

    Parameters
    ----------
    found
        The layers, and the outline where one was traced.
    words
        How lengths in warnings are written.

    Returns
    -------
    dict
        Of schema ``staking/outline/1``; lengths in the drawing's unit.
    """
    metres = found.unit.unit.metres if found.unit.unit is not None else 1.0
    footing = found.footing
    return {
        "schema": SCHEMA,
        "unit": None if found.unit.unit is None else found.unit.unit.value,
        "unit_from": None if found.unit.source is None else found.unit.source.value,
        "layers": [
            {
                "name": safe(each.name),
                "curves": each.curves,
                "area": each.area / metres**2,
                "size": [each.size[0] / metres, each.size[1] / metres],
                "loose_ends": each.loose_ends,
                "one_outline": each.one_outline,
            }
            for each in found.layers
        ],
        "corners": [
            {"name": each.name, "x": each.x / metres, "y": each.y / metres}
            for each in found.corners
        ],
        "area": None if found.area is None else found.area / metres**2,
        "closed": [
            {"x": each.x / metres, "y": each.y / metres, "gap": each.gap / metres}
            for each in found.closed
        ],
        "sides": [
            {
                "from": side.start,
                "to": side.end,
                "length": side.length / metres,
                "dimension": None if side.dimension is None else side.dimension / metres,
            }
            for side in found.sides
        ],
        "shapes": [
            {
                "x": each.x / metres,
                "y": each.y / metres,
                "size": None if each.size is None else [part / metres for part in each.size],
                "diameter": None if each.diameter is None else each.diameter / metres,
            }
            for each in found.shapes
        ],
        "wall": None if found.wall is None else found.wall / metres,
        "footing": None
        if footing is None
        else {"width": footing.width / metres, "outside": footing.outside / metres},
        "warnings": [words.notice(each) for each in found.notices],
    }
