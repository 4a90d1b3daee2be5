"""What a key of the job file may hold beside one value: lists, tables of names, one of several.

Each makes the type of a field, from which both the reader and the JSON Schema come.
"""

from __future__ import annotations

import difflib
from collections.abc import Callable
from typing import TYPE_CHECKING, Annotated, Any, Union

from pydantic import BeforeValidator, Discriminator, Tag, WithJsonSchema

from staking.errors import MeasureError
from staking.job.keys.read_by import ReadBy
from staking.job.tree.source import Branch, Items, Scalar

if TYPE_CHECKING:
    from staking.job.keys.models import Section

WAY = "way: "
"""Stands before the name of the way that `by_its_keys` took, in the place of a fault."""


def list_of(item: Any, fault: str, remedy: str, least: int = 0) -> Any:
    """Make the type of a field that takes a list of at least so many items.

    Parameters
    ----------
    item
        The type of one item.
    fault, remedy
        What is said where no such list stands.
    least
        The fewest items.

    Returns
    -------
    type
        For the field's annotation.
    """

    def check(value: Any) -> Any:
        if not isinstance(value, Items) or len(value) < least:
            raise MeasureError(fault, remedy)
        return value

    schema = {"minItems": least} if least else {}
    return Annotated[list[item], BeforeValidator(check), _With(schema)]


def one_or_list(item: Any) -> Any:
    """Make the type of a field that takes one value or a list of them."""

    def wrap(value: Any) -> Any:
        return [value] if isinstance(value, Scalar) else value

    return Annotated[list[item], BeforeValidator(wrap), _OrOne()]


def table_of(value: Any, fault: str, remedy: str, least: int = 0, most: int | None = None) -> Any:
    """Make the type of a field that takes names, each with its value.

    Parameters
    ----------
    value
        The type of one value.
    fault, remedy
        What is said where no such table stands.
    least, most
        The fewest names, and how many at most.

    Returns
    -------
    type
        For the field's annotation.
    """

    def check(given: Any) -> Any:
        if not isinstance(given, Branch) or len(given) < least:
            raise MeasureError(fault, remedy)
        if most is not None and len(given) > most:
            raise MeasureError(fault, remedy)
        return given

    schema = {"minProperties": least} if least else {}
    if most is not None:
        schema["maxProperties"] = most
    return Annotated[dict[str, value], BeforeValidator(check), _With(schema)]


def mapping_of(model: type[Section], fault: str, remedy: str) -> Any:
    """Make the type of a field that takes a section, with its own words where none stands."""

    def check(value: Any) -> Any:
        if not isinstance(value, Branch):
            raise MeasureError(fault, remedy)
        return value

    return Annotated[model, BeforeValidator(check)]


def by_its_keys(ways: dict[str, Any], otherwise: str, *, word: Any) -> Any:
    """Make the type of a field that takes one of several mappings, told apart by a key.

    Parameters
    ----------
    ways
        The types by the key that marks each, in the order in which the keys are looked for.
    otherwise
        The way that is taken where none of the keys is there.
    word
        The type of what may stand there in place of a mapping.

    Returns
    -------
    type
        For the field's annotation.
    """

    def choose(value: Any) -> str:
        if not isinstance(value, Branch):
            return WAY
        for key in ways:
            if key in value:
                return WAY + key
        given = list(value)
        near = (key for key in ways if difflib.get_close_matches(key, given, n=1, cutoff=0.7))
        return WAY + next(near, otherwise)

    members = [Annotated[kind, Tag(WAY + key)] for key, kind in ways.items()]
    members.append(Annotated[word, Tag(WAY)])
    return Annotated[Union[tuple(members)], Discriminator(choose)]  # noqa: UP007


def nothing_but_keys(fault: str, remedy: str) -> Any:
    """Make the type that refuses whatever stands where a mapping is due."""

    def refuse(value: Any) -> None:
        raise MeasureError(fault, remedy)

    return Annotated[None, ReadBy(refuse), WithJsonSchema({"not": {}})]


class _With:
    """Adds to the JSON Schema of a type."""

    def __init__(self, schema: dict[str, Any]) -> None:
        self.schema = schema

    def __get_pydantic_json_schema__(
        self, core_schema: Any, handler: Callable[[Any], dict[str, Any]]
    ) -> dict[str, Any]:
        return {**handler(core_schema), **self.schema}


class _OrOne:
    """Lets one item stand for a list of one, in the JSON Schema."""

    def __get_pydantic_json_schema__(
        self, core_schema: Any, handler: Callable[[Any], dict[str, Any]]
    ) -> dict[str, Any]:
        made = handler(core_schema)
        return {"anyOf": [made["items"], {**made, "minItems": 1}]}
