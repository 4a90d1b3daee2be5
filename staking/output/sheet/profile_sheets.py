"""The walls in profile on the sheet: one piece a wall, two on a page where they fit, one key."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from staking.output.drawing.layers import TITLE
from staking.output.pictures.picture import Picture
from staking.output.pictures.picture_parts import Lettering, Stroke
from staking.output.sheet.picture_block import PictureBlock

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from reportlab.platypus import Flowable

    from staking.output.sheet.printed_job import PrintedJob

_ROW = 3.4
"""Between two rows of the key, mm."""
_BAR = 4.0
"""Height of the scale bar's figures over it, mm."""
_NEAR = 0.5
"""A sample of the key and its name stand level within this, mm, but for half a letter."""


def profile_sheets(job: PrintedJob) -> Iterator[Flowable]:
    """Set every wall in profile, the key and the scale bar once before them.

    Yields
    ------
    Flowable
        The key, and one for each wall, which no page break parts; nothing for a job without
        levels.
    """
    if not job.profiles:
        return
    column = job.column
    parted = [_parted(each) for each in job.profiles]
    yield PictureBlock(_one_key([key for _, key in parted], column.width), column)
    for wall, _ in parted:
        yield PictureBlock(wall, column)


def _parted(profile: Picture) -> tuple[Picture, Picture]:
    # What is seen of the wall, and its key: samples, bar and note are all there is below.
    top = max((y for each in _titled(profile) for _, y in each.points), default=None)
    if top is None:
        return profile, replace(profile, strokes=(), fills=(), words=())
    foot = top + _NEAR
    key = replace(
        profile,
        height=foot,
        strokes=_titled(profile),
        fills=(),
        words=tuple(each for each in profile.words if each.y < foot),
    )
    wall = Picture(
        width=profile.width,
        height=profile.height - foot,
        strokes=tuple(
            _lower(each, foot) for each in profile.strokes if each not in set(key.strokes)
        ),
        fills=tuple(
            replace(each, points=tuple((x, y - foot) for x, y in each.points))
            for each in profile.fills
        ),
        words=tuple(replace(each, y=each.y - foot) for each in profile.words if each.y >= foot),
    )
    return wall, key


def _titled(profile: Picture) -> tuple[Stroke, ...]:
    return tuple(each for each in profile.strokes if each.layer == TITLE)


def _lower(stroke: Stroke, by: float) -> Stroke:
    return replace(stroke, points=tuple((x, y - by) for x, y in stroke.points))


def _one_key(keys: Sequence[Picture], width: float) -> Picture:
    # Every sign that any wall shows, and a scale bar: they are all to one scale.
    signs: dict[str, tuple[Stroke, Lettering]] = {}
    for key in keys:
        for stroke, name in _signs(key):
            signs.setdefault(name.text, (stroke, name))
    bar = _bar(keys[0])
    beside = max((name.x - stroke.points[0][0] for stroke, name in signs.values()), default=0.0)
    cell = max((beside + name.width + 4.0 for _, name in signs.values()), default=width)
    columns = max(1, int(width // cell))
    rows = -(-len(signs) // columns)
    height = rows * _ROW + bar.height + 2.0
    strokes, words = list(bar.strokes), list(bar.words)
    for at, (stroke, name) in enumerate(signs.values()):
        x, y = (at % columns) * cell, height - (at // columns + 0.6) * _ROW
        left, level = stroke.points[0]
        points = tuple((px - left + x, py - level + y) for px, py in stroke.points)
        strokes.append(replace(stroke, points=points))
        words.append(replace(name, x=name.x - left + x, y=name.y - level + y))
    return Picture(width=width, height=height, strokes=tuple(strokes), fills=(), words=tuple(words))


def _signs(key: Picture) -> Iterator[tuple[Stroke, Lettering]]:
    # A sample with the name that stands beside it, level with it.
    for stroke in key.strokes:
        right, level = stroke.points[-1]
        if level != stroke.points[0][1]:
            continue
        for name in key.words:
            if 0 < name.x - right < 4.0 and abs(name.y + name.height / 2 - level) < _NEAR:
                yield stroke, name


def _bar(key: Picture) -> Picture:
    samples = {stroke for stroke, _ in _signs(key)}
    strokes = [each for each in key.strokes if each not in samples]
    if not strokes:
        return replace(key, height=0.0, strokes=(), words=())
    foot = min(y for each in strokes for _, y in each.points)
    figures = [each for each in key.words if foot <= each.y <= foot + _BAR]
    left = min([each.x for each in figures] + [x for each in strokes for x, _ in each.points])
    return replace(
        key,
        height=_BAR + 2.0,
        strokes=tuple(
            replace(each, points=tuple((x - left, y - foot + 1.0) for x, y in each.points))
            for each in strokes
        ),
        words=tuple(replace(each, x=each.x - left, y=each.y - foot + 1.0) for each in figures),
    )
