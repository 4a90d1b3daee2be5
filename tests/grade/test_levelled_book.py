"""A level book as the ground of a building, from values."""

from __future__ import annotations

import pytest

from staking.errors import InputError
from staking.grade.grade_request import (
    BenchmarkAsked,
    FinishedAsked,
    GradeAsked,
    GroundAsked,
    SectionPlace,
    TopAsked,
)
from staking.grade.stepping.step_rules import GradeRules
from staking.grade.stepping.wall_network import build_network
from staking.grade.terrain.levelled_book import LevelBook, LevelLine, levelled_ground
from staking.kinds import GroundSource
from staking.notices import Severity
from tests.order.jobs import FOOT, INCH, rectangle

NETWORK = build_network(rectangle(24, 16))


def asked(benchmark: float | None = None) -> GradeAsked:
    known = None if benchmark is None else BenchmarkAsked(name="nail", elevation=benchmark)
    return GradeAsked(
        ground=GroundAsked(source=GroundSource.LEVEL_BOOK, book="levels.csv"),
        finished=FinishedAsked(),
        benchmark=known,
        top_of_wall=TopAsked(elevation=33.0),
        rules=GradeRules(course=8 * INCH, frost_depth=3 * FOOT),
        written=SectionPlace(),
    )


def line(number: int, point: str, **read: float) -> LevelLine:
    sights = {"back": None, "side": None, "fore": None, "known": None} | read
    return LevelLine(point=point, description="", line=number, **sights)  # type: ignore[arg-type]


def book(*more: LevelLine, back: float = 3.0, named: bool = True) -> LevelBook:
    """One set-up on a nail at 30 m: the instrument stands at 30 + 2 = 32 m; back to the nail."""
    corners = (
        line(3, "A", side=2.0),
        line(4, "B", side=2.5),
        line(5, "C", side=1.5),
        line(6, "D", side=1.0),
    )
    return LevelBook(
        name="levels.csv",
        lines=(
            line(2, "nail", back=2.0, known=30.0),
            *corners,
            *more,
            line(9, "nail", fore=back, known=30.0),
        ),
        unit="m",
        unit_named=named,
    )


def test_points_named_after_corners_walls_and_pads_are_the_ground() -> None:
    levels = book(line(7, "A-B at 12'", side=2.2), line(8, "P", side=1.8), back=2.0)
    ground, told = levelled_ground(asked(), levels, NETWORK, {"P": ()})
    assert ground.source == "readings"
    # 32 less what the rod reads
    assert dict(ground.corners) == pytest.approx(
        {"A": 30.0, "B": 29.5, "C": 30.5, "D": 31.0}, rel=0, abs=1e-9
    )
    ((wall, station, level),) = ground.along
    assert wall == "A-B"
    assert (station, level) == pytest.approx((12 * FOOT, 29.8), rel=0, abs=1e-9)
    assert dict(ground.pads) == pytest.approx({"P": 30.2}, rel=0, abs=1e-9)
    assert [each.kind for each in told] == ["level-book-closed", "level-book-others"]
    assert dict(told[1].values)["names"] == "nail"


def test_a_run_that_closes_worse_than_half_an_inch_is_a_slip() -> None:
    # half an inch is 12.7 mm
    for off, severity in ((0.012, Severity.NOTE), (0.013, Severity.WARNING)):
        _, told = levelled_ground(asked(), book(back=2.0 - off), NETWORK, {})
        assert told[0].severity is severity
        assert dict(told[0].values)["way"] == "high"
        assert dict(told[0].values)["off"].metres == pytest.approx(off, rel=0, abs=1e-9)


def test_a_run_that_comes_back_to_nothing_and_names_no_unit_is_told() -> None:
    whole = book(back=2.0, named=False)
    open_run = LevelBook(name="levels.csv", lines=whole.lines[:-1], unit="m", unit_named=False)
    _, told = levelled_ground(asked(), open_run, NETWORK, {})
    assert [each.kind for each in told] == [
        "level-book-open",
        "level-book-others",
        "level-book-unit",
    ]


def test_a_corner_left_out_and_another_benchmark_are_refused_together() -> None:
    whole = book(back=2.0)
    without = LevelBook(
        name="levels.csv",
        lines=tuple(each for each in whole.lines if each.point != "C"),
        unit="m",
        unit_named=True,
    )
    with pytest.raises(InputError) as caught:
        levelled_ground(asked(benchmark=30.5), without, NETWORK, {})
    first, second = str(caught.value).splitlines()
    assert "nail has another elevation here than in levels.csv, line 2" in first
    assert "nothing is read at C in levels.csv" in second
    # a sixteenth of an inch, 1.6 mm, apart is one benchmark
    levelled_ground(asked(benchmark=30.001), whole, NETWORK, {})


def test_a_point_past_the_end_of_its_wall_is_refused_with_its_line() -> None:
    with pytest.raises(InputError, match=r"levels\.csv, line 7: A-B at 25' is past the end of A-B"):
        levelled_ground(asked(), book(line(7, "A-B at 25'", side=2.0), back=2.0), NETWORK, {})
