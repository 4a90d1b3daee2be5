"""One ground reading against the plane of the others."""

from __future__ import annotations

import pytest

from staking.grade.terrain.odd_readings import GroundReading, odd_reading_notices
from staking.notices import Length

FOOT = 0.3048
SIX = [("A", 0, 0), ("B", 30, 0), ("C", 30, 20), ("D", 10, 20), ("E", 10, 28), ("F", 0, 28)]


def readings(
    off: dict[str, float], *, sight: float | None = None, places: object = SIX
) -> list[GroundReading]:
    """Readings in feet on the plane 100 - x / 10 + y / 20, some of them off it."""
    found = []
    for name, x, y in places:  # type: ignore[attr-defined]
        level = (100 - x / 10 + y / 20 + off.get(name, 0.0)) * FOOT
        given = level if sight is None else sight * FOOT - level
        found.append(
            GroundReading(
                on=name, station=None, place=(x * FOOT, y * FOOT), given=given, level=level
            )
        )
    return found


def told(off: dict[str, float], **options: object) -> list[tuple[str, dict[str, object]]]:
    metric = bool(options.pop("metric", False))
    given = readings(off, **options)  # type: ignore[arg-type]
    said = odd_reading_notices(given, metric=metric, rod="sight" in options)
    return [(each.kind, dict(each.values)) for each in said]


def feet(value: object) -> float:
    assert isinstance(value, Length)
    return round(value.metres / FOOT, 6)


def test_a_plane_says_nothing_however_steep() -> None:
    assert told({}) == []
    assert told(dict.fromkeys("ABCDEF", 5.0)) == []


@pytest.mark.parametrize("off", [1.0, -1.0, 2.0, 1 + 1.9 / 12, -1 + 1.9 / 12, 10.0])
def test_one_reading_off_by_whole_feet_is_named_with_what_was_meant(off: float) -> None:
    # C lies on 100 - 3 + 1 = 98, and is given as that and what it is off.
    ((kind, values),) = told({"C": off})
    assert (kind, values["on"]) == ("reading-slip", "C")
    assert feet(values["off"]) == pytest.approx(abs(off), abs=1e-6)
    assert feet(values["slip"]) == round(abs(off))
    assert feet(values["meant"]) == pytest.approx(98 + off - round(off), abs=1e-6)
    assert values["way"] == ("over" if off > 0 else "under")


def test_a_rod_read_a_foot_short_gives_ground_a_foot_high() -> None:
    # From 106 the rod reads 8 at C, and 7 by mistake: the ground comes out at 99.
    ((kind, values),) = told({"C": 1.0}, sight=106.0)
    assert kind == "reading-slip"
    assert (feet(values["given"]), feet(values["meant"])) == (7.0, 8.0)


@pytest.mark.parametrize(
    ("off", "kinds"),
    [
        (2.1 / 12 + 1, ["reading-worst"]),  # over two inches from a whole foot, and over a foot
        (1.5, ["reading-worst"]),
        (0.8, []),
        (9.9 / 12, []),
        (10.1 / 12, ["reading-slip"]),
    ],
)
def test_two_inches_from_whole_feet_are_the_limit(off: float, kinds: list[str]) -> None:
    assert [kind for kind, _ in told({"C": off})] == kinds


def test_uneven_ground_hides_no_one_reading() -> None:
    # The others lie half a foot off a plane already: no single one explains it.
    bumps = {"A": 0.5, "B": -0.5, "C": 0.5, "D": -0.4, "E": 0.4, "F": -0.5}
    assert told(bumps) == []


def test_of_four_corners_any_may_be_the_one() -> None:
    four = [("A", 0, 0), ("B", 20, 0), ("C", 20, 10), ("D", 0, 10)]
    ((kind, values),) = told({"C": 1.0}, places=four)
    assert (kind, values["names"], feet(values["slip"])) == ("reading-slip", "A, B, C, D", 1.0)
    assert told({"C": 0.5}, places=four) == []
    ((kind, values),) = told({"C": 2.5}, places=four)
    assert (kind, feet(values["off"])) == ("reading-worst", 2.5)
    # Three readings make a plane whatever they say.
    assert told({"C": 1.0}, places=four[:3]) == []


@pytest.mark.parametrize(
    ("millimetres", "slip"), [(100, 100), (119, 100), (121, None), (181, 200), (79, None)]
)
def test_a_staff_in_metres_is_misread_by_decimetres(millimetres: int, slip: int | None) -> None:
    found = told({"C": millimetres / 304.8}, metric=True, places=[*SIX, ("P1", 20, 5)])
    got = [round(values["slip"].metres * 1000) for _, values in found]  # type: ignore[union-attr]
    assert got == ([] if slip is None else [slip])


def test_a_decimetre_is_not_told_from_uneven_ground_by_six_readings() -> None:
    assert told({"C": 100 / 304.8}, metric=True) == []


def test_readings_in_one_line_make_no_plane() -> None:
    line = [(name, 5 * i, 0) for i, name in enumerate("ABCDE")]
    assert told({"C": 1.0}, places=line) == []
