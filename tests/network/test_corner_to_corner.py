from __future__ import annotations

import math

import numpy as np
import pytest
from numpy.typing import NDArray

from staking.network.corner_to_corner import CornerTriangle, angle_error, walked_radii95
from staking.plan import Tape

INCH = 0.0254
FOOT = 0.3048
ERROR = INCH / 8
TAPE = Tape(error=ERROR)
WING = np.array([(0, 0), (36, 0), (36, 24), (24, 24), (24, 32), (0, 32)]) * FOOT
SKEW = np.array([(0, 0), (12, 0), (8, 6.9282), (0, 6.9282)])


def triangle(points: NDArray[np.float64], at: int, one: float, other: float) -> CornerTriangle:
    """Legs along both walls at a corner, the first toward the corner before."""
    before, here, after = points[at - 1], points[at], points[(at + 1) % len(points)]
    a = here + (before - here) / math.dist(before, here) * one
    b = here + (after - here) / math.dist(after, here) * other
    return CornerTriangle(legs=(one, other), across=math.dist(a, b))


def test_a_3_4_5_of_unit_k_is_out_by_a_fixed_share_of_the_tape_over_k() -> None:
    """sqrt(50) / 12 of the tape's error over the unit: derived by hand."""
    for k in (1.0, 2.0, 5.5):
        made = angle_error(CornerTriangle(legs=(3 * k, 4 * k), across=5 * k), TAPE)
        assert made * k / ERROR == pytest.approx(0.5892556510, rel=0, abs=1e-9)


def laid_out(
    points: NDArray[np.float64], triangles: list[CornerTriangle], rng: np.random.Generator
) -> NDArray[np.float64]:
    """Walk both ways from the base line 0-1, reading each tape with an error of its own."""

    def off() -> float:
        return float(rng.normal(0, ERROR))

    def misturn(at: int) -> float:
        (a, b), c = triangles[at].legs, triangles[at].across
        a2, b2, c2 = a + off(), b + off(), c + off()
        planned = math.acos((a * a + b * b - c * c) / (2 * a * b))
        return math.acos((a2 * a2 + b2 * b2 - c2 * c2) / (2 * a2 * b2)) - planned

    count = len(points)
    out = points.copy()
    for way, sense in (
        (list(range(count // 2 + 1)), 1.0),
        ([1, 0, *range(count - 1, count // 2, -1)], -1.0),
    ):
        turned = 0.0
        for last, here, there in zip(way, way[1:], way[2:], strict=False):
            if sense > 0 and last == 0:
                out[1] = points[1] + np.array([off(), 0.0])
            turned += sense * misturn(here)
            run = points[there] - points[here]
            length = float(np.hypot(*run))
            angle = math.atan2(run[1], run[0]) + turned
            out[there] = out[here] + (length + off()) * np.array([math.cos(angle), math.sin(angle)])
    return out


def onto(points: NDArray[np.float64], plan: NDArray[np.float64]) -> NDArray[np.float64]:
    """The best fit by a turn and a shift, in complex numbers."""
    here, there = (p - p.mean(axis=0) for p in (points, plan))
    z, w = here @ (1, 1j), there @ (1, 1j)
    spin = (z.conj() * w).sum()
    fitted = z * spin / abs(spin)
    return np.column_stack((fitted.real, fitted.imag)) - there


@pytest.mark.parametrize(
    ("points", "legs"),
    [
        (WING, [(24, 32), (18, 24), (9, 12), (6, 8), (8, 6), (18, 24)]),
        (SKEW / FOOT, [(14.76, 19.68), (20, 20), (20, 20), (19.68, 14.76)]),
    ],
    ids=["workshop with a wing", "a slanting wall"],
)
def test_the_radii_are_what_many_trials_come_to(
    points: NDArray[np.float64], legs: list[tuple[float, float]]
) -> None:
    plan = points if points is WING else points * FOOT
    triangles = [
        triangle(plan, at, one * FOOT, other * FOOT) for at, (one, other) in enumerate(legs)
    ]
    told = walked_radii95(plan, 0, triangles, TAPE)
    assert told is not None
    rng = np.random.default_rng(31)
    trials = np.array([onto(laid_out(plan, triangles, rng), plan) for _ in range(2500)])
    for place, radius in enumerate(told):
        spread = np.cov(trials[:, place].T)
        seen = math.sqrt(-2 * math.log(0.05) * np.linalg.eigvalsh(spread)[-1])
        assert radius == pytest.approx(seen, rel=0.05, abs=0)


def test_a_corner_without_a_triangle_cannot_be_walked_past() -> None:
    triangles = [triangle(WING, at, 1.0, 1.0) for at in range(6)]
    assert walked_radii95(WING, 0, [*triangles[:2], None, *triangles[3:]], TAPE) is None


def test_where_the_outline_starts_changes_nothing() -> None:
    triangles = [triangle(WING, at, 1.5, 2.0) for at in range(6)]
    here = walked_radii95(WING, 0, triangles, TAPE)
    there = walked_radii95(np.roll(WING, 2, axis=0), 2, [*triangles[4:], *triangles[:4]], TAPE)
    assert here is not None
    assert there is not None
    assert here == pytest.approx((*there[2:], *there[:2]), rel=0, abs=1e-9)
