"""From lists to `SurveyPoints`: the checks and the notices every format shares."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Sequence
from typing import Any

import numpy as np
import numpy.typing as npt

from staking.crs_register import is_map_tiles
from staking.errors import InputError, Problem
from staking.notices import Length, Notice, Severity, notice
from staking.points import Array, Surface, SurveyLine, SurveyPoints, SurveySettings, Texts
from staking.survey.elevations import ElevationCheck
from staking.survey.name_list import MOST_NAMED, listed
from staking.units import Unit

FARTHEST = 1e8
"""No coordinate on the earth reaches this, m."""

MILES_OFF = 1609.344
"""A point is never called miles off when it is nearer to the rest than this, m: one mile (common
practice, no source)."""


def survey_points(
    *,
    name: str,
    format: str,  # noqa: A002 - the field's own name
    names: Sequence[str] | Texts,
    northing: Sequence[float] | Array,
    easting: Sequence[float] | Array,
    elevation: Sequence[float | None] | Array | None,
    descriptions: Sequence[str] | Texts,
    unit: str,
    source_line: Sequence[int] | npt.NDArray[np.int64] | None = None,
    columns: tuple[str, ...] = (),
    crs: str | None = None,
    lines: tuple[SurveyLine, ...] = (),
    surfaces: tuple[Surface, ...] = (),
    notices: Iterable[Notice] = (),
    names_differ: bool = False,
    settings: SurveySettings | None = None,
    elevation_unit: str | None = None,
) -> SurveyPoints:
    """Make the result of a reader: settle its elevations, add the notices every format shares.

    Parameters
    ----------
    name, format
        As in `SurveyPoints`.
    names, descriptions
        ``(n,)``.
    northing, easting
        ``(n,)``, m.
    elevation
        ``(n,)``, m; None or not-a-number for none; None for the whole where no point has one.
    unit
        The file's own unit by its name in the job file.
    source_line
        ``(n,)`` line numbers from 1; None where the format has none.
    columns, crs, lines, surfaces
        As in `SurveyPoints`.
    notices
        What the reader has to say; names that occur twice, missing elevations and points far
        from the rest are added here.
    names_differ
        Whether the reader knows that no name occurs twice.
    settings
        What the user says of the file, of which `no_elevation` and `is_listing` count.
    elevation_unit
        The unit of the elevations where it is not `unit`.

    Returns
    -------
    SurveyPoints
        The points, in the order given.

    Raises
    ------
    InputError
        Where there is neither point, line nor surface, a coordinate is not a finite number or lies
        farther off than any place on the earth, or the elevations cannot all be ones.
    """
    count = len(names)
    if count == 0 and not lines and not surfaces:
        raise InputError(Problem(path=name, message=f"there are no points in this {format}"))
    north = np.asarray(northing, dtype=float)
    east = np.asarray(easting, dtype=float)
    levels = np.asarray([np.nan] * count if elevation is None else elevation, dtype=float)
    texts = texts_of(names)
    numbers = (
        np.zeros(count, dtype=np.int64)
        if source_line is None
        else np.asarray(source_line, dtype=np.int64)
    )
    check = ElevationCheck(
        path=name, unit=Unit(elevation_unit or unit), settings=settings or SurveySettings()
    )
    levels = check.of_points(texts, levels, numbers)
    _refuse_nowhere(name, texts, north, east, levels, numbers)
    lines, surfaces = check.of_lines(lines), check.of_surfaces(surfaces)
    check.refuse()
    found = SurveyPoints(
        name=name,
        format=format,
        names=texts,
        northing=north,
        easting=east,
        elevation=levels,
        descriptions=texts_of(descriptions),
        source_line=numbers,
        unit=unit,
        columns=columns,
        crs=crs,
        lines=lines,
        surfaces=surfaces,
        notices=(
            *notices,
            *check.notices,
            *_tile_notices(crs, north, east),
            *(_surface_notices(surfaces) if check.settings.is_listing else ()),
            *(() if names_differ else _duplicate_notices(texts, north, east, levels)),
            *_level_notices(texts, levels),
            *_outlier_notices(texts, north, east),
        ),
    )
    for array in (texts, north, east, levels, numbers, found.descriptions):
        array.setflags(write=False)
    return found


def texts_of(values: Sequence[str] | Texts) -> Texts:
    """Return an object array of texts, whatever their lengths; an array is kept as it is."""
    if isinstance(values, np.ndarray):
        return values
    made: npt.NDArray[Any] = np.empty(len(values), dtype=object)
    made[:] = values
    return made


def duplicate_names(names: Texts) -> tuple[str, ...]:
    """Find the names that occur more than once, in the order of the file, each once."""
    if _are_different(names):
        return ()
    return tuple(text for text, times in Counter(names).items() if times > 1)


def _are_different(names: Texts) -> bool:
    """Tell whether no name occurs twice; False may still mean none does."""
    if bool((names[:-1] < names[1:]).all()):
        return True
    # Equal names have equal hashes, and sorting numbers is quicker than gathering a set of texts.
    marks = np.fromiter(map(hash, names), np.int64, len(names))
    marks.sort()
    return bool((marks[:-1] != marks[1:]).all())


def _refuse_nowhere(
    name: str,
    names: Texts,
    northing: Array,
    easting: Array,
    elevation: Array,
    source_line: npt.NDArray[np.int64],
) -> None:
    """Refuse coordinates that are not place on the earth."""
    if len(names) == 0:
        return
    edges = [
        abs(float(edge)) for array in (northing, easting) for edge in (array.min(), array.max())
    ]
    edges += [float(np.fmax.reduce(elevation)), -float(np.fmin.reduce(elevation))]
    if all(edge < FARTHEST for edge in edges[:4]) and not max(edges[4:]) >= FARTHEST:
        return
    sound = (np.abs(northing) < FARTHEST) & (np.abs(easting) < FARTHEST)
    sound &= ~(np.abs(elevation) >= FARTHEST)
    bad = np.flatnonzero(~sound)
    if len(bad) == 0:
        return
    first = [
        Problem(
            path=name,
            line=int(source_line[index]) or None,
            message=f"point {names[index]} has a coordinate that is not a place on the earth",
        )
        for index in bad[:20]
    ]
    if len(bad) > len(first):
        first.append(Problem(path=name, message=f"and {len(bad) - len(first)} more such points"))
    raise InputError(*first)


def _tile_notices(crs: str | None, northing: Array, easting: Array) -> list[Notice]:
    """Say where the coordinates are those of map pictures, whose lengths are not the ground's."""
    if crs is None or len(northing) == 0 or not is_map_tiles(crs):
        return []
    from staking.crs import grid_figures

    middle = float(np.median(northing)), float(np.median(easting))
    return [
        notice(
            "map-tiles",
            "{crs} is the grid of map pictures: here a length in it is {scale} times that on the "
            "ground, and no lot is laid out in it; convert it with --to-crs and the code of the "
            "lot's state plane or UTM zone",
            crs=crs,
            scale=f"{grid_figures(*middle, None, crs).scale:.4f}",
        )
    ]


def _surface_notices(surfaces: tuple[Surface, ...]) -> list[Notice]:
    """Say that a job has to name its ground where several surfaces differ."""
    first = surfaces[0] if surfaces else None
    if first is None or all(surface.is_same_as(first) for surface in surfaces[1:]):
        return []
    return [
        notice(
            "surfaces-differ",
            "the {count} surfaces differ; a job says which is its ground, as in grade: ground: "
            "{{surface: {name}}}",
            count=len(surfaces),
            name=first.name,
        )
    ]


def _duplicate_notices(
    names: Texts, northing: Array, easting: Array, elevation: Array
) -> list[Notice]:
    """Say which names occur twice, and how far apart the farthest two of one name are."""
    twice = duplicate_names(names)
    if not twice:
        return []
    wanted = set(twice)
    places: dict[str, list[int]] = {}
    for index, text in enumerate(names):
        if text in wanted:
            places.setdefault(text, []).append(index)
    apart = max(
        float(np.hypot(np.ptp(northing[rows]), np.ptp(easting[rows]))) for rows in places.values()
    )
    verb = "occurs" if len(twice) == 1 else "occur"
    return [
        notice(
            "duplicate-names",
            "the name {names} " + verb + " more than once, up to {apart} apart"
            if len(twice) == 1
            else "{count} names " + verb + " more than once, up to {apart} apart: {names}",
            names=listed(twice),
            count=len(twice),
            apart=Length(apart),
        )
    ]


def _level_notices(names: Texts, elevation: Array) -> list[Notice]:
    """Say which points have no elevation."""
    missing = np.flatnonzero(np.isnan(elevation))
    if len(missing) == 0:
        return []
    if len(missing) == len(elevation):
        return [notice("no-elevations", "no point has an elevation", severity=Severity.NOTE)]
    text = (
        "point {names} has no elevation"
        if len(missing) == 1
        else "{count} points have no elevation: {names}"
    )
    shown = [str(names[index]) for index in missing[: MOST_NAMED + 1]]
    more = len(missing) - MOST_NAMED
    words = listed(shown) if more <= 1 else f"{', '.join(shown[:MOST_NAMED])} and {more} more"
    return [notice("missing-elevations", text, names=words, count=len(missing))]


def _outlier_notices(names: Texts, northing: Array, easting: Array) -> list[Notice]:
    """Say which points lie miles off the rest: over a mile, and over twenty times the usual."""
    if len(names) < 3:
        return []
    if max(np.ptp(northing), np.ptp(easting)) < MILES_OFF / 2:
        return []
    # Some thousands of points tell the middle and the usual distance of millions.
    step = max(1, len(names) // 5000)
    middle = float(np.median(northing[::step])), float(np.median(easting[::step]))
    sampled = np.hypot(northing[::step] - middle[0], easting[::step] - middle[1])
    limit = max(MILES_OFF, 20.0 * float(np.median(sampled)))
    reach = [
        max(float(values.max()) - centre, centre - float(values.min()))
        for values, centre in zip((northing, easting), middle, strict=True)
    ]
    if math.hypot(*reach) <= limit:
        return []
    away = np.hypot(northing - middle[0], easting - middle[1])
    far = np.flatnonzero(away > limit)
    if len(far) == 0:
        return []
    text = (
        "point {names} lies {away} from the middle of the rest"
        if len(far) == 1
        else "{count} points lie far from the rest, up to {away} from its middle: {names}"
    )
    return [
        notice(
            "outliers",
            text,
            names=listed([str(names[index]) for index in far]),
            count=len(far),
            away=Length(float(away.max())),
        )
    ]
