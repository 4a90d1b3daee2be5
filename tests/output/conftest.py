"""A small layout made by hand, so that what is written is compared with what was put in."""

from __future__ import annotations

import pytest

from staking.footing.bands_and_outlines import Band, Outline
from staking.kinds import CheckKind, FootingKind, StringKind, StringLine
from staking.laid_out.layout_value import Layout
from staking.layout.layout_parts import Accuracy, Board, Check, Hub, Mark, Pass, String
from staking.notices import Length, Severity, notice
from staking.plan import Building, Corner, Footing, InteriorLine, Options, Pad, Plan, Wall

FT = 0.3048
IN = 0.0254


def _ring(*points: tuple[float, float]) -> tuple[tuple[float, float], ...]:
    return tuple((x * FT, y * FT) for x, y in points)


@pytest.fixture
def small_layout() -> Layout:
    """A shed of 24 by 16 ft with one interior line, one pad and one string."""
    names = "ABCD"
    places = ((0, 0), (24, 0), (24, 16), (0, 16))
    footing = Footing(width=20 * IN, thickness=10 * IN, outside=6 * IN)
    building = Building(
        name=None,
        corners=tuple(
            Corner(name=name, x=x * FT, y=y * FT)
            for name, (x, y) in zip(names, places, strict=True)
        ),
        walls=tuple(
            Wall(start=start, end=end, thickness=8 * IN, footing=footing)
            for start, end in zip(names, "BCDA", strict=True)
        ),
    )
    plan = Plan(
        job="Plum shed",
        buildings=(building,),
        interior=(
            InteriorLine(
                name="G",
                start=(12 * FT, 0.0),
                end=(12 * FT, 16 * FT),
                start_on="A-B",
                end_on="C-D",
                thickness=8 * IN,
                footing=Footing(width=16 * IN, thickness=8 * IN, outside=4 * IN),
            ),
        ),
        pads=(
            Pad(
                name="P1",
                x=30 * FT,
                y=6 * FT,
                size=(2 * FT, 2 * FT),
                diameter=None,
                thickness=1 * FT,
            ),
        ),
    )
    outline = Outline(
        outlines=(_ring((-0.5, -0.5), (24.5, -0.5), (24.5, 16.5), (-0.5, 16.5)),),
        holes=(),
        area=100 * FT * FT,
    )
    bands = (Band(name="A-B", kind=FootingKind.WALL, hull=_ring((0, 0), (24, 0), (24, 1))),)
    marks = tuple(
        Mark(mark=name, wall="A-B", offset=inches * IN, x=-4 * FT, y=-inches * IN)
        for name, inches in (
            ("outside face", 0),
            ("inside face", -8),
            ("outer footing edge", 6),
            ("inner footing edge", -14),
        )
    )
    return Layout(
        plan=plan,
        options=Options(),
        footing=outline,
        dig=outline,
        footing_bands=bands,
        dig_bands=bands,
        strings=(
            String(
                name="A-B",
                line=StringLine.OUTSIDE_FACE,
                kind=StringKind.WALL,
                walls=("A-B",),
                start=(-4 * FT, 0.0),
                end=(28 * FT, 0.0),
                length=32 * FT,
                boards=("1", None),
                passes=(
                    Pass(name="A", is_pad=False, from_start=4 * FT),
                    Pass(name="B", is_pad=False, from_start=28 * FT),
                ),
            ),
        ),
        boards=(
            Board(
                name="1",
                string="A-B",
                end="A",
                past="A",
                x=-4 * FT,
                y=0.0,
                stand_off=4 * FT,
                clear=3.5 * FT,
                ends=((-4 * FT, -1 * FT), (-4 * FT, 20 * IN)),
                marks=marks,
            ),
        ),
        hubs=(Hub(corner="A", wall="A-B", x=-6 * FT, y=0.0),),
        checks=(
            Check(
                kind=CheckKind.SIDE,
                at=None,
                from_name="A",
                to_name="B",
                distance=24 * FT,
                allowed=IN / 4,
            ),
            Check(
                kind=CheckKind.RIGHT_ANGLE,
                at="A",
                from_name="B",
                to_name="D",
                distance=15 * FT,
                allowed=IN / 8,
                legs=(9 * FT, 12 * FT),
                in_network=False,
            ),
        ),
        accuracy=(
            Accuracy(corner="A", radius95=IN / 4),
            Accuracy(corner="B", radius95=None),
        ),
        notices=(
            notice(
                "moved",
                "board {board} was moved by {far}",
                severity=Severity.NOTE,
                board="1",
                far=Length(6 * IN),
            ),
            notice("tape-short", "{side} is longer than the tape", side="A-B"),
        ),
    )
