"""Values are frozen dataclasses in all that a user of them can see.

The other side is `dataclasses.dataclass` of the standard library, with the same fields.
"""

from __future__ import annotations

import copy
import pickle
from dataclasses import FrozenInstanceError, dataclass, field, fields, replace

import pytest

from staking.frozen import frozen


@frozen
class Ours:
    """Three fields, two with defaults."""

    name: str
    height: float = 0.0
    marks: list[str] = field(default_factory=list, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Plain:
    """The same by the standard library."""

    name: str
    height: float = 0.0
    marks: list[str] = field(default_factory=list, compare=False)


@frozen(kw_only=False)
class Ordered:
    """Fields by their order."""

    east: float
    north: float = 1.0


@frozen(eq=False)
class Alone:
    """Equal to itself only."""

    name: str


@frozen
class Longer(Ours):
    """A class with one more field."""

    width: float


@frozen
class Squared:
    """A field that the class works out itself."""

    side: float
    area: float = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "area", self.side**2)


def test_a_field_that_the_class_works_out_is_not_given():
    assert Squared(side=3.0).area == 9.0
    with pytest.raises(TypeError):
        Squared(side=3.0, area=9.0)


def test_it_compares_hashes_and_describes_itself_as_a_dataclass_does():
    for one, other in (({}, {}), ({}, {"height": 1.0}), ({"marks": ["a"]}, {"marks": ["b"]})):
        equal = Plain(name="A", **one) == Plain(name="A", **other)
        assert (Ours(name="A", **one) == Ours(name="A", **other)) is equal
        assert (hash(Ours(name="A", **one)) == hash(Ours(name="A", **other))) is equal
    assert repr(Ours(name="A")) == repr(Plain(name="A")).replace("Plain", "Ours")
    assert Ours(name="A") != Plain(name="A")
    assert Alone(name="A") != Alone(name="A")


def test_its_fields_replacing_copying_and_pickling_are_a_dataclasss():
    value = Ours(name="A", marks=["b"])
    assert [part.name for part in fields(Ours)] == [part.name for part in fields(Plain)]
    assert replace(value, height=2.0) == Ours(name="A", height=2.0)
    for same in (copy.copy(value), copy.deepcopy(value), pickle.loads(pickle.dumps(value))):
        assert same == value
        assert same.marks == ["b"]
    assert Ours(name="A").marks is not Ours(name="A").marks


def test_fields_come_by_order_where_that_is_said_and_from_the_class_it_extends():
    assert Ordered(2.0) == Ordered(east=2.0, north=1.0)
    match Ordered(2.0):
        case Ordered(east, north):
            assert (east, north) == (2.0, 1.0)
    assert repr(Longer(name="A", width=3.0)) == "Longer(name='A', height=0.0, marks=[], width=3.0)"


def test_nothing_of_it_changes_and_nothing_is_added():
    value = Ours(name="A")
    with pytest.raises(FrozenInstanceError, match="cannot assign to field 'name'"):
        value.name = "B"
    with pytest.raises(FrozenInstanceError, match="cannot delete field 'name'"):
        del value.name
    with pytest.raises(FrozenInstanceError):
        value.other = 1
    assert not hasattr(value, "__dict__")


@pytest.mark.parametrize(
    ("kind", "given"),
    [(Ours, {}), (Ours, {"name": "A", "width": 1.0}), (Ordered, {"north": 1.0}), (Alone, {})],
)
def test_a_value_is_whole_at_birth(kind, given):
    for _ in range(2):
        with pytest.raises(TypeError):
            kind(**given)


def test_fields_by_name_only_are_not_taken_by_order():
    with pytest.raises(TypeError):
        Ours("A")
