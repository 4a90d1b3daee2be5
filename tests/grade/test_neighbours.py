from __future__ import annotations

import math
from dataclasses import replace

import pytest

from staking.errors import ComputationError
from staking.grade.neighbours import Beside, clear_distance, undercuts
from staking.measure.lengths import parse_length
from staking.notices import Severity
from staking.output.wording import Words
from staking.plan import Options

FOOT = 0.3048
INCH = 0.0254
OLD = Beside(
    name="old house", part="old", ring=((0.0, 0.0), (0.0, 9.0)), level=96 * FOOT, stands=True
)


NEW = replace(OLD, name="E-F", stands=False)


def dig(near: float, part: str = "new") -> Beside:
    ring = ((near, 0.0), (near + 2, 0.0), (near + 2, 9.0), (near, 9.0))
    return Beside(name="A-B", part=part, ring=ring, level=(94 + 2 / 12) * FOOT)


def test_a_deeper_dig_stands_clear_of_an_old_footing() -> None:
    clear = clear_distance(96 * FOOT, (94 + 2 / 12) * FOOT)
    assert clear / INCH == pytest.approx(38.1, abs=0.05)
    assert undercuts([dig(38.11 * INCH)], [OLD]) == ((), ())
    found, told = undercuts([dig(38.0 * INCH)], [OLD])
    assert [(one.dig, one.footing) for one in found] == [("A-B", "old house")]
    assert found[0].needed / INCH == pytest.approx(38.105, abs=0.001)
    assert told[0].severity is Severity.BROKEN
    assert "ask an engineer" in told[0].text


def test_a_footing_not_yet_built_can_also_be_set_lower_or_moved() -> None:
    (_, (old,)), (_, (new,)) = undercuts([dig(0.5)], [OLD]), undercuts([dig(0.5)], [NEW])
    assert "set" not in old.text
    assert "the higher footing of {footing}" in new.text
    assert "set {footing} as deep" in new.text
    assert "underpinning: ask an engineer" in new.text


def test_the_stated_depth_and_distance_clear_it_and_a_sixteenth_less_does_not() -> None:
    # 22" under the old footing, 20" off: 22" / tan 30 = 38.105" away, or 20" x tan 30 = 11.547"
    # under 96', which is 95' 0.453".
    (found,), (told,) = undercuts([dig(20 * INCH)], [OLD])
    words = Words(Options())
    values = dict(told.values)
    away = parse_length(words.at_least(values["needed"].metres))
    low = parse_length(words.at_least(values["deepest"].metres))
    assert (words.at_least(found.needed), words.at_least(found.deepest)) == (
        "3' 2 1/8\"",
        "95' 0 1/2\"",
    )
    near = dig(20 * INCH)
    assert undercuts([dig(away)], [OLD]) == ((), ())
    assert undercuts([replace(near, level=low)], [OLD]) == ((), ())
    assert undercuts([dig(away - INCH / 16)], [OLD])[0]
    assert undercuts([replace(near, level=low - INCH / 16)], [OLD])[0]


def test_what_is_joined_or_no_deeper_is_let_be() -> None:
    assert undercuts([dig(0.1, part="old")], [OLD]) == ((), ())
    higher = Beside(name="pad", part="pad", ring=OLD.ring, level=90 * FOOT)
    assert undercuts([dig(0.1)], [higher]) == ((), ())


def test_the_line_may_be_overridden() -> None:
    assert undercuts([dig(22.1 * INCH)], [OLD], math.radians(45)) == ((), ())
    with pytest.raises(ComputationError, match="between 0 and 90"):
        undercuts([dig(1.0)], [OLD], 0.0)
