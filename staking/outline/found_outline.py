"""What a drawing's layers come to: the layers listed, and the outline traced and held to it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from staking.errors import ComputationError, InputError, Problem
from staking.frozen import frozen
from staking.notices import Length, Notice, Severity, notice
from staking.outline.designers_drawing import plain_layer
from staking.outline.drawn_unit import DrawnUnit, drawn_unit
from staking.outline.held_sides import NEAR_SIXTEENTH, HeldSide, held_sides, to_sixteenths
from staking.outline.line_work import ClosedJoint, LineWork, line_work
from staking.outline.sizes_read_off import FootingReadOff, footing_read_off, wall_read_off
from staking.outline.traced import SmallShape, TracedOutline, trace
from staking.units import Unit

if TYPE_CHECKING:
    from staking.outline.designers_drawing import DrawnCurve, PlanDrawing
    from staking.plan import Point

_MOST_CORNERS = 400
"""Corners of all buildings of a job at most."""


@frozen
class LayerListed:
    """One layer of a drawing.

    Parameters
    ----------
    name
        The layer.
    curves
        How many curves lie on it.
    area
        What its lines enclose, m2; in square units of the drawing where its unit is not known.
    size
        Width and height of all that lies on it, m or units likewise.
    loose_ends
        Ends that meet nothing.
    one_outline
        Whether its lines close to one outline as they are.
    """

    name: str
    curves: int
    area: float
    size: tuple[float, float]
    loose_ends: int
    one_outline: bool


@frozen
class NamedCorner:
    """A corner of the outline, m from its first corner."""

    name: str
    x: float
    y: float


@frozen
class FoundOutline:
    """What a drawing comes to.

    Parameters
    ----------
    unit
        The drawing's unit and where it was taken from.
    layers
        Its layers, the largest enclosed area first.
    corners
        The outline; empty where no layer was named.
    area
        Of the outline, m2; None likewise.
    closed
        The joints that were closed.
    sides
        Its sides against the drawing's dimensions.
    shapes
        Small closed shapes beside it, x and y from its first corner.
    drawn
        The corners where they lie in the drawing, in its own unit.
    wall, footing
        Sizes read off; None where the lines do not run parallel all round.
    notices
        What is to be said.
    """

    unit: DrawnUnit
    layers: tuple[LayerListed, ...]
    corners: tuple[NamedCorner, ...] = ()
    area: float | None = None
    closed: tuple[ClosedJoint, ...] = ()
    sides: tuple[HeldSide, ...] = ()
    shapes: tuple[SmallShape, ...] = ()
    drawn: tuple[Point, ...] = ()
    wall: float | None = None
    footing: FootingReadOff | None = None
    notices: tuple[Notice, ...] = ()


def list_layers(drawing: PlanDrawing, given: Unit | None = None) -> FoundOutline:
    """List the layers of a drawing.

    Parameters
    ----------
    drawing
        The drawing.
    given
        The unit that the user names.

    Returns
    -------
    FoundOutline
        Without an outline.
    """
    unit = drawn_unit(drawing, given)
    metres = unit.unit.metres if unit.unit else 1.0
    by_layer: dict[str, list[DrawnCurve]] = {}
    for curve in drawing.curves:
        by_layer.setdefault(curve.layer, []).append(curve)
    layers = [_listed(name, curves, metres) for name, curves in by_layer.items()]
    layers.sort(key=lambda each: (-each.area, each.name))
    return FoundOutline(unit=unit, layers=tuple(layers), notices=unit.notices)


def find_outline(
    drawing: PlanDrawing,
    names: Sequence[str],
    footing_names: Sequence[str] = (),
    *,
    close: float = 0.0,
    given: Unit | None = None,
) -> FoundOutline:
    """Trace the outline on named layers.

    Parameters
    ----------
    drawing
        The drawing.
    names
        The layers of the walls; the part after an external reference's mark counts.
    footing_names
        The layers of the footings.
    close
        How far ends may be run on along their own direction, m.
    given
        The unit that the user names.

    Returns
    -------
    FoundOutline
        The whole.

    Raises
    ------
    InputError
        Where a layer is not there, or the unit is not decided.
    ComputationError
        Where the lines make no one outline.
    """
    listing = list_layers(drawing, given)
    curves = _on_layers(drawing, names, "--layer")
    footings = _on_layers(drawing, footing_names, "--footing-layer") if footing_names else []
    unit = listing.unit.unit
    if unit is None:
        raise InputError(
            Problem(
                path=drawing.name,
                message="nothing in the drawing tells its unit: no dimension's text, no header",
                remedy="give --unit in, ft, us-ft, m or mm",
            )
        )
    origin = _middle(curves)
    work = line_work(curves, unit.metres, origin, close)
    try:
        traced = trace(work)
    except ComputationError as fault:
        raise ComputationError(f"{drawing.name}, layer {', '.join(names)}: {fault}") from fault
    if len(traced.corners) > _MOST_CORNERS:
        raise ComputationError(
            f"{drawing.name}, layer {', '.join(names)}: the outline has {len(traced.corners)} "
            f"corners, and a job takes {_MOST_CORNERS}; name the layer of the walls alone"
        )
    x0, y0 = traced.corners[0]
    corners, off = to_sixteenths([(x - x0, y - y0) for x, y in traced.corners])
    named = tuple(NamedCorner(name=_corner_name(i), x=x, y=y) for i, (x, y) in enumerate(corners))
    sides = held_sides(
        [each.name for each in named],
        traced.corners,
        drawing.dimensions,
        unit.metres,
        origin,
    )
    footing = None
    if footings:
        edges = line_work(footings, unit.metres, origin, close)
        footing = footing_read_off(traced.corners, edges.lines)
    wall = wall_read_off(traced.corners, work.lines)
    return FoundOutline(
        unit=listing.unit,
        layers=listing.layers,
        corners=named,
        area=_area(corners),
        closed=tuple(
            ClosedJoint(x=each.x - x0, y=each.y - y0, gap=each.gap) for each in work.closed
        ),
        sides=sides,
        shapes=tuple(
            SmallShape(x=s.x - x0, y=s.y - y0, size=s.size, diameter=s.diameter)
            for s in traced.shapes
        ),
        drawn=tuple(work.in_drawing(corner) for corner in traced.corners),
        wall=wall,
        footing=footing,
        notices=(
            *listing.notices,
            *_notices(work, traced, sides, off, footing is None and bool(footings)),
        ),
    )


def _listed(name: str, curves: Sequence[DrawnCurve], metres: float) -> LayerListed:
    work = line_work(curves, metres, _middle(curves))
    points = np.concatenate([each.points for each in curves]) * metres
    area, one = 0.0, True
    try:
        area = trace(work).area
    except ComputationError:
        one = False
        area = _enclosed(work)
    width, height = np.ptp(points, axis=0).tolist()
    return LayerListed(
        name=name,
        curves=len(curves),
        area=area,
        size=(width, height),
        loose_ends=len(work.loose),
        one_outline=one,
    )


def _enclosed(work: LineWork) -> float:
    import shapely

    faces, *_ = shapely.polygonize_full(shapely.get_parts(work.lines))
    return float(shapely.union_all(shapely.get_parts(faces)).area)


def _on_layers(drawing: PlanDrawing, names: Sequence[str], option: str) -> list[DrawnCurve]:
    there = {curve.layer for curve in drawing.curves}
    wanted: set[str] = set()
    problems = []
    for name in names:
        found = {
            layer
            for layer in there
            if name.casefold() in {layer.casefold(), plain_layer(layer).casefold()}
        }
        if not found:
            listed = ", ".join(sorted(there)[:12]) or "none"
            problems.append(
                Problem(
                    path=drawing.name,
                    message=f"nothing is drawn on a layer {name}",
                    remedy=f"there are: {listed}",
                    field=option,
                )
            )
        wanted |= found
    if problems:
        raise InputError(*problems)
    return [curve for curve in drawing.curves if curve.layer in wanted]


def _middle(curves: Sequence[DrawnCurve]) -> Point:
    points = np.concatenate([each.points for each in curves])
    x, y = ((points.min(axis=0) + points.max(axis=0)) / 2).tolist()
    return (x, y)


def _area(corners: Sequence[Point]) -> float:
    x, y = np.array(corners).T
    return float((x * np.roll(y, -1) - np.roll(x, -1) * y).sum() / 2)


def _corner_name(index: int) -> str:
    name = ""
    index += 1
    while index:
        index, letter = divmod(index - 1, 26)
        name = chr(ord("A") + letter) + name
    return name


def _side_notices(sides: Sequence[HeldSide]) -> list[Notice]:
    """Say which sides the drawing's own dimensions contradict."""
    said = []
    for side in sides:
        if side.dimension is not None and side.differs:
            said.append(
                notice(
                    "side-dimension",
                    "side {start}-{end} is drawn {length} long, and the drawing's own dimension "
                    "says {dimension}: ask the designer which is right",
                    start=side.start,
                    end=side.end,
                    length=Length(side.length),
                    dimension=Length(side.dimension),
                )
            )
    return said


def _notices(
    work: LineWork,
    traced: TracedOutline,
    sides: Sequence[HeldSide],
    off: float,
    footing_missed: bool,
) -> list[Notice]:
    said = _side_notices(sides)
    if off > NEAR_SIXTEENTH:
        said.append(
            notice(
                "corners-as-drawn",
                "the corners do not lie on sixteenths of an inch, the farthest {off} away; they "
                "are kept as they are drawn",
                severity=Severity.NOTE,
                off=Length(off),
            )
        )
    if work.has_arcs:
        said.append(
            notice(
                "outline-arcs",
                'an arc is taken as straight pieces that lie within 1/32" of it; walls of one arc '
                "share no boards: swing it from its centre",
            )
        )
    if traced.loose:
        listed = ["x {:.3f}, y {:.3f}".format(*work.in_drawing(p)) for p in traced.loose[:6]]
        said.append(
            notice(
                "loose-ends",
                "ends that meet nothing are passed over ({count}): {places}",
                severity=Severity.NOTE,
                count=len(traced.loose),
                places="; ".join(listed) + (" …" if len(traced.loose) > 6 else ""),
            )
        )
    if traced.shapes:
        said.append(
            notice(
                "shapes-beside",
                "small closed shapes lie beside the outline ({count}); they are listed, and none "
                "is in the job: write those that are pads under pads",
                count=len(traced.shapes),
            )
        )
    if footing_missed:
        said.append(
            notice(
                "footing-not-read",
                "the footing's edges do not run parallel to the walls all round at one distance; "
                "give its width and projection under footing: by hand",
            )
        )
    return said
