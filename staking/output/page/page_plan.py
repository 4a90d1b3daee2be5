"""The plan drawing as SVG for the page: one group a layer, coloured by the page's own style.

Its words are left out: the page sets its own, which keep their size however near the plan is.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from staking.frozen import frozen
from staking.output.drawing import layers
from staking.output.drawing.pen import Grid
from staking.output.drawn.drawn_parts import BY_LAYER, ChainPart, CirclePart, LinePart, Look

if TYPE_CHECKING:
    from staking.output.drawing.plan_drawing import DrawnPlan
    from staking.output.drawn.drawn_parts import DrawnPart

SIZE = 4000.0
"""The picture's greater side in its own units; a tenth of one is well under a pencil line."""

AIR = 0.09
"""Air round the first view for what is written there, as a share of its greater side."""

DASHES, DOT = 1.6, 1.5
"""Screen pixels to a millimetre of a pattern on paper, and the shortest part of one: lines keep
their width however near the plan is, and their dashes with it."""

_BUILDING = "S-FNDN"
"""Layers that the first view shows whole; the lot round them may be far larger."""

_HIDDEN = frozenset({
    layers.NO_PLOT,
    layers.TITLE,
    layers.TEXT,
    layers.DIMENSIONS,
    layers.CONTROL,
})
"""Layers of words, and of stakes, which the page draws as dots."""

Spot = tuple[float, float]


@frozen
class PlanLayer:
    """One layer of the picture: its name, what is on it, and its shapes as SVG."""

    name: str
    title: str
    svg: str


@frozen
class PlanFrame:
    """Where the building grid lies in the picture.

    Parameters
    ----------
    grid
        From the building grid into the drawing.
    left, top
        The drawing's place of the picture's corner, drawing units.
    scale
        The picture's units to one of the drawing.
    """

    grid: Grid
    left: float
    top: float
    scale: float

    def at(self, point: Spot) -> Spot:
        """Take a point of the building grid, m, into the picture.

        Returns
        -------
        tuple
            Across from the left and down from the top, the picture's units.
        """
        return self.drawn(self.grid.at(point))

    def drawn(self, point: Spot) -> Spot:
        """Take a point of the drawing, drawing units, into the picture.

        Returns
        -------
        tuple
            Across from the left and down from the top, the picture's units.
        """
        return ((point[0] - self.left) * self.scale, (self.top - point[1]) * self.scale)


@frozen
class PlanPicture:
    """The picture: its width and height, the box of the first view, its layers, its frame."""

    width: float
    height: float
    view: tuple[float, float, float, float]
    layers: tuple[PlanLayer, ...]
    frame: PlanFrame


@frozen
class _Shape:
    # points in drawing units, dashes in mm on paper; `kind` is line, ring or circle
    layer: str
    kind: str
    points: tuple[Spot, ...]
    dashes: tuple[float, ...] = ()
    size: float = 0.0


def plan_picture(drawn: DrawnPlan) -> PlanPicture:
    """Turn a plan's model space into an SVG picture by layers.

    Parameters
    ----------
    drawn
        The plan as it is drawn.

    Returns
    -------
    PlanPicture
        Layers in the drawing's own order, empty ones left out.
    """
    shapes = [shape for part in drawn.model for shape in _shapes(part)]
    low, high = _box(shapes)
    scale = SIZE / max(high[0] - low[0], high[1] - low[1], 1e-9)
    near_low, near_high = _first_view(shapes)
    air = AIR * max(near_high[0] - near_low[0], near_high[1] - near_low[1])
    frame = PlanFrame(
        grid=drawn.grid,
        left=low[0] - air,
        top=high[1] + air,
        scale=scale,
    )
    by_layer: dict[str, list[str]] = {}
    for shape in shapes:
        by_layer.setdefault(shape.layer, []).append(_svg(shape, frame))
    left, top = frame.drawn((near_low[0] - air, near_high[1] + air))
    right, bottom = frame.drawn((near_high[0] + air, near_low[1] - air))
    return PlanPicture(
        width=(high[0] - low[0] + 2 * air) * scale,
        height=(high[1] - low[1] + 2 * air) * scale,
        view=(left, top, right - left, bottom - top),
        layers=tuple(
            PlanLayer(
                name=name,
                title=note.partition(",")[0],
                svg="".join(by_layer[name]),
            )
            for name, (_, _, _, note) in layers.LAYERS.items()
            if name in by_layer
        ),
        frame=frame,
    )


def _first_view(shapes: list[_Shape]) -> tuple[Spot, Spot]:
    own = [
        each
        for each in shapes
        if each.layer.startswith(_BUILDING) and each.layer != layers.STAY_CLEAR
    ]
    return _box(own or shapes)


def _shapes(part: DrawnPart) -> Iterator[_Shape]:
    if not isinstance(part, LinePart | ChainPart | CirclePart) or part.look.layer in _HIDDEN:
        return
    layer, dashes = part.look.layer, _dashes(part.look)
    match part:
        case LinePart():
            yield _Shape(layer=layer, kind="line", points=(part.start, part.end), dashes=dashes)
        case ChainPart():
            kind = "ring" if part.closed else "line"
            yield _Shape(layer=layer, kind=kind, points=part.points, dashes=dashes)
        case CirclePart():
            yield _Shape(
                layer=layer,
                kind="circle",
                points=(part.centre,),
                size=part.radius,
                dashes=dashes,
            )


def _dashes(look: Look) -> tuple[float, ...]:
    own = look.linetype == BY_LAYER
    name = layers.LAYERS[look.layer][2] if own else look.linetype
    # patterns are in mm on paper, the whole length first
    _, pattern = layers.LINETYPES.get(name, ("", []))
    return tuple(abs(each) * look.pattern for each in pattern[1:])


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
    return ((0.0, 0.0),)


def _svg(shape: _Shape, frame: PlanFrame) -> str:
    spots = [frame.drawn(point) for point in shape.points]
    pattern = ""
    if shape.dashes:
        lengths = " ".join(rounded(max(each * DASHES, DOT)) for each in shape.dashes)
        pattern = f' stroke-dasharray="{lengths}"'
    if shape.kind == "circle":
        x, y = map(rounded, spots[0])
        return f'<circle cx="{x}" cy="{y}" r="{rounded(shape.size * frame.scale)}"{pattern}/>'
    path = "L".join(f"{rounded(x)} {rounded(y)}" for x, y in spots)
    return f'<path d="M{path}{"Z" if shape.kind == "ring" else ""}"{pattern}/>'


def rounded(value: float) -> str:
    """Write a coordinate of the picture, to a tenth of its unit."""
    text = f"{value:.1f}"
    return text[:-2] if text.endswith(".0") else text
