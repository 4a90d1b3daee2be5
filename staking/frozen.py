"""How the package's values are made: frozen dataclasses that cost a command's start little.

A command loads some two hundred and fifty classes of values before it reads the job. For each of
them `dataclasses.dataclass` writes and compiles six methods, which came to a fifth of a command's
whole time. Here what is the same for every class is written once, and the constructor of a class is
compiled when its first value is made: many classes of a run never have one. To everything else
(`dataclasses.replace` and `fields`, comparing, pickling, type checkers) such a class is a frozen
dataclass with slots.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import MISSING, Field, FrozenInstanceError, dataclass, fields
from operator import attrgetter
from typing import Any, TypeVar, cast, dataclass_transform, overload

_Class = TypeVar("_Class", bound=type)


@overload
def frozen(cls: _Class, /) -> _Class: ...
@overload
def frozen(*, kw_only: bool = True, eq: bool = True) -> Callable[[_Class], _Class]: ...


@dataclass_transform(frozen_default=True, kw_only_default=True)
def frozen(
    cls: _Class | None = None, /, *, kw_only: bool = True, eq: bool = True
) -> _Class | Callable[[_Class], _Class]:
    """Make a class of values: complete at birth, never changed, with slots.

    Parameters
    ----------
    cls
        A class with annotated fields, as `dataclasses.dataclass` takes it.
    kw_only
        The fields are given by name only.
    eq
        Two values with equal fields are equal and hash alike; without it a value is equal to itself
        only, as one that holds arrays has to be.

    Returns
    -------
    type or callable
        The class, or a decorator where only settings are given.

    Examples
    --------
    >>> @frozen
    ... class Peg:
    ...     name: str
    ...     height: float = 0.0
    >>> Peg(name="A"), Peg(name="A") == Peg(name="A", height=1.0)
    (Peg(name='A', height=0.0), False)
    """

    def make(each: _Class) -> _Class:
        plain = dataclass(init=False, repr=False, eq=False, slots=True, kw_only=kw_only)
        made = cast(_Class, plain(each))
        parts = fields(made)
        methods = {
            "__init__": _constructor_when_needed(made, parts),
            "__repr__": _description([part.name for part in parts if part.repr]),
            "__setattr__": _refuse_setting,
            "__delattr__": _refuse_deleting,
            "__getstate__": _state,
            "__setstate__": _restore,
        }
        if eq:
            methods |= _comparison([part.name for part in parts if part.compare])
        for name, method in methods.items():
            if name not in each.__dict__:
                setattr(made, name, method)
        return made

    return make if cls is None else make(cls)


def _constructor_when_needed(made: type, parts: tuple[Field[Any], ...]) -> Callable[..., None]:
    """Stand in for a class's constructor until its first value is made."""

    def first(self: object, /, *args: object, **values: object) -> None:
        constructor = _compile_constructor(made, parts)
        if made.__dict__["__init__"] is first:
            made.__init__ = constructor  # type: ignore[misc]
        constructor(self, *args, **values)

    return first


def _compile_constructor(made: type, parts: tuple[Field[Any], ...]) -> Callable[..., None]:
    """Write the constructor out, field by field, each set through its slot."""
    known: dict[str, Any] = {}
    taken: list[str] = []
    named: list[str] = []
    body: list[str] = []
    for part in parts:
        if not part.init:
            continue
        known[f"set_{part.name}"] = getattr(made, part.name).__set__
        given, value = part.name, part.name
        if part.default is not MISSING:
            known[f"default_{part.name}"] = part.default
            given = f"{part.name}=default_{part.name}"
        elif part.default_factory is not MISSING:
            known[f"make_{part.name}"], known["not_given"] = part.default_factory, MISSING
            given = f"{part.name}=not_given"
            value = f"make_{part.name}() if {part.name} is not_given else {part.name}"
        (named if part.kw_only else taken).append(given)
        body.append(f"    set_{part.name}(self, {value})")
    heads = ["self", *taken, *(["*", *named] if named else [])]
    last = "    self.__post_init__()" if hasattr(made, "__post_init__") else "    return None"
    text = "\n".join([f"def __init__({', '.join(heads)}):", *body, last])
    exec(text, known)
    constructor: Callable[..., None] = known["__init__"]
    constructor.__qualname__ = f"{made.__qualname__}.__init__"
    return constructor


def _comparison(names: list[str]) -> dict[str, Callable[..., Any]]:
    values = _values_of(names)

    def equal(self: object, other: object) -> Any:
        if other.__class__ is not self.__class__:
            return NotImplemented
        return values(self) == values(other)

    def hashed(self: object) -> int:
        return hash(values(self))

    return {"__eq__": equal, "__hash__": hashed}


def _values_of(names: list[str]) -> Callable[[object], tuple[Any, ...]]:
    if len(names) > 1:
        return attrgetter(*names)
    return lambda value: tuple(getattr(value, name) for name in names)


def _description(names: list[str]) -> Callable[[object], str]:
    def described(self: object) -> str:
        said = ", ".join(f"{name}={getattr(self, name)!r}" for name in names)
        return f"{self.__class__.__qualname__}({said})"

    return described


def _refuse_setting(self: object, name: str, value: object) -> None:
    raise FrozenInstanceError(f"cannot assign to field {name!r}")


def _refuse_deleting(self: object, name: str) -> None:
    raise FrozenInstanceError(f"cannot delete field {name!r}")


def _state(self: Any) -> list[Any]:
    return [getattr(self, part.name) for part in fields(self)]


def _restore(self: Any, state: list[Any]) -> None:
    for part, value in zip(fields(self), state, strict=True):
        object.__setattr__(self, part.name, value)
