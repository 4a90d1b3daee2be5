"""How one value of the job file is read, as an annotation of a model's field."""

from __future__ import annotations

from collections.abc import Callable
from types import FunctionType
from typing import Any

from pydantic import GetCoreSchemaHandler
from pydantic_core.core_schema import (
    CoreSchema,
    no_info_plain_validator_function,
    with_info_plain_validator_function,
)


class ReadBy:
    """A function reads the value, and nothing else does.

    A job file is read through its models and never written through them: pydantic's own
    `PlainValidator` makes a writer as well, from the field's type, for every field anew, which
    takes longer than reading the file.

    Parameters
    ----------
    read
        Takes what stands in the file, or that and what pydantic knows of the validation.
    """

    def __init__(self, read: Callable[..., object]) -> None:
        if not isinstance(read, FunctionType):
            raise TypeError(f"{read!r} is not a plain function")
        self._read = read

    def __get_pydantic_core_schema__(
        self, source: Any, handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        """Say to pydantic how the field is read.

        Returns
        -------
        dict
            The field's core schema.
        """
        if self._read.__code__.co_argcount == 1:
            return no_info_plain_validator_function(self._read)
        return with_info_plain_validator_function(self._read)
