"""A section of the file through its model: every fault noted, the sound rest kept."""

from __future__ import annotations

from typing import Any, TypeVar

from pydantic import ValidationError

from staking.errors import MeasureError
from staking.job.keys.containers import WAY
from staking.job.keys.key_homes import key_home
from staking.job.keys.models import STANDS_AT, Section
from staking.job.keys.plausible_check import refused
from staking.job.tree.faults import Faults
from staking.job.tree.source import Branch, Items, Place, Scalar
from staking.measure.lengths import Unit

AnySection = TypeVar("AnySection", bound=Section)

_LISTS = frozenset({
    "bearings",
    "buried",
    "interior",
    "keep",
    "openings",
    "level",
    "pads",
    "setbacks",
    "sleeves",
    "stake_tops",
    "stay_clear",
    "steps",
    "walls",
})
"""Keys whose items are sound or not one by one."""

_READINGS = frozenset({"finished", "ground"})
"""Keys of which each reading is sound or not by itself."""

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
    "level": "level: 94' 2\"",
    "invert": "invert: 94' 3\"",
    "run": "run: 60'",
    "fall": 'fall: 1/4" per ft',
    "risers": "risers: 3",
}
_OPENING_EXAMPLES = {"from": "from: 4'", "width": "width: 9'"}
_OUTLET_EXAMPLES = {"at": "at: [50', -15']"}
_TOPS_EXAMPLES = {"from": "from: 102'", "to": "to: 104'"}
_EXAMPLES_UNDER = {
    "openings": _OPENING_EXAMPLES,
    "outlet": _OUTLET_EXAMPLES,
    "top_of_wall": _TOPS_EXAMPLES,
}
"""Of keys that mean something else under these."""


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
    context = {"unit": unit or faults.unit, "faults": faults, "home": key_home}
    tree: Branch = branch
    while True:
        try:
            found = (
                model.model_validate(tree, context=context)
                if tree or model.due()
                else _left_out(model, tree)
            )
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


def _left_out(model: type[AnySection], branch: Branch) -> AnySection:
    """Give a section of which nothing is written: all of it as it stands by default.

    Making a model ready to read takes a hundred times as long as taking its defaults.

    Returns
    -------
    Section
        As it is read from an empty section.
    """
    place: dict[str, Any] = {STANDS_AT: branch.place}
    return model.model_construct(**place)


def _cut(loc: tuple[str | int, ...]) -> tuple[str | int, ...]:
    """Say how much of the section goes with a fault in it."""
    if loc[0] in _READINGS:
        return loc
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
        examples = dict(_EXAMPLES)
        for step in loc:
            examples |= _EXAMPLES_UNDER.get(str(step), {})
        example = examples[str(loc[-1])]
        faults.add(place, "this key is missing", f"add {example}")
    elif kind == "dict_type":
        faults.add(place, "names with their values belong here", "write them one a line")
    elif kind == "list_type":
        faults.add(place, "a list belongs here", "write its items in [ ], or each after a dash")
    else:
        raise TypeError(f"no words for the fault {kind}")


def _without(tree: Any, cuts: set[tuple[str | int, ...]]) -> Any:
    """Give a section, a table or a list without the parts that are not sound."""
    gone = {cut[0] for cut in cuts if len(cut) == 1}
    inner: dict[str | int, set[tuple[str | int, ...]]] = {}
    for cut in cuts:
        if len(cut) > 1:
            inner.setdefault(cut[0], set()).add(cut[1:])
    if isinstance(tree, Items):
        items = Items(tree.place, tree.line)
        for number, value in enumerate(tree):
            if number not in gone:
                items.lines.append(tree.lines[number])
                items.append(_without(value, inner[number]) if number in inner else value)
        return items
    if not isinstance(tree, Branch):
        return None
    rest = Branch(tree.place, tree.line)
    rest.renamed = dict(tree.renamed)
    for key, value in tree.items():
        kept = _without(value, inner[key]) if key in inner else value
        if key not in gone and kept is not None:
            rest.lines[key] = tree.lines[key]
            rest[key] = kept
    return rest
