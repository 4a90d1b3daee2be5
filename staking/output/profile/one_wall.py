"""Title, key and scale bar of a profile, and the whole of one wall put together at a scale."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.kinds import FootingKind
from staking.output.drawing import layers
from staking.output.drawing.drawing_sheet import wrap
from staking.output.drawing.drawn_words import text_width
from staking.output.drawing.places.label_places import place
from staking.output.profile.profile_layers import (
    COURSES,
    DEEP,
    EXISTING,
    FINISHED,
    FROST,
    JUNCTION,
    STONE,
    UNDISTURBED,
)
from staking.output.profile.side_parts import ProfileStroke, Seen, WallDrawing, bounds, spread
from staking.output.profile.side_shapes import WallShapes, wall_shapes
from staking.output.profile.side_words import (
    MAIN,
    SMALL,
    STRING_OVER,
    ProfileSheet,
    add_depths,
    add_levels,
    add_stations,
    are_narrow,
    common_rise,
    end_names,
)
from staking.output.profile.wall_labels import labels
from staking.output.wording import Words
from staking.plan import Show
from staking.units import FOOT

if TYPE_CHECKING:
    from staking.grade.graded import Graded, GradedWall
    from staking.laid_out.layout_value import Layout

TITLE = 3.5
"""Height of a wall's title, mm on paper."""
_LEAST_WIDTH = 120.0
"""A short wall's window is at least this wide, mm, for its title and key."""
_AIR = 3.0
"""Air round the drawing in its window, mm."""
_BARS = (
    (1.0 * FOOT, 2.0 * FOOT, 5.0 * FOOT, 10.0 * FOOT, 20.0 * FOOT, 50.0 * FOOT, 100.0 * FOOT),
    (0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0),
)


def wall_drawing(
    layout: Layout, graded: Graded, wall: GradedWall, mm: float, scale: str
) -> WallDrawing:
    """Draw one wall at a scale.

    Parameters
    ----------
    layout
        The job.
    graded, wall
        Its levels, and the wall.
    mm
        What 1 mm on paper is on the ground, m.
    scale
        The scale's name; empty where the sheet is too small for it.

    Returns
    -------
    WallDrawing
        Its left end at 0 across.
    """
    words, base = Words(layout.options), layout.options.dig.base
    shapes, seen = wall_shapes(graded, wall, layout.plan, base), Seen.of(wall.strand)
    sheet = ProfileSheet(mm=mm, foot=shapes.low)
    _add_shapes(sheet, graded, seen, shapes)
    narrow = are_narrow(graded, wall, words, mm, base)
    add_stations(sheet, graded, wall, shapes, words, narrow)
    add_levels(sheet, graded, wall, words, base)
    add_depths(sheet, wall, words)
    _add_names(sheet, graded, wall, seen, shapes)
    near = bounds(sheet.strokes, sheet.texts)
    left = near[0][0]
    width = max(near[1][0] - left, _LEAST_WIDTH * mm)
    _add_key(sheet, wall, shapes, words, (left, width))
    _add_title(sheet, layout, graded, wall, scale, (left, width))
    lines = [piece for each in sheet.strokes for piece in each.segments]
    boxes = [each.box for each in sheet.texts]
    wanted = labels(graded, wall, shapes, words, mm, not narrow)
    for variant in place(wanted, lines, boxes):
        sheet.texts += variant.texts
    low, high = bounds(sheet.strokes, sheet.texts)
    air = _AIR * mm
    return WallDrawing(
        name=wall.profile.wall,
        left=seen.left,
        strokes=tuple(sheet.strokes),
        texts=tuple(sheet.texts),
        to_scale=bool(scale),
        low=(low[0] - air, low[1] - air),
        high=(max(high[0], low[0] + _LEAST_WIDTH * mm) + air, high[1] + air),
    )


def _add_shapes(sheet: ProfileSheet, graded: Graded, seen: Seen, shapes: WallShapes) -> None:
    strokes = sheet.strokes
    footing = seen.chain(shapes.footing)
    strokes.append(ProfileStroke(points=footing, layer=layers.FOOTING, closed=True, filled=True))
    for joint in shapes.courses:
        strokes.append(ProfileStroke(points=seen.chain(joint), layer=COURSES))
    for stone in shapes.stones:
        strokes.append(ProfileStroke(points=seen.chain(stone), layer=STONE, closed=True))
    strokes.append(ProfileStroke(points=seen.chain(shapes.dig), layer=layers.DIG))
    strokes.append(ProfileStroke(points=footing, layer=layers.FOOTING, closed=True))
    strokes.append(ProfileStroke(points=seen.chain(shapes.wall), layer=layers.WALL, closed=True))
    top = shapes.wall[0][1]
    for junction in shapes.junctions:
        ends = ((junction.station, junction.foot), (junction.station, top))
        strokes.append(ProfileStroke(points=seen.chain(ends), layer=JUNCTION))
    for sleeve, centre in shapes.sleeves:
        circle = ProfileStroke(
            points=(seen.at(centre),), layer=layers.OPENINGS, radius=sleeve.size / 2
        )
        strokes.append(circle)
    for face in shapes.faces:
        strokes.append(ProfileStroke(points=seen.chain(face), layer=layers.STEPS))
    for layer, chain in (
        (EXISTING, shapes.existing),
        (UNDISTURBED, shapes.undisturbed),
        (FROST, shapes.frost),
        (FINISHED, shapes.finished),
    ):
        if chain is not None:
            strokes.append(ProfileStroke(points=seen.chain(chain), layer=layer))
    if graded.string is not None:
        over = STRING_OVER * sheet.mm
        sheet.line((-over, graded.string), (seen.length + over, graded.string), layers.STRINGS)


def _add_names(
    sheet: ProfileSheet, graded: Graded, wall: GradedWall, seen: Seen, shapes: WallShapes
) -> None:
    # The row under the names is left to the string's own label.
    y, top = shapes.high + 6.5 * sheet.mm, wall.profile.bounds.top
    ends = zip((0.0, wall.profile.length), end_names(graded, wall), strict=True)
    named = [(seen.across(station), layers.clean_text(name), top) for station, name in ends]
    named += [
        (seen.across(each.station), layers.clean_text(each.name), shapes.high)
        for each in shapes.junctions
    ]
    named.sort()
    room = [(text_width(name, MAIN) + 1.5) * sheet.mm for _, name, _ in named]
    spots = spread([x for x, _, _ in named], room)
    for (x, name, foot), spot in zip(named, spots, strict=True):
        if foot == top or spot != x:
            sheet.line((x, foot), (spot, y - 0.9 * MAIN * sheet.mm))
        sheet.write(name, spot, y, height=MAIN)


def _add_title(
    sheet: ProfileSheet,
    layout: Layout,
    graded: Graded,
    wall: GradedWall,
    scale: str,
    span: tuple[float, float],
) -> None:
    words, clean, mm = Words(layout.options), layers.clean_text, sheet.mm
    first, last = (clean(each) for each in end_names(graded, wall))
    left = Seen.of(wall.strand).left
    sides = (first, last) if left else (last, first)
    is_wall = wall.strand.kind is FootingKind.WALL
    what = "Wall" if is_wall else "Interior line"
    where = "Seen from outside the building" if is_wall else "Seen from inside"
    said = [
        f"{clean(layout.plan.job)}.",
        f"Scale {scale}, heights as lengths: nothing is stretched."
        if scale
        else "Not to scale: drawn smaller to fit its sheet; heights as lengths.",
    ]
    rise = common_rise(wall)
    if rise is not None:
        every = "The step rises" if len(wall.built) == 1 else "Every step rises"
        said.append(f"{every} {words.length(rise)}.")
    if graded.benchmark is not None and graded.benchmark_level is not None:
        said.append(
            f"Benchmark {clean(graded.benchmark)}: {words.level(graded.benchmark_level)}; "
            "add the figure given to the rod reading on it."
        )
    rows = (
        f"{where}: {sides[0]} on the left, {sides[1]} on the right. Stations run from {first}.",
        " ".join(said),
    )
    fitted = [row for each in rows for row in wrap(each, SMALL, span[1] / mm)]
    title = f"{what} {clean(wall.profile.wall)}, {words.length(wall.profile.length)}"
    titles = wrap(title, TITLE, span[1] / mm)
    y = max(each.box.corners[2][1] for each in sheet.texts) + 2.0 * mm
    for row in reversed(fitted):
        y += 0.9 * SMALL * mm
        sheet.write(row, span[0], y, align=-1)
        y += 0.9 * SMALL * mm
    for row in reversed(titles):
        y += 1.0 * TITLE * mm
        sheet.write(row, span[0], y, align=-1, height=TITLE)
        y += 0.8 * TITLE * mm


def _add_key(
    sheet: ProfileSheet,
    wall: GradedWall,
    shapes: WallShapes,
    words: Words,
    span: tuple[float, float],
) -> None:
    mm = sheet.mm
    ground = "finished ground" if shapes.existing else "existing and finished ground"
    entries = [
        (FINISHED, ground),
        (EXISTING, "existing ground") if shapes.existing else None,
        (UNDISTURBED, "undisturbed ground") if shapes.undisturbed else None,
        (FROST, "frost line"),
        (layers.STRINGS, "string") if _has(sheet, layers.STRINGS) else None,
        (layers.WALL, "wall"),
        (COURSES, "course of block"),
        (layers.FOOTING, "footing"),
        (layers.STEPS, "riser face of a step") if shapes.faces else None,
        (layers.DIG, "bottom of the dig") if shapes.stones else None,
        (STONE, "stone") if shapes.stones else None,
        (JUNCTION, "another wall joins") if shapes.junctions else None,
        (DEEP, "deep trench, greatest depth") if wall.deep else None,
    ]
    shown = [each for each in entries if each is not None]
    cell = max(text_width(name, SMALL) for _, name in shown) + 18.0
    columns = max(1, int(span[1] / mm // cell))
    y = sheet.foot - 3.0 * mm
    for i, (layer, name) in enumerate(shown):
        x = span[0] + (i % columns) * cell * mm
        row = y - (i // columns) * 3.4 * mm
        sample = ((x, row), (x + 12.0 * mm, row))
        sheet.strokes.append(ProfileStroke(points=sample, layer=layers.TITLE, look=layer))
        sheet.write(name, x + 14.0 * mm, row, align=-1)
    sheet.foot = y - ((len(shown) - 1) // columns) * 3.4 * mm
    _add_bar(sheet, words, span)
    if wall.deep:
        sheet.foot -= 1.5 * mm
        note = (
            f"A trench {words.length(4 * FOOT)} deep needs a way out; one "
            f"{words.length(5 * FOOT)} deep, and a shallower one in ground that may cave in, is "
            "sloped, shored or shielded before anyone gets in, as a competent person chooses."
        )
        for each in wrap(note, SMALL, span[1] / mm):
            sheet.foot -= 3.0 * mm
            sheet.write(each, span[0], sheet.foot, align=-1)


def _has(sheet: ProfileSheet, layer: str) -> bool:
    return any(each.layer == layer for each in sheet.strokes)


def _add_bar(sheet: ProfileSheet, words: Words, span: tuple[float, float]) -> None:
    # A scale bar of four parts, the largest round length that stays under 80 mm.
    mm = sheet.mm
    part = _BARS[words.show in {Show.METRES, Show.MILLIMETRES}][0]
    for each in _BARS[words.show in {Show.METRES, Show.MILLIMETRES}]:
        if 4 * each <= 80.0 * mm:
            part = each
    y = sheet.foot - 7.5 * mm
    x = span[0] + 0.5 * text_width(words.length(0.0), SMALL) * mm
    for i in range(5):
        here = x + i * part
        sheet.line((here, y), (here, y + 1.2 * mm), layers.TITLE)
        if i < 4:
            heavy = layers.STEPS if i % 2 == 0 else layers.TITLE
            sheet.strokes.append(
                ProfileStroke(points=((here, y), (here + part, y)), layer=layers.TITLE, look=heavy)
            )
        if i in {0, 2, 4}:
            sheet.write(words.length(i * part), here, y + 2.8 * mm)
    sheet.foot = y
