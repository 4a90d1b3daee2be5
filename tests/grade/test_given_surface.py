"""The ground from a surface's own triangles, invented."""

from __future__ import annotations

import numpy as np
import pytest

from staking.errors import ComputationError
from staking.grade.stepping.cells import Patch
from staking.grade.terrain.given_surface import ground_of_faces

SQUARE = [(1.0, 1.0), (5.0, 1.0), (5.0, 5.0), (1.0, 5.0)]


def grid(count: int = 7) -> tuple[np.ndarray, np.ndarray]:
    """Vertices a metre apart and two triangles a square, every other one clockwise."""
    x, y = np.meshgrid(np.arange(float(count)), np.arange(float(count)))
    vertices = np.column_stack((x.ravel(), y.ravel(), 30 - x.ravel() / 8 + y.ravel() ** 2 / 9))
    faces = []
    for j in range(count - 1):
        for i in range(count - 1):
            a = j * count + i
            faces += [(a, a + 1, a + count + 1), (a, a + count, a + count + 1)]
    return vertices, np.array(faces)


def test_the_triangles_are_taken_as_they_are_given() -> None:
    vertices, faces = grid()
    ground = ground_of_faces(vertices, faces, [SQUARE])
    # Along the diagonal from (1, 1) to (2, 2): 30 - 1/8 + 1/9 and 30 - 2/8 + 4/9.
    middle = ground.at(np.array([(1.5, 1.5), (0.5, 0.5), (9.0, 9.0)]))
    assert middle[0] == pytest.approx(30 - 1.5 / 8 + 2.5 / 9, abs=1e-9)
    assert middle[1] == pytest.approx(30 - 0.5 / 8 + 0.5 / 9, abs=1e-9)
    assert np.isnan(middle[2])
    patch = Patch(wall="A-B", start=0, end=4, ring=tuple(SQUARE))
    assert ground.lowest([patch])[0] == pytest.approx(30 - 5 / 8 + 1 / 9, abs=1e-9)
    assert ground.highest([patch])[0] == pytest.approx(30 - 1 / 8 + 25 / 9, abs=1e-9)


def test_outside_the_surface_is_an_error_with_how_far() -> None:
    vertices, faces = grid()
    ring = [(x + 3.0, y) for x, y in SQUARE]
    with pytest.raises(ComputationError, match=r"reaches 6\.6 ft \(2\.00 m\) outside the surface"):
        ground_of_faces(vertices, faces, [ring])


def test_a_hole_under_the_footing_is_refused() -> None:
    vertices, faces = grid()
    hole = [i for i, face in enumerate(faces.tolist()) if 24 in face]
    with pytest.raises(ComputationError, match="a hole or an edge under the footing"):
        ground_of_faces(vertices, np.delete(faces, hole, axis=0), [SQUARE])


def test_an_upright_face_is_passed_over_and_two_layers_are_refused() -> None:
    vertices, faces = grid()
    vertices = np.vstack((vertices, vertices[24] + (0, 0, 1)))
    upright = np.vstack((faces, [(24, 25, 49), (24, 49, 31)]))
    ground = ground_of_faces(vertices, np.vstack((faces, [(24, 49, 24)])), [SQUARE])
    assert ground.at(np.array([(3.0, 3.0)]))[0] == pytest.approx(30 - 3 / 8 + 1, abs=1e-9)
    layers = np.vstack((faces, [(24, 25, 32)]))
    lifted = np.vstack((vertices, vertices[[24, 25, 32]] + (0, 0, 0.5)))
    layers[-1] = (50, 51, 52)
    assert ground_of_faces(vertices, upright[:-2], [SQUARE]).notices == ()
    with pytest.raises(ComputationError, match="two elevations at one place"):
        ground_of_faces(lifted, layers, [SQUARE])


def test_a_surface_without_triangles_is_refused() -> None:
    vertices, faces = grid()
    with pytest.raises(ComputationError, match="no triangles"):
        ground_of_faces(vertices, faces[:0], [SQUARE])
