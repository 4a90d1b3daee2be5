"""Writes the profile drawing: every wall seen from the side, with its levels and steps.

The walls stand beside each other in model space at full size. The height of a point is its
elevation, in the job's unit, for all of them.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, TextIO

from staking.errors import ComputationError
from staking.frozen import frozen
from staking.output.drawing import layers
from staking.output.drawing.drawing_sheet import MARGIN
from staking.output.drawing.drawn_words import PAPERS, extent, scales
from staking.output.drawing.geodata import INSUNITS
from staking.output.drawing.pen import Grid, Pen
from staking.output.profile.one_wall import wall_drawing
from staking.output.profile.profile_layers import ALL_LAYERS, add_tables
from staking.output.profile.side_parts import WallDrawing, draw
from staking.plan import Point
from staking.units import Unit

if TYPE_CHECKING:
    import datetime as dt

    from ezdxf.document import Drawing

    from staking.grade.graded import Graded
    from staking.laid_out.layout_value import Layout

_BETWEEN = 15.0
"""Between two walls in model space, mm on paper."""
_SMALLER = 4
"""How much smaller than the walls need a scale may be for the sake of the words."""
_LARGER = {"letter": "tabloid", "A4": "A3"}
"""The next larger paper, for a wall that does not fit on the job's."""


@frozen(eq=False)
class ProfileView:
    """One wall in the profile drawing.

    Parameters
    ----------
    wall
        The wall or interior line.
    document
        The drawing, the same for every wall.
    low, high
        Lower left and upper right of the wall's window in model space, drawing units.
    scale
        The scale's name; empty for a wall too full of words to fit at it, which is then drawn
        smaller on its sheet and says so.
    width_mm, height_mm
        Size of the window on paper at that scale, mm.
    paper
        Name of the wall's paper-space layout.
    """

    wall: str
    document: Drawing
    low: Point
    high: Point
    scale: str
    width_mm: float
    height_mm: float
    paper: str


def write_grade_dxf(layout: Layout, stream: TextIO, day: dt.date | None = None) -> None:
    """Write the profiles as a DXF drawing (R2010).

    Parameters
    ----------
    layout
        A layout with levels.
    stream
        Where to write, open for text in UTF-8.
    day
        The day that the drawing bears; None for one that has none.
    """
    from staking.output.drawing.write_drawing import write_drawing

    write_drawing(profile_document(layout), stream, day)


def profile_document(layout: Layout) -> Drawing:
    """Draw every wall and interior line in profile.

    Parameters
    ----------
    layout
        A layout with levels.

    Returns
    -------
    Drawing
        Model space in the job's unit, y being the elevation; a paper-space layout a wall.
    """
    return profile_views(layout)[0].document


def profile_views(
    layout: Layout, room: tuple[float, float] | None = None
) -> tuple[ProfileView, ...]:
    """Draw every wall in profile and tell where each is in the drawing.

    Parameters
    ----------
    layout
        A layout with levels.
    room
        Width and height that each wall's window must fit in, mm; the job's paper inside its
        border where None.

    Returns
    -------
    tuple of ProfileView
        In the network's order; the same scale for all, the largest at which each fits. Where
        none serves, one whose words take more room than there is has no scale.

    Raises
    ------
    ComputationError
        Where the job has no levels.
    """
    from ezdxf.filemanagement import new

    from staking.output.drawn.dxf_parts import add_parts

    graded = layout.grade
    if graded is None or not graded.walls:
        raise ComputationError("there are no walls with levels to draw; give a grade section")
    own, larger = (
        (PAPERS[name][0] - 2 * MARGIN, PAPERS[name][1] - 2 * MARGIN)
        for name in (layout.options.paper, _LARGER.get(layout.options.paper, layout.options.paper))
    )
    ratio, scale, drawings = _fitted(layout, graded, room or own, room or larger)
    mm, unit = ratio / 1000, Unit(layout.options.unit)
    doc = new("R2010", setup=False)
    _set_header(doc, unit, mm)
    add_tables(doc)
    pen = Pen(Grid(scale=1 / unit.metres))
    papers = [_paper_for(drawing, layout.options.paper, mm) for drawing in drawings]
    views, right = [], 0.0
    for i, (drawing, paper) in enumerate(zip(drawings, papers, strict=True)):
        wide = PAPERS[paper][0] * mm * _shrunk(drawing, paper, mm)
        moved = drawing.moved(_across(drawing, right, wide, _BETWEEN * mm) if i else 0.0)
        right = _right(moved, wide)
        draw(pen, moved, mm)
        name = f"{i + 1} {moved.name}"
        views.append(_view(doc, pen, moved, name, mm, scale if moved.to_scale else ""))
    add_parts(doc.modelspace(), pen.parts, ALL_LAYERS)
    low, high = extent([corner for view in views for corner in (view.low, view.high)])
    doc.modelspace().reset_extents((*low, 0), (*high, 0))
    centre = ((low[0] + high[0]) / 2, (low[1] + high[1]) / 2)
    doc.set_modelspace_vport(height=1.05 * (high[1] - low[1]), center=centre)
    for i, (view, paper) in enumerate(zip(views, papers, strict=True)):
        smaller = _shrunk(drawings[i], paper, mm)
        _add_paper(doc, view, paper, smaller * mm / unit.metres, i)
    return tuple(views)


def _view(
    doc: Drawing, pen: Pen, drawing: WallDrawing, paper: str, mm: float, scale: str
) -> ProfileView:
    return ProfileView(
        wall=drawing.name,
        document=doc,
        low=pen.at(drawing.low),
        high=pen.at(drawing.high),
        scale=scale,
        width_mm=(drawing.high[0] - drawing.low[0]) / mm,
        height_mm=(drawing.high[1] - drawing.low[1]) / mm,
        # Names of walls hold letters, digits, underscores and a hyphen: a layout's name may too.
        paper=paper,
    )


def _paper_for(drawing: WallDrawing, paper: str, mm: float) -> str:
    # The job's paper, or the next larger one where the wall does not fit.
    larger = _LARGER.get(paper)
    width, height = PAPERS[paper]
    ratio = round(1000 * mm)
    fits = _fits(drawing, (width - 2 * MARGIN, height - 2 * MARGIN), ratio)
    return paper if fits or larger is None else larger


def _shrunk(drawing: WallDrawing, paper: str, mm: float) -> float:
    # How much smaller than its scale a wall must be drawn for its sheet to show all of it.
    sheet = PAPERS[paper]
    size = [(drawing.high[i] - drawing.low[i]) / mm for i in (0, 1)]
    return max(1.0, *(size[i] / (sheet[i] - 2 * MARGIN) for i in (0, 1)))


def _right(drawing: WallDrawing, paper: float) -> float:
    # What a sheet with the wall in its middle shows ends here, m.
    middle = (drawing.low[0] + drawing.high[0]) / 2
    return max(drawing.high[0], middle + paper / 2)


def _across(drawing: WallDrawing, right: float, paper: float, between: float) -> float:
    # How far a wall is moved so that its sheet shows nothing of the wall before it, m.
    middle = (drawing.low[0] + drawing.high[0]) / 2
    return right + between - min(drawing.low[0], middle - paper / 2)


def _fitted(
    layout: Layout,
    graded: Graded,
    room: tuple[float, float],
    most: tuple[float, float],
) -> tuple[int, str, list[WallDrawing]]:
    # The largest scale at which every wall fits. Where words take too much room at any that is
    # not much smaller than the walls themselves need, that of the walls: what is too small to
    # read serves nobody. A wall that then takes more room than the most there is, is not to scale.
    longest_first = sorted(graded.walls, key=lambda each: -each.profile.length)
    long = longest_first[0].profile.length
    listed = scales(layout.options.show)
    able = [each for each in listed if long <= room[0] * each[0] / 1000] or [listed[-1]]
    able = [each for each in able if each[0] <= _SMALLER * able[0][0]]
    chosen = next(
        (
            each
            for each in able
            if all(
                _fits(wall_drawing(layout, graded, wall, each[0] / 1000, each[1]), room, each[0])
                for wall in longest_first
            )
        ),
        able[0],
    )
    ratio, scale = chosen
    drawings = []
    for wall in graded.walls:
        drawing = wall_drawing(layout, graded, wall, ratio / 1000, scale)
        if not _fits(drawing, most, ratio):
            drawing = wall_drawing(layout, graded, wall, ratio / 1000, "")
        drawings.append(drawing)
    return ratio, scale, drawings


def _fits(drawing: WallDrawing, room: tuple[float, float], ratio: int) -> bool:
    return all(drawing.high[i] - drawing.low[i] <= room[i] * ratio / 1000 for i in (0, 1))


def _set_header(doc: Drawing, unit: Unit, mm: float) -> None:
    doc.header["$INSUNITS"] = INSUNITS[unit]
    doc.header["$MEASUREMENT"] = int(unit in {Unit.M, Unit.MM})
    doc.header["$LUNITS"] = 2
    doc.header["$LUPREC"] = 4
    # Patterns are in mm on paper and scaled to the model, there and through the window alike.
    doc.header["$LTSCALE"] = mm / unit.metres
    doc.header["$PSLTSCALE"] = 0


def _add_paper(doc: Drawing, view: ProfileView, paper: str, per_mm: float, number: int) -> None:
    """Add a sheet for one wall: its border and a locked window at the stated scale."""
    if number == 0:
        doc.layouts.rename("Layout1", view.paper)
        space = doc.paperspace(view.paper)
    else:
        space = doc.layouts.new(view.paper)
    inches = paper in {"letter", "tabloid"}
    mm = 1 / 25.4 if inches else 1.0
    width, height = PAPERS[paper]
    space.page_setup(
        size=(width * mm, height * mm),
        margins=(0, 0, 0, 0),
        units="inch" if inches else "mm",
        scale=(1, 1),
        name=paper,
    )
    inner = (width - 2 * MARGIN, height - 2 * MARGIN)
    viewport = space.add_viewport(
        center=(width / 2 * mm, height / 2 * mm),
        size=(inner[0] * mm, inner[1] * mm),
        view_center_point=((view.low[0] + view.high[0]) / 2, (view.low[1] + view.high[1]) / 2),
        view_height=inner[1] * per_mm,
        dxfattribs={"layer": layers.NO_PLOT},
    )
    viewport.dxf.flags |= 0x4000  # locked: zooming in the window must not change the scale
    right, top = width - MARGIN, height - MARGIN
    ring = ((MARGIN, MARGIN), (right, MARGIN), (right, top), (MARGIN, top))
    space.add_lwpolyline(
        [(x * mm, y * mm) for x, y in ring], close=True, dxfattribs={"layer": layers.TITLE}
    )
