"""A section of the file through its model: every fault noted, the sound rest kept."""

from __future__ import annotations

from typing import Any, TypeVar

from pydantic import ValidationError

from staking.errors import MeasureError
from staking.job.containers import WAY
from staking.job.faults import Faults
from staking.job.models import Section
from staking.job.plausible_check import refused
from staking.job.source import Branch, Items, Place, Scalar
from staking.measure.lengths import Unit

AnySection = TypeVar("AnySection", bound=Section)

_LISTS = frozenset({
    "bearings",
    "buried",
    "interior",
    "openings",
    "pads",
    "setbacks",
    "sleeves",
    "stay_clear",
    "walls",
})
"""Keys whose items are sound or not one by one."""

_EXAMPLES = {
    "width": 'width: 20"',
    "thickness": 'thickness: 10"',
    "name": "name: P1",
    "from": "from: A-B at 14'",
    "to": "to: C-D at 10'",
    "wall": "wall: A-B",
    "drop": 'drop: 8"',
    "at": "at: 10'",
    "size": 'size: 4"',
}
_OPENING_EXAMPLES = {"from": "from: 4'", "width": "width: 9'"}


def check_section(
    model: type[AnySection], branch: Branch, faults: Faults, unit: Unit | None = None
) -> AnySection:
    """Read a section, noting what is wrong and leaving it out.

    Parameters
    ----------
    model
        The section's model.
    branch
        The section as it stands in the file.
    faults
        Where faults are noted.
    unit
        What bare numbers are in; the job's unit by default.

    Returns
    -------
    Section
        What is sound of it.

    Raises
    ------
    TypeError
        Where a fault cannot be cut out: a slip of this program.
    """
    context = {"unit": unit or faults.unit, "faults": faults}
    tree: Branch = branch
    while True:
        try:
            found = model.model_validate(tree, context=context)
            out = refused(found, faults, unit or faults.unit)
            if not out:
                return found
            depth = len(tree.place)
            tree = _without(tree, {_cut(place[depth:]) for place in out})
        except ValidationError as error:
            cuts: set[tuple[str | int, ...]] = set()
            for item in error.errors(include_url=False):
                loc = tuple(step for step in item["loc"] if not str(step).startswith(WAY))
                _note(item, loc, tree, faults)
                cuts.add(_cut(loc))
            if not any(cut[0] in tree for cut in cuts):
                raise TypeError(f"no fault to cut out: {error}") from error
            tree = _without(tree, cuts)


def _cut(loc: tuple[str | int, ...]) -> tuple[str | int, ...]:
    """Say how much of the section goes with a fault in it."""
    return loc[: 2 if loc[0] in _LISTS else 1]


def _note(item: Any, loc: tuple[str | int, ...], tree: Branch, faults: Faults) -> None:
    """Note one fault that the model found, `loc` being where in the section it stands."""
    place: Place = tree.place
    node: Any = tree
    for step in loc:
        if isinstance(node, Scalar):
            # One value that stands for a list of one.
            break
        try:
            node = node[step]
        except (KeyError, IndexError, TypeError):
            node = None
        place = node.place if isinstance(node, (Branch, Items)) else (*place, step)
    cause = item.get("ctx", {}).get("error")
    kind = item["type"]
    if isinstance(cause, MeasureError):
        faults.add_error(place, cause)
    elif kind == "missing":
        examples = _EXAMPLES | (_OPENING_EXAMPLES if loc[0] == "openings" else {})
        example = examples[str(loc[-1])]
        faults.add(place, "this key is missing", f"add {example}")
    elif kind == "dict_type":
        faults.add(place, "names with their values are due here", "write them one a line")
    elif kind == "list_type":
        faults.add(place, "a list is due here", "write its items in [ ], or each after a dash")
    else:
        raise TypeError(f"no words for the fault {kind}")


def _without(tree: Branch, cuts: set[tuple[str | int, ...]]) -> Branch:
    """Give the section without the parts that are not sound."""
    rest = Branch(tree.place, tree.line)
    for key, value in tree.items():
        if (key,) in cuts:
            continue
        rest.lines[key] = tree.lines[key]
        rest[key] = value
        inner = {cut[1] for cut in cuts if len(cut) == 2 and cut[0] == key}
        if inner and isinstance(value, Branch):
            kept = Branch(value.place, value.line)
            kept.update({name: part for name, part in value.items() if name not in inner})
            kept.lines = value.lines
            rest[key] = kept
        elif inner and isinstance(value, Items):
            items = Items(value.place, value.line)
            items.extend(part for number, part in enumerate(value) if number not in inner)
            rest[key] = items
        elif inner:
            del rest[key]
    return rest
