"""Lengths, tolerances and notices in words."""

from __future__ import annotations

import math

import pytest

from staking.kinds import RodMarks
from staking.notices import Angle, Area, Azimuth, Length, notice
from staking.output.wording import Words, safe
from staking.plan import Options, Show

FEET = Words(Options())
INCH = 0.0254


def test_a_length_is_written_in_feet_inches_and_sixteenths() -> None:
    assert FEET.length((24 * 12 + 6.5) * INCH) == "24' 6 1/2\""


def test_a_metric_job_shows_no_feet() -> None:
    shown = Words(Options(unit="m", show=Show.METRES)).length(3.25)
    assert shown.startswith("3.25")
    assert "'" not in shown
    assert '"' not in shown


@pytest.mark.parametrize(
    ("show", "metres", "shown"),
    [
        (Show.FEET_INCHES, 0.0005, 'off by under 1/16"'),
        (Show.FEET_INCHES, 0.001, 'off by 1/16"'),
        (Show.FEET_INCHES, 0.0, 'off by 0"'),
        (Show.FEET_INCHES, 1e-9, 'off by 0"'),
    ],
)
def test_a_small_difference_in_a_sentence_never_reads_as_none(
    show: Show, metres: float, shown: str
) -> None:
    told = notice("off", "off by {far}", far=Length(metres))
    assert Words(Options(show=show)).notice(told) == shown


@pytest.mark.parametrize("show", [Show.DECIMAL_FEET, Show.METRES, Show.MILLIMETRES])
def test_a_small_difference_is_told_in_every_way_of_showing(show: Show) -> None:
    words = Words(Options(unit="m", show=show))
    told = words.notice(notice("off", "{far}", far=Length(0.00004)))
    assert told.startswith("under ")
    assert any(digit in told for digit in "123456789")


@pytest.mark.parametrize(
    ("inches", "shown"),
    [
        (0.25, '1/4"'),
        (0.25 - 1e-4, '7/32"'),
        (3 / 32, '3/32"'),
        (3 / 32 + 0.03, '3/32"'),
        (0.001, '1/32"'),
        (0.0, '1/32"'),
    ],
)
def test_a_tolerance_is_rounded_down_to_a_thirty_second_and_never_to_nothing(
    inches: float, shown: str
) -> None:
    assert FEET.allowed(inches * INCH) == shown


@pytest.mark.parametrize(
    ("show", "metres", "part"),
    [
        (Show.MILLIMETRES, 0.0068, "6"),
        (Show.MILLIMETRES, 0.0002, "1"),
        (Show.METRES, 0.0068, "0.006"),
        (Show.METRES, 0.0002, "0.001"),
    ],
)
def test_a_metric_tolerance_is_rounded_down_to_a_millimetre(
    show: Show, metres: float, part: str
) -> None:
    assert Words(Options(unit="m", show=show)).allowed(metres).startswith(part)


def test_a_notice_is_written_with_the_units_of_the_job() -> None:
    told = notice(
        "moved",
        "board {board} stands {far} from {corner}",
        board="3",
        far=Length(6 * INCH),
        corner="A",
    )
    assert FEET.notice(told) == 'board 3 stands 6" from A'
    metric = Words(Options(unit="m", show=Show.METRES)).notice(told)
    assert "0.152" in metric


def test_a_notice_takes_areas_angles_directions_and_numbers() -> None:
    told = notice(
        "all",
        "{area}; {angle}; {way}; {count}; {share}",
        area=Area(0.3048**2 * 12),
        angle=Angle(math.pi / 2),
        way=Azimuth(math.pi / 4),
        count=3,
        share=0.5,
    )
    area, angle, way, count, share = FEET.notice(told).split("; ")
    assert area.startswith("12")
    assert angle.startswith("90")
    assert way.startswith("N 45")
    assert way.endswith("E")
    assert (count, share) == ("3", "0.5")


def test_text_with_control_characters_cannot_steer_the_terminal() -> None:
    assert safe("a\x1b[2Jb\x07\x9b") == "a?[2Jb??"
    assert safe("two\r\nlines\tand\x0bmore") == "two  lines and more"
    assert safe("right‮to left​") == "right?to left?"
    assert safe("é ½ ′") == "é ½ ′"


def test_a_hostile_value_in_a_notice_is_made_harmless() -> None:
    told = notice("x", "job {job}", job="[red]{boo}\x1b[31m")
    assert FEET.notice(told) == "job [red]{boo}?[31m"


@pytest.mark.parametrize(
    ("inches", "shown"), [(1 / 4, "0.020 ft"), (1 / 8, "0.010 ft"), (0.0375, "0.003 ft")]
)
def test_a_tolerance_in_decimal_feet_does_not_grow_on_the_page(inches, shown):
    words = Words(Options(show=Show.DECIMAL_FEET))
    assert words.allowed(inches * INCH) == shown


@pytest.mark.parametrize(
    ("show", "shown"),
    [(Show.MILLIMETRES, "53.596 m"), (Show.METRES, "53.596 m"), (Show.DECIMAL_FEET, "175.84 ft")],
)
def test_an_elevation_in_a_job_in_millimetres_is_in_metres(show: Show, shown: str) -> None:
    assert Words(Options(show=show)).level(53.5961) == shown


@pytest.mark.parametrize("show", [Show.FEET_INCHES, Show.DECIMAL_FEET])
def test_the_rod_is_written_as_it_is_marked_whatever_the_job_shows(show: Show) -> None:
    words = Words(Options(show=show))
    # 27 1/2 inches are 2.29 feet.
    assert words.on_rod(27.5 * INCH, RodMarks.INCHES) == "2' 3 1/2\""
    assert words.on_rod(27.5 * INCH, RodMarks.TENTHS) == "2.29 ft"
    assert words.on_rod(-27.5 * INCH, RodMarks.TENTHS) == "-2.29 ft"


def test_a_metric_jobs_rod_is_written_as_lengths_are() -> None:
    for marked in RodMarks:
        assert Words(Options(unit="m", show=Show.METRES)).on_rod(0.75, marked) == "0.750 m"
