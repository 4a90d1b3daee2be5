"""The plan drawing as SVG for the page: one group a layer, coloured by the page's own style."""

from __future__ import annotations

import math
from collections.abc import Iterator
from html import escape
from typing import TYPE_CHECKING, Any

from staking.frozen import frozen

if TYPE_CHECKING:
    from ezdxf.document import Drawing

SIZE = 4000.0
"""The picture's greater side in its own units; a tenth of one is well under a pencil line."""

CAP_HEIGHT = 0.72
"""Height of capitals over the size of a type, for the faces that phones have (from memory)."""

DASHES, DOT = 1.6, 1.5
"""Screen pixels to a millimetre of a pattern on paper, and the shortest part of one: lines keep
their width however near the plan is, and their dashes with it."""

_BUILDING = ("S-FNDN", "S-ANNO-DIMS")
"""Layers that the first view shows whole; the lot round them may be far larger."""

_STAY_CLEAR = "S-FNDN-STAY"
_LABELS = "S-ANNO-TEXT"
_BESIDE = 0.3
"""Labels belong to the first view up to this share of its size beyond it."""

_HIDDEN = frozenset({"0", "Defpoints", "S-ANNO-NPLT", "S-ANNO-TTLB"})

Spot = tuple[float, float]


@frozen
class PlanLayer:
    """One layer of the picture: its name, what is on it, and its shapes as SVG."""

    name: str
    title: str
    svg: str


@frozen
class PlanPicture:
    """The picture: its width and height, the box of the first view, and its layers."""

    width: float
    height: float
    view: tuple[float, float, float, float]
    layers: tuple[PlanLayer, ...]


@frozen
class _Shape:
    # points in drawing units, dashes in mm on paper; `kind` is line, ring, circle or text
    layer: str
    kind: str
    points: tuple[Spot, ...]
    dashes: tuple[float, ...] = ()
    size: float = 0.0
    turn: float = 0.0
    anchor: str = "middle"
    text: str = ""


def plan_picture(document: Drawing) -> PlanPicture:
    """Turn a plan drawing's model space into an SVG picture by layers.

    Parameters
    ----------
    document
        The drawing, as `staking.output.drawing.plan_drawing.plan_document` gives it.

    Returns
    -------
    PlanPicture
        Layers in the drawing's own order, empty ones left out; text stands as text, escaped.
    """
    shapes = [shape for entity in document.modelspace() for shape in _shapes(entity, None)]
    low, high = _box([each for each in shapes if each.layer not in _HIDDEN])
    scale = SIZE / max(high[0] - low[0], high[1] - low[1], 1e-9)
    margin = SIZE * 0.02

    def at(point: Spot) -> Spot:
        return (
            (point[0] - low[0]) * scale + margin,
            (high[1] - point[1]) * scale + margin,
        )

    by_layer: dict[str, list[str]] = {}
    for shape in sorted(shapes, key=lambda each: each.kind == "text"):
        if shape.layer not in _HIDDEN:
            by_layer.setdefault(shape.layer, []).append(_svg(shape, at, scale))
    layers = [
        PlanLayer(
            name=layer.dxf.name,
            title=layer.description.partition(",")[0] or layer.dxf.name,
            svg="".join(by_layer[layer.dxf.name]),
        )
        for layer in document.layers
        if layer.dxf.name in by_layer
    ]
    near_low, near_high = _first_view(shapes)
    left, top = at((near_low[0], near_high[1]))
    right, bottom = at((near_high[0], near_low[1]))
    return PlanPicture(
        width=(high[0] - low[0]) * scale + 2 * margin,
        height=(high[1] - low[1]) * scale + 2 * margin,
        view=(
            left - margin,
            top - margin,
            right - left + 2 * margin,
            bottom - top + 2 * margin,
        ),
        layers=tuple(layers),
    )


def _first_view(shapes: list[_Shape]) -> tuple[Spot, Spot]:
    own = [
        each for each in shapes if each.layer.startswith(_BUILDING) and each.layer != _STAY_CLEAR
    ]
    low, high = _box(own or shapes)
    reach = _BESIDE * max(high[0] - low[0], high[1] - low[1])
    labels = [
        each
        for each in shapes
        if each.layer == _LABELS
        and all(
            low[axis] - reach <= point[axis] <= high[axis] + reach
            for point in each.points
            for axis in (0, 1)
        )
    ]
    return _box([*(own or shapes), *labels])


def _shapes(entity: Any, layer: str | None) -> Iterator[_Shape]:
    # what stands on layer 0 inside a block is on the layer of the block's insert
    own = entity.dxf.layer
    here = layer if layer is not None and own == "0" else own
    kind = entity.dxftype()
    if kind == "LINE":
        ends = (_spot(entity.dxf.start), _spot(entity.dxf.end))
        yield _Shape(layer=here, kind="line", points=ends, dashes=_dashes(entity))
    elif kind == "LWPOLYLINE":
        points = tuple((x, y) for x, y in entity.get_points("xy"))
        ring = "ring" if entity.closed else "line"
        yield _Shape(layer=here, kind=ring, points=points, dashes=_dashes(entity))
    elif kind == "CIRCLE":
        yield _Shape(
            layer=here,
            kind="circle",
            points=(_spot(entity.dxf.center),),
            size=entity.dxf.radius,
            dashes=_dashes(entity),
        )
    elif kind == "TEXT":
        yield _text(entity, here)
    elif kind == "MTEXT":
        yield _Shape(
            layer=here,
            kind="text",
            points=(_spot(entity.dxf.insert),),
            size=entity.dxf.char_height,
            turn=entity.get_rotation(),
            text=entity.plain_text(fast=True).strip(),
        )
    elif kind in {"INSERT", "DIMENSION"}:
        for part in entity.virtual_entities():
            yield from _shapes(part, here)


def _text(entity: Any, layer: str) -> _Shape:
    aligned = entity.dxf.halign != 0 or entity.dxf.valign != 0
    point = entity.dxf.align_point if aligned else entity.dxf.insert
    return _Shape(
        layer=layer,
        kind="text",
        points=(_spot(point),),
        size=entity.dxf.height,
        turn=entity.dxf.rotation,
        anchor={0: "start", 2: "end"}.get(entity.dxf.halign, "middle"),
        text=entity.dxf.text,
    )


def _dashes(entity: Any) -> tuple[float, ...]:
    document = entity.doc
    name = entity.dxf.linetype
    if document is None:
        return ()
    if name.upper() == "BYLAYER":
        if entity.dxf.layer not in document.layers:
            return ()
        name = document.layers.get(entity.dxf.layer).dxf.linetype
    if name not in document.linetypes:
        return ()
    # patterns are in mm on paper, and the header scales them to the model
    pattern = document.linetypes.get(name).simplified_line_pattern()
    return tuple(abs(each) * entity.dxf.ltscale for each in pattern)


def _spot(point: Any) -> Spot:
    return (float(point[0]), float(point[1]))


def _box(shapes: list[_Shape]) -> tuple[Spot, Spot]:
    spots = [
        (x + dx, y + dy) for shape in shapes for x, y in shape.points for dx, dy in _reach(shape)
    ] or [(0.0, 0.0), (1.0, 1.0)]
    return (
        (min(x for x, _ in spots), min(y for _, y in spots)),
        (max(x for x, _ in spots), max(y for _, y in spots)),
    )


def _reach(shape: _Shape) -> tuple[Spot, ...]:
    if shape.kind == "circle":
        return ((-shape.size, -shape.size), (shape.size, shape.size))
    if shape.kind != "text":
        return ((0.0, 0.0),)
    # about as wide as letters are; only the picture's margin depends on it
    width = 0.75 * shape.size * len(shape.text)
    back = {"start": 0.0, "end": -width}.get(shape.anchor, -width / 2)
    turn = math.radians(shape.turn)
    return tuple(
        (along * math.cos(turn) - up * math.sin(turn), along * math.sin(turn) + up * math.cos(turn))
        for along in (back, back + width)
        for up in (-shape.size, shape.size)
    )


def _svg(shape: _Shape, at: Any, scale: float) -> str:
    spots = [at(point) for point in shape.points]
    x, y = spots[0]
    if shape.kind == "text":
        turn = -shape.turn % 360
        turned = f' transform="rotate({_n(turn)} {_n(x)} {_n(y)})"' if 0 < turn < 360 else ""
        size = shape.size * scale / CAP_HEIGHT
        anchor = "" if shape.anchor == "middle" else f' text-anchor="{shape.anchor}"'
        return (
            f'<text x="{_n(x)}" y="{_n(y)}" dy=".36em" font-size="{_n(size)}"{anchor}{turned}>'
            f"{escape(shape.text, quote=False)}</text>"
        )
    pattern = ""
    if shape.dashes:
        lengths = " ".join(_n(max(each * DASHES, DOT)) for each in shape.dashes)
        pattern = f' stroke-dasharray="{lengths}"'
    if shape.kind == "circle":
        return f'<circle cx="{_n(x)}" cy="{_n(y)}" r="{_n(shape.size * scale)}"{pattern}/>'
    path = "L".join(f"{_n(x)} {_n(y)}" for x, y in spots)
    return f'<path d="M{path}{"Z" if shape.kind == "ring" else ""}"{pattern}/>'


def _n(value: float) -> str:
    text = f"{value:.1f}"
    return text[:-2] if text.endswith(".0") else text
