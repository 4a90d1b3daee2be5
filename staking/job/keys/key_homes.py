"""Where in the job file a key stands that has been written somewhere else."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from typing import Any, get_args

from staking.job.keys.models import BuildingKeys, HeadKeys, PartKeys, Section
from staking.job.keys.top import SECTIONS


def key_home(key: str) -> str | None:
    """Say where a key stands, if it stands in one place alone.

    Parameters
    ----------
    key
        As it is written in the file.

    Returns
    -------
    str or None
        ``under building``, ``under order, drain`` or ``at the top of the file``; None where no
        section has such a key, or several have. A key of the top of the file is that one's,
        wherever else its word is used.
    """
    if key in _at_top():
        return "at the top of the file"
    homes = _homes().get(key, frozenset())
    return next(iter(homes)) if len(homes) == 1 else None


def _at_top() -> tuple[str, ...]:
    return (*HeadKeys.keys(), "building", "buildings", *SECTIONS)


@cache
def _homes() -> dict[str, frozenset[str]]:
    found: dict[str, set[str]] = {}
    sections: list[tuple[str, type[Section]]] = [
        ("building", PartKeys),
        ("building", BuildingKeys),
        *SECTIONS.items(),
    ]
    for path, model in sections:
        for where, key in _keys(path, model, frozenset()):
            found.setdefault(key, set()).add(f"under {where}")
    return {key: frozenset(homes) for key, homes in found.items()}


def _keys(
    path: str, model: type[Section], above: frozenset[type[Section]]
) -> Iterator[tuple[str, str]]:
    # every key of a section and of the sections in it, with the keys it stands under
    if model in above:
        return
    for name, field in model.model_fields.items():
        if name == "place":
            continue
        key = field.alias or name
        yield path, key
        for inner in _models(field.annotation):
            yield from _keys(f"{path}, {key}", inner, above | {model})


def _models(annotation: Any) -> Iterator[type[Section]]:
    if isinstance(annotation, type) and issubclass(annotation, Section):
        yield annotation
    for part in get_args(annotation):
        yield from _models(part)
