"""A drawing as it is shown: every layer, arcs as chains, nothing finer than can be seen."""

from __future__ import annotations

import numpy as np
import pytest

from staking.outline import drawn_layers
from staking.outline.designers_drawing import CurveKind, DrawnCurve, PlanDrawing
from staking.outline.drawn_layers import shown_drawing


def drawing(*curves: tuple[str, CurveKind, list[tuple[float, float]]]) -> PlanDrawing:
    made = tuple(DrawnCurve(layer=a, kind=b, points=np.array(c, dtype=float)) for a, b, c in curves)
    return PlanDrawing(name="plan.dxf", curves=made, dimensions=(), header_unit=None)


def test_a_layer_keeps_its_lines_where_they_are_drawn() -> None:
    far = 1_640_000.0
    shown = shown_drawing(
        drawing(("WALL", CurveKind.STRAIGHT, [(far, 2), (far + 40, 2), (far + 40, 32)]))
    )
    assert (shown.low, shown.high) == ((far, 2), (far + 40, 32))
    assert shown.layers[0].chains[0].tolist() == [[far, 2], [far + 40, 2], [far + 40, 32]]


def test_an_arc_is_shown_as_a_chain_near_its_circle() -> None:
    arc = [(60.0, 0.0), (0.0, 60.0), (-60.0, 0.0)]
    shown = shown_drawing(drawing(("DOOR", CurveKind.ARC, arc)))
    (chain,) = shown.layers[0].chains
    assert np.hypot(*chain.T) == pytest.approx(np.full(len(chain), 60.0), rel=0, abs=1e-6)
    middles = (chain[1:] + chain[:-1]) / 2
    assert np.hypot(*middles.T).min() > 60.0 - 120.0 / 1000


def test_what_is_too_small_to_be_seen_is_left_out() -> None:
    line = [(0.0, 0.0), (0.1, 0.0), (400.0, 0.0)]
    speck = [(9.0, 9.0), (9.01, 9.0)]
    shown = shown_drawing(
        drawing(("WALL", CurveKind.STRAIGHT, line), ("HATCH", CurveKind.STRAIGHT, speck))
    )
    assert [each.name for each in shown.layers] == ["HATCH", "WALL"]
    assert shown.layers[0].chains == ()
    assert shown.layers[1].chains[0].tolist() == [[0, 0], [400, 0]]


def test_of_very_many_lines_the_longest_are_shown(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(drawn_layers, "MOST_CHAINS", 2)
    lines = [("WALL", CurveKind.STRAIGHT, [(0.0, y), (length, y)]) for y, length in
             ((0.0, 30.0), (1.0, 90.0), (2.0, 60.0))]  # fmt: skip
    shown = shown_drawing(drawing(*lines))
    assert [np.ptp(each[:, 0]) for each in shown.layers[0].chains] == [90, 60]


def test_a_drawing_of_nothing_is_shown_as_nothing() -> None:
    assert shown_drawing(drawing()).layers == ()
