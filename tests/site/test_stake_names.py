from __future__ import annotations

import pytest

from staking.errors import InputError
from staking.kinds import PointKind
from staking.layout.named_points import NamedPoint
from staking.site.site_request import PlaceByFit, SiteAsked
from staking.site.stake_names import (
    names_in_files,
    points_by_any_name,
    points_in_files,
    refuse_taken_names,
)

STAKES = tuple(
    NamedPoint(name=name, x=0.0, y=0.0, description=what, kind=kind, of=name)
    for name, what, kind in (
        ("A", "corner", PointKind.CORNER),
        ("B", "corner", PointKind.CORNER),
        ("P1", "pad centre", PointKind.PAD),
    )
)


def test_a_prefix_stands_before_every_name() -> None:
    assert names_in_files(STAKES, SiteAsked(prefix="W-")) == ("W-A", "W-B", "W-P1")
    assert names_in_files(STAKES, SiteAsked()) == names_in_files(STAKES, None) == ("A", "B", "P1")


def test_numbers_run_on_from_the_first_and_say_what_they_stand_for() -> None:
    renamed = points_in_files(STAKES, SiteAsked(numbers=5001))
    assert [each.name for each in renamed] == ["5001", "5002", "5003"]
    assert renamed[2].description == "P1, pad centre"
    assert names_in_files(STAKES, SiteAsked(numbers=7, prefix="W"))[0] == "W7"


def test_a_stake_named_as_a_surveyed_point_is_refused() -> None:
    with pytest.raises(InputError) as caught:
        refuse_taken_names(STAKES, SiteAsked(), [["101", "B"], ["P1"]])
    assert str(caught.value) == (
        "site: B, P1 are stakes of the layout and points of the survey as well, and on an "
        "instrument the two cannot be told apart; add prefix: W- under site, which is put before "
        "our stakes' names in files and on instruments, or rename them on the plan or in the survey"
    )
    with pytest.raises(InputError, match=r"^site: A is a stake of the layout and a point of the"):
        refuse_taken_names(STAKES, SiteAsked(), [["A"]])
    refuse_taken_names(STAKES, SiteAsked(), [["101", "a", "W-A"]])


def test_a_prefix_or_numbers_that_are_taken_too_are_refused() -> None:
    refuse_taken_names(STAKES, SiteAsked(prefix="W-"), [["A", "B", "P1"]])
    with pytest.raises(InputError, match=r"W-A is a stake .*; choose another prefix: or another"):
        refuse_taken_names(STAKES, SiteAsked(prefix="W-"), [["W-A"]])
    with pytest.raises(InputError, match=r"^site: 102 is a stake"):
        refuse_taken_names(STAKES, SiteAsked(numbers=102), [["101", "102"]])


def test_a_corner_that_is_fitted_to_the_point_of_its_name_is_that_point() -> None:
    fit = PlaceByFit(pairs=(("A", "A"), ("B", "201")))
    refuse_taken_names(STAKES, SiteAsked(place=fit), [["A", "201"]])
    with pytest.raises(InputError, match=r"^site: B is a stake"):
        refuse_taken_names(STAKES, SiteAsked(place=fit), [["A", "B", "201"]])


def test_a_stake_is_known_with_and_without_its_prefix() -> None:
    known = points_by_any_name(STAKES, SiteAsked(prefix="W-"), [["101"]])
    assert known["W-A"] is known["A"] is STAKES[0]
    # The survey's own A is not our stake, once stakes have another name.
    known = points_by_any_name(STAKES, SiteAsked(numbers=5001), [["101", "A"]])
    assert "A" not in known
    assert known["5001"] is STAKES[0]
    assert points_by_any_name(STAKES, SiteAsked(), [["A"]])["A"] is STAKES[0]
