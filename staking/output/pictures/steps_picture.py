"""The stepped footing seen from its low corner: a picture to no scale."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, TextIO

from staking.errors import ComputationError
from staking.grade.dig_on_plan import runs_on_plan
from staking.grade.isometric.seen_faces import (
    FaceSide,
    SeenFooting,
    footing_bounds,
    low_corner,
    seen_footing,
)
from staking.output.drawing.drawn_words import Box, Segment, Text, Variant, extent
from staking.output.drawing.places.label_places import place
from staking.output.drawing.plan_labels import around
from staking.output.drawing.short_names import ShownNames
from staking.output.pictures.lettering import line_width
from staking.output.pictures.sketch_pen import SketchPen
from staking.output.pictures.svg_and_png import svg_text
from staking.output.wording import Words, safe

if TYPE_CHECKING:
    from collections.abc import Iterator

    from staking.grade.graded import Graded
    from staking.laid_out.layout_value import Layout
    from staking.output.pictures.picture import Picture
    from staking.plan import Point

_FIGURE, _NAME = 2.8, 2.8
"""Heights of a capital, mm: what is read on the rod, and names."""
_CAPTION = 2.1
"""Height of the line under the picture, mm."""
_KEPT = (1.0, 2.5 * _CAPTION)
"""How far inside the picture words stay, and over the line under it, mm."""
_BORDER = 13.0
"""Air round the footing for its words, mm."""
_STEP = 4.0
"""What the least step is drawn high at least, mm, as far as heights may be stretched."""
_ASIDE = 24
"""What it costs a figure to stand far aside of its run: less than a line through another one."""
_STRETCHES = (1.0, 2.0, 3.0, 4.0)
_SHADES = {FaceSide.TOP: "#ffffff", FaceSide.LEFT: "#c8c8c8", FaceSide.RIGHT: "#e6e6e6"}
_SVG = (240.0, 160.0)
"""Size of the picture that is a file of its own, mm."""


def steps_picture(layout: Layout, width: float, height: float) -> Picture:
    """Draw the stepped footing as it is seen from its low corner.

    Parameters
    ----------
    layout
        A layout with levels.
    width, height
        The room, mm.

    Returns
    -------
    Picture
        Heights are stretched so that the least step shows, which the line under it says.

    Raises
    ------
    ComputationError
        Where there are no levels.
    """
    graded = layout.grade
    if graded is None or not graded.walls:
        raise ComputationError("there are no levels to draw steps of; give a grade section")
    room = (width - 2 * _BORDER, height - 2 * _BORDER - 3 * _CAPTION)
    least = min((step.rise for step in graded.stepped.steps), default=0.0)
    for stretch in _STRETCHES:
        low, high = footing_bounds(layout.plan, graded, stretch)
        mm = max((high[i] - low[i]) / room[i] for i in (0, 1))
        if not least or least * stretch * math.sqrt(2 / 3) >= _STEP * mm:
            break
    seen = seen_footing(layout.plan, graded, stretch)
    lift = 1.5 * _CAPTION * mm
    view = Box(
        x=(low[0] + high[0]) / 2,
        y=(low[1] + high[1]) / 2 - lift,
        width=width * mm,
        height=height * mm,
    )
    pen = SketchPen("steps", view, mm)
    # Tops first, without their holes: what is seen through those is filled over them.
    for face in seen.faces:
        pen.fill(face.ring, _SHADES[face.side])
    for face in seen.faces:
        pen.ring(face.ring, 0.35)
        for hole in face.holes:
            pen.ring(hole, 0.35)
    _write_words(pen, layout, graded, seen)
    _write_caption(pen, layout, graded, stretch)
    return pen.picture()


def write_steps(layout: Layout, stream: TextIO) -> None:
    """Write the picture of the stepped footing as SVG.

    Parameters
    ----------
    layout
        A layout with levels.
    stream
        Where to write, open for text in UTF-8.
    """
    stream.write(svg_text(steps_picture(layout, *_SVG), "The stepped footing, to no scale"))


def _write_caption(pen: SketchPen, layout: Layout, graded: Graded, stretch: float) -> None:
    corner = low_corner(layout.plan, graded)[0]
    times = "" if stretch <= 1 else f", heights {stretch:g} times as large as lengths"
    what = "add to the benchmark's reading" if graded.benchmark_level is not None else "level"
    caption = (
        f"The footing seen from its low corner {safe(corner)}, to no scale{times}. "
        f"Figures: dig, {what}."
    )
    height = _CAPTION
    most = pen.view.width / pen.mm - 2
    height *= min(1.0, most / line_width(caption, height))
    pen.write(
        Text(
            text=caption,
            x=pen.view.x,
            y=pen.view.y - pen.view.height / 2 + 1.5 * _CAPTION * pen.mm,
            height=height * pen.mm,
        )
    )


def _write_words(pen: SketchPen, layout: Layout, graded: Graded, seen: SeenFooting) -> None:
    mm = pen.mm
    labels = [
        pen.kept(around(name, spot, 1.0 * mm, _NAME * mm, away), *_KEPT)
        for name, spot, away in _named(layout, graded, seen)
    ]
    words = Words(layout.options)
    figures = []
    tops = {
        (wall.profile.wall, level.start): level.top
        for wall in graded.walls
        for level in wall.profile.levels
    }
    for run in runs_on_plan(layout.plan, graded):
        middle = tuple((run.ends[0][i] + run.ends[1][i]) / 2 for i in (0, 1))
        spot = seen.view.seen((middle[0], middle[1]), tops[run.wall, run.start])
        added = run.mark.add_to_benchmark
        figure = words.level(run.mark.level) if added is None else words.added(added, graded.rod)
        figures.append(pen.kept(_led(figure, spot, _FIGURE * mm), *_KEPT))
    chosen = place([*labels, *figures], [], [], lot=pen.lines)
    taken: list[Box] = []
    leaders: list[Segment] = []
    for variant, is_struck in zip(chosen, pen.struck(chosen), strict=True):
        # What finds no free place stands on the plan of the dig.
        boxes = variant.boxes
        if is_struck or any(box.covers(other) for box in boxes for other in taken):
            continue
        if any(box.meets(line) for box in boxes for line in leaders):
            continue
        if any(box.meets(line) for box in taken for line in variant.lines):
            continue
        taken += boxes
        leaders += variant.lines
        for text in variant.texts:
            pen.write(text)
        for line in variant.lines:
            pen.line(*line, 0.18, kept_off=False)


def _named(layout: Layout, graded: Graded, seen: SeenFooting) -> Iterator[tuple[str, Point, float]]:
    # Corners and pads, where they are seen on top of the footing, and which way leads out.
    shown = ShownNames(layout.plan)
    low, high = extent([point for face in seen.faces for point in face.ring])
    middle = ((low[0] + high[0]) / 2, (low[1] + high[1]) / 2)
    tops: dict[str, float] = {}
    for wall in graded.walls:
        first, _, last = wall.profile.wall.partition("-")
        tops.setdefault(first, wall.profile.levels[0].top)
        if last:
            tops.setdefault(last, wall.profile.levels[-1].top)
    points = [
        (corner.name, corner.point, tops[corner.name])
        for building in layout.plan.buildings
        for corner in building.corners
        if corner.name in tops
    ]
    places = {pad.name: pad.point for pad in layout.plan.pads}
    points += [(pad.pad, places[pad.pad], pad.top) for pad in graded.pads]
    for name, point, top in points:
        spot = seen.view.seen(point, top)
        away = math.atan2(spot[1] - middle[1], spot[0] - middle[0])
        yield shown(name), spot, away


def _led(text: str, spot: Point, height: float) -> Iterator[Variant]:
    # Above or below the run, then farther off with a line to it; aside where nothing else is clear.
    half = line_width(text, height) / 2
    rises = (2.0, -2.0, 4.0, -4.0, 6.5, -6.5, 9.0, -9.0, 12.0, -12.0)
    for aside, shifts in enumerate(((0.0, 1.0, -1.0, 2.0, -2.0), (3.5, -3.5, 5.0, -5.0))):
        for worse, rise in enumerate(rises):
            for shift in shifts:
                x, y = spot[0] + shift * half, spot[1] + rise * height
                near = math.copysign(0.8 * height, rise)
                leader: tuple[Segment, ...] = ((spot, (x, y - near)),)
                yield Variant(
                    texts=(Text(text=text, x=x, y=y, height=height),),
                    lines=leader,
                    penalty=worse + aside * _ASIDE,
                )
