"""3DFACE entities as surfaces: shared corners, triangles, one surface a layer."""

from __future__ import annotations

import numpy as np

from staking.points import Surface
from staking.survey.dxf.drawing_place import Placed
from staking.survey.dxf.entities import DrawnFace, Xyz


def surfaces(faces: list[DrawnFace], place: Placed) -> tuple[Surface, ...]:
    """Make a surface of the faces on each layer.

    Parameters
    ----------
    faces
        With three or four different corners; others are not a face and are left out.
    place
        From the drawing to northing, easting and elevation, m.

    Returns
    -------
    tuple of Surface
        By layer, in the order of the drawing; a face with four corners becomes two triangles.
    """
    layers: dict[str, list[DrawnFace]] = {}
    for face in faces:
        if len(face.corners) >= 3:
            layers.setdefault(face.layer, []).append(face)
    made = []
    for layer, found in layers.items():
        index: dict[Xyz, int] = {}
        triangles = []
        for face in found:
            at = [index.setdefault(corner, len(index)) for corner in face.corners]
            triangles += [(at[0], at[k], at[k + 1]) for k in range(1, len(at) - 1)]
        made.append(
            Surface(
                name=layer,
                vertices=place.apply(np.array(list(index), dtype=float)),
                faces=np.array(triangles, dtype=np.intp),
            )
        )
    return tuple(made)
