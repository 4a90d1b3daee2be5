"""DXF: survey points, lines and faces out of a drawing's model space.

x is taken for easting and y for northing, unless the drawing's GEODATA says where it lies.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, BinaryIO

import numpy as np

from staking.errors import InputError, Problem
from staking.notices import Notice, Severity, notice
from staking.points import Array, SurveyLine, SurveyPoints, SurveySettings
from staking.survey.assemble import survey_points
from staking.survey.dxf.drawing_place import drawing_unit, placement
from staking.survey.dxf.entities import Drawn, collect
from staking.survey.dxf.faces import surfaces
from staking.survey.dxf.open_drawing import open_drawing, overheard
from staking.survey.dxf.point_words import named_points, unread_attributes
from staking.survey.xml_faults import numbered, numbered_notices

if TYPE_CHECKING:
    from ezdxf.document import Drawing


def parse_dxf(stream: BinaryIO, name: str, settings: SurveySettings) -> SurveyPoints:
    """Read a DXF drawing.

    Parameters
    ----------
    stream
        The bytes.
    name
        The file as the user named it.
    settings
        `unit` stands over the drawing's $INSUNITS and must be given where it has none; `crs`
        names the grid the drawing is in, where its GEODATA does not; `columns` says what its
        attributes and layers of labels are, in the order in which they are listed.

    Returns
    -------
    SurveyPoints
        POINT, and INSERT with attributes, as points; LINE, LWPOLYLINE and POLYLINE as lines, whose
        vertices are the points of a drawing that has no others; 3DFACE as surfaces by layer.

    Raises
    ------
    InputError
        Where the file is not a sound DXF, breaks off, or does not say its unit.

    References
    ----------
    The open DXF reference: $INSUNITS, group codes 10 to 40 of the entities above, GEODATA.
    """
    doc, said = open_drawing(stream, name)
    with _no_fault_of_entities(name):
        unit = drawing_unit(doc, name, settings, said)
    drawn = _collected(doc, name)
    named = named_points(drawn, unit, settings.columns, name)
    place = placement(doc, unit, settings, said)
    drawn.passed.update(named.passed)
    said += [*drawn.notices(), *named.notices]
    vertices = [place.apply(np.array(line.vertices, dtype=float)) for line in drawn.lines]
    names = [point.name for point in named.points]
    rows = place.apply(np.array([point.at for point in named.points], dtype=float).reshape(-1, 3))
    descriptions = [point.description for point in named.points]
    faces = surfaces(drawn.faces, place)
    if not named.points and vertices:
        rows = np.concatenate(vertices)
        names, descriptions = [""] * len(rows), [""] * len(rows)
        said.append(
            notice(
                "vertices-counted",
                "the drawing holds lines and no points; the lines' vertices are taken as points",
                severity=Severity.NOTE,
            )
        )
    if not named.points and not vertices and not faces and drawn.blocks:
        raise InputError(unread_attributes(drawn.blocks, name))
    names, given = numbered(names)
    said += numbered_notices(given)
    if not faces:
        _clear_flat(rows, vertices, said, named.has_levels)
    return survey_points(
        name=name,
        format="DXF",
        names=names,
        northing=rows[:, 0].copy(),
        easting=rows[:, 1].copy(),
        elevation=rows[:, 2].copy(),
        descriptions=descriptions,
        unit=unit.value,
        crs=place.crs,
        lines=tuple(
            SurveyLine(name=line.name, vertices=chain)
            for line, chain in zip(drawn.lines, vertices, strict=True)
        ),
        surfaces=faces,
        notices=said,
        settings=settings,
    )


def _clear_flat(rows: Array, vertices: list[Array], said: list[Notice], has_levels: bool) -> None:
    """Take a drawing in which nothing has a height for one without elevations.

    Heights that stand in words only, as `has_levels` tells, leave the drawing itself flat.
    """
    drawn = [*([] if has_levels else [rows[:, 2]]), *(chain[:, 2] for chain in vertices)]
    levels = np.concatenate(drawn) if drawn else np.empty(0)
    if np.isnan(levels).all() or (levels[~np.isnan(levels)] != 0.0).any():
        return
    for chain in vertices:
        chain[:, 2] = np.nan
    if has_levels:
        return
    rows[:, 2] = np.nan
    said.append(
        notice(
            "flat-drawing",
            "every z in the drawing is 0, which is taken for no elevation",
            severity=Severity.NOTE,
        )
    )


def _collected(doc: Drawing, name: str) -> Drawn:
    with _no_fault_of_entities(name):
        return collect(doc)


@contextmanager
def _no_fault_of_entities(name: str) -> Iterator[None]:
    """Turn what a malformed entity raises inside the drawing library into a fault of the file."""
    try:
        with overheard():
            yield
    except InputError:
        raise
    except Exception as fault:
        # It is of every kind.
        raise InputError(
            Problem(path=name, message="an entity of the drawing is malformed")
        ) from fault
