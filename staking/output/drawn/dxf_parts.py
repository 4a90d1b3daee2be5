"""Puts the parts of a drawing into a space of a drawing file."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any

from staking.output.drawing import layers
from staking.output.drawing.point_attributes import add_reference
from staking.output.drawn.drawn_parts import (
    ChainPart,
    CirclePart,
    DrawnPart,
    LinePart,
    Look,
    MeasuredPart,
    NamePart,
    PointPart,
    ShadingPart,
    TextPart,
)

if TYPE_CHECKING:
    from ezdxf.layouts.base import BaseLayout

    from staking.output.drawing.layers import LayerLook

_RUNS_ON = 128
"""The flag of a chain whose pattern runs on round its corners, as short sides show none else."""
_OF_LAYER = 256
"""The colour index of what has its layer's colour."""


def add_parts(
    space: BaseLayout, parts: Iterable[DrawnPart], looks: Mapping[str, LayerLook]
) -> None:
    """Put parts into a space of a drawing file, in their order.

    Parameters
    ----------
    space
        The space; its document has the layers, styles and the block that the parts name.
    parts
        The parts, in the space's units.
    looks
        The layers by their names.
    """
    for part in parts:
        match part:
            case LinePart():
                space.add_line(part.start, part.end, dxfattribs=_attributes(part.look, looks))
            case ChainPart():
                attributes = {**_attributes(part.look, looks), "flags": _RUNS_ON}
                space.add_lwpolyline(part.points, close=part.closed, dxfattribs=attributes)
            case CirclePart():
                attributes = {"layer": part.look.layer}
                space.add_circle(part.centre, part.radius, dxfattribs=attributes)
            case PointPart():
                space.add_point(part.place, dxfattribs={"layer": part.layer})
            case TextPart():
                _add_text(space, part)
            case MeasuredPart():
                _add_dimension(space, part)
            case NamePart():
                add_reference(space, part.place, part.layer, part.texts)
            case ShadingPart():
                _add_shading(space, part)


def _attributes(look: Look, looks: Mapping[str, LayerLook]) -> dict[str, Any]:
    attributes: dict[str, Any] = {"layer": look.layer, "linetype": look.linetype}
    if look.like:
        colour, weight, linetype, _ = looks[look.like]
        attributes.update({"color": colour, "lineweight": weight, "linetype": linetype})
    if look.pattern != 1.0:
        attributes["ltscale"] = look.pattern
    return attributes


def _add_text(space: BaseLayout, part: TextPart) -> None:
    from ezdxf.enums import TextEntityAlignment

    attributes: dict[str, Any] = {"layer": part.layer, "style": layers.TEXT_STYLE}
    if part.on_baseline:
        attributes["insert"] = part.at
        space.add_text(part.text, height=part.height, dxfattribs=attributes)
        return
    align = {
        -1: TextEntityAlignment.MIDDLE_LEFT,
        0: TextEntityAlignment.MIDDLE_CENTER,
        1: TextEntityAlignment.MIDDLE_RIGHT,
    }[part.align]
    space.add_text(
        part.text, height=part.height, rotation=math.degrees(part.turn), dxfattribs=attributes
    ).set_placement(part.at, align=align)


def _add_dimension(space: BaseLayout, part: MeasuredPart) -> None:
    """Put in a dimension with its text as the job's other papers have it.

    The length stands in the drawing of the dimension alone. The dimension itself has none, so
    that a drawing program writes what it measures, by the style, as soon as a point is moved.
    """
    drawn = space.add_linear_dim(
        base=part.base,
        p1=part.start,
        p2=part.end,
        angle=math.degrees(part.turn),
        text=part.text.text,
        # Only a placed building needs its text's turn told: the sheet shows it upright.
        text_rotation=math.degrees(part.text.turn) if part.is_turned else None,
        location=None if part.at_home else part.text.at,
        dimstyle=layers.DIMENSION_STYLE,
        dxfattribs={"layer": part.layer},
    )
    drawn.render()
    drawn.dimension.dxf.text = part.measured


def _add_shading(space: BaseLayout, part: ShadingPart) -> None:
    hatch = space.add_hatch(color=_OF_LAYER, dxfattribs={"layer": part.layer})
    # Lines and no tint, so that a print without colours hides nothing under it.
    pattern = [[45.0, (0.0, 0.0), (-part.apart, part.apart), []]]
    hatch.set_pattern_fill("STK_SHADING", color=_OF_LAYER, definition=pattern)
    hatch.paths.add_polyline_path(part.ring)
